"""Which of very many points lie in which areas: boxes by a raster, edges by bands of latitude, and doubts settled exactly.

Floats tell all but what lies within a micrometer of an edge; that is looked at again in whole numbers. An edge counts.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.areas import Areas
from airwrit.base.places import Place
from airwrit.geo.earth import ECCENTRICITY_SQUARED, EQUATOR_M
from airwrit.geo.fixed import DEGREE, TURN, point_of
from airwrit.geo.footprint import Floats, apart_m, is_in, turned, within_of
from airwrit.geo.shapes import Whole

_CHUNK = 1 << 15
_SIDE_DEG = 0.25
_ROWS, _COLUMNS = int(180 / _SIDE_DEG), int(360 / _SIDE_DEG)
_EPSILON_DEG = 1e-11
_DOUBT = 2e-4
"""Share of a radius by which a distance on the plane may be off; nearer than that it is measured on the ellipsoid."""
_EDGES_PER_BAND = 2
_MOST_BANDS = 8192


class PointsHeld(NamedTuple):
    """Pairs of a point and an area that holds it, by their numbers (n,); in order of points within a chunk."""

    points: Whole
    areas: Whole


class _Pairs(NamedTuple):
    """Points, and entries of the raster whose box holds them."""

    points: Whole
    entries: Whole

    def where(self, which: NDArray[np.bool_]) -> _Pairs:
        return _Pairs(self.points[which], self.entries[which])


@dataclass(frozen=True, slots=True)
class AreaIndex:
    """Areas made ready for many points.

    An entry is a piece of an area with its longitudes moved by `turns` degrees; what lies in its `inner` box surely lies in it.
    `cells` tells where the entries of each raster cell begin in `listed`. `bands` tells where the bands of each entry begin
    in `starts`, and that where the edges of each band begin in `edges`; an edge goes from the point of its number to the next.
    """

    areas: Areas
    pieces: Whole
    turns: Floats
    boxes: Floats
    inner: Floats
    cells: Whole
    listed: NDArray[np.int32]
    bands: Whole
    per_degree: Floats
    starts: Whole
    edges: NDArray[np.int32]
    latitudes: Floats
    longitudes: Floats
    area_of: Whole

    def holding(self, latitudes_deg: Floats, longitudes_deg: Floats) -> PointsHeld:
        """Each of many points (n,) with every area that holds it. ValueError for places that don't exist."""
        found = [
            self._holding(at, latitudes_deg[at : at + _CHUNK], longitudes_deg[at : at + _CHUNK])
            for at in range(0, len(latitudes_deg), _CHUNK)
        ]
        if not found:
            return PointsHeld(np.zeros(0, dtype=np.int64), np.zeros(0, dtype=np.int64))
        return PointsHeld(*(np.concatenate(parts) for parts in zip(*found, strict=True)))

    def _holding(self, first: int, latitudes: Floats, longitudes: Floats) -> PointsHeld:
        if not (np.abs(latitudes).max() <= 90 and np.abs(longitudes).max() <= 180):
            raise ValueError("a place that does not exist")
        near = self._in_boxes(latitudes, longitudes)
        sure = _inside(self.inner[near.entries], latitudes[near.points], longitudes[near.points])
        kept, left = [near.where(sure)], near.where(~sure)
        is_filled = self.areas.filled[self.pieces[left.entries]]
        for pairs, judge in (
            (left.where(is_filled), self._in_polygons),
            (left.where(~is_filled), self._in_reach),
        ):
            if len(pairs.points):
                inside, doubt = judge(pairs, latitudes[pairs.points], longitudes[pairs.points])
                for at in np.flatnonzero(doubt):
                    place = Place(float(latitudes[pairs.points[at]]), float(longitudes[pairs.points[at]]))
                    inside[at] = self._exactly(int(pairs.entries[at]), place)
                kept.append(pairs.where(inside))
        points = np.concatenate([one.points for one in kept]) + first
        areas = self.area_of[np.concatenate([one.entries for one in kept])]
        if len(self.areas) == len(self.pieces):
            return PointsHeld(points, areas)
        once = np.unique(points * len(self.areas) + areas)  # several pieces of an area may hold a point
        return PointsHeld(*np.divmod(once, len(self.areas)))

    def _in_boxes(self, latitudes: Floats, longitudes: Floats) -> _Pairs:
        row = np.minimum((latitudes + 90) * (1 / _SIDE_DEG), _ROWS - 1).astype(np.int64)
        column = np.minimum((longitudes + 180) * (1 / _SIDE_DEG), _COLUMNS - 1).astype(np.int64)
        cell = row * _COLUMNS + column
        start = self.cells[cell]
        points, at = _spread(start, self.cells[cell + 1] - start)
        entries = self.listed[at].astype(np.int64)
        latitude, longitude = latitudes[points], longitudes[points]
        holds = _inside(self.boxes[entries], latitude, longitude)
        return _Pairs(points[holds], entries[holds])

    def _in_polygons(
        self, pairs: _Pairs, latitude: Floats, longitude: Floats
    ) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Whether each pair's polygon holds its point, by the edges of the band; and whether that is in doubt."""
        entries = pairs.entries
        south = self.boxes[entries, 0]
        band = ((latitude - south) * self.per_degree[entries]).astype(np.int64)
        band = self.bands[entries] + np.minimum(band, self.bands[entries + 1] - self.bands[entries] - 1)
        start = self.starts[band]
        pair, at = _spread(start, self.starts[band + 1] - start)
        edge = self.edges[at]
        here = latitude[pair]
        begin, end = self.latitudes[edge] - here, self.latitudes[edge + 1] - here
        some = np.flatnonzero(begin * end <= 180 * _EPSILON_DEG)
        pair, edge, begin, end = pair[some], edge[some], begin[some], end[some]
        east = (longitude - self.turns[entries])[pair]
        west, far = self.longitudes[edge] - east, self.longitudes[edge + 1] - east
        crosses = (begin > 0) != (end > 0)
        with np.errstate(divide="ignore", invalid="ignore"):
            right = west - begin * (far - west) / (end - begin)
        count = np.bincount(pair[crosses & (right > 0)], minlength=len(entries))
        close = np.minimum(np.abs(begin), np.abs(end)) <= _EPSILON_DEG
        between = np.minimum(west, far) <= _EPSILON_DEG
        between &= np.maximum(west, far) >= -_EPSILON_DEG
        unsure = (close & between) | (crosses & (np.abs(right) <= _EPSILON_DEG))
        doubt = np.zeros(len(entries), dtype=bool)
        doubt[pair[unsure]] = True
        return (count & 1).astype(bool), doubt

    def _in_reach(
        self, pairs: _Pairs, latitude: Floats, longitude: Floats
    ) -> tuple[NDArray[np.bool_], NDArray[np.bool_]]:
        """Whether each pair's circle holds its point, by a plane between them; and whether that is in doubt, as for lines."""
        pieces = self.pieces[pairs.entries]
        ring = self.areas.pieces[pieces]
        corner = self.areas.rings[ring]
        is_line = (self.areas.rings[ring + 1] - corner > 1) | (self.areas.pieces[pieces + 1] - ring > 1)
        north = self.latitudes[corner] - latitude
        east = self.longitudes[corner] + self.turns[pairs.entries] - longitude
        middle = np.radians(latitude + north / 2)
        bend = 1 - ECCENTRICITY_SQUARED * np.sin(middle) ** 2
        across = EQUATOR_M / np.sqrt(bend)
        along_m = np.radians(north) * across * (1 - ECCENTRICITY_SQUARED) / bend
        away = np.hypot(along_m, np.radians(east) * across * np.cos(middle))
        radius = self.areas.radii_m[pieces]
        return away <= radius, is_line | (np.abs(away - radius) <= _DOUBT * radius + 0.01)

    def _exactly(self, entry: int, place: Place) -> bool:
        footprint = self.areas.footprint(int(self.pieces[entry]))
        if footprint.is_filled:
            return is_in(turned(footprint, round(self.turns[entry]) * DEGREE), point_of(place))
        return apart_m(footprint, within_of([place], 0.0)) == 0


