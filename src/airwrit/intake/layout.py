"""The tables of a sheet, each with its kind and what its columns mean; what a user's mapping says goes before."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, field, replace
from pathlib import PurePath
from typing import NamedTuple

from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.intake.cell.value import tables
from airwrit.intake.columns import (
    ASK,
    EVENT,
    ID,
    IGNORE,
    TABLES,
    UNKNOWN,
    WEIGHT,
    Match,
    exact_match_of,
    heading_of,
    known_headings,
    match_of,
)
from airwrit.intake.mapping import SheetPlan
from airwrit.intake.meaning.about import (
    KINDS,
    About,
    abouts_of,
    evidence_of,
    is_about_other_things,
    is_surely_aircraft,
    is_weak,
    shows_people,
    split_of,
)
from airwrit.intake.meaning.columns import REMARKS, STATUS, ColumnReading, ColumnSeen, readings_of
from airwrit.intake.meaning.lexicon import Lexicon, whole_lexicon
from airwrit.intake.meaning.shapes import MOST_LOOKED_AT, READ_AT, ColumnLook, look_of
from airwrit.intake.meaning.status import codes_in
from airwrit.intake.reader.cells import Sheet
from airwrit.intake.tables.codes import explained
from airwrit.intake.tables.finding import TableFound, layout_of
from airwrit.intake.tables.view import SheetView

_HINT, _ID_WORTH, _NEAR_WORTH, _ENOUGH = 2.0, 1.5, 0.8, 2.0
_WIDE, _LONGEST_CODE = 300, 60
_BARE_WEIGHT = ("weight", "mass")
"""Headings under which a weight is one without the parts listed in a sheet of their own."""
NO_TABLE = "none"
TEMPLATE_NOTE = "airwrit template: how to fill in the other sheets. We skip this one when we read the file"
"""The first line of the guide in a template, by which the reader knows it."""
_OTHERS = tuple(table for table in TABLES if table not in KINDS)


@dataclass(frozen=True, slots=True)
class Block:
    """One table in a sheet: its kind, its headings with what they mean, and its rows (first and end, 0-based in its view)."""

    table: str
    headings: tuple[str, ...]
    matches: tuple[Match, ...]
    first: int
    end: int
    view: SheetView
    looks: tuple[ColumnLook, ...] = ()
    titles: tuple[tuple[int, str], ...] = ()
    plan: SheetPlan | None = None
    is_part: bool = False
    codes: Mapping[str, str] = field(default_factory=dict)


ELSEWHERE = Match("", "elsewhere")
"""A column of the other table where rows hold a person and an aircraft."""
ABOUT_BOTH = Match(REMARKS, "elsewhere")
"""Such a column of remarks, or one not understood: its texts are looked through for this subject too."""


@dataclass(frozen=True, slots=True)
class TableLaid:
    """What was found in a sheet: its tables, lone lines of text with their row, and whether anything tells of drones."""

    blocks: tuple[Block, ...]
    notes: tuple[tuple[int, str], ...]
    is_about_drones: bool
    is_code_list: bool = False


def hint_of(name: str) -> str:
    """The kind of table a sheet's name tells, `none` for one that is not read, "" when it tells nothing."""
    words = f" {heading_of(name.replace('-', ' ')).text} "
    best, length = "", 0
    for table, names in tables()["sheets"].items():
        for hint in names:
            if f" {hint} " in words and len(hint) > length:
                best, length = table, len(hint)
    return best


def laid_out(sheet: Sheet, plans: Sequence[SheetPlan] = (), lexicon: Lexicon | None = None) -> TableLaid:
    """The tables of a sheet."""
    words = lexicon or whole_lexicon()
    layout = layout_of(sheet, words)
    blocks: list[Block] = []
    about = False
    for found in map(explained, layout.tables):
        columns = _columns_seen(found)
        context = [*(text for _, text in found.titles), sheet.name, PurePath(sheet.book).stem]
        about = about or evidence_of(columns, [*context, *(text for _, text in layout.notes)])
        blocks += _blocks(
            found,
            columns,
            context,
            plans,
            _Surroundings(hint_of(sheet.name), any(one.table == "aircraft" for one in blocks)),
            words,
        )
    codes = codes_in([*(text for _, text in layout.notes), *_explaining(sheet)]) if blocks else {}
    if codes:
        blocks = [replace(block, codes=codes) for block in blocks]
    return TableLaid(tuple(blocks), layout.notes, about)


