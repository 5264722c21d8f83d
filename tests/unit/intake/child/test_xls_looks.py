"""What an .xls file tells of how its cells look, with records written by hand where no writer writes them; and damage."""

from __future__ import annotations

import io
import random
import struct

import pytest
import xlwt
from xlwt.CompoundDoc import XlsDoc

from airwrit.base.errors import UnreadableFile
from airwrit.intake.child.xls import markup_of_xls
from airwrit.intake.reader.cells import Book, Sheet, book_of
from airwrit.intake.reader.limits import LIMITS
from airwrit.intake.reader.looks import PLAIN, CellLook, Unseen

PLAIN_FONT = xlwt.easyxf("").font
STRUCK_FONT = xlwt.easyxf("font: struck_out on").font
FILLS = {
    "pattern: pattern solid, fore_colour yellow": "ffff00",
    "pattern: pattern fine_dots, fore_colour red, back_colour white": "ff8080",
    "pattern: pattern solid, fore_colour white": "",
    "font: bold on": "",
}


def record(number: int, body: bytes) -> bytes:
    """A record with its length."""
    return struct.pack("<HH", number, len(body)) + body


def anchor(column: int, row: int, end: int, dx: int = 10) -> bytes:
    """A drawing that reaches from the top of one row to a quarter of another."""
    place = struct.pack("<9H", 0, column, dx, row, 20, column + 1, 5, end, 64)
    return record(0xEC, b"\x0f\x00\x04\xf0\x1a\x00\x00\x00" + struct.pack("<HHI", 0, 0xF010, 18) + place)


def check_box(state: int) -> bytes:
    """An object that is a check box."""
    parts = record(0x15, struct.pack("<HHH12x", 0x0B, 7, 0x11)) + record(0x0A, bytes(12))
    return record(0x5D, parts + record(0x12, struct.pack("<4H", state, 0, 0, 2)) + bytes(4))


def note(row: int, column: int, text: str, author: str) -> bytes:
    """The records of a comment."""
    shape = record(0x5D, record(0x15, struct.pack("<HHH12x", 0x19, 9, 0x11)) + bytes(4))
    body = record(0x1B6, struct.pack("<HH6sHHH", 0x212, 0, bytes(6), len(text), 16, 0) + bytes(4))
    body += record(0x3C, b"\0" + text.encode("latin-1"))
    body += record(0x3C, struct.pack("<HH4x", 0, 0) + struct.pack("<HH4x", len(text), 0))
    name = struct.pack("<HB", len(author), 0) + author.encode("latin-1") + b"\0"
    return anchor(0, 0, 1) + shape + body + record(0x1C, struct.pack("<4H", row, column, 0, 9) + name)


def data_of(book: xlwt.Workbook, more: bytes = b"") -> bytes:
    """A workbook's bytes, with records more at the end of its last sheet."""
    stream, file = book.get_biff_data(), io.BytesIO()
    XlsDoc().save(file, stream[:-4] + more + stream[-4:])
    return file.getvalue()


def workbook(name: str = "Fleet") -> tuple[xlwt.Workbook, xlwt.Worksheet]:
    """A workbook with one sheet that has one value."""
    book = xlwt.Workbook()
    sheet = book.add_sheet(name)
    sheet.write(0, 0, "x")
    return book, sheet


def sheet_in(data: bytes) -> Sheet:
    """The first sheet, through the reading process."""
    return book_of(data, "t.xls", LIMITS).sheets[0]


def test_fills_and_struck_out_text() -> None:
    book, sheet = workbook()
    for row, style in enumerate(FILLS, 1):
        sheet.write(row, 0, "x", xlwt.easyxf(style))
    sheet.write(0, 1, "gone", xlwt.easyxf("font: struck_out on; pattern: pattern solid, fore_colour yellow"))
    sheet.write_rich_text(0, 2, (("keep ", PLAIN_FONT), ("gone", STRUCK_FONT), (" on", PLAIN_FONT)))
    sheet.write_rich_text(
        0, 3, (("gone", STRUCK_FONT), (" too", STRUCK_FONT)), xlwt.easyxf("font: struck_out on")
    )
    read = sheet_in(data_of(book))
    assert [read.look(row, 0).fill for row in range(5)] == ["", *FILLS.values()]
    assert read.look(0, 1) == CellLook(struck=True, fill="ffff00")
    assert read.look(0, 2) == CellLook(struck=True, struck_part="gone")
    assert read.look(0, 3) == CellLook(struck=True)
    assert read.unseen == frozenset()


