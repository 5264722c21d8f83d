"""Cells stated of their subjects, from when until when; remarks that spoil nothing; rows that contradict each other."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from typing import Any, NamedTuple

from airwrit.base.days import EARLIEST
from airwrit.base.sentences import counted
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.person import COMPLETED_ON, EVENT_KIND, EVENT_OF
from airwrit.facts.statement import FilePlace, Known, Problem, Statement, stated_always
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.intake.cell.column import PRESENCE, Read
from airwrit.intake.cell.dates import has_two_orders
from airwrit.intake.cell.value import FaultCode, Got, is_missing
from airwrit.intake.columns import EVENT, Column
from airwrit.intake.reader.cells import Kind, letters_of
from airwrit.intake.rows.fields import Field
from airwrit.intake.rows.made_names import made_subjects
from airwrit.intake.rows.parting import PARTED
from airwrit.intake.rows.rows import MADE_IDS, Table

_SHOWN = 5
_MANY = frozenset({"service_status", "remarks", "person_status", "remote_id_way"})
"""Meanings that several columns may say together."""


def column_name(table: Table, item: Field) -> FilePlace:
    """How messages name a column: `fleet.xlsx sheet 'Aircraft' column C 'Expires'`; the row of a turned table."""
    words = f"{item.line} {item.heading!r}"
    if table.view.turned:
        return table.sheet.place(words, row=table.view.place(0, item.column)[0] + 1)
    return table.sheet.place(words, column=item.letter)


def cells_shown(table: Table, item: Field, rows: Sequence[int]) -> str:
    """The first few cells of a column at these rows, and how many more there are."""
    shown = ", ".join(table.view.cell_text(index, item.column) for index in rows[:_SHOWN])
    return shown if len(rows) <= _SHOWN else f"{shown} and {len(rows) - _SHOWN} more"


def column_remarks(table: Table, item: Field, read: Read) -> list[Problem]:
    """One remark for each way in which cells of a column were tidied or read, and one for its formulas."""
    by_note: dict[str, list[int]] = {}
    for got, index in zip(read.gots, table.rows, strict=True):
        if got.note:
            by_note.setdefault(got.note, []).append(index)
    where = column_name(table, item)
    remarks = [
        Problem(where, f"{note} ({cells_shown(table, item, rows)})", "check these cells")
        for note, rows in by_note.items()
    ]
    return remarks + _formulas(table, item)


def _formulas(table: Table, item: Field) -> list[Problem]:
    if not table.sheet.formulas:
        return []
    rows = [index for index in table.rows if table.view.place(index, item.column) in table.sheet.formulas]
    if not rows:
        return []
    return [
        Problem(
            column_name(table, item),
            f"{counted(len(rows), 'cell has a formula', 'cells have formulas')}. We used the last saved result "
            f"({cells_shown(table, item, rows)})",
            "make sure the sheet was up to date when it was saved",
        )
    ]


def shared_meanings(table: Table) -> list[Problem]:
    """A problem for each meaning that several columns of a table have: all are kept, and clash where they differ."""
    by_meaning: dict[str, list[Field]] = {}
    for item in table.fields:
        if (
            item.meaning
            and not item.meaning.startswith(EVENT)
            and item.meaning not in _MANY
            and item.match.how != PARTED
        ):
            by_meaning.setdefault(item.meaning, []).append(item)
    return [
        Problem(
            table.sheet.label,
            f"several columns are read as {KEYS[meaning].meaning if meaning in KEYS else meaning}: "
            + ", ".join(f"{item.letter} {item.heading!r}" for item in items),
            "rename all but one, or ignore them in a mapping",
        )
        for meaning, items in by_meaning.items()
        if len(items) > 1
    ]


def merged_problem(table: Table) -> list[Problem]:
    """The remark that cells among a table's rows are merged: only the first of them has the value."""
    sheet, view = table.sheet, table.view
    if view.turned or view.places is not None:
        return []
    first, end = view.top + table.block.first, view.top + table.block.end
    merged = [
        f"{letters_of(left)}{top + 1}:{letters_of(right)}{bottom + 1}"
        for top, left, bottom, right in sheet.merged
        if first <= top < end
    ]
    if not merged:
        return []
    shown = ", ".join(merged[:_SHOWN]) + (f" and {len(merged) - _SHOWN} more" if len(merged) > _SHOWN else "")
    return [
        Problem(
            sheet.label,
            f"cells are merged ({shown}), so we used the value only for the first cell",
            "unmerge them, and write the value in every row it belongs to",
        )
    ]


