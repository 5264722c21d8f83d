"""One table's cells as statements: each about the subject its column speaks of, with the cell it came from."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date

from airwrit.base.times import EARLIEST
from airwrit.facts.aircraft import (
    BASE_WEIGHT,
    IS_REGISTERED,
    OWNER,
    PART_NAME,
    PART_OF,
    REGISTRATION,
    TAKEOFF_WEIGHT,
)
from airwrit.facts.key import Raw
from airwrit.facts.people import COMPLETED_ON, EVENT_KIND, EVENT_OF
from airwrit.facts.registration import REGISTERED_TO
from airwrit.facts.statement import Known, Problem, Statement
from airwrit.facts.vocabulary import TABLES
from airwrit.intake.columns import EVENT, WEIGHT, Column
from airwrit.intake.dates import DateOrder
from airwrit.intake.fields import Field
from airwrit.intake.got import NOTHING, Got, joined
from airwrit.intake.reading import PRESENCE, Hints, Read, read_column
from airwrit.intake.remarks import cells_shown, column_name, column_remarks, date_order_problem
from airwrit.intake.rows import Table
from airwrit.intake.subjects import Names

_SPANS = ("valid_from", "valid_until")
_Gots = Sequence[Got]


@dataclass(frozen=True, slots=True)
class Around:
    """What a table is read in the light of: all names, aircraft with parts or by number, the dates answer, its tag."""

    names: Names
    with_parts: frozenset[str]
    aircraft_under: Mapping[str, Sequence[str]]
    asked_order: DateOrder | None
    tag: str


@dataclass(slots=True)
class Told:
    """What a table told: statements row by row, problems, and its columns as read."""

    by_row: list[list[Known]]
    problems: list[Problem] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)
    spoiled_rows: set[int] = field(default_factory=set)

    @property
    def known(self) -> list[Known]:
        """All statements, in the order of the rows."""
        return [known for row in self.by_row for known in row]


def told_by(table: Table, around: Around) -> Told:
    """The statements of a table, with the problems of its cells."""
    told = Told([[] for _ in table.rows])
    reads = {item.column: _read(table, item, around) for item in table.fields if item.meaning}
    subjects = _subjects(table, reads, around)
    spans = _spans(table, reads)
    for item in table.fields:
        read = reads.get(item.column)
        if read is None:
            told.columns.append(_column(table, item, None, item.note or "not used"))
            continue
        note = item.note
        told.problems += column_remarks(table, item, read)
        if read.dates is not None:
            told.problems += date_order_problem(table, item, read)
        if item.meaning.startswith(EVENT):
            _tell_events(told, table, item, read.gots, around)
        elif item.key is not None and item is not _only_name(table, item):
            note = joined(note, _tell_column(told, table, item, read.gots, subjects, spans, around))
        told.columns.append(_column(table, item, read, note))
    _tell_links(told, table, reads, subjects)
    return told


def _only_name(table: Table, item: Field) -> Field | None:
    """The column when it does nothing but name the rows."""
    return item if item is table.named_by and table.kind == "registration" else None


def _read(table: Table, item: Field, around: Around) -> Read:
    hints = Hints(item.unit, item.order, around.asked_order, table.sheet.from_1904)
    key = COMPLETED_ON if item.meaning in _SPANS else item.key
    if item is table.named_by and table.kind == "registration":
        key = REGISTRATION
    read = read_column(key, table.cells(item.column), hints)
    kind = "aircraft" if item.meaning == "aircraft" else key.links_to if key else ""
    if kind in ("aircraft", "owner", "person"):
        return Read(_resolved(read.gots, kind, around.names), read.dates)
    return read


def _resolved(gots: _Gots, kind: str, names: Names) -> tuple[Got, ...]:
    """The same links, each led to the subject it means."""
    found: dict[Got, Got] = {}
    for got in gots:
        if got not in found:
            found[got] = got
            if isinstance(got.raw, str):
                name, note = names.resolved(kind, got.raw)
                found[got] = Got(name, joined(got.note, note))
    return tuple(found[got] for got in gots)


def _subjects(table: Table, reads: Mapping[int, Read], around: Around) -> dict[str, list[str]]:
    """For every row, the subject of each kind that the row speaks of; "" where it names none."""
    gots = {item.meaning: reads[item.column].gots for item in table.fields if item.meaning}
    subjects: dict[str, list[str]] = {}
    if table.block.table == "aircraft":
        subjects["registration"] = _named("registration", gots.get(REGISTRATION.name))
        subjects["owner"] = _named("owner", gots.get(OWNER.name))
    elif table.block.table == "registration":
        subjects["owner"] = _named("owner", gots.get(REGISTERED_TO.name))
        if "aircraft" in gots:
            subjects["aircraft"] = _named("aircraft", gots["aircraft"])
        else:
            under = (around.aircraft_under.get(number, ()) for number in table.ids)
            subjects["aircraft"] = [f"aircraft/{found[0]}" if len(found) == 1 else "" for found in under]
    subjects[table.kind] = _own(table, gots, around)
    return subjects


def _named(kind: str, gots: _Gots | None) -> list[str]:
    return [f"{kind}/{got.raw}" if isinstance(got.raw, str) else "" for got in gots or ()]


def _own(table: Table, gots: Mapping[str, _Gots], around: Around) -> list[str]:
    """The rows' own subjects; parts, tests and training are named by what they belong to and their row."""
    if table.kind == "part":
        first, second = gots[PART_OF.name], gots.get(PART_NAME.name)
    elif table.kind == "training":
        first, second = gots[EVENT_OF.name], gots.get(EVENT_KIND.name)
    else:
        return [f"{table.kind}/{name}" for name in table.ids]
    made = []
    for place, index in enumerate(table.rows):
        what = second[place].raw if second else None
        owner = first[place].raw
        name = table.ids[place] or f"{owner}, {what or table.kind}, {around.tag} {table.row_number(index)}"
        made.append(f"{table.kind}/{name}" if isinstance(owner, str) else "")
    return made


