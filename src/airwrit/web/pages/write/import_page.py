"""What the page Import shows: columns as they were read, what they may mean, and what would be put on record."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.acts.changes import WhatChanges
from airwrit.answers.sheets.column_words import (
    NOT_KNOWN,
    NOT_USED,
    MeaningGroup,
    column_words,
    meaning_groups,
)
from airwrit.answers.sheets.difference import Difference
from airwrit.answers.sheets.view import ChangeRow, ChangeSection, counts_of, tally_of
from airwrit.facts.statement import Problem
from airwrit.intake.columns import ASK, IGNORE, Column
from airwrit.intake.mapping import meaning_kept
from airwrit.web.pages.write.import_questions import SheetQuestion
from airwrit.web.server.forms import Ticket, Typed

COLUMN = "column-"
"""Begins the names of the fields that tell what a column means; a number follows."""

_SHOWN = 200
_AT_ONCE = 12


class ColumnRow(NamedTuple):
    """One column: its field in the form, where it stands, what it was read as and what that means, how that was found."""

    field: str
    place: str
    heading: str
    read_as: str
    means: str
    how: str
    note: str
    example: str


class ColumnTable(NamedTuple):
    """The columns of one table, the list that its fields choose from, and whether one of them was not found by its heading."""

    sheet: str
    table: str
    rows: tuple[ColumnRow, ...]
    open: bool


class SectionShown(NamedTuple):
    """A section as far as it is shown, the rows that are folded away at first, and how many rows it has."""

    section: ChangeSection
    rows: tuple[ChangeRow, ...]
    folded: tuple[ChangeRow, ...]
    many: int


class Lists(NamedTuple):
    """What the columns of one kind of table may mean, by what it is about."""

    table: str
    groups: tuple[MeaningGroup, ...]


@dataclass(frozen=True, slots=True)
class ImportPage:
    """The whole page; without `tray` only the question which files."""

    form: Typed
    ticket: Ticket
    uses: tuple[str, ...]
    tray: str = ""
    seen: str = ""
    files: tuple[str, ...] = ()
    tables: tuple[ColumnTable, ...] = ()
    lists: tuple[Lists, ...] = ()
    problems: tuple[Problem, ...] = ()
    problems_many: int = 0
    tally: str = ""
    sections: tuple[SectionShown, ...] = ()
    entries: int = 0
    facts: int = 0
    written: str = ""
    questions: tuple[SheetQuestion, ...] = ()
    told: tuple[tuple[str, str], ...] = ()
    say: tuple[str, ...] = ()
    change: WhatChanges | None = None
    earlier: tuple[str, ...] = ()

    @property
    def lists_by_table(self) -> Mapping[str, Sequence[MeaningGroup]]:
        """What the columns of each kind of table may mean."""
        return {one.table: one.groups for one in self.lists}

    @property
    def names_by_table(self) -> Mapping[str, Sequence[str]]:
        """The names of all that the columns of each kind of table may mean."""
        return {one.table: [name for group in one.groups for name, _ in group.choices] for one in self.lists}


def tally(taking: Difference) -> str:
    """How many facts there are of each sort that has any; empty where all are new."""
    if taking.is_empty:
        return tally_of(taking)
    counts = [(number, words) for number, words in counts_of(taking) if number]
    only_new = len(counts) == 1 and counts[0][0] == len(taking.changes)
    return "" if only_new else "facts: " + ", ".join(f"{number:,} {words}" for number, words in counts)


def shortened(files: Sequence[tuple[str, bytes]]) -> Callable[[str], str]:
    """What leaves the name of the file out of a place, where there is one file."""
    prefix = f"{files[0][0]} " if len(files) == 1 else ""
    return lambda text: text.replace(prefix, "") if prefix else text


def part_of(section: ChangeSection, short: Callable[[str], str]) -> SectionShown:
    """A section as far as it is shown: the first rows open, more of them folded away."""
    rows = [row._replace(what=short(row.what), remark=short(row.remark)) for row in section.rows[:_SHOWN]]
    return SectionShown(section, tuple(rows[:_AT_ONCE]), tuple(rows[_AT_ONCE:]), len(section.rows))


def tables_of(columns: Sequence[Column], short: Callable[[str], str]) -> tuple[ColumnTable, ...]:
    """The columns by the table they stand in; a table is open where a column was not found by its heading."""
    found: dict[tuple[str, str], list[ColumnRow]] = {}
    for number, column in enumerate(columns):
        read_as = meaning_kept(column)
        row = ColumnRow(
            f"{COLUMN}{number}",
            column.place,
            column.heading,
            read_as,
            column_words(column),
            column.how,
            column.note or column.why,
            column.example,
        )
        found.setdefault((short(column.sheet), column.table), []).append(row)
    return tuple(
        ColumnTable(sheet, table, tuple(rows), any(row.how not in ("exact", "mapping") for row in rows))
        for (sheet, table), rows in found.items()
    )


def lists_of(tables: Iterable[str]) -> Iterable[Lists]:
    """What a column may mean, for each kind of table: the likeliest first, then by what it is about, then to leave it out."""
    own = MeaningGroup("", ((ASK, NOT_KNOWN), (IGNORE, NOT_USED)))
    for table in sorted(tables):
        yield Lists(table, (*meaning_groups(table), own))
