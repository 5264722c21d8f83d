"""Rows and cells that contradict each other: both are kept, so that the fold sees the conflict, and both are named."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Problem
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.intake.cell.words import is_missing
from airwrit.intake.rows.rows import MADE_IDS, Table
from airwrit.intake.rows.statements import Told


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
