"""A column that was not understood is asked about: in `missing`, in the form and on the page; its answer is read."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli.command import run

SHEET = (
    "Aircraft,used_for,owner,registration,registration_kind,Zorb day\n"
    "UAS-1,work,Larrabee County,FA00TEST01,Part 48 per aircraft,2027-03-01\n"
    "UAS-2,work,Larrabee County,FA00TEST02,Part 48 per aircraft,2027-04-01\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet of which one column is a riddle."""
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    return tmp_path


def test_it_stands_first_among_what_is_missing(folder: Path) -> None:
    document = json.loads(run(folder, "today", "fleet.csv", "--json").stdout)
    first = document["missing"][0]
    assert (first["scope"], first["heading"], first["example"]) == ("column", "Zorb day", "2027-03-01")
    assert all(row["headline_code"] == "cant_tell" for row in document["rows"])


def test_its_answer_is_read(folder: Path) -> None:
    run(folder, "today", "fleet.csv", "--questions", "a.toml")
    form = (folder / "a.toml").read_text(encoding="utf-8")
    assert 'heading = "Zorb day"' in form
    answered = form.replace('means = ""', 'means = "expires_on"', 1)
    (folder / "a.toml").write_text(answered, encoding="utf-8")
    document = json.loads(run(folder, "today", "fleet.csv", "--answers", "a.toml", "--json").stdout)
    assert not [one for one in document["missing"] if one["scope"] == "column"]
    read = next(column for column in document["columns"] if column["heading"] == "Zorb day")
    assert read["key"] == "expires_on"


def test_what_was_said_of_a_column_is_remembered(folder: Path) -> None:
    (folder / "a.toml").write_text(
        '[[column]]\nheading = "Zorb day"\nmeans = "expires_on"\n', encoding="utf-8"
    )
    run(folder, "import", "fleet.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    assert "Ann" in run(folder, "history", "column/aircraft: zorb day").stdout
    (folder / "next.csv").write_text(
        SHEET.replace("2027", "2030").replace("Zorb day", "ZORB DAY"), encoding="utf-8"
    )
    shown = json.loads(run(folder, "import", "next.csv", "--json").stdout)
    read = next(column for column in shown["columns"] if column["heading"] == "ZORB DAY")
    assert read["read_as"] == "expires_on"
    run(folder, "import", "next.csv", "--questions", "b.toml")
    assert "[[column]]" not in (folder / "b.toml").read_text(encoding="utf-8")


def test_it_is_asked_anew_where_the_cells_do_not_fit(folder: Path) -> None:
    (folder / "a.toml").write_text(
        '[[column]]\nheading = "Zorb day"\nmeans = "expires_on"\n', encoding="utf-8"
    )
    run(folder, "import", "fleet.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    other = SHEET.replace("2027-03-01", "blue case").replace("2027-04-01", "red case")
    (folder / "next.csv").write_text(other, encoding="utf-8")
    shown = json.loads(run(folder, "import", "next.csv", "--json").stdout)
    read = next(column for column in shown["columns"] if column["heading"] == "Zorb day")
    assert read["read_as"] is None
