"""A report as PDF: the answer in sentences, then its tables; of a very long one its first rows."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.answers.document import CAUTION
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportCell, ReportTable, cell_text
from airwrit.law.parameters import late_reading
from airwrit.papers.typeset import Json, paper_name, pdf_of, printable

TEMPLATE = "report.typ"
_LONG = 24
"""A column with a text as long as this shares the room that others leave."""
_LONGEST = 300
MOST_ROWS = 500
"""So many rows of a table are set: more would be a book. The workbook has them all."""


def report_pdf(report: ProgramReport) -> bytes:
    """The report: the same report gives the same bytes."""
    data: Json = {
        "title": printable(report.title, 110),
        "program": "airwrit",
        "day": printable(report.covers, 110),
        "paper": paper_name(),
        "foot": printable(f"{report.title}, {report.covers}", 110),
        "scope": report.scope,
        "caution": CAUTION,
        "late": late_reading(report.on),
        "says": [printable(one, _LONGEST) for one in report.says],
        "tables": [_table(one) for one in report.tables],
        "notes": [printable(one, _LONGEST) for one in report.notes],
    }
    return pdf_of(TEMPLATE, data, report.on)


def _table(table: ReportTable) -> Json:
    rows = [[_cell(cell) for cell in row] for row in table.rows[:MOST_ROWS]]
    more = len(table.rows) - len(rows)
    return {
        "title": table.title,
        "empty": table.empty,
        "more": f"{more:,} more rows. The workbook has them all." if more else "",
        "columns": [
            {
                "title": column.title,
                "right": column.kind in (CellKind.COUNT, CellKind.AMOUNT),
                "wide": _is_wide([row[at] for row in rows]) or len(table.columns) == 1,
            }
            for at, column in enumerate(table.columns)
        ],
        "rows": rows,
        "total": [_cell(cell) for cell in table.total] or None,
    }


def _cell(cell: ReportCell) -> str | None:
    return None if cell is None else printable(cell_text(cell), _LONGEST)


def _is_wide(texts: Sequence[str | None]) -> bool:
    return any(text is not None and len(text) >= _LONG for text in texts)
