"""The facility map as pages of a degree, for very many points at once: by arithmetic, edges for both of their cells."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.grid import COLUMNS, PER_DEGREE, Grid
from airwrit.geo.fixed import DEGREE
from airwrit.geo.footprint import Floats

NO_CELL = -1
_ROWS = 180 * PER_DEGREE
_SIDE = PER_DEGREE * PER_DEGREE
_CHUNK = 1 << 16
"""So many points at a time, so that what is worked out between stays in the processor's cache."""

Numbers: TypeAlias = NDArray[np.int16]
_Rows: TypeAlias = NDArray[np.int32]


@dataclass(frozen=True, slots=True)
class GridPages:
    """`starts` (180 times 360) tells where the page of a degree begins in `cells`; the first page is empty.

    `rows` and `columns` are what each adds to a place in the one and in the other, so that nothing is divided.
    """

    starts: _Rows
    cells: Numbers
    rows: tuple[_Rows, _Rows]
    columns: tuple[_Rows, _Rows]
    off: float

    def lowest_ft(self, latitudes_deg: Floats, longitudes_deg: Floats) -> Numbers:
        """The lowest number at each of many points (n,) in feet; NO_CELL where there is none.

        Latitudes from -90 to 90, longitudes from -180 to 180 degrees; ValueError for others.
        """
        found = np.empty(len(latitudes_deg), dtype=np.int16)
        for at in range(0, len(found), _CHUNK):
            some = slice(at, at + _CHUNK)
            found[some] = self._lowest_ft(latitudes_deg[some], longitudes_deg[some])
        return found

    def _lowest_ft(self, latitudes_deg: Floats, longitudes_deg: Floats) -> Numbers:
        up, right = (latitudes_deg + 90) * PER_DEGREE, (longitudes_deg + 180) * PER_DEGREE
        if not (up.min() >= 0 and up.max() <= _ROWS and right.min() >= 0 and right.max() <= COLUMNS):
            raise ValueError("a place that does not exist")
        row, column = up.astype(np.int32), right.astype(np.int32)
        found = self._at(row, column)
        up -= row
        right -= column
        low, high = self.off, 1 - self.off
        edge = np.flatnonzero((up < low) | (up > high) | (right < low) | (right > high))
        if len(edge):
            found[edge] = self._around(row[edge], column[edge], up[edge], right[edge])
        return found

    def _at(self, row: _Rows, column: _Rows) -> Numbers:
        page = self.starts[self.rows[0][row] + self.columns[0][column]]
        page += self.rows[1][row]
        page += self.columns[1][column]
        found: Numbers = self.cells[page]
        return found

    def _around(self, row: _Rows, column: _Rows, up: Floats, right: Floats) -> Numbers:
        """The lowest of the two or four cells that meet at points on a line."""
        lowest = np.full(len(row), np.iinfo(np.int16).max, dtype=np.int16)
        rows = (row - (up < self.off), row + (up > 1 - self.off))
        columns = (column - (right < self.off), column + (right > 1 - self.off))
        for one in rows:
            for other in columns:
                found = self._at(np.clip(one, 0, _ROWS).astype(np.int32), (other % COLUMNS).astype(np.int32))
                lowest = np.where(found >= 0, np.minimum(lowest, found), lowest)
        return np.where(lowest == np.iinfo(np.int16).max, NO_CELL, lowest).astype(np.int16)


def pages_of(grid: Grid) -> GridPages:
    """A grid as pages: 29 kB for each degree that holds a cell."""
    rows, columns = np.divmod(grid.keys, COLUMNS)
    rows, columns = rows + _ROWS // 2, (columns + COLUMNS // 2) % COLUMNS
    degrees = rows // PER_DEGREE * 360 + columns // PER_DEGREE
    held, page = np.unique(degrees, return_inverse=True)
    starts = np.zeros(181 * 361, dtype=np.int32)
    starts[held] = (np.arange(len(held)) + 1) * _SIDE
    cells = np.full((len(held) + 1) * _SIDE, NO_CELL, dtype=np.int16)
    cells[(page + 1) * _SIDE + rows % PER_DEGREE * PER_DEGREE + columns % PER_DEGREE] = grid.numbers_ft
    every_row, every_column = (
        np.arange(_ROWS + 1, dtype=np.int32),
        np.arange(COLUMNS + 1, dtype=np.int32) % COLUMNS,
    )
    return GridPages(
        starts,
        cells,
        (every_row // PER_DEGREE * 360, every_row % PER_DEGREE * PER_DEGREE),
        (every_column // PER_DEGREE, every_column % PER_DEGREE),
        grid.off / DEGREE,
    )
