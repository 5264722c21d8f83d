"""`airwrit daylight` as a user meets it: forms of a place, JSON, facts that `ask` takes, exit codes."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from airwrit.answers.document import CAUTION
from tests.unit.cli.command import run

BOULDER = ("40.0150,", "-105.2705")


def test_a_day(tmp_path: Path) -> None:
    done = run(tmp_path, "daylight", *BOULDER, "--on", "2026-12-01")
    assert done.returncode == 0
    assert "Light on Dec 1, 2026 at 40.0150 N, 105.2705 W" in done.stdout
    assert "7:04 AM MST" in done.stdout
    assert "00:06 UTC Dec 2" in done.stdout
    assert " ".join(CAUTION.split()) in " ".join(done.stdout.split())


def test_a_year_has_every_day(tmp_path: Path) -> None:
    done = run(tmp_path, "daylight", *BOULDER, "--year", "--on", "2028-02-29")
    lines = done.stdout.splitlines()
    assert sum(line.startswith(("Jan", "Feb", "Dec")) for line in lines) == 91
    assert any(line.startswith("Feb 29") for line in lines)


def test_polar_night_and_a_day_with_two(tmp_path: Path) -> None:
    night = run(tmp_path, "daylight", "71.2833 -156.7833", "--on", "2026-12-21")
    assert "The sun doesn't rise on this day." in night.stdout
    assert "civil twilight comes from the Air Almanac" in night.stdout
    two = run(tmp_path, "daylight", "-30", "-100", "--on", "2024-05-07", "--zone", "UTC", "--json")
    (day,) = json.loads(two.stdout)["days"]
    assert len(day["sunset"]) == 2


def test_json_of_a_moment(tmp_path: Path) -> None:
    at = "2026-12-01T16:50-07:00"
    document = json.loads(run(tmp_path, "daylight", *BOULDER, "--at", at, "--json").stdout)
    assert document["question"] == "light"
    assert document["at"]["phases"] == ["civil_twilight"]
    assert document["days"][0]["sunrise"] == ["07:04"]
    assert document["facts"]["official_sunset_on"] == "2026-12-01T16:36:00-07:00"
    assert {law["cites"] for law in document["law"]} == {
        "14 CFR 107.29(a)",
        "14 CFR 107.29(c)",
        "14 CFR 107.29(c)(3)",
        "14 CFR 1.1",
    }


def test_the_facts_are_taken_by_ask(tmp_path: Path) -> None:
    done = run(tmp_path, "daylight", *BOULDER, "--at", "2026-12-01T16:50-07:00", "--facts")
    facts = f'on = "2026-12-01T16:50:00-07:00"\n[flight]\nflight_under = "Part 107"\n{done.stdout}'
    (tmp_path / "facts.toml").write_text(facts, encoding="utf-8")
    asked = run(tmp_path, "check-scenario", "facts.toml", "--json")
    found = {one["rule"]: one for one in json.loads(asked.stdout)["findings"] if one["use"] == "work"}
    assert found["twilight_lights"]["why"] == "missing"
    assert found["night_lights"]["code"] == "not_night"


def test_too_close_to_call_is_unknown(tmp_path: Path) -> None:
    done = run(tmp_path, "daylight", *BOULDER, "--at", "2026-12-01T16:36-07:00")
    assert done.returncode == 3
    assert "Too close to call. Plan for the darker of these:" in done.stdout
    facts = run(tmp_path, "daylight", *BOULDER, "--at", "2026-12-01T16:36-07:00", "--facts")
    assert facts.stdout.startswith("# This time is too close to call")


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("-105.27", "40.01"), "Latitude comes first."),
        (("40", "-105", "--bogus"), "There is no option called --bogus."),
        (("40", "-105", "--on", "1900-01-01"), "Use a year from 1950 to 2053."),
        (("40", "-105", "--zone", "Nowhere"), "No time zone is named"),
        (
            ("40", "-105", "--on", "2026-01-01", "--at", "2026-01-01T00:00Z"),
            "You used both a date and a time.",
        ),
    ],
)
def test_what_cant_be_is_refused_in_one_line(tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    done = run(tmp_path, "daylight", *arguments)
    assert done.returncode == 2
    assert done.stdout == ""
    assert says in done.stderr
    assert len(done.stderr.splitlines()) == 1
