"""Cells of a generated workbook as openpyxl, and a generated CSV file as csv reads them (openpyxl/SOURCE.toml)."""

from __future__ import annotations

import csv
import random
from datetime import date, datetime, time, timedelta
from pathlib import Path

import openpyxl
import xlsxwriter

from airwrit.intake.reader.cells import Cell, Kind, Sheet, read_book

SIGNS = "abc XYZ 012 ,;'\"\näøß–✓東"


def value_of(dice: random.Random) -> object:
    """One value of any kind a sheet holds, or None."""
    kind = dice.randrange(8)
    if kind == 0:
        return None
    if kind == 1:
        return dice.randrange(-(10**6), 10**6)
    if kind == 2:
        return dice.uniform(-1e6, 1e6)
    if kind == 3:
        return dice.random() < 0.5
    if kind == 4:
        return date(1990, 1, 1) + timedelta(days=dice.randrange(20_000))
    if kind == 5:
        return datetime.fromisoformat("2020-01-01 00:00:01") + timedelta(seconds=dice.randrange(10**8))
    return "".join(dice.choices(SIGNS, k=dice.randrange(1, 12))) + "."


def as_cell(value: object) -> Cell:
    """What our reader should say of a value openpyxl found."""
    if value is None:
        return Cell(Kind.EMPTY, "")
    if isinstance(value, bool):
        return Cell(Kind.BOOL, "yes" if value else "no")
    if isinstance(value, int | float):
        return Cell(Kind.NUMBER, str(int(value)) if value == int(value) else repr(float(value)))
    if isinstance(value, datetime):
        whole = value.time() == time()
        return Cell(Kind.DAY, value.date().isoformat()) if whole else Cell(Kind.INSTANT, value.isoformat(" "))
    return Cell(Kind.TEXT, str(value))


def cell_at(sheet: Sheet, row: int, column: int) -> Cell:
    """The cell at a 0-based place of the whole sheet."""
    row, column = row - sheet.top, column - sheet.left
    if not 0 <= row < len(sheet.rows) or not 0 <= column < len(sheet.rows[row]):
        return Cell(Kind.EMPTY, "")
    return sheet.rows[row][column]


def test_a_workbook_is_read_as_openpyxl_reads_it(tmp_path: Path) -> None:
    dice = random.Random(11)
    path = tmp_path / "t.xlsx"
    book = xlsxwriter.Workbook(
        str(path),
        {
            "default_date_format": "yyyy-mm-dd hh:mm:ss",
            "strings_to_formulas": False,
            "strings_to_urls": False,
        },
    )
    sheet = book.add_worksheet("Fleet")
    for row in range(2, 300):
        for column in range(1, 12):
            sheet.write(row, column, value_of(dice))
    book.close()
    (ours,) = read_book(path).sheets
    theirs = openpyxl.load_workbook(path).worksheets[0]
    compared = 0
    for cells in theirs.iter_rows(min_row=1, max_row=theirs.max_row, max_col=theirs.max_column):
        for cell in cells:
            assert cell.row is not None
            assert cell.column is not None
            mine = cell_at(ours, cell.row - 1, cell.column - 1)
            if mine.kind is Kind.INSTANT:
                assert isinstance(cell.value, datetime)
                near = abs(datetime.fromisoformat(mine.text) - cell.value) < timedelta(milliseconds=1)
                assert near, cell.coordinate
            else:
                assert mine == as_cell(cell.value), cell.coordinate
            compared += 1
    assert compared > 3000


def test_a_csv_file_is_read_as_the_csv_module_reads_it(tmp_path: Path) -> None:
    dice = random.Random(12)
    for delimiter in ",;\t|":
        path = tmp_path / "t.csv"
        rows = [[str(value_of(dice) or "") for _ in range(7)] for _ in range(200)]
        with path.open("w", encoding="utf-8", newline="") as file:
            csv.writer(file, delimiter=delimiter).writerows(rows)
        with path.open(encoding="utf-8", newline="") as file:
            theirs = [list(row) for row in csv.reader(file, delimiter=delimiter)]
        (ours,) = read_book(path).sheets
        assert [[cell.text for cell in row] for row in ours.rows] == theirs
