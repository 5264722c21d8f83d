"""Where the tables of a sheet stand: below titles, one under another or side by side, turned, or as pages of labels."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from operator import itemgetter

from airwrit.intake.meaning.lexicon import Lexicon
from airwrit.intake.reader.cells import Kind, Sheet
from airwrit.intake.tables.view import (
    FLOOR,
    LOW,
    SheetView,
    cut,
    filled,
    has_several,
    has_value_form,
    heading_score,
    is_blank,
    is_filled,
    is_value,
    known_cells,
    pages_of,
    text_of,
    turned,
    whole,
)

_TOP, _NEAR, _BETTER, _SURE = 40, 4, 0.12, 0.62
_TURNED_BY, _LABELS, _SHARE = 0.05, 4, 0.6
_DENSE, _WEAK, _UNDER_MERGED = 0.6, 0.5, 0.4
_FEW_CELLS = 4
_GROUP, _KNOWN_LINE = 48, 0.7


@dataclass(frozen=True, slots=True)
class TableFound:
    """One table: its cells, its headings with the groups above them, its rows from `first` to `end`, titles and notes.

    `titles` are the lines right above its headings, `notes` the lone lines among and below its rows; all with their row.
    """

    view: SheetView
    headings: tuple[str, ...]
    groups: tuple[str, ...]
    first: int
    end: int
    titles: tuple[tuple[int, str], ...] = ()
    score: float = 0.0


@dataclass(frozen=True, slots=True)
class Layout:
    """What stands in a sheet: its tables, and the lines of text that belong to none."""

    tables: tuple[TableFound, ...]
    notes: tuple[tuple[int, str], ...]


def layout_of(sheet: Sheet, lexicon: Lexicon) -> Layout:
    """The tables of a sheet, from top to bottom and from left to right."""
    view = whole(sheet)
    tables = (
        list(_pages(view, lexicon, -1.0))
        or list(_below_labels(view, lexicon))
        or list(_side_by_side(view, lexicon))
        or list(_tables(view, lexicon))
    )
    return Layout(tuple(tables), tuple(_notes(sheet, tables, lexicon)))


def _notes(sheet: Sheet, tables: Sequence[TableFound], lexicon: Lexicon) -> Iterator[tuple[int, str]]:
    """The lines of text in a sheet that are no rows of a table: lone cells anywhere, and few cells outside of tables.

    A lone label among those of a card is one whose value is blank, and says nothing.
    """
    taken: set[int] = set()
    labeled: set[int] = set()
    for one in tables:
        if one.end <= one.first:
            continue
        if one.view.places is not None:
            rows = {place[0] for row in one.view.places for place in row if place is not None}
            taken |= rows
            labeled |= _with_lone_rows(sheet, rows)
        elif one.view.turned:
            rows = set(range(one.view.top, one.view.top + len(one.headings)))
            taken |= rows
            labeled |= _with_lone_rows(sheet, rows)
        else:
            taken.update(range(one.view.top + one.first - 1, one.view.top + one.end))
    for index, row in enumerate(sheet.rows):
        many = filled(row)
        if many == 0 or many > _FEW_CELLS or (many > 1 and sheet.top + index in taken):
            continue
        for cell in filter(is_filled, row):
            text = text_of(cell)
            is_label = many == 1 and sheet.top + index in labeled and lexicon.knows(text)
            if text and not is_label:
                yield sheet.top + index, text


def _with_lone_rows(sheet: Sheet, rows: set[int]) -> set[int]:
    """The rows of a card from the first to the last, with those of one cell right above and below: labels may stand there."""
    lone = {sheet.top + index for index, row in enumerate(sheet.rows) if filled(row) == 1}
    first, last = min(rows, default=0), max(rows, default=-1)
    while first - 1 in lone:
        first -= 1
    while last + 1 in lone:
        last += 1
    return set(range(first, last + 1))


def _tables(view: SheetView, lexicon: Lexicon) -> Iterator[TableFound]:
    """The tables of a view: pages of labels, a turned one, or those one under another."""
    heads = _heading_rows(view, lexicon)
    best = max((score for _, score in heads), default=-1.0)
    pages = list(_pages(view, lexicon, best))
    if pages:
        yield from pages
        return
    around = _turned(view, lexicon, best)
    if around is not None:
        yield around
        return
    for place, (row, score) in enumerate(heads):
        end = heads[place + 1][0] if place + 1 < len(heads) else len(view.rows)
        yield _table_at(view, row, end, score, lexicon)


def _below_labels(view: SheetView, lexicon: Lexicon) -> Iterator[TableFound]:
    """A card or a table on its side with other tables below it, behind a blank row; nothing where that is not so."""
    if len(view.rows) > _MOST_LABELED:
        return
    for row in range(_LABELS, len(view.rows) - 2):
        if not is_blank(view.rows[row]) or is_blank(view.rows[row - 1]):
            continue
        top = cut(view, 0, row, 0, max(map(len, view.rows)))
        below = cut(view, row + 1, len(view.rows), 0, max(map(len, view.rows)))
        heads = _heading_rows(below, lexicon)
        if not heads or heads[0][1] < FLOOR or list(_pages(below, lexicon, -1.0)):
            continue
        best = max((score for _, score in _heading_rows(top, lexicon)), default=-1.0)
        around = _turned(top, lexicon, best)
        above = list(_pages(top, lexicon, 0.0)) or ([around] if around is not None else [])
        if above:
            yield from above
            yield from _tables(below, lexicon)
            return


def _pages(view: SheetView, lexicon: Lexicon, best: float) -> Iterator[TableFound]:
    """The one table that pages of labels make; `best` is the score of the best row of headings."""
    if best < 0:
        best = max(
            (heading_score(view, row, lexicon) for row in range(min(len(view.rows), _TOP))), default=-1.0
        )
    pages = pages_of(view, lexicon, best)
    if pages is not None:
        labels, around = pages
        yield TableFound(around, labels, ("",) * len(labels), 0, len(around.rows), score=1.0)


def _heading_rows(view: SheetView, lexicon: Lexicon) -> list[tuple[int, float]]:
    """The rows of headings from top to bottom, each with its score."""
    found: list[tuple[int, float]] = []
    first = _first_heading(view, lexicon)
    if first is None:
        return []
    found += [*_like_headings(view, first), first]
    row = first[0] + 1
    after = True
    own = [cell.text for cell in view.rows[first[0]] if is_filled(cell)]
    rows = view.rows
    while row < len(rows):
        cells = rows[row]
        if not has_several(cells):
            after = True
            row += 1
            continue
        if row > found[-1][0] + 1 and _may_head(view, row, after=after, lexicon=lexicon):
            score = heading_score(view, row, lexicon)
            texts = [cell.text for cell in cells if is_filled(cell)]
            if score >= (FLOOR if after else _SURE) and texts != own:
                found.append((row, score))
                own = texts
        after = False
        row += 1
    return found


def _like_headings(view: SheetView, first: tuple[int, float]) -> Iterator[tuple[int, float]]:
    """The rows above the first headings that hold mostly the same texts: headings of tables stacked above it."""
    own = {cell.text for cell in view.rows[first[0]] if cell.kind is Kind.TEXT}
    for row in range(first[0] - 1):
        texts = [cell.text for cell in view.rows[row] if is_filled(cell)]
        shared = sum(text in own for text in texts)
        if shared >= _LABELS and 2 * shared > len(texts) and not is_blank(view.rows[row + 1]):
            yield row, first[1]


def _may_head(view: SheetView, row: int, *, after: bool, lexicon: Lexicon) -> bool:
    """Whether a row below a table is worth a closer look: text only, and known words."""
    cells = view.rows[row]
    if not after and _has_digit(next(filter(is_filled, cells)).text):
        return False
    if not _WORDS.issuperset(map(_KIND, cells)):
        return False
    said = [cell for cell in cells if is_filled(cell)]
    if not after and (len(said) < 3 or not lexicon.knows(text_of(said[0]))):
        return False
    texts = list(map(text_of, said[:3]))
    return known_cells(texts, lexicon) * 2 >= len(texts)


_MOST_LABELED = 80
"""Rows of a sheet in which a card with tables below it is looked for."""
_DIGITS = frozenset("0123456789")
_WORDS = frozenset({Kind.TEXT, Kind.EMPTY})
_KIND = itemgetter(0)


def _has_digit(text: str) -> bool:
    return not _DIGITS.isdisjoint(text)


def _first_heading(view: SheetView, lexicon: Lexicon) -> tuple[int, float] | None:
    """The first row of headings: the first good one that none close below it clearly beats."""
    scores = [
        (row, heading_score(view, row, lexicon))
        for row in range(min(len(view.rows), _TOP))
        if not is_blank(view.rows[row])
    ]
    good = [(row, score) for row, score in scores if score >= FLOOR]
    if not good:
        best = max(scores, key=lambda one: one[1], default=(0, -1.0))
        return best if best[1] > LOW else None
    chosen = good[0]
    for row, score in good[1:]:
        apart = any(filled(view.rows[between]) <= 1 for between in range(chosen[0] + 1, row))
        if row - good[0][0] <= _NEAR and score > chosen[1] + _BETTER and (not apart or chosen[1] < _WEAK):
            chosen = (row, score)
    return chosen


def _table_at(view: SheetView, row: int, end: int, score: float, lexicon: Lexicon) -> TableFound:
    """The table below a row of headings, which may be the first of two lines or have groups above it."""
    upper, lower = _lines(view, row, end, lexicon)
    width = max(len(view.rows[lower]), len(view.rows[upper]) if upper is not None else 0)
    own = [text_of(view.cell(lower, column)) or _number_text(view, lower, column) for column in range(width)]
    groups = [""] * width
    if upper is not None:
        own, groups = _joined(view, upper, own, width)
    titles = tuple(_titles(view, lower if upper is None else upper))
    last = _last(view, lower + 1, end)
    return TableFound(view, tuple(own), tuple(groups), lower + 1, last, titles, score)


def _number_text(view: SheetView, row: int, column: int) -> str:
    cell = view.cell(row, column)
    return cell.text if is_filled(cell) and cell.kind is Kind.NUMBER else ""


def _lines(view: SheetView, row: int, end: int, lexicon: Lexicon) -> tuple[int | None, int]:
    """The rows of the upper line, None where there is none, and of the lower line of headings."""
    below = row + 1
    if below < min(end, len(view.rows)) and _is_second_line(view, row, below, lexicon):
        return row, below
    if row > 0 and _is_group_line(view, row - 1, row, lexicon):
        return row - 1, row
    return None, row


def _is_second_line(view: SheetView, row: int, below: int, lexicon: Lexicon) -> bool:
    """Whether the row below is a line of headings as well: nothing but known words, unlike what stands below it."""
    cells = [cell for cell in view.rows[below] if is_filled(cell)]
    if len(cells) < 2 or any(cell.kind is not Kind.TEXT or has_value_form(cell) for cell in cells):
        return False
    texts = [text_of(cell) for cell in cells]
    known = sum(1 for text in texts if lexicon.heard(text).known_share == 1)
    if known < (_UNDER_MERGED if _merged_ends(view, row) else _KNOWN_LINE) * len(texts):
        return False
    return heading_score(view, below, lexicon) >= FLOOR and texts != [
        text_of(cell) for cell in view.rows[row] if is_filled(cell)
    ]


def _is_group_line(view: SheetView, above: int, row: int, lexicon: Lexicon) -> bool:
    """Whether the row above names groups of columns: few short texts, not one title on the left."""
    upper = view.rows[above]
    cells = [(column, cell) for column, cell in enumerate(upper) if is_filled(cell)]
    if not cells or any(cell.kind is not Kind.TEXT or len(cell.text) > _GROUP for _, cell in cells):
        return False
    if (len(cells) == 1 and cells[0][0] == 0) or any(is_value(cell, lexicon) for _, cell in cells):
        return False
    count = filled(view.rows[row])
    if len(cells) == 1 and count < 4:
        return False
    return len(cells) < count and known_cells([cell.text for _, cell in cells], lexicon) * 2 >= len(cells)


def _joined(view: SheetView, upper: int, own: list[str], width: int) -> tuple[list[str], list[str]]:
    """Headings of two lines: a word broken over two lines is one, a sparse line above names groups to its right."""
    above = [text_of(view.cell(upper, column)) for column in range(width)]
    both = sum(1 for one, other in zip(above, own, strict=True) if one and other)
    below = sum(map(bool, own))
    if both >= _DENSE * max(1, below):
        return [f"{one} {other}".strip() for one, other in zip(above, own, strict=True)], [""] * width
    ends = _merged_ends(view, upper)
    groups: list[str] = []
    current, until = "", 0
    for column in range(width):
        if above[column]:
            current, until = above[column], ends.get(column, width)
        groups.append(current if column < until else "")
    return [one or group for one, group in zip(own, groups, strict=True)], groups


def _merged_ends(view: SheetView, row: int) -> dict[int, int]:
    """Where the merged cells of a row end, by the column they begin at."""
    at = view.top + row
    return {
        left - view.left: right - view.left + 1
        for top, left, _, right in view.sheet.merged
        if top == at and left >= view.left
    }


def _titles(view: SheetView, row: int) -> Iterator[tuple[int, str]]:
    """The lines of one text right above a row, at most one blank row between."""
    blanks = 0
    for index in range(row - 1, -1, -1):
        cells = [cell for cell in view.rows[index] if is_filled(cell)]
        if not cells:
            blanks += 1
            if blanks > 1:
                return
            continue
        if len(cells) > 1 or cells[0].kind is not Kind.TEXT:
            return
        yield view.top + index, text_of(cells[0])


def _last(view: SheetView, first: int, end: int) -> int:
    """The end of a table without the blank and lone lines at its foot that lead to the next one."""
    while end > first and filled(view.rows[end - 1]) == 0:
        end -= 1
    return end


def _begins(view: SheetView, row: int) -> bool:
    """Whether a row may be the first of a turned table: a label or nothing on the left, and values beside it."""
    cells = view.rows[row]
    label = text_of(cells[0]) if cells else ""
    return filled(cells) > 1 + bool(not label) and "=" not in label


def _turned(view: SheetView, lexicon: Lexicon, best: float) -> TableFound | None:
    """The table whose headings stand in its first column, one aircraft or person a column; None where rows fit better."""
    first = next((row for row in range(len(view.rows)) if _begins(view, row)), None)
    if first is None or len(view.rows) - first > 3 * _TOP:
        return None
    block = cut(view, first, len(view.rows), 0, max(map(len, view.rows)))
    labels = [text_of(block.cell(row, 0)) for row in range(len(block.rows))]
    said = [label for label in labels if label]
    known = sum(1 for label in said if lexicon.heard(label).known_share > _SHARE)
    if len(said) < _LABELS or known < _SHARE * len(said):
        return None
    around = turned(block)
    if len(around.rows) < 3:
        return None
    score = heading_score(around, 0, lexicon)
    if score < FLOOR or score <= best + _TURNED_BY:
        return None
    last = len(around.rows)
    while last > 1 and filled(around.rows[last - 1]) == 0:
        last -= 1
    return TableFound(
        around, tuple(labels), ("",) * len(labels), 1, last, tuple(_titles(view, first)), score=score
    )


def _side_by_side(view: SheetView, lexicon: Lexicon) -> Iterator[TableFound]:
    """The tables parted by empty columns, where each part has headings and a table of its own; else none."""
    bands = _bands(view)
    if len(bands) < 2:
        return
    parts = [cut(view, 0, len(view.rows), left, right) for left, right in bands]
    tables = [list(_tables(part, lexicon)) for part in parts]
    if not all(tables) or not all(_stands_alone(one, lexicon) for found in tables for one in found):
        return
    for found in tables:
        yield from found


def _stands_alone(found: TableFound, lexicon: Lexicon) -> bool:
    """Whether a part of a sheet is a table by itself: several headings, the first column naming its rows."""
    said = [heading for heading in found.headings if heading]
    if len(said) < 2 or found.view.turned:
        return False
    concepts = lexicon.heard(said[0]).concepts
    return bool(
        concepts & {"AC", "TAG", "NICK", "NAME", "PERSON", "LAST", "FIRST", "GEAR", "BATT", "REGNO", "SERIAL"}
    )


def _bands(view: SheetView) -> Sequence[tuple[int, int]]:
    """The runs of columns with anything in rows of several cells, parted by empty ones."""
    width = max(map(len, view.rows), default=0)
    used, unused = [False] * width, set(range(width))
    for row in view.rows:
        if not unused:
            break
        if has_several(row):
            for column in [column for column in unused if column < len(row) and is_filled(row[column])]:
                used[column] = True
                unused.remove(column)
    bands: list[tuple[int, int]] = []
    start = None
    for column in range(width + 1):
        if column < width and used[column]:
            start = column if start is None else start
        elif start is not None:
            bands.append((start, column))
            start = None
    return bands
