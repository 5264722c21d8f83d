"""Pages of labels with their values beside them, one for each aircraft or person."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airwrit.intake.meaning.lexicon import Lexicon
from airwrit.intake.meaning.shapes import shapes_of
from airwrit.intake.reader.cells import EMPTY, Cell, Kind
from airwrit.intake.tables.view import Place, SheetView, filled, is_filled, text_of

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
