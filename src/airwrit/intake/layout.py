"""Where a sheet's tables are: the rows of headings (one or two lines, below any titles), and the kind of each table."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from airwrit.intake.cells import Cell, Kind, Sheet
from airwrit.intake.columns import (
    ID,
    IGNORE,
    TABLES,
    UNKNOWN,
    Match,
    exact_match_of,
    heading_of,
    known_headings,
    match_of,
)
from airwrit.intake.got import clean
from airwrit.intake.mapping import SheetPlan
from airwrit.intake.words import tables

_TOP = 30
_BETTER_WITHIN = 4
"""Rows at the top in which headings are looked for; how far below some headings better ones may still come."""
_HINT, _ID_WORTH, _NEAR_WORTH, _ENOUGH = 2.0, 1.5, 0.8, 2.0
_AGAIN, _HEADING, _WIDE = 3, 120, 300
"""Known headings a second table needs; letters of a heading that are read; columns up to which near headings are sought."""
NO_TABLE = "none"
TEMPLATE_NOTE = "airwrit template: how to fill in the other sheets; the reader leaves this one out"
"""The first line of the guide in a template, by which the reader knows it."""
_NAMES_AIRCRAFT = ("airframe_serial", "remote_id_serial", "registration")


@dataclass(frozen=True, slots=True)
class Block:
    """One table in a sheet: its kind, its headings with what they mean, and its rows (first and end, 0-based in the sheet)."""

    table: str
    headings: tuple[str, ...]
    matches: tuple[Match, ...]
    first: int
    end: int
    plan: SheetPlan | None = None


@dataclass(frozen=True, slots=True)
class _Header:
    table: str
    headings: tuple[str, ...]
    matches: tuple[Match, ...]
    row: int
    lines: int
    score: float
    exact: int
    plan: SheetPlan | None = None


def hint_of(name: str) -> str:
    """The kind of table a sheet's name tells, `none` for one that is not read, "" when it tells nothing."""
    words = f" {heading_of(name.replace('-', ' ')).text} "
    best, length = "", 0
    for table, names in tables()["sheets"].items():
        for hint in names:
            if f" {hint} " in words and len(hint) > length:
                best, length = table, len(hint)
    return best


def blocks_of(sheet: Sheet, plans: Sequence[SheetPlan] = ()) -> tuple[Block, ...]:
    """The tables of a sheet from top to bottom; none when no row of headings is found."""
    hint = hint_of(sheet.name)
    spread = _spread(sheet)
    first = _best(sheet, range(min(_TOP, len(sheet.rows))), hint, plans, spread)
    if first is None:
        return ()
    headers = [first]
    rows = sheet.rows
    for row in range(first.row + first.lines + 1, len(rows)):
        if _after_blank(rows, row) and sum(map(_known, _texts(rows[row]))) >= _AGAIN:
            found = _best(sheet, range(row, row + 1), hint, plans, spread)
            if found is not None and found.exact >= _AGAIN:
                headers.append(found)
    ends = [header.row for header in headers[1:]] + [len(rows)]
    return tuple(
        Block(header.table, header.headings, header.matches, header.row + header.lines, end, header.plan)
        for header, end in zip(headers, ends, strict=True)
    )


def _after_blank(rows: Sequence[Sequence[Cell]], row: int) -> bool:
    return not any(map(_filled, rows[row - 1])) and any(map(_filled, rows[row]))


def _texts(row: Sequence[Cell]) -> list[str]:
    return [cell.text for cell in row if cell.kind is Kind.TEXT and len(cell.text) <= _HEADING]


def _filled(cell: Cell) -> bool:
    return cell.kind is not Kind.EMPTY and not cell.text.isspace()


def _best(
    sheet: Sheet, candidates: range, hint: str, plans: Sequence[SheetPlan], spread: dict[tuple[int, int], str]
) -> _Header | None:
    best: _Header | None = None
    for row in candidates:
        if best is not None and row > best.row + _BETTER_WITHIN:
            break
        for lines in (1, 2):
            headings = _headings(sheet, row, lines, spread)
            if headings is None:
                continue
            for header in _headers(headings, row, lines, hint, plans):
                if best is None or header.score > best.score:
                    best = header
    return best


def _headers(
    headings: tuple[str, ...], row: int, lines: int, hint: str, plans: Sequence[SheetPlan]
) -> list[_Header]:
    """The headings taken as those of each kind of table that they can be."""
    if plans:
        found = (_planned(headings, row, lines, plan) for plan in plans)
    else:
        found = (_judged(headings, row, lines, table, hint) for table in TABLES)
    return [header for header in found if header is not None]


