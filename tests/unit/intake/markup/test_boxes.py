"""Check boxes in cells are yes or no in every form of workbook; those that are text stay text."""

from __future__ import annotations

import csv
from pathlib import Path

import openpyxl
import pytest
import xlsxwriter
import xlwt

from airwrit.intake.reader.cells import Cell, Kind, read_book
from tests.unit.intake.markup.test_ods_looks import cell, ods, row

TYPED = ("☐", "☑", "✓", "✗", "x", "TRUE")
SEEN = (Cell(Kind.BOOL, "yes"), Cell(Kind.BOOL, "no"), *(Cell(Kind.TEXT, text) for text in TYPED))


def in_cells(path: Path) -> None:
    """A workbook whose cells show boxes to click, as newer programs write them."""
    book = xlsxwriter.Workbook(str(path), {"strings_to_formulas": False})
    sheet = book.add_worksheet()
    sheet.insert_checkbox(0, 0, True)
    sheet.insert_checkbox(0, 1, False)
    for column, text in enumerate(TYPED, 2):
        sheet.write_string(0, column, text)
    book.close()


def plain(path: Path) -> None:
    """A workbook of yes and no."""
    book = openpyxl.Workbook()
    book.worksheets[0].append([True, False, *TYPED])
    book.save(path)


def older(path: Path) -> None:
    """The same in the older form."""
    book = xlwt.Workbook()
    sheet = book.add_sheet("Fleet")
    for column, value in enumerate((True, False, *TYPED)):
        sheet.write(0, column, value)
    book.save(str(path))


def open_document(path: Path) -> None:
    """The same as OpenDocument."""
    cells = (
        f'<table:table-cell office:value-type="boolean" office:boolean-value="{value}"><text:p>A</text:p></table:table-cell>'
        for value in ("true", "false")
    )
    path.write_bytes(ods(row(*cells, *(cell("", f"<text:p>{text}</text:p>") for text in TYPED))))


@pytest.mark.parametrize(
    ("name", "write"), [("in.xlsx", in_cells), ("t.xlsx", plain), ("t.xls", older), ("t.ods", open_document)]
)
def test_boxes_in_cells(tmp_path: Path, name: str, write: object) -> None:
    assert callable(write)
    write(tmp_path / name)
    assert read_book(tmp_path / name).sheets[0].rows[0] == SEEN


def test_boxes_in_text(tmp_path: Path) -> None:
    with (tmp_path / "t.csv").open("w", encoding="utf-8", newline="") as file:
        csv.writer(file).writerow(TYPED)
    assert [one.text for one in read_book(tmp_path / "t.csv").sheets[0].rows[0]] == list(TYPED)
