"""Taking out from the outside: everything it stands in goes, holds stop it, and who asked, approved and why stay."""

from __future__ import annotations

import json
import shutil
import sqlite3
from pathlib import Path

import pytest

from tests.unit.cli.command import run
from tests.unit.cli.test_ledger_commands import LEDGER, document
from tests.unit.intake.documents import photo

CREW = (
    "Name,Role,Certificate number,Born,Initial test\n"
    "Jo Test,pilot,0000071,1990-01-22,2024-01-02\n"
    "Al Test,pilot,0000072,1991-02-03,2024-01-03\n"
)
FLEET = (
    "Aircraft,Manufacturer,Model,Serial number,Registration number,Notes\n"
    "T-1,Testworks,One,ZZ9Z0000001,FA00TEST01,pilot cert 0000071\n"
    "T-2,Testworks,One,ZZ9Z0000002,FA00TEST02,none\n"
)
OTHER = "Aircraft,Manufacturer,Model,Serial number,Registration number\nT-3,Testworks,One,ZZ9Z0000003,FA00TEST03\n"
VALUES = ("0000071", "1990-01-22", "Jan 22, 1990")
ASKED = ("--why", "request 1", "--asked-by", "Jo Test", "--approved-by", "Dana Reyes", "--yes", "--by", "ada")


@pytest.fixture(scope="module")
def program(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger in which a person's private values stand in sheets of three names, a note and a document; to be copied."""
    tmp_path = tmp_path_factory.mktemp("program")
    (tmp_path / "crew.csv").write_text(CREW, encoding="utf-8")
    (tmp_path / "crew2.csv").write_text(CREW.replace("0000072", "0000073"), encoding="utf-8")
    (tmp_path / "fleet.csv").write_text(FLEET, encoding="utf-8")
    (tmp_path / "other.csv").write_text(OTHER, encoding="utf-8")
    (tmp_path / "card.jpg").write_bytes(photo())
    for arguments in (
        ("import", "crew.csv"),
        ("import", "fleet.csv"),
        ("import", "other.csv"),
        ("import", "crew2.csv", "--replaces", "crew.csv", "--correct"),
        ("record-change", "aircraft/T-1", "used_for=work", "--note", "Jo, born Jan 22, 1990, flies it"),
        ("attach-file", "card.jpg", "person/Jo Test", "--shows", "certificate"),
    ):
        done = run(tmp_path, *arguments, "--yes", "--by", "ada")
        assert done.returncode in (0, 3), done.stderr
    return tmp_path


@pytest.fixture
def folder(program: Path, tmp_path: Path) -> Path:
    """A copy of it."""
    return Path(shutil.copytree(program, tmp_path / "own"))


def kept_names(folder: Path) -> set[str]:
    with sqlite3.connect(folder / LEDGER) as db:
        return {row[0] for row in db.execute("SELECT name FROM file WHERE bytes IS NOT NULL")}


def in_bytes(folder: Path) -> list[str]:
    data = b"".join(path.read_bytes() for path in folder.glob(f"{LEDGER}*"))
    return [value for value in VALUES if value.encode() in data]


def test_it_goes_wherever_it_stands_and_nothing_else_does(folder: Path) -> None:
    assert in_bytes(folder) == list(VALUES)
    backup = run(folder, "backup", "b.airwrit")
    assert backup.returncode == 0, backup.stderr
    shown = json.loads(run(folder, "erase-personal-data", "--person", "Jo Test", "--json").stdout)
    assert {one["name"] for one in shown["files"]} == {"crew.csv", "crew2.csv", "fleet.csv", "card.jpg"}
    assert {"b.airwrit", "crew.csv", "fleet.csv"} <= {one["name"] for one in shown["not_reached"]}
    assert all(one["on"] for one in shown["not_reached"])
    assert shown["kept"] == []
    assert in_bytes(folder) == list(VALUES)
    done = run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED)
    assert done.returncode == 0, done.stderr
    assert "A search of the file's bytes finds none of it." in done.stdout
    assert in_bytes(folder) == []
    assert kept_names(folder) == {"other.csv"}
    assert run(folder, "check-records").returncode == 0
    used = document(folder, "history", "aircraft/T-1", "--key", "used_for")["said"]
    assert used[-1]["value"] == "work"
    born = document(folder, "history", "person/Al Test", "--key", "born_on", "--private")["said"]
    assert [one["value"] for one in born] == ["1991-02-03"]


