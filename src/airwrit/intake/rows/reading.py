"""One table's columns told: each about the subjects its rows name, and how it was read, to be shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, NamedTuple

from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    BASE_WEIGHT,
    IS_REGISTERED,
    LISTED_SERIAL,
    OWNER,
    PART_NAME,
    PART_OF,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    TAKEOFF_WEIGHT,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_ON
from airwrit.facts.keys.person import (
    COMPLETED_ON,
    CREW_ROLE,
    EVENT_KIND,
    EVENT_OF,
    FLIES_FOR,
    HAS_CERTIFICATE,
)
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.keys.service import NOT_UNDERSTOOD, SERVICE_STATUS
from airwrit.facts.statement import Known, Problem, Statement
from airwrit.facts.vocabulary import KEYS, TABLES
from airwrit.intake.cell.column import Read
from airwrit.intake.cell.dates import DateOrder, year_written
from airwrit.intake.cell.value import NOTHING, Got, clean, joined
from airwrit.intake.columns import EVENT, WEIGHT, Column, Match, exact_match_of
from airwrit.intake.layout import ABOUT_BOTH
from airwrit.intake.meaning.lexicon import words_of
from airwrit.intake.meaning.status import Legend
from airwrit.intake.reader.cells import Kind
from airwrit.intake.rows.fields import Field
from airwrit.intake.rows.made_names import made_subjects
from airwrit.intake.rows.parting import PARTED
from airwrit.intake.rows.rows import MADE_IDS, Names, Table
from airwrit.intake.rows.statements import (
    SPAN,
    Told,
    column_remarks,
    date_order_problem,
    date_order_remark,
    fault_of,
    shared_meanings,
    spans_of,
    state_cells,
    state_events,
)
from airwrit.intake.rows.watching import COUNT, IS_CANCELED, PERSON_STATUS, REMARKS, person_statements, watch

_Gots = Sequence[Got]


@dataclass(frozen=True, slots=True)
class Around:
    """What a table is read in the light of: all names, aircraft with parts or by number, how dates are meant, its legend."""

    names: Names
    with_parts: frozenset[str]
    aircraft_under: Mapping[str, Sequence[str]]
    asked_order: DateOrder | None
    shown_orders: Mapping[str, DateOrder]
    read_on: date | None
    legend: Legend


class _Light(NamedTuple):
    """A table with its columns as read and the subjects its rows name."""

    reads: Mapping[int, Read]
    subjects: Mapping[str, list[str]]


def told_by(table: Table, around: Around) -> Told:
    """The statements of a table, with the problems of its cells."""
    table.fields = tuple(_asked_where_to_come(table, item, around) for item in table.fields)
    told = Told([[] for _ in table.rows], shared_meanings(table))
    reads = {
        item.column: _read(table, item, around)
        for item in table.fields
        if item.meaning and item.meaning not in _NO_FACTS
    }
    _lead_same_serials(table, reads)
    _lead_same_owners(table, reads)
    light = _Light(reads, _subjects(table, reads, around))
    spans = spans_of(table, reads, told.problems)
    for item in table.fields:
        read = reads.get(item.column)
        if read is None:
            note = item.note or ("" if item.meaning in _NO_FACTS else "not used")
            if item.match is not ABOUT_BOTH and not (item.match.how == PARTED and item.meaning):
                told.columns.append(_column(table, item, None, note))
            continue
        told.problems += column_remarks(table, item, read) + date_order_problem(table, item, read)
        if around.asked_order is None:
            told.problems += date_order_remark(table, item, read)
        use = _ColumnUse()
        if item.meaning.startswith(EVENT):
            state_events(told, table, item, read.gots)
        elif (
            item.key is not None
            and item.meaning != SERVICE_STATUS.name
            and not (item is table.named_by and table.kind == "registration")
        ):
            use = _tell(told, table, item, light, spans, around)
        if item.match.how != PARTED:
            told.columns.append(_column(table, item, read, joined(item.note, use.note), use.key))
    _tell_links(told, table, light)
    _tell_unnamed(told, table, light)
    if table.kind == "aircraft" and any(_is_said_beside(item) for item in table.fields):
        told.by_row = [_without_base(row) for row in told.by_row]
    watch(told, table, reads, around.legend)
    if table.block.table == "person":
        for place, known in person_statements(table):
            if known.statement.key != CREW_ROLE.name or not _flies(told.by_row[place]):
                told.by_row[place].append(known)
    return told


def _is_said_beside(item: Field) -> bool:
    """Whether a column holds an empty weight under a heading of the sheet's own, not the template's."""
    known = exact_match_of(item.heading, "aircraft").meaning
    return item.meaning == BASE_WEIGHT.name and known != BASE_WEIGHT.name


def _without_base(row: list[Known]) -> list[Known]:
    """A row without its empty weight, which is no weight as flown: where that is not told it is held as a text."""
    told = any(item.statement.key == TAKEOFF_WEIGHT.name for item in row)
    kept = []
    for item in row:
        if item.statement.key != BASE_WEIGHT.name:
            kept.append(item)
        elif not told:
            text = f"this is the empty weight ({item.statement.value} g), not the weight ready to fly"
            kept.append(Known(Statement(item.statement.subject, NOT_UNDERSTOOD.name, text), item.origin))
    return kept


def _flies(row: Sequence[Known]) -> bool:
    """Whether a row says of a person what only one who flies has: a certificate, a test, a purpose."""
    return any(
        (item.statement.key == HAS_CERTIFICATE.name and item.statement.value is True)
        or item.statement.key in (FLIES_FOR.name, EVENT_OF.name)
        for item in row
    )


_DONE = frozenset(
    {
        "issued_on",
        "inspected_on",
        "renewed_on",
        "weighed_on",
        "safety_test_on",
        "flight_review_on",
        "firmware_on",
    }
)
_TO_COME = 0.3
"""The share of days after the day of reading from which a column is no record of the past."""


def _asked_where_to_come(table: Table, item: Field, around: Around) -> Field:
    """The column itself; asked about where it should tell what was done and many of its days have not come yet."""
    if around.read_on is None or table.block.plan is not None:
        return item
    if item.meaning not in _DONE and not item.meaning.startswith(EVENT):
        return item
    gots = table.read(item, around.asked_order).gots
    days = [str(got.raw)[:10] for got in gots if got.raw is not None]
    years = [
        f"{year}-01-01"
        for got, cell in zip(gots, table.cells(item.column), strict=True)
        if got.raw is None and (year := year_written(cell.text))
    ]
    late = sum(1 for day in (*days, *years) if day > around.read_on.isoformat())
    if not late or late < _TO_COME * (len(days) + len(years)):
        return item
    why = "its dates are in the future, so they may be due dates"
    return replace(item, match=Match("", "unknown", item.heading, why, item.meaning), variant="")


_NO_FACTS = (REMARKS, PERSON_STATUS, IS_CANCELED, COUNT)
"""Meanings of columns that are looked through and hold no fact of their own."""


def _lead_same_serials(table: Table, reads: dict[int, Read]) -> None:
    """In a column that asks whether the registration lists the aircraft's own serial, yes is that serial, no is another."""
    serials = next(
        (reads[one.column].gots for one in table.fields if one.meaning == REMOTE_ID_SERIAL.name), None
    )
    for item in table.fields:
        if item.meaning == LISTED_SERIAL.name and item.column in reads:
            gots = reads[item.column].gots
            own = serials or [NOTHING] * len(gots)
            led = tuple(map(_led, gots, own))
            reads[item.column] = Read(led)


