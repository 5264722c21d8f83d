"""Marks on paper: measured in millimetres off the picture, read back off the code, the same bytes each time."""

from __future__ import annotations

import hashlib
import io
import json
import subprocess
import sys
from datetime import date
from decimal import Decimal
from itertools import pairwise

import pytest
import typst
import zxingcpp
from PIL import Image

from airwrit.answers.registration.marks import LeftOut, Mark, MarkList, marks_for
from airwrit.base.verdict import Verdict
from airwrit.papers.labels_pdf import TEMPLATE, code_svg, marks_pdf, sheet_data
from airwrit.papers.typeset import FOLDER, Json, fonts, in_days
from tests.unit.papers.pictures import DOTS_PER_MM, PPI, column, dark_runs, opened, row, sizes_mm, text_of

DAY = date(2026, 11, 25)
FLAT = "FAHEHHEEHH"
"""A number of flat capitals: every letter is exactly as high as its strip says."""


def pictures_of(template: str, data: Json, ppi: float) -> list[bytes]:
    """The pages of the same paper as PNG pictures with `ppi` dots to the inch."""
    made: bytes | list[bytes] = typst.compile(
        FOLDER / template,
        root=FOLDER,
        font_paths=fonts(),
        ignore_system_fonts=True,
        format="png",
        ppi=ppi,
        sys_inputs={"data": json.dumps(in_days(data))},
    )
    return [made] if isinstance(made, bytes) else made


def picture(number: str, *heights: str, paper: str = "letter", ppi: float = PPI) -> Image.Image:
    marks = MarkList((Mark("aircraft/-", number, number.startswith("N"), "", ()),), ())
    data = sheet_data(marks, DAY, paper=paper, heights=[Decimal(mm) for mm in heights])
    return opened(pictures_of(TEMPLATE, data, ppi)[0])


@pytest.mark.parametrize("height", ["2", "4", "5.5", "8", "12", "17"])
def test_the_letters_are_as_high_as_said(height: str) -> None:
    """Every upright stroke of the strip is one dark run of a column, as long as the letter is high."""
    page = picture(FLAT, height)
    left, foot = round(page.width * 0.8), page.height - round(20 * DOTS_PER_MM)  # not the label at the right
    below_the_head = page.crop((0, round(64 * DOTS_PER_MM), left, foot))
    runs = [
        length / DOTS_PER_MM for x in range(0, left, 5) for _, length in dark_runs(column(below_the_head, x))
    ]
    tall = [mm for mm in runs if mm > float(height) * 0.95]
    assert len(tall) > 10
    assert all(abs(mm - float(height)) <= 0.06 for mm in tall)


@pytest.mark.parametrize("paper", ["letter", "A4"])
def test_the_ruler_measures_100_mm(paper: str) -> None:
    page = picture("FA00TEST01", "4", paper=paper)
    found = []
    for y in range(page.height - round(20 * DOTS_PER_MM), page.height):
        strokes = [at + length / 2 for at, length in dark_runs(row(page, y)) if length < 12]
        if len(strokes) == 101:
            found.append((strokes[-1] - strokes[0]) / DOTS_PER_MM)
            steps = [(b - a) / DOTS_PER_MM for a, b in pairwise(strokes)]
            assert all(abs(step - 1) < 0.08 for step in steps)
    assert found
    assert all(abs(mm - 100) < 0.06 for mm in found)


def test_the_papers_have_their_size() -> None:
    marks = marks_for(["FA00TEST01"])
    assert sizes_mm(marks_pdf(marks, DAY)) == {(215.9, 279.4)}
    assert sizes_mm(marks_pdf(marks, DAY, paper="A4")) == {(210.0, 297.0)}