def index_of(areas: Areas) -> AreaIndex:
    """Areas made ready for many points: some 25 bytes for each corner."""
    piece_boxes = _boxes_of_pieces(areas)
    area_of_piece = np.repeat(np.arange(len(areas)), np.diff(areas.areas))
    pieces, turns = _entries(piece_boxes)
    boxes = piece_boxes[pieces]
    boxes[:, 2:] += turns[:, None]
    cells, listed = _raster(boxes)
    latitudes, longitudes = (areas.points[:, axis] / DEGREE for axis in (0, 1))
    bands, per_degree, starts, edges = _bands(areas, pieces, boxes, latitudes)
    return AreaIndex(
        areas,
        pieces,
        turns,
        boxes,
        _inner(areas, pieces, turns, latitudes, longitudes),
        cells,
        listed,
        bands,
        per_degree,
        starts,
        edges,
        latitudes,
        longitudes,
        area_of_piece[pieces],
    )


def _inside(boxes: Floats, latitudes: Floats, longitudes: Floats) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = (boxes[:, 0] <= latitudes) & (latitudes <= boxes[:, 1])
    found &= (boxes[:, 2] <= longitudes) & (longitudes <= boxes[:, 3])
    return found


def _spread(starts: Whole, counts: Whole) -> tuple[Whole, Whole]:
    """For rows of a table of lists: the number of each list once for each of its places, and the places."""
    which = np.repeat(np.arange(len(starts)), counts)
    places = np.arange(len(which)) + np.repeat(starts - np.cumsum(counts) + counts, counts)
    return which, places


def _boxes_of_pieces(areas: Areas) -> Floats:
    """South, north, west, east of each piece in degrees, a little wider; that of its area where it has a radius."""
    found = np.empty((len(areas.filled), 4))
    for area in range(len(areas)):
        pieces = slice(int(areas.areas[area]), int(areas.areas[area + 1]))
        found[pieces] = areas.boxes[area] / DEGREE
    several = np.flatnonzero(np.diff(areas.areas) > 1)
    for area in several.tolist():
        for piece in range(int(areas.areas[area]), int(areas.areas[area + 1])):
            if areas.radii_m[piece] == 0:
                points = areas.footprint(piece).points / DEGREE
                low, high = points.min(axis=0), points.max(axis=0)
                found[piece] = (low[0], high[0], low[1], high[1])
    return found + np.array([-1, 1, -1, 1]) * _EPSILON_DEG