def _led(got: Got, serial: Got) -> Got:
    if not isinstance(got.raw, bool):
        return got
    if not isinstance(serial.raw, str):
        return NOTHING if got.raw else Got(unclear="no")
    return Got(serial.raw if got.raw else f"not {serial.raw}", got.note)


def _lead_same_owners(table: Table, reads: dict[int, Read]) -> None:
    """In a column of names on certificates, `same` and the like is the owner whom another column names."""
    owners = next((reads[one.column].gots for one in table.fields if one.meaning == OWNER.name), None)
    for item in table.fields:
        if owners is not None and item.meaning == REGISTERED_TO.name and item.column in reads:
            gots = zip(reads[item.column].gots, owners, strict=True)
            led = tuple(owner._replace(note=_SAME_OWNER) if _says_same(got) else got for got, owner in gots)
            reads[item.column] = Read(led)


_SAME_OWNER = "read as the owner that the row names"


def _says_same(got: Got) -> bool:
    words = words_of(got.raw) if isinstance(got.raw, str) else ()
    return bool(words) and len(words) <= _FEW_WORDS and words[0] == "same"


_FEW_WORDS = 3


class _ColumnUse(NamedTuple):
    """The remark due for a column, and the fact it told where that is another than its heading's."""

    note: str = ""
    key: str = ""


