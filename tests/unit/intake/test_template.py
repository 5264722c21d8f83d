"""The template: the same bytes every time, read back without a question, empty or filled."""

from datetime import date
from decimal import Decimal
from enum import StrEnum
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from openpyxl.utils import get_column_letter

from airwrit.facts.key import Key
from airwrit.intake.sheets import read_sheets
from airwrit.intake.template import SHEETS, heading_for, write_template
from tests.unit.intake.books import told

LINKS = {
    "owner": "Test Co",
    "registration": "FA00TEST01",
    "aircraft": "H-01",
    "person": "Jo Test",
    "model": "Sarvo 4",
    "battery": "TF-B1",
}
SAMPLES = {str: "ZZ9Z3A1B", tuple: "blue tape", bool: "yes", date: date(2026, 1, 2), Decimal: 249}


def sample(key: Key[Any]) -> Any:
    """A value a person would type for a key."""
    if key.links_to:
        return LINKS[key.links_to]
    return next(iter(key.kind)) if issubclass(key.kind, StrEnum) else SAMPLES[key.kind]


def kept(key: Key[Any]) -> object:
    """The same value as a statement keeps it."""
    value = sample(key)
    return True if value == "yes" else value.isoformat() if isinstance(value, date) else str(value)


def test_the_same_bytes_every_time(tmp_path: Path) -> None:
    for name in ("a.xlsx", "b.xlsx"):
        write_template(tmp_path / name)
    assert (tmp_path / "a.xlsx").read_bytes() == (tmp_path / "b.xlsx").read_bytes()


def test_an_empty_template_has_no_rows_and_no_other_problem(tmp_path: Path) -> None:
    write_template(tmp_path / "t.xlsx")
    intake = read_sheets([tmp_path / "t.xlsx"])
    assert intake.known == ()
    assert len(intake.problems) == len(SHEETS)
    assert all("has no rows" in problem.what for problem in intake.problems)
    assert {(column.how, column.note) for column in intake.columns} == {("exact", "")}


def test_every_key_has_a_column_that_is_taken_for_it(tmp_path: Path) -> None:
    write_template(tmp_path / "t.xlsx")
    columns = {(column.table, column.key) for column in read_sheets([tmp_path / "t.xlsx"]).columns}
    assert {(table, key.name) for _, table, _, keys in SHEETS for key in keys} <= columns


def test_a_filled_template_is_read_back_exactly(tmp_path: Path) -> None:
    path = tmp_path / "t.xlsx"
    write_template(path)
    book = openpyxl.load_workbook(path)
    expected: dict[tuple[str, str], object] = {}
    subjects = {
        "aircraft": "aircraft/H-01",
        "part": "part/H-01, ZZ9Z3A1B",
        "registration": "registration/FA00TEST01",
        "person": "person/Jo Test",
        "training": "training/Jo Test, initial test, 2026-01-02",
        "owner": "owner/Test Co",
        "paper": "paper/W-1",
        "flight": "flight/Jo Test, 2026-01-02, H-01",
        "battery": "battery/TF-B1",
    }
    for name, table, named_by, keys in SHEETS:
        first = [subjects[table].partition("/")[2]] if named_by else []
        for column, value in enumerate([*first, *map(sample, keys)], start=1):
            book[name].cell(2, column, value)
        expected |= {(subjects[table], key.name): kept(key) for key in keys}
    book.save(path)
    intake = read_sheets([path])
    assert intake.problems == ()
    assert told(intake) == expected


def test_identifiers_are_text_days_are_iso_and_lists_offer_their_words(tmp_path: Path) -> None:
    write_template(tmp_path / "t.xlsx")
    sheet = openpyxl.load_workbook(tmp_path / "t.xlsx")["Aircraft"]
    formats = {
        str(cell.value): sheet.column_dimensions[get_column_letter(place)].number_format
        for place, cell in enumerate(sheet[1], start=1)
    }
    assert formats["Remote ID serial"] == "@"
    assert formats["Sold on"] == "yyyy-mm-dd"
    places = {str(rule.sqref).partition("2")[0] for rule in sheet.data_validations.dataValidation}
    worded = [key for key in SHEETS[0][3] if key.kind is bool or issubclass(key.kind, StrEnum)]
    assert len(places) == len(worded)


def test_headings_read_well() -> None:
    keys = {key.name: key for *_, keys in SHEETS for key in keys}
    assert heading_for(keys["remote_id_serial"], "aircraft") == "Remote ID serial"
    assert heading_for(keys["takeoff_weight_g"], "aircraft") == "Takeoff weight (g)"


def test_a_place_that_cannot_be_written_is_an_error(tmp_path: Path) -> None:
    with pytest.raises(FileNotFoundError):
        write_template(tmp_path / "gone" / "t.xlsx")
