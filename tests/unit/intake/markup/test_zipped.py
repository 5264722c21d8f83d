"""A workbook's markup: formulas, errors, the start of its day count, and archives that are not to be trusted."""

from contextlib import suppress
from pathlib import Path

import openpyxl
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.markup.marks import Markup
from airwrit.intake.markup.zipped import markup_of
from airwrit.intake.reader.limits import LIMITS, Fault, Limits
from tests.unit.intake.books import write_ods, zip_of

BOOK = '<workbook xmlns:r="r"><sheets><sheet name="Fleet" r:id="a"/></sheets></workbook>'
LINKS = '<Relationships><Relationship Id="a" Target="worksheets/s.xml"/></Relationships>'
CELL = '<table:table-cell office:value-type="string"><text:p>x</text:p></table:table-cell>'


def workbook(sheet: str, book: str = BOOK) -> bytes:
    """A workbook with one sheet of this markup, as far as its markup is read."""
    return zip_of(
        {"xl/workbook.xml": book, "xl/_rels/workbook.xml.rels": LINKS, "xl/worksheets/s.xml": sheet}
    )


def test_formulas_and_errors_of_another_program_s_book(tmp_path: Path) -> None:
    book = openpyxl.Workbook()
    sheet = book.worksheets[0]
    sheet.title = "Fleet"
    sheet["B3"], sheet["C4"], sheet["AA1"] = "=1+1", "#N/A", "x"
    book.save(tmp_path / "t.xlsx")
    marks = markup_of((tmp_path / "t.xlsx").read_bytes(), LIMITS).sheets["Fleet"]
    assert marks.formulas == [(2, 1)]
    assert marks.errors == [(3, 2, "#N/A")]


@pytest.mark.parametrize(
    ("sheet", "formulas"),
    [
        ('<s><row r="2"><c r="B2"><f>1</f><v>1</v></c></row></s>', [(1, 1)]),
        ('<s><row r="2"><c><v>1</v></c><c><f t="shared" si="0"/></c></row></s>', [(1, 1)]),
        ("<s><row><c/></row><row><c><f>1</f></c></row></s>", [(1, 0)]),
        ('<x:s xmlns:x="x"><x:row r="1"><x:c r="C1"><x:f>1</x:f></x:c></x:row></x:s>', [(0, 2)]),
        ('<s><row r="1"><c r="A1"><v>1</v></c></row></s>', []),
    ],
)
def test_formulas_with_and_without_places(sheet: str, formulas: list[tuple[int, int]]) -> None:
    assert markup_of(workbook(sheet), LIMITS).sheets["Fleet"].formulas == formulas


def test_the_start_of_the_day_count() -> None:
    assert not markup_of(workbook("<s/>"), LIMITS).from_1904
    book = BOOK.replace("<sheets>", '<workbookPr date1904="1"/><sheets>')
    assert markup_of(workbook("<s/>", book), LIMITS).from_1904


def test_formulas_and_errors_of_an_ods(tmp_path: Path) -> None:
    formula = CELL.replace("office:value-type", 'table:formula="of:=1" office:value-type')
    error = CELL.replace("<table:table-cell", '<table:table-cell calcext:value-type="error"')
    rows = (
        f'<table:table-row table:number-rows-repeated="2">{CELL}</table:table-row>'
        f'<table:table-row><table:table-cell table:number-columns-repeated="3"/>{formula}{error}</table:table-row>'
    )
    marks = markup_of(write_ods(tmp_path / "t.ods", rows).read_bytes(), LIMITS).sheets["Fleet"]
    assert marks.formulas == [(2, 3)]
    assert marks.errors == [(2, 4, "error")]


@pytest.mark.parametrize(
    ("data", "says"),
    [
        (zip_of({"readme.txt": "x"}), "a zip archive, not a spreadsheet"),
        (zip_of({"xl/workbook.bin": "x"}), "binary workbook"),
        (workbook("<s><row><c><f>1</f>"), "cut short or damaged"),
        (workbook("<s><row r='x'><c><f>1</f></c></row></s>"), "damaged inside"),
        (workbook("<!DOCTYPE s [<!ENTITY a 'b'>]><s><c><f>1</f></c></s>"), "document type"),
        (workbook("<s/>", "<!DOCTYPE s [<!ENTITY a 'b'>]>" + BOOK), "document type"),
        (workbook("<s/>")[:-30], "cut short or damaged"),
        (b"PK\x03\x04 and no more", "cut short or damaged"),
    ],
)
def test_an_archive_that_is_no_sound_workbook_is_a_fault(data: bytes, says: str) -> None:
    with pytest.raises(Fault, match=says):
        markup_of(data, LIMITS)


def test_an_archive_that_unpacks_to_too_much_is_a_fault_before_it_is_unpacked() -> None:
    data = workbook("<s>" + " " * 100_000 + "</s>")
    assert len(data) < 2_000
    with pytest.raises(Fault, match="npacked, the file is far larger"):
        markup_of(data, Limits(unpacked_bytes=50_000))


def test_an_ods_with_a_password_is_a_fault(tmp_path: Path) -> None:
    path = write_ods(tmp_path / "t.ods", "", manifest="<manifest:encryption-data/>")
    with pytest.raises(Fault, match="password"):
        markup_of(path.read_bytes(), LIMITS)


@given(st.binary(max_size=200), st.integers(0, 400))
def test_a_damaged_archive_gives_markup_or_a_fault(noise: bytes, place: int) -> None:
    data = workbook("<s><row><c><f>1</f></c></row></s>")
    with suppress(Fault):
        assert isinstance(markup_of(data[:place] + noise + data[place + len(noise) :], LIMITS), Markup)
