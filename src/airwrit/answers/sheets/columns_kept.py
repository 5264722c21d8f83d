"""What somebody said a column holds, kept so that next year's sheet is read without asking again.

It is found by the kind of table and the heading. A column read so whose cells then give nothing but faults is asked about anew.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from airwrit.answers.sheets.difference import OnRecord
from airwrit.facts.keys.program import COLUMN_HOLDS, column_subject
from airwrit.facts.statement import FilePlace, Known, Problem, Statement
from airwrit.intake.columns import Column, heading_of
from airwrit.intake.typed.answers_file import ColumnAnswer


def subject_of(column: Column) -> str:
    """The columns that a column is one of."""
    return column_subject(column.table, heading_of(column.heading).text)


def columns_remembered(held: OnRecord) -> dict[str, str]:
    """What was said last of columns, by their subject."""
    found: dict[str, str] = {}
    for subject, key in held.groups:
        if key != COLUMN_HOLDS.name:
            continue
        said = [item.statement for item in held.alive((subject, key)) if item.statement.value]
        if said:
            found[subject] = str(max(said, key=lambda one: one.valid_from.isoformat()).value)
    return found


def answers_remembered(columns: Iterable[Column], kept: Mapping[str, str]) -> tuple[ColumnAnswer, ...]:
    """What is remembered of the columns that would have to be asked about."""
    return tuple(
        ColumnAnswer(column.name, column.heading, kept[subject_of(column)])
        for column in columns
        if column.why and subject_of(column) in kept
    )


def fit(
    columns: Sequence[Column], problems: Sequence[Problem], answers: Iterable[ColumnAnswer]
) -> list[ColumnAnswer]:
    """Those answers whose columns, read so, have cells that give the fact; not those where every cell is a fault."""
    places = (problem.where for problem in problems if problem.spoils)
    faulty = {(where.file, where.sheet, where.column) for where in places if isinstance(where, FilePlace)}
    return [
        answer
        for answer in answers
        if not any(
            column.heading == answer.heading
            and column.name == answer.sheet
            and (column.sheet.file, column.sheet.sheet, column.place) in faulty
            for column in columns
        )
    ]


def statements_of(columns: Iterable[Column], told: Sequence[ColumnAnswer], origin: str) -> list[Known]:
    """What was said of columns, as it is kept."""
    return [
        Known(Statement(subject_of(column), COLUMN_HOLDS.name, answer.means), origin)
        for column in columns
        for answer in told
        if column.heading == answer.heading and answer.sheet in ("", column.name) and column.table
    ]
