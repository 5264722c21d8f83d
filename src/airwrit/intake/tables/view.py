"""A part of a sheet as rows under headings, also turned or as pages of labels; how much a row looks like headings."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace

from airwrit.intake.cell.value import clean
from airwrit.intake.meaning.lexicon import Lexicon
from airwrit.intake.meaning.shapes import shapes_of
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


FLOOR, LOW = 0.42, 0.30
"""The score from which a row is taken for headings, and that from which the best is where none reaches it."""
_BELOW, _LONG = 8, 90
_OWN = frozenset({"reg", "cta", "day", "weight", "phone", "email", "month"})
_DAYS = frozenset({"day", "month"})
_PLAIN = frozenset({"name", "person", "org"})


def known_cells(texts: Sequence[str], lexicon: Lexicon) -> int:
    """How many of some texts are headings by the words known."""
    return sum(1 for text in texts if text and lexicon.knows(text))


def heading_score(view: SheetView, row: int, lexicon: Lexicon) -> float:
    """How much a row looks like headings; below zero for rows that cannot be any."""
    cells = [(column, cell) for column, cell in enumerate(view.rows[row]) if is_filled(cell)]
    if len(cells) < 2 or all(cell.kind is not Kind.TEXT for _, cell in cells):
        return -1.0
    below = [_below(view, row, column) for column, _ in cells]
    texts = [text_of(cell) for _, cell in cells]
    count = len(cells)
    score = 0.55 * known_cells(texts, lexicon) / count
    score += 0.35 * sum(map(_is_unlike, (cell for _, cell in cells), below)) / count
    score += 0.1 * min(1.0, count / 6)
    score -= 0.8 * sum(1 for _, cell in cells if is_value(cell, lexicon)) / count
    score -= 0.6 * sum(1 for _, cell in cells if cell.kind in _TYPED) / count
    recurring = sum(
        1
        for (_, cell), others in zip(cells, below, strict=True)
        if others and cell in others and len(others) > 1
    )
    score -= 1.2 * recurring / count
    score -= 0.8 * (count - len({cell.text.casefold() for _, cell in cells})) / count
    return score - 0.5 * sum(1 for text in texts if len(text) > _LONG and not text.endswith("?")) / count


_TYPED = (Kind.NUMBER, Kind.DAY, Kind.INSTANT, Kind.TIME, Kind.BOOL)


def is_value(cell: Cell, lexicon: Lexicon) -> bool:
    """Whether a cell has the form of a value; a month or day may be a heading by its words, a weight or number is none."""
    shapes = shapes_of(cell) & _OWN
    return bool(shapes - _DAYS) or (bool(shapes) and lexicon.heard(text_of(cell)).known_share < 1)


def has_value_form(cell: Cell) -> bool:
    """Whether a cell has a form that only values have."""
    return bool(shapes_of(cell) & (_OWN | {"number", "cert"}))


def _below(view: SheetView, row: int, column: int) -> list[Cell]:
    """The next filled cells below a heading, up to a blank row after some of them."""
    found: list[Cell] = []
    for index in range(row + 1, min(len(view.rows), row + 3 * _BELOW)):
        cell = view.cell(index, column)
        if is_filled(cell) and view.rows[index] != view.rows[row]:
            found.append(cell)
            if len(found) == _BELOW:
                break
    return found


def _is_unlike(cell: Cell, others: list[Cell]) -> bool:
    """Whether the cells below look alike, and not like the cell above them."""
    if not others:
        return False
    own = shapes_of(cell)
    shapes = [shapes_of(other) for other in others]
    said = [one for one in shapes if one]
    if not said:
        return False
    for shape in frozenset().union(*said) - own - _PLAIN:
        if 2 * sum(1 for one in said if shape in one) > len(said):
            return True
    return (
        cell not in others and cell.kind is Kind.TEXT and all(other.kind is not Kind.TEXT for other in others)
    )


def is_blank(row: Sequence[Cell]) -> bool:
    """Whether a row holds nothing."""
    if row and is_filled(row[0]):
        return False
    return row.count(EMPTY) == len(row) or not any(map(is_filled, row))


_THIRD = 3
_FEWEST, _SHARE, _MOST_ROWS, _WIDEST = 4, 0.6, 400, 4
_CLEAR, _FIRST = 0.6, 0.75


def pages_of(view: SheetView, lexicon: Lexicon, best: float) -> tuple[tuple[str, ...], SheetView] | None:
    """The labels and, one row a page, their values; None where the sheet is no page of labels."""
    widest = max(map(filled, view.rows), default=0)
    if len(view.rows) > _MOST_ROWS or widest > _WIDEST or (best >= _CLEAR and widest > 2):
        return None
    if not all(_is_of_pairs(row, lexicon) for row in view.rows):
        return None
    pairs = list(_pairs(view, lexicon))
    cells = sum(map(filled, view.rows))
    known = sum(1 for label, _, _ in pairs if lexicon.heard(label).known_share >= _SHARE)
    if known < _FEWEST or known < _SHARE * len(pairs) or 2 * len(pairs) < _SHARE * cells:
        return None
    if not _has_its_labels_once_a_page(pairs) or not _begins_with_labels(view, lexicon):
        return None
    return _as_rows(view, pairs)


_Pair = tuple[str, Cell, Place]


def _pairs(view: SheetView, lexicon: Lexicon) -> Iterator[_Pair]:
    """Each label with the cell to its right."""
    for index, row in enumerate(view.rows):
        column = 0
        while column < len(row):
            label = text_of(row[column])
            if not label or not _is_label(row[column], label, lexicon):
                column += 1
                continue
            at = _value_at(view, index, column)
            beside = view.cell(index, at)
            if (
                is_filled(beside)
                and (at > column + 1 or any(map(is_filled, row[at + 1 :])))
                and (not label.endswith(":") or text_of(beside).endswith(":"))
                and _is_label(beside, text_of(beside), lexicon)
                and _is_pure(text_of(beside), lexicon)
            ):
                column += 1
                continue
            yield label, beside, view.place(index, at)
            column = at + 1


def _is_of_pairs(row: Sequence[Cell], lexicon: Lexicon) -> bool:
    """Whether a row can be labels with one value each: its third cell, where it has one, is a label again."""
    cells = [cell for cell in row if is_filled(cell)]
    if len(cells) < _THIRD:
        return True
    text = text_of(cells[2])
    return _is_label(cells[2], text, lexicon) and _is_pure(text, lexicon)


def _value_at(view: SheetView, index: int, column: int) -> int:
    """Where the value beside a label stands: next to it, or behind one or two blank cells."""
    return next(
        (at for at in (column + 1, column + 2, column + 3) if is_filled(view.cell(index, at))), column + 1
    )


def _is_label(cell: Cell, text: str, lexicon: Lexicon) -> bool:
    if cell.kind is not Kind.TEXT or not text or text[0].isdigit() or text[0] in "$#~<":
        return False
    return text.endswith((":", "?")) or lexicon.heard(text).known_share >= _SHARE


def _is_pure(text: str, lexicon: Lexicon) -> bool:
    """Whether a text is nothing but a label, so that the one left of the field has no value."""
    return text.endswith(":") or (
        lexicon.heard(text).known_share == 1
        and not shapes_of(Cell(Kind.TEXT, text)) & {"yesno", "status", "way", "use", "markplace", "regkind"}
    )


def _begins_with_labels(view: SheetView, lexicon: Lexicon) -> bool:
    """Whether nearly every row of several cells begins with a label."""
    firsts = [next(filter(is_filled, row)) for row in view.rows if filled(row) > 1]
    return sum(1 for cell in firsts if _is_label(cell, text_of(cell), lexicon)) >= _FIRST * len(firsts)


def _has_its_labels_once_a_page(pairs: list[_Pair]) -> bool:
    """Whether labels come once, or each about as often: as often as there are pages."""
    counts: dict[str, int] = {}
    for label, _, _ in pairs:
        counts[label] = counts.get(label, 0) + 1
    most = max(counts.values())
    return sum(1 for count in counts.values() if count == most) * 2 >= len(counts)


def _as_rows(view: SheetView, pairs: list[_Pair]) -> tuple[tuple[str, ...], SheetView]:
    labels = list(dict.fromkeys(label for label, _, _ in pairs))
    pages: list[dict[str, tuple[Cell, Place]]] = [{}]
    for label, cell, place in pairs:
        if label in pages[-1]:
            pages.append({})
        pages[-1][label] = (cell, place)
    rows = tuple(tuple(page[label][0] if label in page else EMPTY for label in labels) for page in pages)
    places = tuple(tuple(page[label][1] if label in page else None for label in labels) for page in pages)
    return tuple(label.rstrip(": ") for label in labels), SheetView(
        view.sheet, rows, view.top, view.left, places=places
    )