def test_who_asked_who_approved_and_why_stay_and_never_the_value(folder: Path) -> None:
    done = run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED, "--json")
    told = json.loads(done.stdout)
    request = told["kept"][-1]
    said = {one["key"]: one["value"] for one in document(folder, "history", f"request/{request}")["said"]}
    assert said["request_asked_by"] == "Jo Test"
    assert said["request_approved_by"] == "Dana Reyes"
    assert (said["request_why"], said["request_about"]) == ("request 1", "person/Jo Test")
    assert told["found_in_bytes"] is False
    again = run(folder, "record-change", "--take-back", str(request), "--yes")
    assert again.returncode == 2
    assert "has to stay" in again.stderr


def test_the_words_of_a_request_may_not_hold_the_value(folder: Path) -> None:
    for why in ("remove 0000071", "the birthday 1/22/1990", "born 22 January 1990"):
        done = run(folder, "erase-personal-data", "--person", "Jo Test", "--why", why, "--yes", "--by", "ada")
        assert done.returncode == 2
        assert "Write the reason without it." in done.stderr
        assert not any(value in done.stderr for value in VALUES)
    assert "request" not in {one.partition("/")[0] for one in _subjects(folder)}


def _subjects(folder: Path) -> list[str]:
    with sqlite3.connect(folder / LEDGER) as db:
        return [row[0] for row in db.execute("SELECT text FROM word")]


def held(folder: Path, subject: str) -> int:
    words = ("--why", "reported May 4", "--by", "Dana Reyes")
    done = run(folder, "legal-hold", subject, "--kind", "ntsb", *words, "--yes", "--json")
    assert done.returncode == 0, done.stderr
    return int(json.loads(done.stdout)["holds"][0]["hold"])


@pytest.mark.parametrize(
    "subject", ["person/Jo Test", "aircraft/T-1", "training/Jo Test, initial test, 2024-01-02", "all"]
)
def test_a_hold_blocks_it_until_it_is_released(folder: Path, subject: str) -> None:
    number = held(folder, subject)
    done = run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED)
    assert done.returncode == 2
    assert (
        f"hold {number} (accident or incident reported to the NTSB, set by Dana Reyes: reported May 4)"
        in done.stderr
    )
    assert in_bytes(folder) == list(VALUES)
    told = json.loads(run(folder, "erase-personal-data", "--person", "Jo Test", "--json").stdout)
    assert {one["hold"] for one in told["held_by"]} == {number}
    assert all(one["holds"] for one in told["held_by"])
    released = run(
        folder, "legal-hold", "--release", str(number), "--by", "Lee Osei", "--why", "closed", "--yes"
    )
    assert released.returncode == 0, released.stderr
    listed = json.loads(run(folder, "legal-hold", "--list", "--json").stdout)["holds"]
    assert [(one["set_by"], one["released_by"], one["released_why"]) for one in listed] == [
        ("Dana Reyes", "Lee Osei", "closed")
    ]
    assert run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED).returncode == 0
    assert in_bytes(folder) == []
    assert run(folder, "check-records").returncode == 0


def test_a_hold_on_something_else_blocks_nothing(folder: Path) -> None:
    held(folder, "aircraft/T-3")
    assert run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED).returncode == 0


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("legal-hold",), "You didn't say what to hold."),
        (("legal-hold", "aircraft/T-1", "--kind", "ntsb", "--by", "x", "--yes"), "a person and a reason"),
        (("legal-hold", "aircraft/T-1", "--why", "x", "--by", "x", "--yes"), "kind of hold"),
        (
            ("legal-hold", "aircraft/T1", "--kind", "ntsb", "--why", "x", "--by", "x", "--yes"),
            "Did you mean aircraft/T-1?",
        ),
        (
            ("legal-hold", "aircraft/T-1", "--kind", "ntsb", "--why", " ", "--by", "x", "--yes"),
            "needs a person and a reason",
        ),
        (("legal-hold", "--release", "77", "--why", "x", "--by", "x", "--yes"), "--release: No hold"),
        (("legal-hold", "aircraft/T-1", "--kind", "ntsb", "--why", "x", "--by", "x"), "Nothing was"),
        (("record-change", "hold/3", "hold_released_by=me", "--yes"), "hold"),
        (("record-change", "request/3", "request_why=me", "--yes"), "request"),
    ],
)
def test_wrong_use_of_holds_writes_nothing(folder: Path, arguments: tuple[str, ...], says: str) -> None:
    before = (folder / LEDGER).read_bytes()
    done = run(folder, *arguments)
    assert done.returncode == 2
    assert says in done.stderr
    assert (folder / LEDGER).read_bytes() == before


