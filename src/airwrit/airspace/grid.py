"""The grid of the facility map: cells of 30 seconds of arc by their row and column, each with its number of feet.

A cell's row and column are its south-west corner times 120, in degrees. An edge belongs to both of its cells. How far the
file's corners are off the grid, by rounding, is kept: a point that near to a line counts as on it.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import m_per_degree
from airwrit.geo.fixed import DEGREE, FixedBox, point_of
from airwrit.geo.footprint import Footprint, apart_m, box_of_footprint, filled, nearness_m
from airwrit.geo.shapes import Polygon, Whole, box_of, box_ring

PER_DEGREE = 120
COLUMNS = 360 * PER_DEGREE
MOST_OFF = DEGREE // 10_000
"""The most that a corner may be off the grid, in units of a cell: a ten-thousandth of a cell, 9 centimeters."""
_ROOM = 1.02
"""Share by which middles of cells are measured off, and what is left open, with room to spare."""
LEAST_OFF = DEGREE // 10**9
"""Always taken as on the line: a billionth of a cell, a thousandth of a millimeter, for places typed in minutes."""


class GridCell(NamedTuple):
    """A cell and its number, and how far its corners are off the grid in units of 10 to the power of -15 cells."""

    row: int
    column: int
    number_ft: int
    off: int


@dataclass(frozen=True, slots=True)
class Grid:
    """Cells by key (row times COLUMNS plus column), sorted; numbers in feet; the largest distance of a corner off the grid."""

    keys: NDArray[np.int64]
    numbers_ft: NDArray[np.int16]
    off: int

    def touched(self, asked: Footprint) -> list[int]:
        """The number of every cell that a footprint touches; an edge counts for both of its cells."""
        if not len(self.keys):
            return []
        keys, numbers = self._near(box_of_footprint(asked))
        if not len(keys) or (len(asked.points) == 1 and asked.radius_m <= 0):
            return [int(number) for number in numbers]
        sorted_out = zip(*_sorted_out(keys, asked), numbers.tolist(), strict=True)
        return [number for key, sure, number in sorted_out if self._meets(key, sure, asked)]

    def cells_in(self, box: FixedBox) -> list[GridCell]:
        """The cells that a box meets; columns west of Greenwich are below zero."""
        if not len(self.keys):
            return []
        keys, numbers = self._near(box)
        return [
            GridCell(key // COLUMNS, _signed(key % COLUMNS), number, self.off)
            for key, number in zip(keys.tolist(), numbers.tolist(), strict=True)
        ]

    def _near(self, box: FixedBox) -> tuple[Whole, NDArray[np.int16]]:
        """The cells that a box meets: their keys, with columns as counted from the box, and their numbers."""
        south, north = _span(box.south, box.north, self.off)
        west, east = _span(box.west, box.east, self.off)
        rows, columns = np.arange(south, north + 1)[:, None], np.arange(west, east + 1)[None, :]
        keys = (rows * COLUMNS + columns % COLUMNS).ravel()
        at = np.minimum(np.searchsorted(self.keys, keys), len(self.keys) - 1)
        found = np.flatnonzero(self.keys[at] == keys)
        return keys[found], self.numbers_ft[at[found]]

    def _meets(self, key: int, sure: int, asked: Footprint) -> bool:
        """Whether a cell touches a footprint: as sorted out before, or else as measured."""
        return sure > 0 or (sure == 0 and apart_m(cell_footprint(key, self.off), asked) == 0)


def _signed(column: int) -> int:
    return column if column < COLUMNS // 2 else column - COLUMNS


def _sorted_out(keys: Whole, asked: Footprint) -> tuple[list[int], list[int]]:
    """The keys of cells, with 1 where its middle is surely reached, -1 where all of it surely isn't, 0 where that's open."""
    rows, columns = np.divmod(keys, COLUMNS)
    side = DEGREE // PER_DEGREE
    middles = np.stack([rows * side, columns * side], axis=1) + side // 2
    away = nearness_m(asked, middles)
    half_m = math.hypot(*m_per_degree(0.0)) / PER_DEGREE / 2 * _ROOM
    sure = np.where(away * _ROOM < asked.radius_m, 1, np.where(away > asked.radius_m * _ROOM + half_m, -1, 0))
    sure[away == 0] = 1
    return keys.tolist(), sure.tolist()


def cell_of(polygon: Polygon, number_ft: int) -> GridCell | None:
    """The cell that a polygon is, or None where it is no rectangle of the grid."""
    if len(polygon) != 1 or len(polygon[0]) != 5:
        return None
    box = box_of(polygon[0])
    if sorted(polygon[0][:4]) != sorted(box_ring(box)[:4]):
        return None
    lines = [_line(side) for side in box]
    (south, _), (north, _), (west, _), (east, _) = lines
    off = max(off for _, off in lines)
    if north != south + 1 or east != west + 1 or off > MOST_OFF:
        return None
    return GridCell(south, west % COLUMNS, number_ft, off)


def grid_of(cells: Sequence[GridCell]) -> Grid:
    """Cells as a grid; of two numbers for one cell the lower one."""
    table = sorted((cell.row * COLUMNS + cell.column, cell.number_ft) for cell in cells)
    lowest = dict(reversed(table))
    keys = sorted(lowest)
    return Grid(
        np.array(keys, dtype=np.int64),
        np.array([lowest[key] for key in keys], dtype=np.int16),
        max(LEAST_OFF, *(cell.off for cell in cells)) if cells else LEAST_OFF,
    )


def told_twice(cells: Sequence[GridCell]) -> list[tuple[Place, int, int]]:
    """The south-west corner of each cell that has several numbers, with the lowest and the next."""
    table = sorted({(cell.row * COLUMNS + cell.column, cell.number_ft) for cell in cells})
    found: list[tuple[Place, int, int]] = []
    for (key, low), (other, high) in pairwise(table):
        row, column = divmod(key, COLUMNS)
        place = Place(row / PER_DEGREE, _signed(column) / PER_DEGREE)
        if key == other and not (found and found[-1][0] == place):
            found.append((place, low, high))
    return found


def cell_footprint(key: int, off: int) -> Footprint:
    """The rectangle of a cell, wider by what the file's corners are off the grid."""
    row, column = divmod(key, COLUMNS)
    side, wider = DEGREE // PER_DEGREE, -(-off // PER_DEGREE) + 1
    south, west = row * DEGREE // PER_DEGREE, column * DEGREE // PER_DEGREE
    return filled(
        (box_ring(FixedBox(south - wider, south + side + wider, west - wider, west + side + wider)),)
    )


def holds(polygon: Polygon, place: Place) -> bool:
    """Whether the middle that a file tells for a cell is in its box."""
    point, box = point_of(place), box_of(polygon[0])
    return box.south <= point.latitude <= box.north and any(
        box.west <= longitude <= box.east
        for longitude in (point.longitude, point.longitude + 360 * DEGREE, point.longitude - 360 * DEGREE)
    )


def _line(side: int) -> tuple[int, int]:
    """The grid line nearest to a coordinate, and how far off it is in units of 10 to the power of -15 cells."""
    scaled = side * PER_DEGREE
    line = (2 * scaled + DEGREE) // (2 * DEGREE)
    return line, abs(scaled - line * DEGREE)


def _span(low: int, high: int, off: int) -> tuple[int, int]:
    """The first and the last row (or column) that a span of coordinates touches, its edges for both."""
    first = -((-(low * PER_DEGREE - off)) // DEGREE) - 1
    return first, (high * PER_DEGREE + off) // DEGREE