def date_order_problem(table: Table, item: Field, read: Read) -> list[Problem]:
    """The one summary of a column whose dates may be day first or month first; its cells are told one by one beside it."""
    if read.dates is None:
        return []
    rows = [
        index for got, index in zip(read.gots, table.rows, strict=True) if got.code is FaultCode.EITHER_ORDER
    ]
    if not rows:
        return []
    mixed = read.dates.mixed
    return [
        Problem(
            column_name(table, item),
            f"{counted(len(rows), 'date')} may be day first or month first: "
            + ("the column has both" if mixed else "nothing in the column tells us which"),
            "write dates as year-month-day"
            if mixed
            else "use --dates month-first or --dates day-first, or write dates as year-month-day",
        )
    ]


def date_order_remark(table: Table, item: Field, read: Read) -> list[Problem]:
    """The remark that dates of a column were read in the order that other columns of the file prove."""
    dates = read.dates
    if dates is None or dates.order is None or dates.shown_by or item.order is not None:
        return []
    rows = [
        index
        for cell, got, index in zip(table.cells(item.column), read.gots, table.rows, strict=True)
        if got.raw is not None and cell.kind is Kind.TEXT and has_two_orders(cell.text)
    ]
    if not rows:
        return []
    what = f"dates were read {dates.order.replace('-', ' ')}, as other dates in the file are ({cells_shown(table, item, rows)})"
    return [Problem(column_name(table, item), what, "if that's wrong, use --dates")]


SPANS = ("valid_from", "valid_until")
SPAN = tuple[date, date | None] | None
"""First day and the day it no longer holds; None where they cannot be read."""


def spans_of(table: Table, reads: Mapping[int, Read], problems: list[Problem]) -> list[SPAN] | None:
    """For every row its span; None when the table has no such columns. What is wrong with a span is added to `problems`."""
    columns = {item.meaning: item for item in table.fields if item.meaning in SPANS}
    if not columns:
        return None
    spans: list[SPAN] = []
    for place, index in enumerate(table.rows):
        gots = {name: reads[item.column].gots[place] for name, item in columns.items()}
        start, end = (
            date.fromisoformat(str(gots[n].raw)) if n in gots and gots[n].raw else None for n in SPANS
        )
        fault = next((got.fault for got in gots.values() if got.fault), "")
        if not fault and start is not None and end is not None and end <= start:
            fault = f"it ends {end}, which isn't after it starts {start}"
        if fault:
            problems.append(
                Problem(
                    table.where(index),
                    f"{fault}, so we can't tell when it applies",
                    "write both dates as year-month-day",
                )
            )
        spans.append(None if fault else (start or EARLIEST, end))
    return spans


_ALWAYS: SPAN = (EARLIEST, None)


class Unclear(NamedTuple):
    """A text that was not understood and may matter: the row's place, its column, and the text."""

    place: int
    item: Field
    text: str


@dataclass(slots=True)
class Told:
    """What a table told: statements row by row, problems, its columns as read, and the rows some fault is about."""

    by_row: list[list[Known]]
    problems: list[Problem] = field(default_factory=list)
    columns: list[Column] = field(default_factory=list)
    spoiled_rows: set[int] = field(default_factory=set)
    unclear: list[Unclear] = field(default_factory=list)