def _entries(boxes: Floats) -> tuple[Whole, Floats]:
    """Every piece with the turns that bring a part of its box between 180 degrees west and east."""
    full = TURN // DEGREE
    found = [
        (np.flatnonzero((boxes[:, 2] + turn <= 180) & (boxes[:, 3] + turn >= -180)), turn)
        for turn in (-full, 0, full)
    ]
    pieces = np.concatenate([which for which, _ in found])
    turns = np.concatenate([np.full(len(which), float(turn)) for which, turn in found])
    order = np.argsort(pieces, kind="stable")
    return pieces[order], turns[order]


def _raster(boxes: Floats) -> tuple[Whole, NDArray[np.int32]]:
    """For each cell where its entries begin, and the entries."""
    south, north = (_cell(boxes[:, at] + 90, _ROWS) for at in (0, 1))
    west, east = (_cell(boxes[:, at] + 180, _COLUMNS) for at in (2, 3))
    entry, row = _spread(south, north - south + 1)
    which, column = _spread(west[entry], (east - west + 1)[entry])
    cell = row[which] * _COLUMNS + column
    order = np.argsort(cell, kind="stable")
    starts = np.searchsorted(cell[order], np.arange(_ROWS * _COLUMNS + 1))
    return starts, entry[which][order].astype(np.int32)


def _cell(degrees: Floats, most: int) -> Whole:
    return np.clip(degrees / _SIDE_DEG, 0, most - 1).astype(np.int64)


def _bands(
    areas: Areas, pieces: Whole, boxes: Floats, latitudes: Floats
) -> tuple[Whole, Floats, Whole, NDArray[np.int32]]:
    """The bands of every entry, how many there are to a degree, where the edges of each begin, and the edges."""
    counts = np.zeros(len(pieces), dtype=np.int64)
    per_degree = np.zeros(len(pieces))
    sizes: list[Whole] = []
    edges: list[NDArray[np.int32]] = []
    for entry, piece in enumerate(pieces.tolist()):
        if not areas.filled[piece]:
            continue
        corners = _corners(areas, piece)
        count = min(_MOST_BANDS, max(1, len(corners) // _EDGES_PER_BAND))
        south, north = boxes[entry, :2]
        counts[entry], per_degree[entry] = count, count / (north - south)
        ends = np.stack([latitudes[corners], latitudes[corners + 1]])
        low, high = ends.min(axis=0) - _EPSILON_DEG, ends.max(axis=0) + _EPSILON_DEG
        first, last = (
            np.clip((side - south) * per_degree[entry], 0, count - 1).astype(np.int64) for side in (low, high)
        )
        edge, band = _spread(first, last - first + 1)
        order = np.argsort(band, kind="stable")
        sizes.append(np.bincount(band, minlength=count))
        edges.append(corners[edge[order]].astype(np.int32))
    starts = np.concatenate([[0], *sizes]).cumsum() if sizes else np.zeros(1, dtype=np.int64)
    held = np.concatenate(edges) if edges else np.zeros(0, dtype=np.int32)
    return np.concatenate([[0], counts.cumsum()]), per_degree, starts, held


def _inner(areas: Areas, pieces: Whole, turns: Floats, latitudes: Floats, longitudes: Floats) -> Floats:
    """A box that surely lies in each polygon, around its middle; one that holds nothing where none was found."""
    found = np.tile(np.array([1.0, -1.0, 1.0, -1.0]), (len(pieces), 1))
    for entry, piece in enumerate(pieces.tolist()):
        if not areas.filled[piece]:
            continue
        corners = _corners(areas, piece)
        middle = Place(float(latitudes[corners].mean()), float(longitudes[corners].mean()))
        north, east = latitudes[corners] - middle[0], longitudes[corners] - middle[1]
        shape = float(np.ptp(north) / max(np.ptp(east), _EPSILON_DEG))
        steps = [np.abs(side[corners + 1] - side[corners]) for side in (latitudes, longitudes)]
        step = float(np.maximum(steps[0], steps[1] * shape).max())
        room = float(np.maximum(np.abs(north), np.abs(east) * shape).min()) - step
        if room > 0 and is_in(areas.footprint(piece), point_of(middle)):
            wide = room / shape
            found[entry] = np.array([-room, room, -wide, wide]) + np.repeat(
                [middle[0], middle[1] + turns[entry]], 2
            )
    return found


def _corners(areas: Areas, piece: int) -> Whole:
    """The number of the point at which each edge of a piece starts."""
    rings = range(int(areas.pieces[piece]), int(areas.pieces[piece + 1]))
    return np.concatenate([np.arange(areas.rings[ring], areas.rings[ring + 1] - 1) for ring in rings])
