"""Files as a whole, through the reading process: every kind that is read, and every way a file can be no use."""

import random
import zipfile
from datetime import date, datetime, time
from pathlib import Path

import openpyxl
import pytest
import xlwt
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from airwrit.base.errors import UnreadableFile
from airwrit.intake.reader.cells import EMPTY, Cell, Kind, letters_of, read_book
from airwrit.intake.reader.limits import OLE, Limits
from tests.unit.intake.books import Rows, write_ods, write_xlsx


def test_letters_of_columns() -> None:
    assert [letters_of(column) for column in (0, 25, 26, 701, 702)] == ["A", "Z", "AA", "ZZ", "AAA"]


def test_the_cells_of_a_workbook_by_their_kinds(tmp_path: Path) -> None:
    rows: Rows = [
        ["x", 1, 1.5, 1e18, True],
        [None, date(2024, 3, 5), datetime.fromisoformat("2024-03-05 01:02"), time(3, 4), "0100"],
    ]
    (sheet,) = read_book(write_xlsx(tmp_path / "t.xlsx", {"Fleet": rows})).sheets
    assert sheet.label == "t.xlsx sheet 'Fleet'"
    assert sheet.rows == (
        (
            Cell(Kind.TEXT, "x"),
            Cell(Kind.NUMBER, "1"),
            Cell(Kind.NUMBER, "1.5"),
            Cell(Kind.NUMBER, "1e+18"),
            Cell(Kind.BOOL, "yes"),
        ),
        (
            EMPTY,
            Cell(Kind.DAY, "2024-03-05"),
            Cell(Kind.INSTANT, "2024-03-05 01:02:00"),
            Cell(Kind.TIME, "03:04:00"),
            Cell(Kind.TEXT, "0100"),
        ),
    )


def test_a_table_that_does_not_start_in_a1_keeps_its_place(tmp_path: Path) -> None:
    rows: Rows = [[], [], [None, None, "x"]]
    (sheet,) = read_book(write_xlsx(tmp_path / "t.xlsx", {"Fleet": rows})).sheets
    assert (sheet.top, sheet.left, sheet.letter(0)) == (2, 2, "C")


