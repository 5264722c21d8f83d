"""What every report is made of: a title, the answer in sentences, tables of typed cells, and notes on what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple

from airwrit.answers.document import CAUTION, Json
from airwrit.answers.law_reading import reading_json
from airwrit.base.sentences import day_words
from airwrit.base.verdict import Verdict

ReportCell = str | int | Decimal | date | None
"""A text, a count, an amount, a day; None where it is not known."""
UNKNOWN = "not on file"
"""How a cell reads whose value is not known."""


class CellKind(StrEnum):
    """What a column holds; only texts are set from the left."""

    TEXT = "text"
    COUNT = "count"
    AMOUNT = "amount"
    DAY = "day"


class ReportColumn(NamedTuple):
    """A column: its name in JSON, its heading, and what it holds."""

    name: str
    title: str
    kind: CellKind = CellKind.TEXT


@dataclass(frozen=True, slots=True)
class ReportTable:
    """Rows under columns; `total` is a last row of sums, `empty` says what it means that there is no row."""

    name: str
    title: str
    columns: tuple[ReportColumn, ...]
    rows: tuple[tuple[ReportCell, ...], ...]
    total: tuple[ReportCell, ...] = ()
    empty: str = "None."


@dataclass(frozen=True, slots=True)
class ProgramReport:
    """A report as of a day: its title, what it covers, the answer in sentences, its tables, and notes on gaps.

    `scope` says what it is based on; `about` are the subjects it tells of, none for the whole program.
    """

    name: str
    title: str
    covers: str
    on: date
    scope: str
    says: tuple[str, ...]
    tables: tuple[ReportTable, ...]
    notes: tuple[str, ...]
    verdict: Verdict
    about: tuple[str, ...] = ()

    def table(self, name: str) -> ReportTable:
        """The table of a name."""
        return next(one for one in self.tables if one.name == name)


def cell_text(cell: ReportCell) -> str:
    """A cell as people read it."""
    if cell is None:
        return UNKNOWN
    if isinstance(cell, date):
        return day_words(cell)
    if isinstance(cell, Decimal):
        return f"{cell:,f}"
    return f"{cell:,}" if isinstance(cell, int) else cell


def report_document(report: ProgramReport) -> Json:
    """The report as a document: each table by its name, each row by the names of its columns."""
    return {
        "question": "report",
        "report": report.name,
        "title": report.title,
        "covers": report.covers,
        "on": report.on.isoformat(),
        **reading_json(report.on),
        "scope": report.scope,
        "caution": CAUTION,
        "verdict": report.verdict.value,
        "says": list(report.says),
        "tables": {
            table.name: {
                "title": table.title,
                "rows": [_row_json(table, row) for row in table.rows],
                "total": _row_json(table, table.total) if table.total else None,
            }
            for table in report.tables
        },
        "notes": list(report.notes),
    }


def _row_json(table: ReportTable, row: tuple[ReportCell, ...]) -> Json:
    return {column.name: _cell_json(cell) for column, cell in zip(table.columns, row, strict=True)}


def _cell_json(cell: ReportCell) -> str | int | None:
    if isinstance(cell, date):
        return cell.isoformat()
    return format(cell, "f") if isinstance(cell, Decimal) else cell
