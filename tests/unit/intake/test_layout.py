"""Tables are found below titles, under one or two lines of headings, several in a sheet."""

import pytest

from airwrit.intake.columns import ID
from airwrit.intake.layout import Block, hint_of, laid_out
from airwrit.intake.reader.cells import Sheet
from tests.unit.intake.books import Rows, sheet_of


def blocks_of(sheet: Sheet) -> tuple[Block, ...]:
    """The tables of a sheet."""
    return laid_out(sheet).blocks


@pytest.mark.parametrize(
    ("name", "hint"),
    [
        ("Aircraft", "aircraft"),
        ("Fleet 2026", "aircraft"),
        ("drone_inventory", "aircraft"),
        ("Remote pilots", "person"),
        ("Remote ID units", "remote_id"),
        ("FAA registrations", "registration"),
        ("Training records", "training"),
        ("Flight log", "flight"),
        ("Waivers and permits", "paper"),
        ("Maintenance log", "none"),
        ("Sheet1", ""),
    ],
)
def test_a_sheet_s_name_tells_its_kind(name: str, hint: str) -> None:
    assert hint_of(name) == hint


@pytest.mark.parametrize(
    ("name", "headings", "table"),
    [
        ("Sheet1", ["Drone", "Maker", "Weight (g)"], "aircraft"),
        ("Pilots", ["Name", "Certificate number", "Initial test"], "person"),
        ("Pilots", ["First name", "Last name", "DOB"], "person"),
        ("Sheet1", ["Aircraft", "Part", "Weight (g)"], "part"),
        ("Sheet1", ["Name", "Course", "Date completed"], "training"),
        ("Registrations", ["Number", "Kind", "Issued", "Expires"], "registration"),
        ("Sheet1", ["Owner", "Owner kind", "Citizenship"], "owner"),
        ("Insurance", ["Policy number", "Expires", "Holder"], "paper"),
        ("Sheet1", ["Document", "Kind of paper", "Ends on"], "paper"),
        ("Flight log", ["Date", "Pilot", "Aircraft", "Landings"], "flight"),
        ("RID modules", ["Aircraft", "Type", "Serial", "From"], "remote_id"),
    ],
)
def test_the_kind_of_table_is_told_by_name_and_headings(name: str, headings: list[str], table: str) -> None:
    (block,) = blocks_of(sheet_of(name, [headings, ["H-01", *["x"] * (len(headings) - 1)]]))
    assert (block.table, block.first, block.end) == (table, 1, 2)


def test_titles_and_blank_rows_above_are_passed_over() -> None:
    rows: Rows = [
        ["Test Program fleet list"],
        [],
        ["as of", "2026-01-01"],
        ["Drone", "Maker", "Expires"],
        ["H-01"],
    ]
    (block,) = blocks_of(sheet_of("Sheet1", rows))
    assert block.first == 4


def test_two_lines_of_headings_are_joined() -> None:
    rows: Rows = [
        ["", "Remote ID", "", "Registration", "", ""],
        ["Drone", "Type", "Serial", "Number", "Issued", "Maker"],
        ["H-01", "module", "ZZ9Z3A1B", "FA00TEST01", "2024-01-02", "Korrin Works"],
    ]
    (block,) = blocks_of(sheet_of("Sheet1", rows))
    assert [match.meaning for match in block.matches] == [
        ID,
        "remote_id_way",
        "remote_id_serial",
        "registration",
        "issued_on",
        "maker",
    ]
    assert block.headings[2] == "Serial"
    assert block.first == 2


def test_a_first_row_of_data_is_no_second_line() -> None:
    rows: Rows = [["Drone", "Remote ID", "Maker"], ["H-01", "module", "Korrin Works"]]
    (block,) = blocks_of(sheet_of("Sheet1", rows))
    assert block.first == 1


def test_a_second_table_below_is_found() -> None:
    rows: Rows = [
        ["Drone", "Maker", "Model"],
        ["H-01", "Korrin Works", "One"],
        [],
        ["Name", "Certificate number", "Initial test"],
        ["Jo Test", "1", "2024-01-02"],
    ]
    first, second = blocks_of(sheet_of("Sheet1", rows))
    assert (first.table, first.end) == ("aircraft", 2)
    assert (second.table, second.first) == ("person", 4)


@pytest.mark.parametrize(
    "rows",
    [
        [],
        [["x", "y"]],
        [["Drone"]],
        [["Date", "Weather", "Site"], ["a", "b", "c"]],
        [["Drone", "Color"], ["H", "red"]],
    ],
)
def test_no_table_is_made_up(rows: Rows) -> None:
    assert blocks_of(sheet_of("Sheet1", rows)) == ()
