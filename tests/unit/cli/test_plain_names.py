"""One name everywhere: an aircraft, a person, a registration by its plain name; where it is two things, it asks which."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli.command import run

SHEET = (
    "Aircraft,used_for,owner,registration,registration_kind,expires_on\n"
    "UAS-1,work,Larrabee County,FA00TEST01,Part 48 per aircraft,2027-02-10\n"
    "Dana,work,Larrabee County,FA00TEST02,Part 48 per aircraft,2027-02-10\n"
)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a ledger of two aircraft and a person of the name of one of them."""
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    (tmp_path / "people.csv").write_text("Pilot,flies_for\nDana,work\n", encoding="utf-8")
    run(tmp_path, "import", "fleet.csv", "people.csv", "--yes", "--by", "Ann")
    return tmp_path


def test_history_goes_by_the_plain_name(folder: Path) -> None:
    plain, full = run(folder, "history", "uas-1"), run(folder, "history", "aircraft/UAS-1")
    assert plain.returncode == 0
    assert plain.stdout == full.stdout
    assert "FA00TEST01" in run(folder, "history", "FA00TEST01").stdout


def test_a_name_that_is_two_things_is_asked_about(folder: Path) -> None:
    done = run(folder, "history", "Dana")
    assert done.returncode == 2
    assert "'Dana' is the name of an aircraft and a person." in done.stderr
    assert "Write aircraft/Dana or person/Dana." in done.stderr
    assert run(folder, "history", "person/Dana").returncode == 0


def test_a_name_nobody_has_is_told(folder: Path) -> None:
    assert "There is no record named 'UAS-9'." in run(folder, "history", "UAS-9").stderr


@pytest.mark.parametrize("name", ["UAS-1", "aircraft/UAS-1", "FA00TEST01", "registration/FA00TEST01"])
def test_renewing_an_aircraft_finds_its_registration(folder: Path, name: str) -> None:
    done = json.loads(
        run(
            folder, "record-change", "renew", name, "--on", "2026-11-20", "--yes", "--by", "Ann", "--json"
        ).stdout
    )
    assert done["subject"] == "registration/FA00TEST01"
    assert done["new_expiration"] == "2030-02-10"
    assert done["kept"]


def test_the_new_expiration_is_said_before_it_is_kept(folder: Path) -> None:
    shown = run(folder, "record-change", "renew", "UAS-1", "--on", "2026-11-20").stdout
    assert "New expiration (we worked it out): 2030-02-10" in shown
    assert "Nothing was" in shown


def test_an_expiration_that_is_told_is_taken_as_it_is(folder: Path) -> None:
    done = json.loads(
        run(
            folder, "record-change", "renew", "UAS-1", "expires_on=2030-02-11", "--on", "2026-11-20", "--json"
        ).stdout
    )
    assert done["new_expiration"] is None


def test_facts_go_by_the_plain_name_and_are_never_kept_twice_unasked(folder: Path) -> None:
    done = run(folder, "record-change", "UAS-1", "owner=Fell", "--by", "bob")
    assert done.returncode == 3
    assert "Two values on file for owner of aircraft/UAS-1" in done.stderr
    assert run(folder, "check-records").returncode == 0
    assert run(folder, "record-change", "UAS-1", "owner=Fell", "--correct", "--by", "bob").returncode == 0
    assert "an aircraft and a person." in run(folder, "record-change", "Dana", "owner=Fell").stderr


def test_one_aircraft_is_shown_in_full_and_alone(folder: Path) -> None:
    for name in ("UAS-1", "aircraft/UAS-1", "FA00TEST01"):
        document = json.loads(run(folder, "aircraft", name, "--on", "2026-11-24", "--json").stdout)
        assert [row["subject"] for row in document["rows"]] == ["aircraft/UAS-1"]
        assert {finding["subject"] for finding in document["findings"]} == {
            "aircraft/UAS-1",
            "registration/FA00TEST01",
            "owner/Larrabee County",
        }
    shown = run(folder, "aircraft", "UAS-1", "--on", "2026-11-24").stdout
    assert "marked outside" in shown
    assert "FA00TEST02" not in shown


def test_one_aircraft_of_a_sheet(folder: Path) -> None:
    document = json.loads(
        run(folder, "aircraft", "UAS-1", "fleet.csv", "--on", "2026-11-24", "--json").stdout
    )
    assert [row["subject"] for row in document["rows"]] == ["aircraft/UAS-1"]


def test_a_file_that_is_not_there_is_still_told(folder: Path) -> None:
    assert "none.csv: This file" in run(folder, "today", "none.csv").stderr
    assert "There is no aircraft named 'none'." in run(folder, "aircraft", "none").stderr
    assert "Did you mean 'UAS-1'?" in run(folder, "aircraft", "UAS-11").stderr
    for kind in ("aircraft", "person"):
        for name in ("Dana", f"{kind}/Dana"):
            shown = json.loads(run(folder, kind, name, "--json").stdout)
            assert [row["subject"] for row in shown["rows"]] == [f"{kind}/Dana"]


def test_keeping_commands_go_by_the_plain_name(folder: Path) -> None:
    made = run(folder, "proof", "uas-1", "--on", "2026-11-24", "--out", "p.pdf", "--json")
    assert json.loads(made.stdout)["subjects"] == ["aircraft/UAS-1"]
    held = run(
        folder,
        "legal-hold",
        "UAS-1",
        "--kind",
        "litigation",
        "--why",
        "a claim",
        "--by",
        "Ann",
        "--yes",
        "--json",
    )
    assert json.loads(held.stdout)["holds"][0]["of"] == "aircraft/UAS-1"
    listed = run(folder, "attach-file", "--list", "uas-1", "--json")
    assert json.loads(listed.stdout)["subject"] == "aircraft/UAS-1"


@pytest.mark.parametrize(
    "command",
    [
        ("proof", "Dana"),
        ("legal-hold", "Dana", "--kind", "ntsb", "--why", "a claim", "--by", "Ann", "--yes"),
        ("attach-file", "--list", "Dana"),
    ],
)
def test_keeping_commands_ask_which_where_a_name_is_two(folder: Path, command: tuple[str, ...]) -> None:
    done = run(folder, *command)
    assert done.returncode == 2
    assert "aircraft/Dana or person/Dana" in done.stderr
