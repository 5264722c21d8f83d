"""The color of letters: seen in every form of workbook, explained by a legend, or held where it singles out some rows."""

from __future__ import annotations

import io
import zipfile
from collections.abc import Callable

import openpyxl
import pytest
import xlwt
from openpyxl.styles import Font
from openpyxl.worksheet.worksheet import Worksheet

from airwrit.facts.keys.service import NOT_UNDERSTOOD, SERVICE_STATUS
from airwrit.intake.sheets import Intake, read_given
from benchmarks.bench_cells import SPACES

ROWS = [["Drone", "FAA number"], *([f"Fern {at}", f"FA00TEST0{at}"] for at in range(6))]
RED = 3
"""The row whose letters are red."""


def _xlsx(legend: str) -> tuple[str, bytes]:
    book = openpyxl.Workbook()
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    for at, row in enumerate([*ROWS, [], [legend]]):
        for column, text in enumerate(row, 1):
            cell = sheet.cell(at + 1, column, text or None)
            cell.font = Font(color="FFC00000") if at == RED else Font(color="FF000000")
    file = io.BytesIO()
    book.save(file)
    return "fleet.xlsx", file.getvalue()


def _xls(legend: str) -> tuple[str, bytes]:
    book = xlwt.Workbook()
    sheet = book.add_sheet("Fleet")
    plain, red = xlwt.easyxf(""), xlwt.easyxf("font: colour_index red")
    for at, row in enumerate([*ROWS, [], [legend]]):
        for column, text in enumerate(row):
            sheet.write(at, column, text, red if at == RED else plain)
    file = io.BytesIO()
    book.save(file)
    return "fleet.xls", file.getvalue()


def _ods(legend: str) -> tuple[str, bytes]:
    spaces = " ".join(f'xmlns:{name}="{space}"' for name, space in SPACES.items())
    red = '<style:style style:name="red" style:family="table-cell"><style:text-properties fo:color="#c00000"/></style:style>'
    body = ""
    for at, row in enumerate([*ROWS, [], [legend]]):
        name = ' table:style-name="red"' if at == RED else ""
        cells = "".join(
            f'<table:table-cell{name} office:value-type="string"><text:p>{text}</text:p></table:table-cell>'
            for text in row
        )
        body += f"<table:table-row>{cells or '<table:table-cell/>'}</table:table-row>"
    content = (
        f"<office:document-content {spaces}><office:automatic-styles>{red}</office:automatic-styles><office:body>"
        f'<office:spreadsheet><table:table table:name="Fleet">{body}</table:table></office:spreadsheet></office:body>'
        "</office:document-content>"
    )
    file = io.BytesIO()
    with zipfile.ZipFile(file, "w") as archive:
        archive.writestr("mimetype", "application/vnd.oasis.opendocument.spreadsheet")
        archive.writestr("META-INF/manifest.xml", "<manifest/>")
        archive.writestr("content.xml", content)
    return "fleet.ods", file.getvalue()


def said(intake: Intake, key: str) -> dict[str, object]:
    """What is said of a fact, by subject."""
    return {
        item.statement.subject: item.statement.value for item in intake.known if item.statement.key == key
    }


FORMS = pytest.mark.parametrize("form", [_xlsx, _xls, _ods])


@FORMS
def test_letters_of_another_color_hold_their_row(form: Callable[[str], tuple[str, bytes]]) -> None:
    intake = read_given([form("")])
    assert said(intake, NOT_UNDERSTOOD.name) == {"aircraft/Fern 2": "the letters are red"}


@FORMS
@pytest.mark.parametrize("legend", ["Red = grounded", "Red letters = grounded", "red text means grounded"])
def test_a_legend_explains_them(form: Callable[[str], tuple[str, bytes]], legend: str) -> None:
    intake = read_given([form(legend)])
    assert said(intake, SERVICE_STATUS.name) == {"aircraft/Fern 2": "out of service"}


def test_a_form_without_colors_holds_all_where_a_legend_speaks_of_letters() -> None:
    text = "\n".join(",".join(row) for row in [*ROWS, [], ["Red letters = grounded"]])
    intake = read_given([("fleet.csv", text.encode())])
    assert len(said(intake, NOT_UNDERSTOOD.name)) == 6