def cell_names(table: Table, item: Field, places: Iterable[int]) -> list[FilePlace]:
    """How messages name cells of a column, by the places of their rows; all at once where the column stands straight."""
    view, rows = table.view, table.rows
    if view.turned or view.places is not None or view.from_rows is not None:
        return [table.cell_name(item.column, rows[place]) for place in places]
    label, first = table.sheet.label, view.top + 1
    column = FilePlace(f"{label} cell {item.letter}", label.file, label.sheet, None, item.letter)
    return column.down([rows[place] + first for place in places])


def state_cells(
    told: Told,
    table: Table,
    item: Field,
    cells: tuple[Key[Any], Sequence[str], Sequence[Got]],
    spans: Sequence[SPAN] | None,
) -> None:
    """State a column: `cells` are its key, the subject of every row ("" for none), and what every cell gave."""
    key, subjects, gots = cells
    name = key.name
    names = (name, PRESENCE[key].name) if key in PRESENCE else (name,)
    homeless, plain, others = list[int](), list[int](), list[int]()
    is_plain = len(names) == 1 and spans is None
    for place, ((raw, _, fault, _, unclear, _), subject) in enumerate(zip(gots, subjects, strict=True)):
        if unclear and subject:
            told.unclear.append(Unclear(place, item, unclear))
        if raw is None and not fault:
            continue
        if not subject:
            homeless.append(table.rows[place])
        elif is_plain and not fault:
            plain.append(place)
        else:
            others.append(place)
    stated = stated_always(
        (subjects[place] for place in plain),
        name,
        (gots[place].raw for place in plain),
        cell_names(table, item, plain),
    )
    for place, known in zip(plain, stated, strict=True):
        told.by_row[place].append(known)
    for place, origin in zip(others, cell_names(table, item, others), strict=True):
        got, subject, span = gots[place], subjects[place], spans[place] if spans else _ALWAYS
        if got.fault or span is None:
            spoils = tuple((subject, each) for each in names)
            told.problems.append(fault_of(got, origin, item, spoils))
            told.spoiled_rows.add(place)
        elif len(names) == 1:
            told.by_row[place].append(Known(Statement(subject, name, got.raw, *span), origin))
        else:
            told.by_row[place] += _with_presence(subject, names, got, span, origin)
    if homeless and table.block.table not in MADE_IDS:
        told.problems.append(_homeless(table, item, homeless))


def _with_presence(subject: str, names: Sequence[str], got: Got, span: SPAN, origin: str) -> list[Known]:
    """A number and that there is one; or only whether there is one, where the cell says no more."""
    start, end = span or (EARLIEST, None)
    found = [Known(Statement(subject, names[1], got.raw is not False, start, end), origin)]
    if isinstance(got.raw, str):
        found.append(Known(Statement(subject, names[0], got.raw, start, end), origin))
    return found


def fault_of(got: Got, origin: str, item: Field, spoils: tuple[tuple[str, str], ...]) -> Problem:
    """The problem of a cell that cannot be used, or whose row cannot be placed in time."""
    what = got.fault or "not used, because we can't tell when the row applies"
    if got.fault and item.key is not None and item.key.private:
        what = "we can't read this entry, which is private and not repeated here"
    return Problem(origin, f"{item.heading}: {what}", got.do or "fix the row's from and until dates", spoils)


def _homeless(table: Table, item: Field, rows: Sequence[int]) -> Problem:
    about = item.key.table if item.key else table.kind
    return Problem(
        column_name(table, item),
        f"{counted(len(rows), 'value was', 'values were')} not used, "
        f"because the row names no {about}: {cells_shown(table, item, rows)}",
        f"write the {about} they belong to",
    )


def state_events(told: Told, table: Table, item: Field, gots: Sequence[Got]) -> None:
    """State each day in a column of tests or training as an event of the row's person."""
    kind = item.meaning.removeprefix(EVENT)
    days = [None if got.raw is None else str(got.raw) for got in gots]
    who = [
        person if got.raw is not None or got.fault else ""
        for got, person in zip(gots, table.ids, strict=True)
    ]
    marks = [(person, kind, day) for person, day in zip(who, days, strict=True)]
    subjects = made_subjects("training", marks, [()] * len(marks))
    for place, (got, person, index) in enumerate(zip(gots, table.ids, table.rows, strict=True)):
        if got.raw is None and not got.fault:
            continue
        subject = subjects[place]
        origin = table.cell_name(item.column, index)
        row = told.by_row[place]
        row.append(Known(Statement(subject, EVENT_OF.name, person), origin))
        row.append(Known(Statement(subject, EVENT_KIND.name, kind), origin))
        if got.fault:
            told.problems.append(fault_of(got, origin, item, ((subject, COMPLETED_ON.name),)))
        else:
            row.append(Known(Statement(subject, COMPLETED_ON.name, got.raw), origin))


