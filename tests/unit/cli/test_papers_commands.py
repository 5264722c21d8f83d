"""number-labels, deadlines and registration-sheets from the outside: files written, exit codes, JSON, one-line errors."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner, Result

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.cli.main import cli
from airwrit.cli.prepare.number_labels import heights_told

SHEET = (
    "Aircraft,Use,Registered,Registration number,Reg type,Issued,Expires,Weight,Scale +/-\n"
    "Alder 1,work,yes,FA00TEST01,per aircraft,2025-11-01,2028-11-01,1388 g,1 g\n"
    "Alder 2,work,yes,FA-00TEST02,per aircraft,2025-11-01,2028-11-01,1388 g,1 g\n"
    "Alder 3,work,no,,,,,1388 g,1 g\n"
)


@pytest.fixture
def folder(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    return tmp_path


def run(*arguments: str) -> Result:
    return CliRunner().invoke(cli, [*arguments, "--on", "2026-11-25"], standalone_mode=False)


def document(result: Result) -> dict[str, Any]:
    told: dict[str, Any] = json.loads(result.stdout)
    return told


def test_marks_are_written_and_the_rest_is_told(folder: Path) -> None:
    result = run("number-labels", "fleet.csv", "--out", "m.pdf", "--qr")
    assert result.return_value == 1
    assert (folder / "m.pdf").read_bytes().startswith(b"%PDF")
    assert "1 mark saved to m.pdf" in result.stdout
    assert "|//| Alder 2: The number FA-00TEST02 can't be a Part 48 number. Character 3" in result.stdout
    assert "|//| Alder 3: Not registered" in result.stdout


def test_marks_by_number(folder: Path) -> None:
    result = run("number-labels", "--number", "FA00TEST01", "--json", "--paper", "A4", "--heights", "4x3,8")
    assert result.return_value == 0
    told = document(result)
    assert (told["verdict"], told["file"], told["marks"][0]["number"]) == ("met", "marks.pdf", "FA00TEST01")
    assert (folder / "marks.pdf").exists()


def test_nothing_to_print_writes_nothing(folder: Path) -> None:
    result = run("number-labels", "--number", "nothing")
    assert result.return_value == 1
    assert not (folder / "marks.pdf").exists()
    assert "no marks to print" in result.stdout


def test_due_writes_a_calendar(folder: Path) -> None:
    result = run("deadlines", "fleet.csv", "--ics", "due.ics")
    assert result.return_value == 0
    made = (folder / "due.ics").read_bytes()
    assert made.startswith(b"BEGIN:VCALENDAR\r\n")
    assert "May 1, 2028" in result.stdout
    assert "REGISTRATION FEES OVER 3 YEARS" in result.stdout
    assert "$15 for 3 registrations" in result.stdout


def test_due_as_json_has_the_fees(folder: Path) -> None:
    told = document(run("deadlines", "fleet.csv", "--json", "--days", "5"))
    assert told["question"] == "due"
    assert told["due"] == []
    assert told["fees"]["total_usd"] == "15"
    assert told["caution"]


def test_a_worksheet_is_written(folder: Path) -> None:
    result = run("registration-sheets", "fleet.csv", "--out", "w.pdf")
    assert result.return_value == 1
    assert (folder / "w.pdf").read_bytes().startswith(b"%PDF")
    told = document(run("registration-sheets", "fleet.csv", "--aircraft", "Alder 3", "--json"))
    assert [sheet["subject"] for sheet in told["worksheets"]] == ["aircraft/Alder 3"]
    assert told["file"] == "worksheet.pdf"


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("number-labels",), "didn't name a sheet"),
        (("number-labels", "fleet.csv", "--number", "FA00TEST01"), "used both"),
        (("number-labels", "--number", "FA00TEST01", "--heights", "4x"), "We can't use the letter height"),
        (("number-labels", "--number", "FA00TEST01", "--heights", "1"), "We can't use the letter height"),
        (("number-labels", "--number", "FA00TEST01", "--heights", "99x4"), "99 strips"),
        (("number-labels", "--number", "FA00TEST01", "--out", "no/such/m.pdf"), "can't write"),
        (("deadlines",), "didn't name a sheet"),
        (("deadlines", "fleet.csv", "--ics", "no/such/d.ics"), "can't write"),
        (("registration-sheets",), "didn't name a sheet"),
        (("registration-sheets", "fleet.csv", "--aircraft", "Alder 9"), "No aircraft is named"),
    ],
)
def test_wrong_use_is_told(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    result = run(*arguments)
    assert isinstance(result.exception, UsageError)
    assert says in str(result.exception)
    assert sorted(path.name for path in folder.iterdir()) == ["fleet.csv"]


@pytest.mark.parametrize("name", ["number-labels", "deadlines", "registration-sheets"])
def test_an_unreadable_sheet_is_told(folder: Path, name: str) -> None:
    (folder / "bad.xlsx").write_bytes(b"PK\x03\x04 not a workbook")
    assert isinstance(run(name, "bad.xlsx").exception, UnreadableFile)


def test_heights() -> None:
    assert [str(mm) for mm in heights_told("2x3, 8 ,12.5")] == ["3", "3", "8", "12.5"]
    assert heights_told(None) == ()
