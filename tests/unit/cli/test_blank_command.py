"""Blanking from the outside: a person's private lines are found, listed, and gone; nothing private is shown unasked."""

from __future__ import annotations

import json
import sqlite3
from pathlib import Path

import pytest

from tests.unit.cli.command import run
from tests.unit.cli.test_ledger_commands import LEDGER, document

CREW = (
    "Name,Role,Certificate number,Born,Initial test\n"
    "Jo Test,pilot,0000001,1990-01-02,2024-01-02\n"
    "Al Test,pilot,0000002,1991-02-03,2024-01-03\n"
)
SECRETS = ("0000001", "1990-01-02")


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a crew that was imported."""
    (tmp_path / "crew.csv").write_text(CREW, encoding="utf-8")
    done = run(tmp_path, "import", "crew.csv", "--yes", "--by", "ada")
    assert done.returncode == 0, done.stdout + done.stderr
    assert not any(secret in done.stdout for secret in SECRETS)
    return tmp_path


def kept_bytes(folder: Path) -> list[bytes]:
    with sqlite3.connect(folder / LEDGER) as db:
        return [row[0] for row in db.execute("SELECT bytes FROM file WHERE bytes IS NOT NULL")]


def test_history_shows_what_is_private_only_when_asked(folder: Path) -> None:
    shown = run(folder, "history", "person/Jo Test").stdout
    assert "private, hidden" in shown
    assert not any(secret in shown for secret in SECRETS)
    told = run(folder, "history", "person/Jo Test", "--json").stdout
    assert not any(secret in told for secret in SECRETS)
    hidden = {one["key"]: one["hidden"] for one in json.loads(told)["said"]}
    assert (hidden["born_on"], hidden["role"]) == (True, False)
    for arguments in ((), ("--json",)):
        told = run(folder, "history", "person/Jo Test", "--private", *arguments).stdout
        assert all(secret in told.replace("Jan 2, 1990", "1990-01-02") for secret in SECRETS)


def test_an_import_shows_what_is_private_only_when_asked(folder: Path) -> None:
    (folder / "crew.csv").write_text(CREW.replace("1990-01-02", "1990-05-06"), encoding="utf-8")
    for arguments in ((), ("--json",)):
        told = run(folder, "import", "crew.csv", *arguments).stdout
        assert "1990" not in told
        assert ("born_on" if arguments else "birthday: private, hidden") in told
        told = run(folder, "import", "crew.csv", "--private", *arguments).stdout
        assert ("1990-01-02" if arguments else "Jan 2, 1990") in told
        assert ("1990-05-06" if arguments else "May 6, 1990") in told


def test_two_rows_with_other_birthdays_do_not_repeat_them(folder: Path) -> None:
    twice = CREW + "Jo Test,pilot,0000001,1990-07-08,2024-01-02\n"
    (folder / "twice.csv").write_text(twice, encoding="utf-8")
    for command in (("today", "twice.csv", "--all", "--on", "2026-11-25"), ("import", "twice.csv")):
        for arguments in ((), ("--json",)):
            done = run(folder, *command, *arguments)
            assert "appears twice" in done.stdout
            assert "1990-07-08" not in done.stdout + done.stderr


def test_a_private_value_is_not_in_an_error(folder: Path) -> None:
    done = run(folder, "record-change", "person/Jo Test", "born_on=2 Jan 1990")
    assert done.returncode == 2
    assert "1990" not in done.stderr


def test_a_persons_private_lines_are_listed_before_they_go(folder: Path) -> None:
    done = run(folder, "erase-personal-data", "--person", "jo test")
    assert done.returncode == 2
    assert "Add --why," in done.stderr
    assert "person/Jo Test birthday: private, hidden" in done.stdout
    assert "Al Test" not in done.stdout
    assert "crew.csv (the" in done.stdout
    asked = run(folder, "erase-personal-data", "--person", "Jo Test", "--why", "request 1")
    assert asked.returncode == 2
    assert "--yes" in asked.stderr
    shown = run(folder, "erase-personal-data", "--person", "Jo Test", "--private").stdout
    assert all(secret in shown.replace("Jan 2, 1990", "1990-01-02") for secret in SECRETS)
    assert run(folder, "check-records").returncode == 0
    assert len(kept_bytes(folder)) == 1


def test_a_persons_private_lines_go_and_nobody_elses(folder: Path) -> None:
    before = document(folder, "history", "person/Al Test", "--private")["said"]
    done = run(
        folder, "erase-personal-data", "--person", "Jo Test", "--why", "request 1", "--yes", "--by", "ada"
    )
    assert done.returncode == 0, done.stderr
    assert kept_bytes(folder) == []
    assert not any(secret.encode() in (folder / LEDGER).read_bytes() for secret in SECRETS)
    assert document(folder, "history", "person/Al Test", "--private")["said"] == before
    roles = document(folder, "history", "person/Jo Test", "--key", "role")["said"]
    assert [one["value"] for one in roles] == ["pilot"]
    assert run(folder, "check-records").returncode == 0
    again = run(folder, "erase-personal-data", "--person", "Jo Test", "--why", "request 1", "--yes")
    assert "Nothing private" in again.stderr


def test_every_version_of_the_sheet_goes(folder: Path) -> None:
    (folder / "crew.csv").write_text(CREW.replace("Jo Test,pilot", "Jo Test,lead"), encoding="utf-8")
    assert run(folder, "import", "crew.csv", "--yes").returncode == 0
    assert len(kept_bytes(folder)) == 2
    assert run(folder, "erase-personal-data", "--person", "Jo Test", "--why", "r", "--yes").returncode == 0
    assert kept_bytes(folder) == []


def test_what_was_blanked_does_not_come_back_with_the_sheet(folder: Path) -> None:
    run(folder, "erase-personal-data", "--person", "Jo Test", "--why", "r", "--yes")
    (folder / "crew.csv").write_text(CREW.replace("Al Test,pilot", "Al Test,lead"), encoding="utf-8")
    done = run(folder, "import", "crew.csv", "--yes")
    assert "LEFT OUT" in done.stdout
    assert kept_bytes(folder) == []
    assert not any(secret.encode() in (folder / LEDGER).read_bytes() for secret in SECRETS)
    roles = document(folder, "history", "person/Al Test", "--key", "role")["said"]
    assert [one["value"] for one in roles] == ["pilot", "lead"]
    assert run(folder, "check-records").returncode == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("--why", "x", "--yes"), "You didn't say what to remove."),
        (("1", "--person", "Jo Test", "--why", "x", "--yes"), "You didn't say what to remove."),
        (("--person", "Jo Tset", "--why", "x", "--yes"), "Did you mean 'Jo Test'?"),
        (("--person", "Jo Test", "--yes"), "Add --why,"),
    ],
)
def test_wrong_use_blanks_nothing(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    before = (folder / LEDGER).read_bytes()
    done = run(folder, "erase-personal-data", *arguments)
    assert done.returncode == 2
    assert says in done.stderr
    assert (folder / LEDGER).read_bytes() == before


def test_the_lines_are_told_as_json(folder: Path) -> None:
    done = run(folder, "erase-personal-data", "--person", "Jo Test", "--why", "r", "--yes", "--json")
    told = json.loads(done.stdout)
    assert told["blanked"] == [line["entry"] for line in told["lines"]]
    assert {one["key"] for line in told["lines"] for one in line["statements"]} == {
        "born_on",
        "certificate_number",
    }
    assert not any(secret in done.stdout for secret in SECRETS)