def test_errors_formulas_hidden_sheets_merged_cells_and_the_1904_count(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.append(["a", "b", "c"])
    sheet.append(["=1+1", "#REF!", "x"])
    sheet.merge_cells("C2:D3")
    book.create_sheet("Old").sheet_state = "hidden"
    book.epoch = CALENDAR_MAC_1904
    book.save(tmp_path / "t.xlsx")
    first, old = read_book(tmp_path / "t.xlsx").sheets
    assert first.rows[1] == (EMPTY, Cell(Kind.ERROR, "#REF!"), Cell(Kind.TEXT, "x"))
    assert first.formulas == {(1, 0)}
    assert first.merged == ((1, 2, 2, 3),)
    assert first.from_1904
    assert (old.hidden, old.rows) == (True, ())


def test_an_xls(tmp_path: Path) -> None:
    book = xlwt.Workbook()
    sheet = book.add_sheet("Fleet")
    sheet.write(0, 0, "x")
    sheet.write(1, 1, 17)
    sheet.write(1, 2, date(2024, 3, 5), xlwt.easyxf(num_format_str="YYYY-MM-DD"))
    book.save(str(tmp_path / "t.xls"))
    found = read_book(tmp_path / "t.xls")
    assert found.kind == "xls"
    assert found.sheets[0].rows[1][1:] == (Cell(Kind.NUMBER, "17"), Cell(Kind.DAY, "2024-03-05"))


def test_an_ods(tmp_path: Path) -> None:
    rows = (
        '<table:table-row><table:table-cell office:value-type="string"><text:p>x</text:p></table:table-cell>'
        '<table:table-cell office:value-type="float" office:value="1.5"><text:p>1.5</text:p></table:table-cell>'
        '<table:table-cell office:value-type="date" office:date-value="2024-03-05"><text:p>3/5</text:p></table:table-cell>'
        '<table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>TRUE</text:p></table:table-cell>'
        "</table:table-row>"
    )
    (sheet,) = read_book(write_ods(tmp_path / "t.ods", rows)).sheets
    assert sheet.rows == (
        (
            Cell(Kind.TEXT, "x"),
            Cell(Kind.NUMBER, "1.5"),
            Cell(Kind.DAY, "2024-03-05"),
            Cell(Kind.BOOL, "yes"),
        ),
    )


def test_a_csv_is_called_by_its_file_s_name_and_its_cells_are_text(tmp_path: Path) -> None:
    path = tmp_path / "fleet.csv"
    path.write_text("Aircraft;Weight\nH-01;0,249 kg\n007; \n", encoding="utf-8")
    (sheet,) = read_book(path).sheets
    assert (sheet.name, sheet.label) == ("fleet", "fleet.csv")
    assert sheet.rows[1:] == (
        (Cell(Kind.TEXT, "H-01"), Cell(Kind.TEXT, "0,249 kg")),
        (Cell(Kind.TEXT, "007"), EMPTY),
    )


def test_the_content_decides_not_the_ending(tmp_path: Path) -> None:
    (tmp_path / "fleet.xls").write_text("a\tb\n1\t2\n", encoding="utf-16")
    assert read_book(tmp_path / "fleet.xls").kind == "csv"


def xlsx_bytes(folder: Path) -> bytes:
    """A sound workbook."""
    return write_xlsx(
        folder / "sound.xlsx", {"Fleet": [["Aircraft", "Maker"], ["H-01", "Korrin Works"]]}
    ).read_bytes()


def test_a_file_that_cannot_be_read_says_what_where_and_what_to_do(tmp_path: Path) -> None:
    sound = xlsx_bytes(tmp_path)
    dice = random.Random(5)
    cases = {
        "empty.xlsx": (b"", "The file is empty."),
        "blank.csv": (b" \r\n\n", "The file is empty."),
        "zeros.bin": (b"\0" * 5000, "The file is empty."),
        "truncated.xlsx": (sound[: len(sound) // 2], "cut short or damaged"),
        "locked.xlsx": (OLE + b"\0" * 600 + "EncryptedPackage".encode("utf-16-le"), "password"),
        "ole.doc": (OLE + b"\0" * 600, "damaged, or isn't a spreadsheet"),
        "random.xlsx": (b"\0" + dice.randbytes(3000), "isn't a spreadsheet or a text file."),
        "page.xls": (b"<html><table></table></html>", "a web page"),
    }
    for name, (data, says) in cases.items():
        (tmp_path / name).write_bytes(data)
        with pytest.raises(UnreadableFile, match=says) as caught:
            read_book(tmp_path / name)
        assert caught.value.where == name
        assert caught.value.do


def test_what_is_no_file_says_so(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match="folder"):
        read_book(tmp_path)
    with pytest.raises(UnreadableFile, match=r"doesn.t exist"):
        read_book(tmp_path / "gone.xlsx")


def test_a_file_beyond_the_limits_is_refused(tmp_path: Path) -> None:
    xlsx_bytes(tmp_path)
    path = tmp_path / "sound.xlsx"
    with pytest.raises(UnreadableFile, match="The most we read is"):
        read_book(path, Limits(file_bytes=100))
    with pytest.raises(UnreadableFile, match="more than 3 cells"):
        read_book(path, Limits(cells=3))
    with pytest.raises(UnreadableFile, match="npacked, the file is far larger"):
        read_book(path, Limits(unpacked_bytes=100))


def test_a_reader_that_is_killed_or_never_ends_is_told(tmp_path: Path) -> None:
    xlsx_bytes(tmp_path)
    path = tmp_path / "sound.xlsx"
    with pytest.raises(UnreadableFile, match=r"The file is damaged,"):
        read_book(path, Limits(memory_bytes=2**20))
    with pytest.raises(UnreadableFile, match="after 0 seconds"):
        read_book(path, Limits(seconds=0))


def test_a_cell_far_from_the_table_is_refused_not_allocated(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    book.worksheets[0]["A1"], book.worksheets[0]["XFD1048576"] = "x", "y"
    book.save(tmp_path / "far.xlsx")
    with pytest.raises(UnreadableFile, match="far from"):
        read_book(tmp_path / "far.xlsx")


def test_a_damaged_member_ends_in_a_refusal(tmp_path: Path) -> None:
    xlsx_bytes(tmp_path)
    with (
        zipfile.ZipFile(tmp_path / "sound.xlsx") as sound,
        zipfile.ZipFile(tmp_path / "bad.xlsx", "w") as bad,
    ):
        for item in sound.infolist():
            data = sound.read(item)
            bad.writestr(item.filename, data[: len(data) // 2] if "sheet1" in item.filename else data)
    with pytest.raises(UnreadableFile, match=r"bad\.xlsx"):
        read_book(tmp_path / "bad.xlsx")


def test_damaged_files_are_read_or_refused_and_never_anything_else(tmp_path: Path) -> None:
    sound, dice = xlsx_bytes(tmp_path), random.Random(3)
    for _ in range(8):
        data = bytearray(sound)
        for _ in range(20):
            data[dice.randrange(len(data))] = dice.randrange(256)
        (tmp_path / "t.xlsx").write_bytes(data)
        try:
            sheets = read_book(tmp_path / "t.xlsx").sheets
        except UnreadableFile:
            continue
        assert sheets
