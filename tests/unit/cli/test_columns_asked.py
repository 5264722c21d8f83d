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
    document = json.loads(run(folder, "standing", "fleet.csv", "--json").stdout)
    first = document["missing"][0]
    assert (first["scope"], first["heading"], first["example"]) == ("column", "Zorb day", "2027-03-01")
    assert all(row["headline_code"] == "cant_tell" for row in document["rows"])


def test_its_answer_is_read(folder: Path) -> None:
    run(folder, "standing", "fleet.csv", "--questions", "a.toml")
    form = (folder / "a.toml").read_text(encoding="utf-8")
    assert 'heading = "Zorb day"' in form
    answered = form.replace('means = ""', 'means = "expires_on"', 1)
    (folder / "a.toml").write_text(answered, encoding="utf-8")
    document = json.loads(run(folder, "standing", "fleet.csv", "--answers", "a.toml", "--json").stdout)
    assert not [one for one in document["missing"] if one["scope"] == "column"]
    read = next(column for column in document["columns"] if column["heading"] == "Zorb day")
    assert read["key"] == "expires_on"