def _explaining(sheet: Sheet) -> list[str]:
    """The short texts of a sheet that may explain a sign: `x = no`."""
    return [text for row in sheet.rows for _, text in row if "=" in text and len(text) <= _LONGEST_CODE]


class _Surroundings(NamedTuple):
    """What is known of a table beside its cells: the kind that the sheet's name tells, and whether aircraft stand above it."""

    hint: str
    beside_drones: bool


def _columns_seen(found: TableFound) -> list[ColumnSeen]:
    end = min(found.end, found.first + MOST_LOOKED_AT)
    return [
        ColumnSeen(heading, group, look_of(found.view.cell(row, column) for row in range(found.first, end)))
        for column, (heading, group) in enumerate(zip(found.headings, found.groups, strict=True))
    ]


def _blocks(
    found: TableFound,
    columns: list[ColumnSeen],
    context: Sequence[str],
    plans: Sequence[SheetPlan],
    told: _Surroundings,
    lexicon: Lexicon,
) -> Iterator[Block]:
    """The block or, where rows hold a person and an aircraft, the blocks that a table found makes."""
    hint = told.hint
    looks = tuple(column.look for column in columns)
    base = Block("", found.headings, (), found.first, found.end, found.view, looks, found.titles)
    if plans:
        planned = {plan.table: one for plan in plans if (one := _planned(base, plan)) is not None}
        yield from _as_parts(tuple(planned.values()))
        return
    other, exact = _other_kind(found.headings, hint)
    abouts = [] if hint in (NO_TABLE, "battery") else list(abouts_of(columns, context, hint, lexicon))
    if is_about_other_things(columns, lexicon):
        abouts = [one for one in abouts if one.kind != "aircraft" or is_surely_aircraft(one.readings)]
    weak = is_weak(columns, context, lexicon)
    if weak or not evidence_of(columns, context):
        abouts = [one for one in abouts if _is_shown(one, told, weak=weak)]
    if other is not None and other.table == "registration" and hint != other.table:
        other = None
    read = max((_read(one) for one in abouts), default=0)
    if other is not None and (exact > read or (hint == other.table and exact >= read - 1) or not abouts):
        yield replace(base, table=other.table, matches=other.matches)
        return
    if not abouts:
        return
    parts = split_of(columns, lexicon)
    if parts is None:
        best = abouts[0]
        yield replace(base, table=best.kind, matches=tuple(map(_match, columns, best.readings)))
        return
    read_as = [
        dict(zip(places, readings_of([columns[place] for place in places], kind, lexicon), strict=True))
        for kind, places in zip(KINDS, (parts.aircraft, parts.person), strict=True)
    ]
    if all(reading.fact != ID for reading in read_as[1].values()):
        read_as[1][parts.who] = ColumnReading(ID, READ_AT, why="names beside their certificates", by="values")
    for kind, own, others in zip(KINDS, read_as, reversed(read_as), strict=True):
        matches = tuple(
            _match(column, own[place]) if place in own else _beside(others[place])
            for place, column in enumerate(columns)
        )
        yield replace(base, table=kind, matches=matches, is_part=True)


def _is_shown(about: About, told: _Surroundings, *, weak: bool) -> bool:
    """Whether a table is of people who fly, or is named as what it seems to be, though no words or numbers show drones."""
    is_named = told.hint == about.kind and (told.hint != "aircraft" or not weak)
    return is_named or shows_people(about.readings, beside_drones=told.beside_drones)


def _beside(reading: ColumnReading) -> Match:
    """A column of the other subject of a row: what it says in words may be about both."""
    return ABOUT_BOTH if reading.fact in (None, REMARKS, STATUS) else ELSEWHERE


