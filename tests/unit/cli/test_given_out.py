"""Copies that commands give out: each is noted where a ledger was asked, and listed when a person is taken out."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.ledger.sqlite import opening
from tests.unit.cli.command import run
from tests.unit.cli.test_blank_command import CREW
from tests.unit.cli.test_ledger_commands import document

GIVEN = {
    "carry pack": (("pilot-papers", "Jo Test", "--out", "p.html", "--pdf", "p.pdf"), ["p.html", "p.pdf"]),
    "workbook": (("today", "--xlsx", "s.xlsx"), ["s.xlsx"]),
    "calendar": (("deadlines", "--ics", "d.ics"), ["d.ics"]),
    "worksheet": (("registration-sheets", "--all", "--out", "w.pdf"), ["w.pdf"]),
    "label sheet": (("number-labels", "--out", "m.pdf"), ["m.pdf"]),
}
FLEET = "Aircraft,Registration,Used for,Weight lb,Owner\nT-1,FA00TEST01,work,2.0,Jo Test\n"


@pytest.fixture
def program(tmp_path: Path) -> Path:
    """A crew and an aircraft that one of them owns."""
    for name, text in (("crew.csv", CREW), ("fleet.csv", FLEET)):
        (tmp_path / name).write_text(text, encoding="utf-8")
        assert run(tmp_path, "import", name, "--yes", "--by", "ada").returncode in (0, 3)
    return tmp_path


def beyond(folder: Path, name: str) -> list[tuple[str, str]]:
    """The copies that taking somebody out lists."""
    told = document(folder, "erase-personal-data", "--person", name)["not_reached"]
    return [(one["what"], one["name"]) for one in told if one["what"] in (*GIVEN, "proof", "backup")]


@pytest.mark.parametrize("what", GIVEN)
def test_what_a_command_gives_out_is_listed(program: Path, what: str) -> None:
    arguments, names = GIVEN[what]
    done = run(program, *arguments, "--on", "2026-11-25")
    assert (done.returncode in (0, 1, 3), done.stderr) == (True, "")
    assert beyond(program, "Jo Test") == [(what, name) for name in names]
    assert run(program, "check-records").returncode == 0


def test_a_pack_is_listed_for_those_it_is_about(program: Path) -> None:
    assert run(program, "pilot-papers", "Al Test", "--aircraft", "T-1", "--out", "al.html").returncode in (
        0,
        1,
        3,
    )
    assert beyond(program, "Al Test") == [("carry pack", "al.html")]
    assert beyond(program, "Jo Test") == [("carry pack", "al.html")]  # owns the aircraft in it
    (program / "more.csv").write_text("Name,Role,Born\nBo Test,pilot,1992-03-04\n", encoding="utf-8")
    assert run(program, "import", "more.csv", "--yes", "--by", "ada").returncode in (0, 3)
    assert beyond(program, "Bo Test") == []


def test_what_is_made_of_sheets_or_numbers_is_not_noted(program: Path) -> None:
    assert run(program, "today", "crew.csv", "--xlsx", "s.xlsx").returncode in (0, 1, 3)
    assert run(program, "number-labels", "--number", "FA00TEST01").returncode == 0
    assert beyond(program, "Jo Test") == []


@pytest.mark.parametrize("what", GIVEN)
def test_a_ledger_that_cannot_be_written_fails_no_reading_command(
    program: Path, monkeypatch: pytest.MonkeyPatch, what: str
) -> None:
    arguments, names = GIVEN[what]
    usual = run(program, *arguments, "--on", "2026-11-25")
    monkeypatch.setattr(
        opening, "PRAGMAS", (*opening.PRAGMAS, "query_only = ON")
    )  # as on a disk only to be read
    done = run(program, *arguments, "--on", "2026-11-25")
    assert (done.returncode, done.stdout) == (usual.returncode, usual.stdout)
    assert done.stderr.count("\n") == 1
    assert f"that {names[0]} was made couldn't be noted" in done.stderr


def test_a_proof_and_a_check_are_as_before(program: Path) -> None:
    moment = ("--on", "2026-11-25", "--known-at", "2027-01-01T00:00Z")
    first = run(program, "proof", "person/Al Test", *moment, "--out", "a.pdf")
    head = document(program, "check-records")["head"]
    for arguments, _ in GIVEN.values():
        assert run(program, *arguments).returncode in (0, 1, 3)
    again = run(program, "proof", "person/Al Test", *moment, "--out", "b.pdf")
    assert again.returncode == first.returncode
    assert (program / "a.pdf").read_bytes() == (program / "b.pdf").read_bytes()
    assert document(program, "check-records")["head"] == head
