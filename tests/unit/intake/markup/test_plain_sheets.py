"""A sheet of .xlsx that tells nothing beside its values is not walked, and what is known of it is the same as walked."""

from __future__ import annotations

import io
import zipfile
from datetime import date

import openpyxl
import pytest
import xlsxwriter
from openpyxl.styles import Font
from openpyxl.worksheet.worksheet import Worksheet

from airwrit.intake.markup.xlsx_sheet import _plain_marks, _SheetPass
from airwrit.intake.reader.looks import CellLook

ROWS: list[list[str | int | date]] = [
    ["Aircraft", "Weight", "Since"],
    ["Maple 1", 900, date(2026, 1, 2)],
    ["", "x > 3 & y", ""],
]


def _xml(data: bytes) -> bytes:
    with zipfile.ZipFile(io.BytesIO(data)) as archive:
        return archive.read("xl/worksheets/sheet1.xml")


def _sheet(book: openpyxl.Workbook) -> Worksheet:
    sheet = book.active
    assert isinstance(sheet, Worksheet)
    return sheet


def _by_openpyxl(*, row: int = 1, column: int = 1) -> openpyxl.Workbook:
    book = openpyxl.Workbook()
    for at, values in enumerate(ROWS):
        for across, value in enumerate(values):
            _sheet(book).cell(row + at, column + across, value if value != "" else None)
    return book


def _saved(book: openpyxl.Workbook) -> bytes:
    file = io.BytesIO()
    book.save(file)
    return _xml(file.getvalue())


def _by_xlsxwriter() -> bytes:
    file = io.BytesIO()
    book = xlsxwriter.Workbook(file, {"in_memory": True})
    sheet = book.add_worksheet()
    for row, values in enumerate(ROWS):
        sheet.write_row(row + 4, 3, [str(value) for value in values])
    book.close()
    return _xml(file.getvalue())


@pytest.mark.parametrize(
    "xml", [_saved(_by_openpyxl()), _saved(_by_openpyxl(row=7, column=30)), _by_xlsxwriter()]
)
def test_a_plain_sheet_is_known_without_a_walk(xml: bytes) -> None:
    walked = _SheetPass({}, {})
    walked.walk.over(xml)
    assert _plain_marks(xml, {"7": CellLook(struck=True)}) == walked.marks


def test_an_empty_sheet_has_no_extent() -> None:
    marks = _plain_marks(_saved(openpyxl.Workbook()), {})
    assert marks is not None
    assert marks.extent.bottom == -1


def _told(change: str) -> bytes:
    book = _by_openpyxl()
    sheet = _sheet(book)
    if change == "hidden row":
        sheet.row_dimensions[2].hidden = True
    elif change == "hidden column":
        sheet.column_dimensions["B"].hidden = True
    elif change == "flat row":
        sheet.row_dimensions[2].height = 0
    elif change == "formula":
        sheet["B2"] = "=1+1"
    elif change == "error":
        sheet["B2"] = "#N/A"
    elif change == "look":
        sheet["B2"].font = Font(strike=True)
    return _saved(book)


@pytest.mark.parametrize("change", ["hidden row", "hidden column", "flat row", "formula", "error", "look"])
def test_a_sheet_with_more_to_tell_is_walked(change: str) -> None:
    assert _plain_marks(_told(change), {str(n): CellLook(struck=True) for n in range(1, 9)}) is None


@pytest.mark.parametrize(
    ("what", "instead"),
    [
        (b"</worksheet>", b""),
        (b'<c r="', b'<c  r="'),
        (b'<c r="A1"', b"<c r='A1'"),
        (b"<sheetData>", b"<!DOCTYPE x><sheetData>"),
        (b'<c r="A2"', b"<c"),
        (b"<row ", b"<x:row "),
    ],
)
def test_markup_written_in_an_unusual_way_is_walked(what: bytes, instead: bytes) -> None:
    xml = _saved(_by_openpyxl())
    assert what in xml
    assert _plain_marks(xml.replace(what, instead), {}) is None
