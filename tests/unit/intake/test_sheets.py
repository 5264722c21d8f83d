"""Files in, one intake out: sources, sheets that are not read, columns shown, and nothing ever raised on what cells hold."""

import gc
import hashlib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
import xlwt
from hypothesis import given, settings
from hypothesis import strategies as st

from airwrit.base.errors import UnreadableFile
from airwrit.facts.key import value_of
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.layout import TEMPLATE_NOTE
from airwrit.intake.sheets import Answers, read_sheets
from tests.unit.intake.books import Rows, Value, problem_with, sheet_of, taken, told, write_xlsx

HEADINGS = [
    "Aircraft",
    "FAA number",
    "Expires",
    "Weight",
    "Serial",
    "Remote ID",
    "Marked",
    "Owner",
    "Registered",
    "Kind",
]
VALUES: st.SearchStrategy[Value] = st.one_of(
    st.none(),
    st.text(max_size=20),
    st.sampled_from(
        ["none", "yes", "3/4/2024", "25/12/2024", "1,388 g", "0,249 kg", "FA00TEST01", "1.58E+18", "H-01"]
    ),
    st.integers(-5, 60_000),
    st.floats(allow_nan=False, allow_infinity=False),
    st.booleans(),
    st.dates(),
)


def test_an_xlsx_and_a_csv_are_read_in_the_light_of_each_other(tmp_path: Path) -> None:
    fleet = write_xlsx(tmp_path / "fleet.xlsx", {"Aircraft": [["Aircraft", "Weight (g)"], ["H-01", 900]]})
    parts = tmp_path / "parts.csv"
    parts.write_text("Aircraft;Part;Weight (g)\nH-01;lamp;5,5\n", encoding="utf-8")
    intake = read_sheets([fleet, parts])
    assert told(intake)["aircraft/H-01", "base_weight_g"] == "900"
    assert told(intake)["part/H-01, lamp", "part_weight_g"] == "5.5"
    assert [source.name for source in intake.sources] == ["fleet.xlsx", "parts.csv"]
    assert intake.sources[0].sha256 == hashlib.sha256(fleet.read_bytes()).hexdigest()
    assert intake.known[-1].origin == "parts.csv cell C2"


def test_how_a_file_was_read_is_told_where_it_may_be_wrong(tmp_path: Path) -> None:
    (tmp_path / "fleet.csv").write_bytes("Aircraft;Maker\nH-01;Kürrin\n".encode("cp1252"))
    book = xlwt.Workbook()
    sheet = book.add_sheet("Fleet")
    sheet.write(0, 0, "Aircraft")
    sheet.write(0, 1, "Maker")
    book.save(str(tmp_path / "fleet.xls"))
    intake = read_sheets([tmp_path / "fleet.csv", tmp_path / "fleet.xls"])
    assert told(intake)["aircraft/H-01", "maker"] == "Kürrin"
    assert problem_with(intake, "read it as cp1252").where == "fleet.csv"
    assert problem_with(intake, "which values are formulas").where == "fleet.xls"


def test_a_hidden_sheet_is_read_and_told() -> None:
    sheet = sheet_of("Fleet", [["Aircraft", "Maker"], ["H-01", "x"]])
    intake = taken(replace(sheet, hidden=True))
    assert told(intake)
    assert problem_with(intake, "hidden")


def test_one_unreadable_file_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile, match=r"gone\.xlsx"):
        read_sheets([tmp_path / "gone.xlsx"], Answers())


def test_the_collector_is_as_before(tmp_path: Path) -> None:
    path = write_xlsx(tmp_path / "fleet.xlsx", {"Aircraft": [["Aircraft", "Maker"], ["H-01", "x"]]})
    for switch in (gc.enable, gc.disable):
        switch()
        was_on = gc.isenabled()
        read_sheets([path])
        assert gc.isenabled() is was_on
    gc.enable()


@pytest.mark.parametrize(
    ("name", "unread"),
    [("Sheet1", False), ("Pilots", True), ("Aircraft", True), ("Flight log", False), ("Notes", False)],
)
def test_a_sheet_without_a_table_is_told(name: str, unread: bool) -> None:
    intake = taken(sheet_of(name, [["Weather", "Site"], ["fine", "field"]]))
    assert (
        next(one for one in intake.problems if "no table" in one.what or "didn't read it" in one.what).unread
        is unread
    )


def test_an_empty_sheet_is_told_and_a_template_s_guide_is_not() -> None:
    assert "empty" in taken(sheet_of("Aircraft", [])).problems[0].what
    assert taken(sheet_of("Read me", [[TEMPLATE_NOTE]])).problems == ()


def test_unknown_columns_are_shown_and_not_used() -> None:
    rows: Rows = [["Aircraft", "Maker", "Favorite color", "ID", ""], ["H-01", "x", "red", "7", "y"]]
    columns = taken(sheet_of("Fleet", rows)).columns
    assert [(column.key, column.how) for column in columns] == [
        ("id", "exact"),
        ("maker", "exact"),
        ("", "unknown"),
        ("", "put aside"),
        ("", "unknown"),
    ]
    assert columns[3].note == "not used: the row is named by 'Aircraft'"


def test_a_log_of_flights_is_not_taken_for_aircraft() -> None:
    rows: Rows = [
        ["Aircraft", "Purpose", "Pilot"],
        *(["H-01" if n % 2 else "H-02", "work", "Jo"] for n in range(12)),
    ]
    intake = taken(sheet_of("Sheet1", rows))
    assert intake.known == ()
    assert problem_with(intake, "names repeat").unread


def test_merged_cells_below_the_headings_are_told() -> None:
    sheet = sheet_of("Fleet", [["Aircraft", "Owner", "Maker"], ["H-01", "Test Co", "x"], ["H-02", None, "x"]])
    merged = replace(sheet, merged=((1, 1, 2, 1),))
    assert "B2:B3" in problem_with(taken(merged), "merged").what


@settings(max_examples=50, deadline=None)
@given(st.lists(st.lists(VALUES, min_size=len(HEADINGS), max_size=len(HEADINGS)), max_size=6))
def test_no_cells_make_the_reader_raise_and_every_value_is_one_its_key_takes(rows: list[list[Value]]) -> None:
    intake = taken(sheet_of("Fleet", [HEADINGS, *rows]))
    for item in intake.known:
        value_of(KEYS[item.statement.key], item.statement.value)
        assert item.origin
    for problem in intake.problems:
        assert problem.where
        assert problem.what
        assert problem.do


@given(
    st.lists(st.lists(VALUES, max_size=5), max_size=6),
    st.sampled_from(["People", "Sheet1", "Parts", "Training"]),
)
def test_no_sheet_makes_the_reader_raise(rows: list[list[Value]], name: str) -> None:
    intake = taken(sheet_of(name, rows))
    assert all(item.origin for item in intake.known)
    assert all(problem.where and problem.do for problem in intake.problems)


def test_a_filled_row_gives_every_value_once() -> None:
    rows: Rows = [["Aircraft", "Maker", "Sold on"], ["H-01", "Korrin Works", date(2026, 1, 2)]]
    statements = [item.statement[:3] for item in taken(sheet_of("Fleet", rows)).known]
    assert statements == [
        ("aircraft/H-01", "maker", "Korrin Works"),
        ("aircraft/H-01", "sold_on", "2026-01-02"),
    ]
