"""A report as a workbook: a sheet of the answer, then one for each table, its numbers and days as such."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, time
from decimal import Decimal
from io import BytesIO
from typing import Any

import xlsxwriter

from airwrit.answers.document import CAUTION
from airwrit.answers.reports.report import UNKNOWN, CellKind, ProgramReport, ReportCell, ReportTable
from airwrit.papers.workbook import CREATED, OPTIONS, safe_text

_WIDTHS = {CellKind.TEXT: 24, CellKind.COUNT: 10, CellKind.AMOUNT: 12, CellKind.DAY: 14}
_LONGEST_NAME = 31


def report_xlsx(report: ProgramReport) -> bytes:
    """The workbook; texts stay texts, so that no cell runs as a formula. Same report, same bytes."""
    made = BytesIO()
    with xlsxwriter.Workbook(made, OPTIONS) as book:
        book.set_properties({"created": CREATED, "title": safe_text(report.title), "comments": CAUTION})
        looks = {
            "head": book.add_format({"bold": True, "bottom": 1, "text_wrap": True, "valign": "top"}),
            "text": book.add_format({"text_wrap": True, "valign": "top"}),
            "day": book.add_format({"num_format": "mmm d, yyyy", "valign": "top", "align": "left"}),
            "total": book.add_format({"bold": True, "top": 1, "valign": "top"}),
        }
        _answer(book.add_worksheet("Report"), report, looks)
        for table in report.tables:
            _sheet(book.add_worksheet(_name(table.name)), table, looks)
    return made.getvalue()


def _name(name: str) -> str:
    return name.replace("_", " ").capitalize()[:_LONGEST_NAME]


def _answer(sheet: Any, report: ProgramReport, looks: dict[str, Any]) -> None:
    """The title, the answer, the notes, and what it is based on."""
    sheet.set_column(0, 0, 110)
    lines = (f"{report.title}: {report.covers}", report.scope, *report.says, *report.notes, CAUTION)
    for number, line in enumerate(lines):
        sheet.write_string(number, 0, safe_text(line), looks["head"] if number == 0 else looks["text"])


def _sheet(sheet: Any, table: ReportTable, looks: dict[str, Any]) -> None:
    sheet.set_landscape()
    sheet.fit_to_pages(1, 0)
    sheet.freeze_panes(1, 1)
    sheet.repeat_rows(0)
    for at, column in enumerate(table.columns):
        sheet.write_string(0, at, safe_text(column.title), looks["head"])
        longest = max((len(str(row[at])) for row in table.rows if isinstance(row[at], str)), default=0)
        sheet.set_column(at, at, min(60, max(_WIDTHS[column.kind], longest + 2)))
    if not table.rows:
        sheet.write_string(1, 0, table.empty, looks["text"])
    for number, row in enumerate(table.rows, start=1):
        _row(sheet, number, row, looks["text"], looks["day"])
    if table.total:
        _row(sheet, len(table.rows) + 1, table.total, looks["total"], looks["total"])


def _row(sheet: Any, number: int, row: Sequence[ReportCell], look: Any, day_look: Any) -> None:
    for at, cell in enumerate(row):
        if isinstance(cell, date):
            sheet.write_datetime(number, at, datetime.combine(cell, time()), day_look)
        elif isinstance(cell, int | Decimal):
            sheet.write_number(number, at, float(cell), look)
        else:
            sheet.write_string(number, at, safe_text(UNKNOWN if cell is None else cell), look)