@pytest.mark.parametrize("number", ["FA00TEST01", "FAMWMWMWMWMWMWMWMWMW", "FA00", "N1", "N99"])
def test_no_strip_leaves_the_page(number: str) -> None:
    for heights in ((), ("80",), ("80", "4", "40")):
        page = picture(number, *heights, ppi=127)
        edge = 5 * 5
        for box in (
            (0, 0, edge, page.height),
            (page.width - edge, 0, page.width, page.height),
        ):
            assert page.crop(box).getbbox() is None


def test_codes_are_read_back_at_150_dots_to_the_inch() -> None:
    numbers = [f"FA00TEST{at:02}" for at in range(1, 13)] + ["FAMWMWMWMWMWMWMWMWMW"]
    data = sheet_data(marks_for(numbers), DAY, codes=True)
    read = [
        code.text
        for page in pictures_of(TEMPLATE, data, 150)
        for code in zxingcpp.read_barcodes(Image.open(io.BytesIO(page)).convert("L"))
    ]
    assert sorted(read) == sorted(numbers)


def test_a_code_holds_the_number_alone() -> None:
    assert "FA00" not in code_svg("FA00TEST01")
    assert code_svg("FA00TEST01") == code_svg("FA00TEST01")


def test_the_same_marks_and_day_give_the_same_bytes_in_another_process() -> None:
    code = (
        "import hashlib, datetime; from airwrit.answers.registration.marks import marks_for; "
        "from airwrit.papers.labels_pdf import marks_pdf; "
        "made = marks_pdf(marks_for(['FA00TEST01', 'N99', '?']), datetime.date(2026, 11, 25), codes=True); "
        "print(hashlib.sha256(made).hexdigest())"
    )
    ours = marks_pdf(marks_for(["FA00TEST01", "N99", "?"]), DAY, codes=True)
    other = subprocess.run([sys.executable, "-c", code], check=True, capture_output=True, text=True)
    assert other.stdout.strip() == hashlib.sha256(ours).hexdigest()
    assert marks_pdf(marks_for(["FA00TEST01"]), date(2026, 11, 26)) != marks_pdf(
        marks_for(["FA00TEST01"]), DAY
    )


def test_the_sheet_tells_the_law_and_what_is_not_printed() -> None:
    text = text_of(marks_pdf(marks_for(["FA00TEST01", "N99", "FA-1"]), DAY))
    assert text.count("FA00TEST01") == 7 + 1
    assert "Part 48 sets no height" in text
    assert "(14 CFR 48.205, text of Apr 5, 2026, read Nov 24," in text
    assert "as large as practicable" in text
    assert "don't claim to meet Part 45." in text
    assert "14 CFR 45.29(b)-(f), text of 2020, read Dec 1, 2026" in text
    assert "The number FA-1 can't be a Part 48 number" in text
    assert "not OK" in text


def test_before_2019_the_inside_was_enough() -> None:
    text = text_of(marks_pdf(marks_for(["FA00TEST01"]), date(2019, 2, 24)))
    assert "inside a compartment that opens without a tool" in text
    assert "Part 45" not in text


HOSTILE = [
    "#panic() $x$ *b* `code` [x] <label> @ref \\ // \"'",
    "two\nlines\ttab\x00\x07\x1b[31m",
    "x" * 1000,
    "Łódź Ωμέγα Привет עברית",
    "中文 ☃ \U0001f6f8",
    "\u202egnorw\u202c",
    "",
]


@pytest.mark.parametrize("name", HOSTILE)
def test_what_users_write_is_text(name: str) -> None:
    mark = Mark(f"aircraft/{name}", "FA00TEST01", False, name, (name,))
    left = LeftOut(f"aircraft/{name}", name, Verdict.NOT_MET, name, name)
    text = text_of(marks_pdf(MarkList((mark,), (left,)), DAY))
    assert "FA00TEST01" in text
    if name.startswith("#panic"):
        assert "#panic() $x$ *b* `code` [x] <label> @ref" in text
    if name.startswith("Łódź"):
        assert "Łódź Ωμέγα Привет" in text
    if name.startswith("中"):
        assert "<U+4E2D><U+6587>" in text
