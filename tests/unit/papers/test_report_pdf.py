"""A report on paper and in a workbook: the same bytes each time; a very long table says how many rows follow."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from io import BytesIO

import openpyxl

from airwrit.answers.document import SCOPE_OF_RECORDS
from airwrit.answers.reports.report import CellKind, ProgramReport, ReportCell, ReportColumn, ReportTable
from airwrit.base.verdict import Verdict
from airwrit.papers.report_pdf import MOST_ROWS, report_pdf
from airwrit.papers.report_xlsx import report_xlsx
from tests.unit.papers.pictures import text_of

ON = date(2026, 11, 30)
COLUMNS = (
    ReportColumn("name", "Aircraft"),
    ReportColumn("day", "Day", CellKind.DAY),
    ReportColumn("hours", "Hours", CellKind.AMOUNT),
)


def report(rows: tuple[tuple[ReportCell, ...], ...]) -> ProgramReport:
    """A report of one table."""
    table = ReportTable("aircraft", "By aircraft", COLUMNS, rows, ("Total", None, Decimal("1.5")))
    return ProgramReport(
        "month", "Monthly", "November", ON, SCOPE_OF_RECORDS, ("Two.",), (table,), ("A note.",), Verdict.MET
    )


def test_the_same_report_gives_the_same_bytes_with_every_cell() -> None:
    told = report((("Alder 1", ON, Decimal("1.5")), ("=1+1", None, None)))
    assert report_pdf(told) == report_pdf(told)
    assert report_xlsx(told) == report_xlsx(told)
    text = text_of(report_pdf(told))
    assert "Alder 1 Nov 30, 2026 1.5" in text
    assert "=1+1 not on file not on file" in text
    sheet = openpyxl.load_workbook(BytesIO(report_xlsx(told)))["Aircraft"]
    assert sheet["C2"].value == 1.5
    assert sheet["B2"].value.date() == ON
    assert (sheet["A3"].value, sheet["A3"].data_type, sheet["B3"].value) == ("=1+1", "s", "not on file")


def test_a_very_long_table_says_how_many_rows_follow() -> None:
    many = tuple((f"A{number}", ON, Decimal(1)) for number in range(MOST_ROWS + 7))
    text = text_of(report_pdf(report(many)))
    assert "7 more rows. The workbook has them all." in text
    assert f"A{MOST_ROWS - 1} " in text
    assert f"A{MOST_ROWS} " not in text
