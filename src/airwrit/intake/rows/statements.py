"""Cells already read, stated of their subjects: a value with the cell it came from, or what a fault spoils."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, field
from typing import Any, NamedTuple

from airwrit.base.days import EARLIEST
from airwrit.base.sentences import counted
from airwrit.facts.key import Key
from airwrit.facts.keys.person import COMPLETED_ON, EVENT_KIND, EVENT_OF
from airwrit.facts.statement import FilePlace, Known, Problem, Statement, stated_always
from airwrit.intake.cell.column import PRESENCE
from airwrit.intake.cell.value import Got
from airwrit.intake.columns import EVENT, Column
from airwrit.intake.rows.fields import Field
from airwrit.intake.rows.made_names import made_subjects
from airwrit.intake.rows.remarks import cells_shown, column_name
from airwrit.intake.rows.rows import MADE_IDS, Table
from airwrit.intake.rows.spans import SPAN

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