def _judged(headings: tuple[str, ...], row: int, lines: int, table: str, hint: str) -> _Header | None:
    if table == "remote_id" and hint != "remote_id":
        return None
    known = known_headings(table)
    if not any(heading_of(heading).text in known for heading in headings if heading):
        return None
    match = match_of if len(headings) <= _WIDE else exact_match_of
    matches = tuple(match(heading, table) if heading else UNKNOWN for heading in headings)
    meanings = {match.meaning for match in matches} - {"", ID}
    if not _can_be(table, meanings, hint, has_id=any(match.meaning == ID for match in matches)):
        return None
    exact = {match.meaning for match in matches if match.how == "exact"}
    near = {match.meaning for match in matches if match.how == "near"} - exact
    score = len(exact - {ID}) + _NEAR_WORTH * len(near - {ID})
    score += _ID_WORTH if ID in exact | near else 0
    if score < _ENOUGH:
        return None
    score += _HINT if hint == table else 0
    return _Header(table, headings, matches, row, lines, score, len(exact))


def _can_be(table: str, meanings: set[str], hint: str, *, has_id: bool) -> bool:
    """Whether the meanings hold what names the subject of a row of that kind, and at least one thing about it."""
    if table == "part":
        return "part_of" in meanings and len(meanings) > 1
    if table == "training":
        return "event_of" in meanings and ("event_kind" in meanings or hint == table)
    if table == "paper":
        return (has_id or "paper_number" in meanings) and ("paper_kind" in meanings or hint == table)
    if table == "flight":
        return {"flight_pilot", "flown_on"} <= meanings
    if table == "person":
        return len(meanings) > (0 if has_id else 1) and (
            has_id or bool({"first_name", "last_name"} & meanings)
        )
    if table == "aircraft":
        named = has_id or any(name in meanings for name in _NAMES_AIRCRAFT)
        return named and bool(meanings)
    return has_id and bool(meanings)


def _planned(headings: tuple[str, ...], row: int, lines: int, plan: SheetPlan) -> _Header | None:
    names = named_headings(headings)
    known = sum(name in plan.columns for name in names)
    if known < max(1, len(plan.columns) // 2):
        return None
    matches = tuple(
        _told(plan.columns[name])
        if name in plan.columns
        else (exact_match_of(heading, plan.table) if heading else UNKNOWN)
        for name, heading in zip(names, headings, strict=True)
    )
    return _Header(plan.table, headings, matches, row, lines, float(known), known, plan)


def _told(meaning: str) -> Match:
    return Match("" if meaning == IGNORE else meaning, "mapping")


def named_headings(headings: Sequence[str]) -> tuple[str, ...]:
    """The headings as a mapping names them: a second one of the same text gets its number, a blank one only that."""
    seen: dict[str, int] = {}
    names = []
    for heading in headings:
        seen[heading] = seen.get(heading, 0) + 1
        names.append(heading if heading and seen[heading] == 1 else f"{heading} [{seen[heading]}]".strip())
    return tuple(names)


def _spread(sheet: Sheet) -> dict[tuple[int, int], str]:
    """The text of cells merged across columns, for each place they cover, in the sheet's own rows and columns."""
    found = {}
    for top, left, bottom, right in sheet.merged:
        row, column = top - sheet.top, left - sheet.left
        if bottom == top and right > left and 0 <= row < min(_TOP, len(sheet.rows)):
            for covered in range(column + 1, right - sheet.left + 1):
                found[row, covered] = _text(sheet.rows[row], column)
    return found


def _text(row: Sequence[Cell], column: int) -> str:
    if not 0 <= column < len(row) or row[column].kind is not Kind.TEXT:
        return ""
    return clean(row[column].text[:_HEADING]).text


def _headings(
    sheet: Sheet, row: int, lines: int, spread: dict[tuple[int, int], str]
) -> tuple[str, ...] | None:
    """The headings a row, or it with the next, would give; None when it cannot hold any."""
    upper = sheet.rows[row]
    texts = [_text(upper, column) for column in range(len(upper))]
    if sum(map(bool, texts)) < 2 - (lines - 1):
        return None
    if lines == 1:
        return tuple(texts)
    if row + 1 >= len(sheet.rows):
        return None
    lower = sheet.rows[row + 1]
    if any(cell.kind not in (Kind.TEXT, Kind.EMPTY) for cell in lower) or not any(map(_filled, lower)):
        return None
    width = max(len(upper), len(lower))
    return tuple(_two_lines(upper, lower, row, width, spread))


def _two_lines(
    upper: Sequence[Cell], lower: Sequence[Cell], row: int, width: int, spread: dict[tuple[int, int], str]
) -> list[str]:
    """Each column's two lines as one heading; a group's name reaches right over blank cells where the pair is known."""
    headings, group = [], ""
    for column in range(width):
        above, below = _text(upper, column), _text(lower, column)
        group = above or spread.get((row, column), group)
        if not below:
            headings.append(above)
            continue
        pair = f"{group} {below}".strip()
        own = bool(above) or (row, column) in spread
        headings.append(pair if _known(pair) or (own and not _known(below)) else below)
    return headings


def _known(text: str) -> bool:
    heading = heading_of(text).text
    return any(heading in known_headings(table) for table in TABLES)