def row_problems(table: Table, told: Told) -> list[Problem]:
    """Rows that name the same subject, and rows that say nothing about theirs."""
    if table.block.table in MADE_IDS:
        return []
    problems = [
        _silent(table, index, name)
        for place, (index, name) in enumerate(zip(table.rows, table.ids, strict=True))
        if not told.by_row[place] and place not in told.spoiled_rows
    ]
    return problems if table.block.table == "remote_id" else problems + _repeated(table)


def _silent(table: Table, index: int, name: str) -> Problem:
    """A row that says nothing about its subject: blank, or filled in columns that are not used."""
    row = table.view.rows[index]
    if sum(not is_missing(cell.text) for cell in row) <= 1:
        what = f"the row of {name!r} is blank except for the name"
        return Problem(table.where(index), what, "fill in the row, or delete it", unread=True)
    return Problem(
        table.where(index),
        f"the row of {name!r} holds nothing that we use",
        f"add what you know, such as {_SUCH_AS.get(table.kind, 'a date')}, or leave it",
        unread=True,
    )


_SUCH_AS = {
    "aircraft": "the registration number",
    "person": "the certificate or the role",
}
"""What a row most likely lacks."""


def _repeated(table: Table) -> list[Problem]:
    first: dict[str, int] = {}
    problems = []
    for index, name in zip(table.rows, table.ids, strict=True):
        if name in first:
            problems.append(_pair(table, name, first[name], index))
        else:
            first[name] = index
    return problems


def _pair(table: Table, name: str, index: int, again: int) -> Problem:
    """Two rows of one subject: what differs between them."""
    one, other = table.view.rows[index], table.view.rows[again]
    differing = [
        item.heading or item.line
        for item in table.fields
        if one[item.column : item.column + 1] != other[item.column : item.column + 1]
    ]
    where = table.where(index, again)
    if not differing:
        return Problem(where, f"{name!r} appears twice, with the same words", "delete one of the rows")
    return Problem(
        where,
        f"{name!r} appears twice, with different values under {', '.join(differing)}. We kept both",
        "keep the right row, or give each its own name",
    )


def clashes(rows: Sequence[Sequence[Known]]) -> list[Problem]:
    """Cells of different rows that give one fact two values."""
    repeated = _repeated_subjects(rows)
    if not repeated:
        return []
    first: dict[tuple[object, ...], Known] = {}
    problems = []
    for item in (item for row in rows for item in row if item.statement.subject in repeated):
        subject, key, value, start, _ = item.statement
        if KEYS[key].has_many:
            continue
        other = first.setdefault((subject, key, start), item)
        if other.statement.value != value and other.origin != item.origin:
            here, there = _told(key, value), _told(key, other.statement.value)
            what = (
                f"{KEYS[key].meaning} of {id_of(subject)} is {here} here, but {there} in {other.origin}. "
                "We kept both"
            )
            problems.append(Problem(item.origin, what, "fix the one that is wrong"))
    return problems


def _told(key: str, value: Raw) -> str:
    """A value as a message may repeat it."""
    return "a private value" if KEYS[key].private else repr(value)


def _repeated_subjects(rows: Iterable[Sequence[Known]]) -> set[str]:
    """The subjects that more than one row speaks of."""
    first: dict[str, int] = {}
    repeated: set[str] = set()
    for place, row in enumerate(rows):
        for subject in {item.statement.subject for item in row}:
            if first.setdefault(subject, place) != place:
                repeated.add(subject)
    return repeated
