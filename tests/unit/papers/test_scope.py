"""Every paper says once, at its top, that papers were judged and what was not looked at."""

from __future__ import annotations

from pathlib import Path

import openpyxl

from airwrit.answers.document import CAUTION, SCOPE
from airwrit.answers.registration.filing import worksheets_of
from airwrit.answers.registration.marks import marks_of
from airwrit.base.days import day_of
from airwrit.papers.filing_pdf import worksheet_pdf
from airwrit.papers.labels_pdf import marks_pdf
from airwrit.papers.workbook import write_standing
from tests.unit.answers.carry.test_pack import program
from tests.unit.answers.told import fleet
from tests.unit.papers.pictures import text_of


def test_papers_say_it_before_anything_else(tmp_path: Path) -> None:
    answer = fleet(program())
    day = day_of(answer.report.on)
    for made in (worksheet_pdf(worksheets_of(answer), day), marks_pdf(marks_of(answer), day)):
        text = " ".join(text_of(made).split())
        assert text.count(SCOPE) == 1
        assert text.index(SCOPE) < 60
        assert text.count(CAUTION) == 1


def test_a_workbook_says_it_on_its_first_line(tmp_path: Path) -> None:
    write_standing(fleet(program()), tmp_path / "a.xlsx")
    book = openpyxl.load_workbook(tmp_path / "a.xlsx")
    assert book.worksheets[0]["A1"].value == SCOPE
    assert book.worksheets[0]["A2"].value == "Name"
    said = [cell for sheet in book for row in sheet.iter_rows(values_only=True) for cell in row]
    assert (said.count(SCOPE), said.count(CAUTION)) == (1, 1)
