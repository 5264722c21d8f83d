"""A part of a sheet looked at as rows under headings, also where it stands turned or as pages of labels."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from airwrit.intake.cell.value import clean
from airwrit.intake.reader.cells import EMPTY, Cell, Kind, Sheet, letters_of

Place = tuple[int, int]
"""0-based row and column in the whole sheet, as its file counts them."""
Rows = tuple[tuple[Cell, ...], ...]
_LONGEST = 200
"""Letters of a heading that are read."""


@dataclass(frozen=True, slots=True)
class SheetView:
    """Rows of cells out of a sheet: `top` and `left` are where its first cell stands; turned, rows are the sheet's columns.

    `places` tells where each cell stands where that is neither: for a page of labels, whose values may stand anywhere.
    `from_rows` and `from_columns` tell which of the sheet's rows and columns those are made of, where cells were taken apart.
    """

    sheet: Sheet
    rows: Rows
    top: int
    left: int
    turned: bool = False
    places: tuple[tuple[Place | None, ...], ...] | None = None
    from_rows: tuple[int, ...] | None = None
    from_columns: tuple[int, ...] | None = None

    def remade(
        self, cells: Rows, *, rows: Sequence[int] | None = None, columns: Sequence[int] | None = None
    ) -> SheetView:
        """Other cells in its place, each row or column made of the one here that is named."""
        return replace(
            self,
            rows=cells,
            from_rows=_through(self.from_rows, rows),
            from_columns=_through(self.from_columns, columns),
        )

    def place(self, row: int, column: int) -> Place:
        """Where a cell stands in the whole sheet."""
        row = row if self.from_rows is None else self.from_rows[row]
        if self.from_columns is not None and column < len(self.from_columns):
            column = self.from_columns[column]
        if self.places is not None:
            return next(
                (found for found in self.places[row][column : column + 1] if found is not None),
                (self.top, self.left),
            )
        if self.turned:
            return self.top + column, self.left + row
        return self.top + row, self.left + column

    def cell_text(self, row: int, column: int) -> str:
        """How a message names a cell: C7."""
        at, across = self.place(row, column)
        return f"{letters_of(across)}{at + 1}"

    def cell(self, row: int, column: int) -> Cell:
        """A cell, blank where its row is shorter."""
        cells = self.rows[row]
        return cells[column] if column < len(cells) else EMPTY


def _through(older: tuple[int, ...] | None, newer: Sequence[int] | None) -> tuple[int, ...] | None:
    """Where rows or columns come from that were made of some that had come from elsewhere."""
    if newer is None or older is None:
        return older if newer is None else tuple(newer)
    return tuple(older[at] if at < len(older) else at for at in newer)


def whole(sheet: Sheet) -> SheetView:
    """All of a sheet."""
    return SheetView(sheet, sheet.rows, sheet.top, sheet.left)


def cut(view: SheetView, first: int, end: int, left: int, right: int) -> SheetView:
    """Some rows and columns of a view that is not turned."""
    width = max(map(len, view.rows), default=0)
    rows = view.rows[first:end]
    if left > 0 or right < width:
        rows = tuple(row[left:right] for row in rows)
    return SheetView(view.sheet, rows, view.top + first, view.left + left)


def turned(view: SheetView) -> SheetView:
    """A view with its columns as rows."""
    width = max(map(len, view.rows), default=0)
    rows = tuple(
        tuple(row[column] if column < len(row) else EMPTY for row in view.rows) for column in range(width)
    )
    return SheetView(view.sheet, rows, view.top, view.left, turned=True)


def is_filled(cell: Cell) -> bool:
    """Whether a cell holds anything."""
    return cell.kind is not Kind.EMPTY and not cell.text.isspace()


def filled(row: Sequence[Cell]) -> int:
    """How many cells of a row hold anything."""
    return len(row) - row.count(EMPTY)


def has_several(row: Sequence[Cell]) -> bool:
    """Whether more than one cell of a row holds anything."""
    if len(row) > 1 and row[0] is not EMPTY and row[1] is not EMPTY:
        return True
    return filled(row) > 1


def text_of(cell: Cell) -> str:
    """The text of a cell as a heading is read; "" for what is no text."""
    return clean(cell.text[:_LONGEST]).text if cell.kind is Kind.TEXT else ""