def _read(about: About) -> int:
    """How many columns a table has that are read as facts of its kind."""
    return sum(1 for one in about.readings if one.fact not in (None, IGNORE))


def _match(column: ColumnSeen, reading: ColumnReading) -> Match:
    fact = reading.fact
    if fact is None:
        return Match("", "unknown", column.heading, reading.why, reading.runner_up)
    how = reading.by
    meaning = "" if fact == IGNORE else fact
    if fact == TAKEOFF_WEIGHT.name and heading_of(column.heading).text in _BARE_WEIGHT:
        meaning = WEIGHT
    return Match(meaning, how if meaning else "put aside", column.heading, reading.why, reading.runner_up)


@dataclass(frozen=True, slots=True)
class _Other:
    table: str
    matches: tuple[Match, ...]


def _other_kind(headings: Sequence[str], hint: str) -> tuple[_Other | None, int]:
    """The best other kind of table by headings of the template alone, and how many of its headings are known exactly."""
    best: tuple[float, _Other, int] | None = None
    for table in _OTHERS:
        judged = _judged(headings, table, hint)
        if judged is not None and (best is None or judged[0] > best[0]):
            best = judged
    return (None, 0) if best is None else best[1:]


def _judged(headings: Sequence[str], table: str, hint: str) -> tuple[float, _Other, int] | None:
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
    return score, _Other(table, matches), len(exact)


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
    return has_id and bool(meanings) and (table != "battery" or hint == table)


def _planned(base: Block, plan: SheetPlan) -> Block | None:
    """A table read as a user's mapping says; None where it is another table's."""
    names = named_headings(base.headings)
    known = sum(name in plan.columns for name in names)
    if known < max(1, len(plan.columns) // 2):
        return None
    matches = tuple(
        _told(plan.columns[name])
        if name in plan.columns
        else (exact_match_of(heading, plan.table) if heading else UNKNOWN)
        for name, heading in zip(names, base.headings, strict=True)
    )
    return replace(base, table=plan.table, matches=matches, plan=plan)


def _as_parts(blocks: tuple[Block, ...]) -> tuple[Block, ...]:
    """Tables read by a mapping; where they share the rows, each is about one of two subjects."""
    plans = [block.plan for block in blocks if block.plan is not None]
    named = [heading for plan in plans for heading in plan.columns]
    if len(plans) < 2 or len(named) != len(set(named)):
        return blocks
    names = named_headings(blocks[0].headings)
    if not set(named) <= set(names):
        return blocks
    said = {heading: meaning for plan in plans for heading, meaning in plan.columns.items()}
    return tuple(
        replace(block, is_part=True, matches=_of_part(block.plan, block.matches, names, said))
        for block in blocks
        if block.plan is not None
    )


def _of_part(
    plan: SheetPlan, matches: Sequence[Match], names: Sequence[str], said: Mapping[str, str]
) -> tuple[Match, ...]:
    """The columns of one subject of a row; those that a mapping gives the other subject are elsewhere."""
    return tuple(
        match
        if name in plan.columns or name not in said
        else ABOUT_BOTH
        if said[name] in (ASK, REMARKS)
        else ELSEWHERE
        for name, match in zip(names, matches, strict=True)
    )


def _told(meaning: str) -> Match:
    if meaning == ASK:
        return Match("", "unknown", why="the mapping does not say what it is")
    return Match("" if meaning == IGNORE else meaning, "mapping")


def named_headings(headings: Sequence[str]) -> tuple[str, ...]:
    """The headings as a mapping names them: a second one of the same text gets its number, a blank one only that."""
    seen: dict[str, int] = {}
    names = []
    for heading in headings:
        seen[heading] = seen.get(heading, 0) + 1
        names.append(heading if heading and seen[heading] == 1 else f"{heading} [{seen[heading]}]".strip())
    return tuple(names)


def is_event(meaning: str) -> bool:
    """Whether a meaning is a day of a test or training."""
    return meaning.startswith(EVENT)