def test_a_hold_is_released_once_and_is_not_taken_back(folder: Path) -> None:
    number = held(folder, "aircraft/T-1")
    assert "has to stay" in run(folder, "record-change", "--take-back", str(number), "--yes").stderr
    assert (
        "has to stay" in run(folder, "erase-personal-data", str(number), *ASKED).stderr
        or "nothing to remove" in run(folder, "erase-personal-data", str(number), *ASKED).stderr
    )
    release = ("legal-hold", "--release", str(number), "--by", "x", "--why", "y", "--yes")
    assert run(folder, *release).returncode == 0
    assert "already released" in run(folder, *release).stderr


def test_a_file_whose_name_holds_it_loses_its_name(folder: Path) -> None:
    (folder / "cert 0000071.jpg").write_bytes(photo(tone="red"))
    run(folder, "attach-file", "cert 0000071.jpg", "aircraft/T-3", "--shows", "other", "--yes", "--by", "ada")
    assert run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED).returncode == 0
    assert in_bytes(folder) == []
    assert run(folder, "check-records").returncode == 0


def test_files_nobody_can_search_are_listed_and_can_be_named(folder: Path) -> None:
    (folder / "mark.jpg").write_bytes(photo(tone="blue"))
    run(folder, "attach-file", "mark.jpg", "aircraft/T-3", "--shows", "mark", "--yes", "--by", "ada")
    told = json.loads(run(folder, "erase-personal-data", "--person", "Jo Test", "--json").stdout)
    assert [one["name"] for one in told["not_searched"]] == ["mark.jpg"]
    with sqlite3.connect(folder / LEDGER) as db:
        digest = db.execute("SELECT sha256 FROM file WHERE name = 'mark.jpg'").fetchone()[0]
    done = run(folder, "erase-personal-data", "--person", "Jo Test", "--file", digest[:16], *ASKED)
    assert done.returncode == 0, done.stderr
    assert kept_names(folder) == {"other.csv"}


def test_a_facts_free_pages_are_cleared_later_where_they_could_not_be(folder: Path) -> None:
    assert run(folder, "erase-personal-data", "--finish").returncode == 0
    with sqlite3.connect(folder / LEDGER) as db:
        db.execute("INSERT INTO about VALUES ('cleaning', '')")
    told = json.loads(run(folder, "check-records", "--json").stdout)
    assert told["whole"]
    assert "airwrit erase-personal-data --finish" in told["not_here"][0]
    assert run(folder, "erase-personal-data", "--finish").returncode == 0
    assert json.loads(run(folder, "check-records", "--json").stdout)["not_here"] == []


def test_what_stays_of_a_line_is_taken_in_again(folder: Path) -> None:
    run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED)
    (folder / "fleet.csv").write_text(FLEET.replace("pilot cert 0000071", ""), encoding="utf-8")
    done = run(folder, "import", "fleet.csv", "--yes")
    assert "LEFT OUT" not in done.stdout
    assert "fleet.csv" in kept_names(folder) or "nothing" in done.stdout.lower()


def test_a_remark_that_was_removed_still_holds_its_aircraft(folder: Path) -> None:
    def understood() -> str:
        findings = json.loads(run(folder, "aircraft", "T-1", "--json").stdout)["findings"]
        (found,) = [one for one in findings if one["rule"] == "aircraft_understood"]
        return str(found["verdict"])

    assert understood() == "unknown"
    run(folder, "erase-personal-data", "--person", "Jo Test", *ASKED)
    assert understood() == "unknown"
