"""How deep a flown track is inside areas: meters to the edge at every sample, above zero inside, below it outside.

An edge runs straight in latitude and longitude. An area whose edges all stay away from the box around the track is told by one
point of it. Else only the edges that can be the nearest, or that can tell inside from outside, are looked at.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.geo.fixed import DEGREE, TURN
from airwrit.geo.footprint import Footprint, turned
from airwrit.tracks.excursions import Floats
from airwrit.tracks.path import FlownPath

_MOST_PAIRS = 400_000
_FAR_M = 50_000.0


class AreaDepth(NamedTuple):
    """Meters inside an area (n,), below zero outside. `settled`: one point told it for all, and only the side is exact."""

    depth_m: Floats
    settled: bool


class _Edges(NamedTuple):
    """Edges in meters east and north of the path's start, (e,) each."""

    x: Floats
    y: Floats
    dx: Floats
    dy: Floats

    def of(self, which: NDArray[np.bool_]) -> _Edges:
        return _Edges(*(one[which] for one in self))


def depth_in(footprints: Iterable[Footprint], path: FlownPath, near_m: float = 100.0) -> AreaDepth:
    """How deep a path is inside an area of several pieces; one figure where all of it is beyond `near_m` from the edge."""
    found: Floats | None = None
    settled = True
    for piece in footprints:
        mine = _depth(piece, path, near_m)
        settled &= mine.settled
        found = mine.depth_m if found is None else np.maximum(found, mine.depth_m)
    if found is None:
        return AreaDepth(np.full(len(path), -_FAR_M), settled=True)
    return AreaDepth(found, settled)


def _depth(piece: Footprint, path: FlownPath, near_m: float) -> AreaDepth:
    edges = _edges_of(piece, path)
    middle_x, middle_y = _middle(path.x_m), _middle(path.y_m)
    half = float(np.hypot(np.ptp(path.x_m), np.ptp(path.y_m))) / 2
    reach = _nearest_m(np.array([middle_x]), np.array([middle_y]), edges)[0]
    away = float(reach.min())
    edge_at = piece.radius_m
    if not piece.is_filled and len(piece.points) == 1:
        return _within_circle(edges, path, edge_at, near_m)
    if abs(away - edge_at) - half > near_m and (piece.is_filled or away > edge_at or edge_at > away + half):
        side = float(_depth_at(piece, edges, np.array([middle_x]), np.array([middle_y]), np.array([away]))[0])
        return AreaDepth(np.full(len(path), side - np.copysign(half, side)), settled=True)
    nearest = edges.of(reach <= away + 2 * half + 1.0)
    return AreaDepth(_in_parts(piece, edges, nearest, path), settled=False)


def _within_circle(edges: _Edges, path: FlownPath, radius_m: float, near_m: float) -> AreaDepth:
    depth: Floats = radius_m - np.hypot(path.x_m - edges.x[0], path.y_m - edges.y[0])
    return AreaDepth(depth, settled=bool((np.abs(depth) > near_m).all()))


def _middle(values: Floats) -> float:
    return float(values.min() + values.max()) / 2


def _edges_of(piece: Footprint, path: FlownPath) -> _Edges:
    """The edges of a footprint around the path; longitudes are brought to its side of the earth."""
    middle = int(piece.points[:, 1].mean())
    turns = round((path.start.longitude_deg * DEGREE - middle) / TURN)
    found = []
    for ring in turned(piece, turns * TURN).rings:
        latitude, longitude = ring[:, 0] / float(DEGREE), ring[:, 1] / float(DEGREE)
        x, y = path.local_m(latitude, longitude)
        if len(x) == 1:
            found.append((x, y, np.zeros(1), np.zeros(1)))
        else:
            found.append((x[:-1], y[:-1], np.diff(x), np.diff(y)))
    return _Edges(*(np.concatenate(parts) for parts in zip(*found, strict=True)))


def _in_parts(piece: Footprint, edges: _Edges, nearest: _Edges, path: FlownPath) -> Floats:
    """The depth at every sample: sides by the edges at its latitude, distances by those that can be nearest."""
    low, high = float(path.y_m.min()), float(path.y_m.max())
    beside = edges.of(
        (np.minimum(edges.y, edges.y + edges.dy) <= high) & (np.maximum(edges.y, edges.y + edges.dy) >= low)
    )
    step = max(1, _MOST_PAIRS // max(1, len(nearest.x), len(beside.x)))
    found = np.empty(len(path))
    for at in range(0, len(path), step):
        some = slice(at, at + step)
        away = _nearest_m(path.x_m[some], path.y_m[some], nearest).min(axis=1)
        found[some] = _depth_at(piece, beside, path.x_m[some], path.y_m[some], away)
    return found


def _depth_at(piece: Footprint, beside: _Edges, x: Floats, y: Floats, away: Floats) -> Floats:
    """Meters inside by the distance to the nearest edge: of a polygon by the side, of a line by its radius."""
    if not piece.is_filled:
        found: Floats = piece.radius_m - away
        return found
    return np.where(_is_inside(x, y, beside), away, -away) + piece.radius_m


def _nearest_m(x: Floats, y: Floats, edges: _Edges) -> Floats:
    """Meters from each point to each edge, (n, e)."""
    east, north = x[:, None] - edges.x, y[:, None] - edges.y
    length = np.maximum(edges.dx**2 + edges.dy**2, 1e-12)
    share = np.clip((east * edges.dx + north * edges.dy) / length, 0.0, 1.0)
    found: Floats = np.hypot(east - share * edges.dx, north - share * edges.dy)
    return found


def _is_inside(x: Floats, y: Floats, edges: _Edges) -> NDArray[np.bool_]:
    """Whether a ray to the east crosses an odd number of edges."""
    if not len(edges.x):
        return np.zeros(len(x), dtype=bool)
    above = edges.y > y[:, None]
    ends_above = edges.y + edges.dy > y[:, None]
    slope = edges.dx / np.where(edges.dy == 0, 1.0, edges.dy)
    crosses = (above != ends_above) & (x[:, None] < edges.x + slope * (y[:, None] - edges.y))
    found: NDArray[np.bool_] = crosses.sum(axis=1) % 2 == 1
    return found