def _spans(table: Table, reads: Mapping[int, Read]) -> list[tuple[date, date | None]] | None:
    """For every row, from and until when its statements hold; None when the table has no such columns."""
    columns = {item.meaning: reads[item.column].gots for item in table.fields if item.meaning in _SPANS}
    if not columns:
        return None
    spans: list[tuple[date, date | None]] = []
    for place in range(len(table.rows)):
        start, end = (_day(columns[name][place].raw) if name in columns else None for name in _SPANS)
        spans.append((start or EARLIEST, end))
    return spans


def _day(raw: Raw) -> date | None:
    return date.fromisoformat(raw[:10]) if isinstance(raw, str) else None


def _tell_column(
    told: Told,
    table: Table,
    item: Field,
    gots: _Gots,
    subjects: Mapping[str, list[str]],
    spans: list[tuple[date, date | None]] | None,
    around: Around,
) -> str:
    """State what a column's cells say; the remark due for the column."""
    key = item.key
    if key is None:
        return ""
    kind = TABLES[key.table]
    mine = subjects.get(kind)
    if not mine:
        return f"not used: no column names the {kind}"
    presence = PRESENCE.get(key)
    prefix = f"{table.sheet.label} cell {item.letter}"
    number = table.sheet.top + 1
    based = item.meaning == WEIGHT and bool(around.with_parts)
    homeless: list[int] = []
    for place, (got, subject, index) in enumerate(zip(gots, mine, table.rows, strict=True)):
        if got is NOTHING:
            continue
        if not subject:
            homeless.append(index)
            continue
        name = key.name if not based or subject not in around.with_parts else BASE_WEIGHT.name
        origin = f"{prefix}{index + number}"
        if got.fault:
            names = (name,) if presence is None else (name, presence.name)
            told.problems.append(_fault(got, origin, item, tuple((subject, each) for each in names)))
            told.spoiled_rows.add(place)
            continue
        start, end = spans[place] if spans else (EARLIEST, None)
        row = told.by_row[place]
        if presence is not None:
            has = got.raw is not False
            row.append(Known(Statement(subject, presence.name, has, start, end), origin))
        if presence is None or isinstance(got.raw, str):
            row.append(Known(Statement(subject, name, got.raw, start, end), origin))
    if homeless:
        told.problems.append(_homeless(table, item, kind, homeless))
    return _weight_note(mine, around) if based else ""