def _tell(
    told: Told, table: Table, item: Field, light: _Light, spans: list[SPAN] | None, around: Around
) -> _ColumnUse:
    """State what a column's cells say of the subjects they are about; the remark due for the column, and what it told."""
    key = item.key
    if key is None:
        return _ColumnUse()
    kind = TABLES[key.table]
    mine = light.subjects.get(kind, [])
    if not mine and table.rows:
        return _ColumnUse(f"not used: no column names the {kind}")
    if item.meaning != WEIGHT or not around.with_parts:
        state_cells(told, table, item, (key, mine, light.reads[item.column].gots), spans)
        return _ColumnUse()
    gots = light.reads[item.column].gots
    based = [subject in around.with_parts for subject in mine]
    for one, wanted in ((TAKEOFF_WEIGHT, False), (BASE_WEIGHT, True)):
        state_cells(told, table, item, (one, mine, _only(gots, based, wanted=wanted)), spans)
    return _weight_use(sum(based), len(based))


def _only(gots: _Gots, marks: Sequence[bool], *, wanted: bool) -> list[Got]:
    """The same cells, those with another mark taken as blank."""
    return [got if mark is wanted else NOTHING for got, mark in zip(gots, marks, strict=True)]


def _weight_use(based: int, rows: int) -> _ColumnUse:
    if not based:
        return _ColumnUse()
    if based == rows:
        return _ColumnUse("read as the weight without the parts that another sheet lists", BASE_WEIGHT.name)
    return _ColumnUse(
        f"read as the weight without parts, for the {based} aircraft whose parts are in another sheet"
    )


def _read(table: Table, item: Field, around: Around) -> Read:
    """The column's cells, its links led to the subjects they mean."""
    read = table.read(item, around.asked_order or _order_beside(table, around))
    key = item.key
    kind = "aircraft" if item.meaning == "aircraft" else key.links_to if key else ""
    if kind not in ("aircraft", "owner", "person"):
        return read
    return Read(_resolved(read.gots, kind, around.names, has_to_be_known=key in _MEMBERS), read.dates)


def _order_beside(table: Table, around: Around) -> DateOrder | None:
    """How days like 3/4/2026 are written in the rest of the sheet, else in the rest of the file."""
    label = table.sheet.label
    return around.shown_orders.get(label) or around.shown_orders.get(label.file)


_MEMBERS: tuple[Key[str] | None, ...] = (PART_OF, EVENT_OF, None)
"""Links to what ought to stand in a sheet of its own; None for the aircraft of a registration."""


def _resolved(gots: _Gots, kind: str, names: Names, *, has_to_be_known: bool) -> tuple[Got, ...]:
    """The same links, each led to the subject it means."""
    found: dict[Got, Got] = {}
    for got in gots:
        if got not in found:
            found[got] = got
            if isinstance(got.raw, str):
                name, note = names.resolved(kind, got.raw)
                if has_to_be_known and names.lacks(kind, name):
                    note = f"doesn't name any {'person' if kind == 'person' else kind} in these sheets"
                found[got] = Got(name, joined(got.note, note))
    return tuple(found[got] for got in gots)


def _subjects(table: Table, reads: Mapping[int, Read], around: Around) -> dict[str, list[str]]:
    """For every row, the subject of each kind that the row speaks of; "" where it names none."""
    gots = {item.meaning: reads[item.column].gots for item in table.fields if item.column in reads}
    subjects: dict[str, list[str]] = {}
    if table.block.table == "aircraft":
        subjects["registration"] = _named("registration", gots.get(REGISTRATION.name))
        subjects["owner"] = _named("owner", gots.get(OWNER.name))
    elif table.block.table == "person":
        subjects["registration"] = _named("registration", gots.get(REGISTRATION.name))
    elif table.block.table == "registration":
        subjects["owner"] = _named("owner", gots.get(REGISTERED_TO.name))
        if "aircraft" in gots:
            subjects["aircraft"] = _named("aircraft", gots["aircraft"])
        else:
            under = (around.aircraft_under.get(number, ()) for number in table.ids)
            subjects["aircraft"] = [f"aircraft/{found[0]}" if len(found) == 1 else "" for found in under]
    subjects[table.kind] = _own(table, gots)
    return subjects


