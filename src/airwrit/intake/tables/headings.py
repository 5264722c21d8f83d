"""How much a row looks like headings: words that are known, above columns whose cells look alike and unlike it."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.intake.meaning.lexicon import Lexicon
from airwrit.intake.meaning.shapes import shapes_of
from airwrit.intake.reader.cells import EMPTY, Cell, Kind
from airwrit.intake.tables.view import SheetView, is_filled, text_of

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
