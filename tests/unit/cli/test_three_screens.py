"""What comes out first, and how much of it: forty aircraft fit three screens of 100 by 40."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from airwrit.cli.main import cli

HEAD = (
    "Aircraft,used_for,owner,registration,registration_kind,issued_on,registered_to,mark_place,remote_id_way,"
    "remote_id_serial,listed_serial,declaration_accepted,takeoff_weight_g,owner_kind,organized_in_us,"
    "based_and_used_in_us,service_status,not_understood\n"
)
STATUS = ["", "", "", "", "out of service", "", "retired", "", "sold", "spare"]


def row(number: int) -> str:
    """A row: most are in order, some lack a fact, some are gone, some cells cannot be read."""
    serial = f"ZZ9Z7TEST{number:03d}"
    mark = "somewhere" if number % 7 == 3 else "" if number % 5 == 2 else "outside"
    issued = "2023-12-05" if number % 11 == 4 else "2025-03-01"
    cells = (
        f"UAS-{number},work,Tarn & Fell,FA{number:02d}TEST{number:02d},Part 48 per aircraft,{issued},"
        f"Tarn & Fell,{mark},standard,{serial},{serial},yes,1400,corporation,yes,yes,{STATUS[number % 10]},"
    )
    return cells + ("loaner?" if number == 13 else "") + "\n"


@pytest.fixture
def lines(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> list[str]:
    """What `standing` prints of forty aircraft on a terminal of 100 columns."""
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("COLUMNS", "100")
    Path("fleet.csv").write_text(HEAD + "".join(map(row, range(1, 41))), encoding="utf-8")
    words = ["today", "fleet.csv", "--on", "2026-11-24"]
    return CliRunner().invoke(cli, words, standalone_mode=False).output.splitlines()


def test_forty_aircraft_fit_three_screens(lines: list[str]) -> None:
    assert len(lines) <= 120
    assert max(map(len, lines)) <= 100


def test_what_was_lost_comes_first_then_who_is_grounded_then_what_to_fix(lines: list[str]) -> None:
    shown = "\n".join(lines)
    order = (
        "WE COULDN'T READ",
        "AIRCRAFT",
        "Papers OK for work",
        "Not in the fleet",
        "FIX FIRST",
        "WHAT WE NEED",
        "Assumed",
    )
    places = [shown.index(word) for word in order]
    assert places == sorted(places)


def test_each_trouble_is_told_once_with_its_cells(lines: list[str]) -> None:
    shown = " ".join(" ".join(lines).split())
    assert "H32, H39" in shown
    assert shown.count("'somewhere'") == 1


def test_gone_aircraft_stand_apart_by_why(lines: list[str]) -> None:
    assert any("UAS-6, UAS-16, UAS-26, UAS-36: " in line for line in lines)
    assert any("UAS-8, UAS-18, UAS-28, UAS-38: " in line for line in lines)
