"""A day long after the last reading of the law is said at the top of every answer, and on no other day."""

from __future__ import annotations

import json
from datetime import timedelta
from pathlib import Path

import pytest
from click.testing import CliRunner

from airwrit.base.sentences import day_words
from airwrit.cli.main import cli
from airwrit.law.parameters import LATE_AFTER_DAYS, last_read

SHEET = (
    "Aircraft,Use,Registered,Registration number,Reg type,Issued,Expires,Weight,Scale +/-\n"
    "Alder 1,work,yes,FA00TEST01,per aircraft,2025-11-01,2028-11-01,1388 g,1 g\n"
)
NEAR = last_read() + timedelta(days=LATE_AFTER_DAYS)
LATE = NEAR + timedelta(days=1)
ASKED = (
    ("today", "fleet.csv"),
    ("deadlines", "fleet.csv"),
    ("penalties",),
    ("rules", "must_be_registered"),
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def said(*arguments: str) -> str:
    """What a command prints."""
    return CliRunner().invoke(cli, arguments, standalone_mode=False).stdout


@pytest.mark.parametrize("asked", ASKED, ids=" ".join)
def test_it_is_the_first_line_of_the_answer(folder: Path, asked: tuple[str, ...]) -> None:
    first = f"We last read the law on {day_words(last_read())}, {LATE_AFTER_DAYS + 1} days before this day."
    assert said(*asked, "--on", str(LATE)).startswith(first)
    assert first[:12] not in said(*asked, "--on", str(NEAR))


@pytest.mark.parametrize("asked", ASKED, ids=" ".join)
def test_it_is_in_the_document(folder: Path, asked: tuple[str, ...]) -> None:
    late = json.loads(said(*asked, "--on", str(LATE), "--json"))
    assert late["late_reading"].startswith("We last read")
    near = json.loads(said(*asked, "--on", str(NEAR), "--json"))
    assert near["late_reading"] is None
    assert near["law_last_read_on"] == str(last_read())