def test_a_color_of_the_workbook_s_own() -> None:
    book, sheet = workbook()
    xlwt.add_palette_colour("own", 0x21)
    book.set_colour_RGB(0x21, 18, 52, 86)
    sheet.write(0, 1, "x", xlwt.easyxf("pattern: pattern solid, fore_colour own"))
    assert sheet_in(data_of(book)).look(0, 1) == CellLook(fill="123456")


def test_what_is_hidden() -> None:
    book, sheet = workbook()
    for row in range(1, 4):
        sheet.write(row, row, "x")
    sheet.row(2).hidden = True
    sheet.col(1).hidden = True
    other = book.add_sheet("Old")
    other.write(0, 0, "y")
    other.visibility = 1
    read: Book = book_of(data_of(book), "t.xls", LIMITS)
    assert (read.sheets[0].hidden_rows, read.sheets[0].hidden_columns) == (frozenset({2}), frozenset({1}))
    assert [sheet.hidden for sheet in read.sheets] == [False, True]


def test_comments_without_who_wrote_them() -> None:
    book, _ = workbook()
    more = note(0, 0, "A Keeper:\nlent out", "A Keeper") + note(40, 3, "see the log", "A Keeper")
    read = sheet_in(data_of(book, more))
    assert dict(read.looks) == {(0, 0): CellLook(note="lent out"), (40, 3): CellLook(note="see the log")}


@pytest.mark.parametrize(
    ("drawing", "state", "place", "box"),
    [
        (anchor(1, 4, 5), 1, (4, 1), True),
        (anchor(1, 4, 4), 0, (4, 1), False),
        (anchor(1, 4, 5, dx=1000), 1, (4, 2), True),
        (anchor(1, 4, 5), 2, (4, 1), None),
        (b"", 1, (4, 1), None),
    ],
)
def test_check_boxes_lie_over_cells(
    drawing: bytes, state: int, place: tuple[int, int], box: bool | None
) -> None:
    book, _ = workbook()
    assert sheet_in(data_of(book, drawing + check_box(state))).looks.get(place, PLAIN).box is box


@pytest.mark.parametrize("number", [0x01B0, 0x0879])
def test_conditions_are_said_and_not_worked_out(number: int) -> None:
    book, _ = workbook()
    assert sheet_in(data_of(book, record(number, bytes(14)))).unseen == {Unseen.CONDITIONAL}


def test_records_that_cannot_be_followed_leave_the_values() -> None:
    book, _ = workbook()
    read = sheet_in(data_of(book, record(0x1C, b"\0")))
    assert read.rows[0][0].text == "x"
    assert read.unseen == {Unseen.STYLES, Unseen.NOTES}


def test_damaged_bytes_give_marks_or_none() -> None:
    book, sheet = workbook()
    sheet.write_rich_text(0, 2, (("keep ", PLAIN_FONT), ("gone", STRUCK_FONT)))
    sound, dice = data_of(book, note(0, 0, "lent out", "A Keeper") + check_box(1)), random.Random(41)
    for _ in range(150):
        data = bytearray(sound)
        for _ in range(dice.randrange(1, 12)):
            data[dice.randrange(len(data))] = dice.randrange(256)
        cut = dice.choice([len(data), dice.randrange(600, len(data))])
        for marks in markup_of_xls(bytes(data[:cut])).sheets.values():
            assert set(marks.told()) == {"looks", "hidden_rows", "hidden_columns", "unseen"}


def test_bytes_that_only_start_like_one_are_a_refusal() -> None:
    with pytest.raises(UnreadableFile, match="a spreadsheet"):
        book_of(bytes.fromhex("d0cf11e0a1b11ae1") + b"and no more" * 100, "t.xls", LIMITS)
