"""What the eye sees of a generated workbook's cells, as openpyxl reads it from the same file (openpyxl/SOURCE.toml)."""

from __future__ import annotations

import random
from pathlib import Path
from typing import Any

import openpyxl
import xlsxwriter
from openpyxl.cell.rich_text import CellRichText, TextBlock
from openpyxl.styles.colors import COLOR_INDEX
from openpyxl.styles.fills import fills

from airwrit.intake.markup.colors import indexed_colors, patterns
from airwrit.intake.reader.cells import Sheet, read_book
from airwrit.intake.reader.looks import CellLook

ROWS, COLUMNS = 60, 9
FILLS = ("", "#ffc7ce", "#c6efce", "#ffeb9c", "#ffffff")


def write(path: Path, dice: random.Random) -> None:
    """A workbook of cells struck, filled, noted and hidden at random."""
    book = xlsxwriter.Workbook(str(path))
    sheet = book.add_worksheet("Fleet")
    plain, struck = book.add_format(), book.add_format({"font_strikeout": True})
    formats = [
        book.add_format({"font_strikeout": line} | ({"bg_color": fill, "pattern": 1} if fill else {}))
        for line in (False, True)
        for fill in FILLS
    ]
    for row in range(1, ROWS):
        for column in range(2, COLUMNS):
            way = dice.randrange(6)
            if way == 0:
                sheet.write_rich_string(row, column, plain, "keep ", struck, "gone", plain, " on")
            elif way == 1:
                sheet.write_blank(row, column, None, dice.choice(formats))
            else:
                sheet.write(row, column, f"r{row}", dice.choice([*formats, None, None, None]))
            if dice.random() < 0.1:
                sheet.write_comment(row, column, f"seen in row {row}", {"author": "A Keeper"})
    for row in dice.sample(range(1, ROWS), 9):
        sheet.set_row(row, None, None, {"hidden": True})
    sheet.set_column(3, 4, None, None, {"hidden": True})
    book.close()


def as_look(cell: Any) -> CellLook:
    """How the other reader sees a cell."""
    pattern = cell.fill.patternType
    color = str(cell.fill.fgColor.rgb)[-6:].lower() if pattern == "solid" else ""
    struck, part = bool(cell.font.strike), ""
    if isinstance(cell.value, CellRichText):
        parts = [piece for piece in cell.value if isinstance(piece, TextBlock) and piece.font.strike]
        struck, part = bool(parts), " ".join(piece.text for piece in parts)
    note = cell.comment.text if cell.comment else ""
    return CellLook(struck, "" if color == "ffffff" else color, note, part)


def test_looks_are_read_as_openpyxl_reads_them(tmp_path: Path) -> None:
    path = tmp_path / "t.xlsx"
    write(path, random.Random(21))
    (ours,) = read_book(path).sheets
    theirs = openpyxl.load_workbook(path, rich_text=True).worksheets[0]
    compared = set()
    for row in range(len(ours.rows)):
        for column in range(len(ours.rows[row])):
            look = as_look(theirs.cell(ours.top + row + 1, ours.left + column + 1))
            assert ours.look(row, column) == look, (row, column)
            compared.add(look)
    assert len(compared) > 12
    assert (ours.hidden_rows, ours.hidden_columns) == hidden_in(theirs)
    assert ours.unseen == frozenset()


def hidden_in(theirs: Any) -> tuple[frozenset[int], frozenset[int]]:
    """Hidden rows and columns as the other reader has them, 0-based."""
    rows = frozenset(number - 1 for number, row in theirs.row_dimensions.items() if row.hidden)
    columns = frozenset(
        at - 1
        for column in theirs.column_dimensions.values()
        if column.hidden
        for at in range(column.min, column.max + 1)
    )
    return rows, columns


def test_the_palette_is_that_of_openpyxl() -> None:
    assert list(indexed_colors()) == [color[-6:].lower() for color in COLOR_INDEX[:64]]


def test_every_pattern_of_openpyxl_has_a_share() -> None:
    assert set(patterns()) == {"none", *fills}


def test_the_value_of_a_hidden_sheet_is_read_and_said_to_be_hidden(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.worksheets[0]["A1"] = "x"
    for name, state in (("Old", "hidden"), ("Older", "veryHidden")):
        sheet = book.create_sheet(name)
        sheet["A1"], sheet.sheet_state = "y", state
    book.save(tmp_path / "t.xlsx")
    sheets: tuple[Sheet, ...] = read_book(tmp_path / "t.xlsx").sheets
    assert [sheet.is_hidden(0, 0) for sheet in sheets] == [False, True, True]