def _named(kind: str, gots: _Gots | None) -> list[str]:
    return [f"{kind}/{got.raw}" if isinstance(got.raw, str) else "" for got in gots or ()]


_MADE_OF: dict[str, tuple[Key[Any], ...]] = {
    "part": (PART_OF, PART_NAME),
    "training": (EVENT_OF, EVENT_KIND, COMPLETED_ON),
    "flight": (FLIGHT_PILOT, FLOWN_ON, FLIGHT_AIRCRAFT),
}
"""What names a part, a test or training, a flight that has no name of its own: whose it is, then what tells it apart."""


def _own(table: Table, gots: Mapping[str, _Gots]) -> list[str]:
    """The rows' own subjects; parts, tests, training and flights without a name are named by what they are."""
    made_of = _MADE_OF.get(table.kind)
    if made_of is None:
        return [f"{table.kind}/{name}" for name in table.ids]
    columns = [gots.get(key.name) for key in made_of]
    others = [column for name, column in gots.items() if KEYS.get(name) not in made_of]
    marks, rests = [], []
    for place, own in enumerate(table.ids):
        whose, *more = (
            str(column[place].raw) if column and column[place].raw is not None else None for column in columns
        )
        marks.append(("" if own else whose, *more))
        rests.append(tuple(str(column[place].raw) for column in others))
    made = made_subjects(table.kind, marks, rests)
    whose_column = columns[0] or ()
    return [
        made_one if not own else f"{table.kind}/{own}" if isinstance(got.raw, str) else ""
        for own, made_one, got in zip(table.ids, made, whose_column, strict=True)
    ]


def _tell_links(told: Told, table: Table, light: _Light) -> None:
    """In a sheet of registrations, state which aircraft stands under each."""
    item = next((item for item in table.fields if item.meaning == "aircraft"), None)
    if item is None or table.kind != "registration":
        return
    gots = light.reads[item.column].gots
    for place, (got, aircraft, number) in enumerate(
        zip(gots, light.subjects["aircraft"], table.ids, strict=True)
    ):
        origin = table.cell_name(item.column, table.rows[place])
        if got.fault:
            told.problems.append(fault_of(got, origin, item, ()))
        elif aircraft:
            told.by_row[place].append(Known(Statement(aircraft, IS_REGISTERED.name, True), origin))
            told.by_row[place].append(Known(Statement(aircraft, REGISTRATION.name, number), origin))


def _tell_unnamed(told: Told, table: Table, light: _Light) -> None:
    """Rows of parts, tests, training or flights that do not say whose they are: they could not be read."""
    if table.block.table not in MADE_IDS:
        return
    whose = (
        "aircraft it is fitted to"
        if table.kind == "part"
        else "person who flew"
        if table.kind == "flight"
        else "person it is about"
    )
    for subject, index in zip(light.subjects[table.kind], table.rows, strict=True):
        if not subject:
            told.problems.append(
                Problem(
                    table.where(index),
                    f"the row doesn't name the {whose}, so we didn't read it",
                    "add the name, or delete the row",
                    unread=table.kind != "flight",
                )
            )


def _column(table: Table, item: Field, read: Read | None, note: str, told: str = "") -> Column:
    order = read.dates.order if read is not None and read.dates is not None else None
    if read is not None and read.dates is not None and read.dates.shown_by:
        private = item.key is not None and item.key.private
        shown = "a private date" if private else repr(read.dates.shown_by)
        note = joined(note, f"{order}, shown by {shown}")
    key = told or (TAKEOFF_WEIGHT.name if item.meaning == WEIGHT else item.meaning)
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
        item.match.why if not item.meaning and item.match.how == "unknown" else "",
        _example(table, item),
    )


def _example(table: Table, item: Field) -> str:
    """One value of a column, to be shown where it may be."""
    if item.key is not None and item.key.private:
        return ""
    rows = table.view.rows
    cells = (
        table.view.cell(index, item.column)
        for index in range(table.block.first, min(table.block.end, len(rows)))
    )
    return next((clean(cell.text).text[:60] for cell in cells if cell.kind is not Kind.EMPTY), "")
