"""What a workbook's formatting tells of its sheets, as the reading process gathers it before any value is read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Any

from airwrit.intake.reader.limits import Limits, too_many_cells
from airwrit.intake.reader.looks import PLAIN, CellLook, Run, Unseen

LAST_ROW, LAST_COLUMN = 2**20 - 1, 2**14 - 1
_AROUND = 1


@dataclass(slots=True)
class Extent:
    """The first and last row and column that hold a value; `bottom` is -1 while there is none."""

    top: int = LAST_ROW
    left: int = LAST_COLUMN
    bottom: int = -1
    right: int = -1

    def grow(self, top: int, left: int, bottom: int, right: int) -> None:
        """Take in an area; most are in already."""
        if self.top <= top and self.left <= left and bottom <= self.bottom and right <= self.right:
            return
        self.top, self.left = min(self.top, top), min(self.left, left)
        self.bottom, self.right = max(self.bottom, bottom), max(self.right, right)

    def check(self, limits: Limits) -> None:
        """Fault when the table that spans the values has more cells than are read."""
        if self.bottom >= 0 and (self.bottom - self.top + 1) * (self.right - self.left + 1) > limits.cells:
            raise too_many_cells(limits)


@dataclass(slots=True)
class Canvas:
    """The looks of a sheet's cells that are not plain, as runs of neighbors in each row; rows alike may share one list."""

    rows: dict[int, list[Run]] = field(default_factory=dict)

    def paint(self, row: int, first: int, last: int, look: CellLook) -> None:
        """Give the cells of a row from `first` to `last` a look; a place painted twice keeps the first."""
        runs = self.rows.setdefault(row, [])
        if runs and runs[-1][1] == first - 1 and runs[-1][2] == look:
            runs[-1] = (runs[-1][0], last, look)
        else:
            runs.append((first, last, look))

    def at(self, row: int, column: int) -> CellLook:
        """The look of a cell."""
        return next((run[2] for run in self.rows.get(row, ()) if run[0] <= column <= run[1]), PLAIN)

    def put(self, row: int, column: int, look: CellLook) -> None:
        """Give one cell this look, whatever it had."""
        runs = []
        for first, last, old in self.rows.get(row, ()):
            if first <= column <= last:
                runs += [(first, column - 1, old)] if first < column else []
                runs += [(column + 1, last, old)] if column < last else []
            else:
                runs.append((first, last, old))
        self.rows[row] = [*runs, (column, column, look)] if look != PLAIN else runs

    def add_note(self, row: int, column: int, note: str) -> None:
        """Add a line to what is noted on a cell."""
        look = self.at(row, column)
        if note and 0 <= row <= LAST_ROW and 0 <= column <= LAST_COLUMN:
            self.put(row, column, look._replace(note=f"{look.note}\n{note}" if look.note else note))

    def add_box(self, row: int, column: int, *, checked: bool) -> None:
        """Draw a check box over a cell."""
        if 0 <= row <= LAST_ROW and 0 <= column <= LAST_COLUMN:
            self.put(row, column, self.at(row, column)._replace(box=checked))

    def told(self, extent: Extent) -> dict[str, Any]:
        """Each look once, each way to fill a row once, and the rows with theirs: those on and right beside the values.

        What is noted or drawn on a cell is told wherever it is; a color far from the table is not.
        """
        looks: dict[CellLook, int] = {}
        ways: dict[tuple[tuple[int, int, int], ...], int] = {}
        rows = []
        for row, runs in self.rows.items():
            near = max(extent.top - _AROUND, 0) <= row <= extent.bottom + _AROUND
            way = tuple(
                (first, last, looks.setdefault(look, len(looks)))
                for first, last, look in _tidy(runs, near, extent)
            )
            if way:
                rows.append((row, ways.setdefault(way, len(ways))))
        return {"looks": list(looks), "ways": list(ways), "rows": rows}


def _tidy(runs: list[Run], near: bool, extent: Extent) -> Iterable[Run]:
    """The runs from left to right, cut to what is near the values, none over another."""
    done = -1
    for first, last, look in sorted(runs, key=lambda run: run[0]):
        start, end = max(first, done + 1), last
        if not look.note and look.box is None:
            start, end = max(start, extent.left - _AROUND), min(end, extent.right + _AROUND)
            if not near:
                continue
        if start <= end:
            done = end
            yield start, end, look


@dataclass(slots=True)
class Marks:
    """Of one sheet, all 0-based: what its markup tells and its values do not.

    Cells that hold formulas; cells that hold an error with its text; first row and column and last of merged cells, where
    the reader of values does not tell them; first and last of hidden rows and columns; the looks of its cells; where its
    values are.
    """

    formulas: list[tuple[int, int]] = field(default_factory=list)
    errors: list[tuple[int, int, str]] = field(default_factory=list)
    merged: list[tuple[int, int, int, int]] = field(default_factory=list)
    hidden_rows: list[tuple[int, int]] = field(default_factory=list)
    hidden_columns: list[tuple[int, int]] = field(default_factory=list)
    canvas: Canvas = field(default_factory=Canvas)
    extent: Extent = field(default_factory=Extent)
    unseen: set[Unseen] = field(default_factory=set)

    def told(self) -> dict[str, Any]:
        """What is handed over of the looks."""
        extent = self.extent
        return {
            "looks": self.canvas.told(extent),
            "hidden_rows": _within(self.hidden_rows, extent.top, extent.bottom),
            "hidden_columns": _within(self.hidden_columns, extent.left, extent.right),
            "unseen": sorted(self.unseen),
        }


def _within(spans: list[tuple[int, int]], first: int, last: int) -> list[int]:
    """The numbers in some spans, as far as they are from `first` to `last`."""
    return sorted({at for a, b in spans for at in range(max(a, first), min(b, last) + 1)})


@dataclass(slots=True)
class Markup:
    """What kind of workbook it is, whether its days count from 1904, and the marks of its sheets by name."""

    kind: str
    from_1904: bool = False
    sheets: dict[str, Marks] = field(default_factory=dict)
