"""How deep a flown track is inside areas: meters to the edge at every sample, above zero inside, below it outside.

An edge runs straight in latitude and longitude. An area whose edges all stay away from the box around the track is told by one
point of it. Else only the edges that can be the nearest, or that can tell inside from outside, are looked at.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.geo.fixed import DEGREE, TURN
from airwrit.geo.footprint import Footprint, turned
from airwrit.tracks.excursions import Floats
from airwrit.tracks.path import FlownPath

_MOST_PAIRS = 400_000
_FAR_M = 50_000.0
_BLOCK = 32
"""Samples in a row that are looked at together."""


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

    def of(self, which: NDArray[Any]) -> _Edges:
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
    return AreaDepth(_in_blocks(piece, edges, nearest, path, near_m), settled=False)


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


def _in_blocks(piece: Footprint, edges: _Edges, nearest: _Edges, path: FlownPath, near_m: float) -> Floats:
    """The depth at every sample, by blocks of some samples in a row around a middle.

    A block that is far from every edge has the depth of its middle less its own size. In the others each sample is measured to
    the edges that can be the nearest, and is on the other side than the middle where it crosses an odd number of them.
    """
    count = len(path)
    size = min(_BLOCK, count)
    blocks = -(-count // size)
    at = np.minimum(np.arange(blocks * size), count - 1).reshape(blocks, size)
    x, y = path.x_m[at], path.y_m[at]
    middle_x, middle_y = (x.min(axis=1) + x.max(axis=1)) / 2, (y.min(axis=1) + y.max(axis=1)) / 2
    half = np.hypot(np.ptp(x, axis=1), np.ptp(y, axis=1)) / 2
    away = np.concatenate(
        [_nearest_m(middle_x[some], middle_y[some], nearest) for some in _slices(blocks, len(nearest.x))]
    )
    least = away.min(axis=1)
    side = np.ones(blocks, dtype=bool)
    if piece.is_filled:
        beside = edges.of(_spans(edges, float(middle_y.min()), float(middle_y.max())))
        side = np.concatenate(
            [_is_inside(middle_x[some], middle_y[some], beside) for some in _slices(blocks, len(beside.x))]
        )
    far = least - half > near_m + piece.radius_m
    found = np.empty((blocks, size))
    found[far] = np.where(side, least - half, -(least - half))[far, None]
    block, edge = np.nonzero((away <= (least + 2 * half + 1e-6)[:, None]) & ~far[:, None])
    if len(block):
        found[~far] = _measured(_NearEdges(block, edge), nearest, (x, y), (middle_x, middle_y), side)
    if not piece.is_filled:
        found = -np.abs(found)
    depth: Floats = found.ravel()[:count] + piece.radius_m
    return depth


class _NearEdges(NamedTuple):
    """Blocks, in order, and edges that may be the nearest to one of its samples."""

    block: NDArray[np.intp]
    edge: NDArray[np.intp]


def _measured(
    pairs: _NearEdges,
    edges: _Edges,
    samples: tuple[Floats, Floats],
    middles: tuple[Floats, Floats],
    side: NDArray[np.bool_],
) -> Floats:
    """Meters inside, below zero outside, for the samples of each block in the pairs."""
    begins = np.flatnonzero(np.diff(pairs.block, prepend=-1))
    away, crossed = [], []
    step = max(1, _MOST_PAIRS // samples[0].shape[1])
    for first in range(0, len(begins), step):
        some = slice(int(begins[first]), int(begins[first + step]) if first + step < len(begins) else None)
        starts = begins[first : first + step] - begins[first]
        block, mine = pairs.block[some], edges.of(pairs.edge[some])
        x, y = samples[0][block], samples[1][block]
        shape = _Edges(*(one[:, None] for one in mine))
        away.append(np.minimum.reduceat(_distance(x, y, shape), starts))
        crosses = _crosses(x, y, middles[0][block, None], middles[1][block, None], shape)
        crossed.append(np.add.reduceat(crosses.astype(np.int8), starts) % 2 == 1)
    inside = side[pairs.block[begins]][:, None] ^ np.concatenate(crossed)
    distance = np.concatenate(away)
    return np.where(inside, distance, -distance)


def _crosses(x: Floats, y: Floats, from_x: Floats, from_y: Floats, edges: _Edges) -> NDArray[np.bool_]:
    """Whether the way from a middle to a sample crosses an edge."""

    def turn(ax: Floats, ay: Floats, bx: Floats, by: Floats) -> NDArray[np.bool_]:
        found: NDArray[np.bool_] = ax * by - ay * bx > 0
        return found

    way_x, way_y = x - from_x, y - from_y
    to_x, to_y = edges.x - from_x, edges.y - from_y
    one, other = turn(way_x, way_y, to_x, to_y), turn(way_x, way_y, to_x + edges.dx, to_y + edges.dy)
    middle = turn(edges.dx, edges.dy, -to_x, -to_y)
    sample = turn(edges.dx, edges.dy, x - edges.x, y - edges.y)
    found: NDArray[np.bool_] = (one != other) & (middle != sample)
    return found


def _slices(count: int, wide: int) -> list[slice]:
    step = max(1, _MOST_PAIRS // max(1, wide))
    return [slice(at, at + step) for at in range(0, count, step)]


def _spans(edges: _Edges, low: float, high: float) -> NDArray[np.bool_]:
    """Whether each edge reaches the latitudes from `low` to `high`."""
    end = edges.y + edges.dy
    found: NDArray[np.bool_] = (np.minimum(edges.y, end) <= high) & (np.maximum(edges.y, end) >= low)
    return found


def _depth_at(piece: Footprint, beside: _Edges, x: Floats, y: Floats, away: Floats) -> Floats:
    """Meters inside by the distance to the nearest edge: of a polygon by the side, of a line by its radius."""
    if not piece.is_filled:
        found: Floats = piece.radius_m - away
        return found
    return np.where(_is_inside(x, y, beside), away, -away) + piece.radius_m


def _nearest_m(x: Floats, y: Floats, edges: _Edges) -> Floats:
    """Meters from each point to each edge, (n, e)."""
    return _distance(x[:, None], y[:, None], edges)


def _distance(x: Floats, y: Floats, edges: _Edges) -> Floats:
    east, north = x - edges.x, y - edges.y
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
