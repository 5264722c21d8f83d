"""A saved mapping gives the same reading back; a wrong one is refused with the nearest right word."""

from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadFact, UnreadableFile
from airwrit.intake.mapping import load_mapping, read_mapping, save_mapping, written
from tests.unit.intake.books import Rows, problem_with, sheet_of, taken, told

FLEET: Rows = [
    ["Test Program"],
    ["", "Remote ID", "", ""],
    ["Drone", "Type", "Serial", "Weight (g)", "Sold on", "Lost on", "Color", "ID", "Serial", ""],
    ["H-01", "module", "ZZ9Z3A1B", 900, "3/25/2025", "3/4/2025", "red", "7", "x", "y"],
    ["H-02", "yes", "1.58E+18", "~250", "3/4/2025", "", "blue", "8", "x", ""],
]
PARTS: Rows = [["Aircraft", "Part", "Weight (g)"], ["H-01", "lamp", 5]]
PEOPLE: Rows = [["Name", "Initial test", "Certificate #"], ["Jo Test", "3/4/2025", 17]]


def test_a_saved_mapping_gives_exactly_the_same_reading(tmp_path: Path) -> None:
    sheets = (sheet_of("Fleet", FLEET), sheet_of("Parts", PARTS), sheet_of("Staff", PEOPLE))
    first = taken(*sheets, dates="day-first")
    save_mapping(first.columns, tmp_path / "mapping.toml")
    again = taken(*sheets, mapping=load_mapping(tmp_path / "mapping.toml"))
    assert again.known == first.known
    assert again.problems == first.problems
    assert [column[:4] for column in again.columns] == [column[:4] for column in first.columns]
    assert written(again.columns) == written(first.columns)


def test_a_mapping_by_hand_tells_what_headings_do_not() -> None:
    text = """
    [[sheet]]
    name = "Sheet1"
    table = "aircraft"
    [sheet.columns]
    "Vogel" = "id"
    "Gewicht" = "takeoff_weight_g"
    "Verkauft" = "sold_on"
    "Maker" = "ignore"
    [sheet.dates]
    "Verkauft" = "day-first"
    """
    rows: Rows = [
        ["Vogel", "Gewicht", "Verkauft", "Maker", "Model"],
        ["H-01", "249 g", "3/4/2025", "x", "One"],
    ]
    intake = taken(sheet_of("Sheet1", rows), mapping=read_mapping(text, "m.toml"))
    assert told(intake) == {
        ("aircraft/H-01", "takeoff_weight_g"): "249",
        ("aircraft/H-01", "sold_on"): "2025-04-03",
        ("aircraft/H-01", "model"): "One",
    }
    assert [column.how for column in intake.columns] == ["mapping"] * 4 + ["exact"]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("x", "as TOML"),
        ("", r"\[\[sheet\]\] tables."),
        ("sheet = 1", r"\[\[sheet\]\] tables."),
        ("sheet = [1]", r"\[\[sheet\]\] tables."),
        ("[[sheet]]\nname='a'\ntable='aircrafts'", "No kind of table is named 'aircrafts'."),
        ("[[sheet]]\nname='a'\ntable='aircraft'\nx=1", "'a': 'x'"),
        ("[[sheet]]\nname='a'\ntable='aircraft'\ncolumns=1", "columns"),
        ("[[sheet]]\nname='a'\ntable='aircraft'\n[sheet.columns]\nA='makr'", r"Did you mean maker\?"),
        ("[[sheet]]\nname='a'\ntable='aircraft'\n[sheet.columns]\nA=['maker']", "can't mean"),
        ("[[sheet]]\nname='a'\ntable='aircraft'\n[sheet.dates]\nA='american'", "isn't a date order."),
    ],
)
def test_a_wrong_mapping_is_refused(text: str, says: str) -> None:
    with pytest.raises(BadFact, match=says):
        read_mapping(text, "m.toml")


def test_a_mapping_that_names_what_is_not_there_is_told() -> None:
    text = """
    [[sheet]]
    name = "Fleet"
    table = "aircraft"
    [sheet.columns]
    "Drone" = "id"
    "Gone" = "maker"
    [[sheet]]
    name = "Lost"
    table = "person"
    """
    intake = taken(
        sheet_of("Fleet", [["Drone", "Model"], ["H-01", "One"]]), mapping=read_mapping(text, "m.toml")
    )
    assert "'Gone'" in problem_with(intake, "columns that aren't in the sheet").what
    assert "'Lost'" in problem_with(intake, "but no file has it").what


def test_a_mapping_of_people_without_names_leaves_the_rows_unread() -> None:
    text = "[[sheet]]\nname = 'Staff'\ntable = 'person'\n[sheet.columns]\nName = 'ignore'\nRole = 'role'"
    intake = taken(
        sheet_of("Staff", [["Name", "Role"], ["Jo Test", "pilot"]]), mapping=read_mapping(text, "m.toml")
    )
    assert intake.known == ()
    assert problem_with(intake, "nothing says whose they are").unread


def test_a_mapping_that_cannot_be_opened_is_refused(tmp_path: Path) -> None:
    with pytest.raises(UnreadableFile):
        load_mapping(tmp_path / "gone.toml")
    (tmp_path / "bad.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(UnreadableFile):
        load_mapping(tmp_path / "bad.toml")


@given(st.lists(st.text(min_size=1, max_size=8), min_size=1, max_size=4, unique=True))
def test_any_heading_is_written_so_that_it_is_read_back(headings: list[str]) -> None:
    columns = taken(sheet_of("Fleet", [["Aircraft", "Maker", *headings], ["H-01", "x", *headings]])).columns
    plans = read_mapping(written(columns), "m.toml")["Fleet"]
    assert [name for plan in plans for name in plan.columns] == [column.saved_as for column in columns]


def test_a_mapping_has_a_limit_of_size(tmp_path: Path) -> None:
    with (tmp_path / "huge.toml").open("wb") as file:
        file.truncate(2**20 + 1)
    with pytest.raises(UnreadableFile, match="The most we read is"):
        load_mapping(tmp_path / "huge.toml")
    (tmp_path / "other.toml").write_bytes(b"\xff\xfe")
    with pytest.raises(UnreadableFile, match=r"other.toml: We can't read the mapping."):
        load_mapping(tmp_path / "other.toml")
    with pytest.raises(UnreadableFile, match="This file"):
        load_mapping(tmp_path / "none.toml")