def _fault(got: Got, origin: str, item: Field, spoils: tuple[tuple[str, str], ...]) -> Problem:
    return Problem(origin, f"{item.heading}: {got.fault}", got.do, spoils)


def _homeless(table: Table, item: Field, kind: str, rows: Sequence[int]) -> Problem:
    unread = kind == table.kind
    return Problem(
        column_name(table, item),
        f"{len(rows)} value(s) not used, since their rows name no {kind}: {cells_shown(table, item, rows)}",
        f"write which {kind} they belong to",
        unread=unread,
    )


def _weight_note(mine: Sequence[str], around: Around) -> str:
    based = sum(subject in around.with_parts for subject in mine)
    if not based:
        return ""
    if based == len(mine):
        return "read as the weight without the parts listed in another sheet"
    return f"read as the weight without parts for the {based} aircraft that have parts in another sheet"


def _tell_events(told: Told, table: Table, item: Field, gots: _Gots, around: Around) -> None:
    """State each day in a column of tests or training as an event of the row's person."""
    kind = item.meaning.removeprefix(EVENT)
    for place, (got, person, index) in enumerate(zip(gots, table.ids, table.rows, strict=True)):
        if got is NOTHING:
            continue
        subject = f"training/{person}, {kind}, {around.tag} {item.letter}{table.row_number(index)}"
        origin = table.cell_name(item.letter, index)
        row = told.by_row[place]
        row.append(Known(Statement(subject, EVENT_OF.name, person), origin))
        row.append(Known(Statement(subject, EVENT_KIND.name, kind), origin))
        if got.fault:
            told.problems.append(_fault(got, origin, item, ((subject, COMPLETED_ON.name),)))
        else:
            row.append(Known(Statement(subject, COMPLETED_ON.name, got.raw), origin))


def _tell_links(
    told: Told, table: Table, reads: Mapping[int, Read], subjects: Mapping[str, list[str]]
) -> None:
    """In a sheet of registrations, state which aircraft stands under each."""
    item = next((item for item in table.fields if item.meaning == "aircraft"), None)
    if item is None or table.kind != "registration":
        return
    for place, (aircraft, number, index) in enumerate(
        zip(subjects["aircraft"], table.ids, table.rows, strict=True)
    ):
        got = reads[item.column].gots[place]
        if got.fault:
            told.problems.append(_fault(got, table.cell_name(item.letter, index), item, ()))
        if aircraft:
            origin = table.cell_name(item.letter, index)
            told.by_row[place].append(Known(Statement(aircraft, IS_REGISTERED.name, True), origin))
            told.by_row[place].append(Known(Statement(aircraft, REGISTRATION.name, number), origin))


def _column(table: Table, item: Field, read: Read | None, note: str) -> Column:
    order = read.dates.order if read is not None and read.dates is not None else None
    if read is not None and read.dates is not None and read.dates.shown_by:
        note = joined(note, f"{order}, shown by {read.dates.shown_by!r}")
    key = TAKEOFF_WEIGHT.name if item.meaning == WEIGHT else item.meaning
    if item.meaning == WEIGHT and note.startswith("read as the weight without the parts"):
        key = BASE_WEIGHT.name
    return Column(
        table.sheet.label,
        item.letter,
        item.heading,
        key,
        item.match.how,
        note,
        table.block.table,
        table.sheet.name,
        item.saved_as,
        item.meaning,
        order,
    )
