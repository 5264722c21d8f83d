"""Terms of operating, asked of the commands as somebody types them, against published figures (operations/SOURCE.toml)."""

from __future__ import annotations

import json
from datetime import date, timedelta
from pathlib import Path
from typing import Any

import pytest

from tests.unit.cli.command import run

FLOWN = date(2026, 3, 2)
RULES = """document = "Program manual"
[[rule]]
name = "recent_on_the_model"
about = "person"
kind = "count_in_days"
of = "landings"
limit = 3
within = 90
model = "Sarvo 4"
clause = "1"
[[rule]]
name = "recent_before_the_flight"
about = "flight"
kind = "count_in_days"
of = "landings"
limit = 3
within = 90
model = "same"
clause = "1"
"""
SHEETS = {
    "fleet.csv": (
        "Aircraft,Model,Use,Registration number,Registration type,Registered on,Expires,Registered to,Owner,"
        "Weight g,Remote ID,Serial,Listed serial,Where marked\n"
        "Fern 1,Sarvo 4,work,FA00TEST01,Part 48 per aircraft,2025-03-03,2028-03-03,Moor Survey,Moor Survey,"
        "900,standard,ZZ9Z8FERN0001,ZZ9Z8FERN0001,outside\n"
    ),
    "people.csv": "Pilot,Flies for,Part 107 certificate,Initial test passed\nAnsel Wray,work,0000001,2025-01-15\n",
    "rules.toml": RULES,
}


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with sheets of one aircraft and one pilot, and a manual's rules."""
    for name, text in SHEETS.items():
        (tmp_path / name).write_text(text, encoding="utf-8")
    return tmp_path


def told(folder: Path, *words: str, sheets: tuple[str, ...] = ("fleet.csv", "people.csv")) -> Any:
    """The document of a command over some sheets."""
    by_option = words[0] in ("before-flight", "report")
    named = [word for sheet in sheets for word in (("--sheet", sheet) if by_option else (sheet,))]
    return json.loads(run(folder, *words, *named, "--json").stdout)


def log(folder: Path, rows: list[tuple[date, int, int]]) -> tuple[str, ...]:
    """A log of flights with day, landings and minutes; the sheets with it."""
    lines = [f"{day},Ansel Wray,Fern 1,{landings},{minutes}" for day, landings, minutes in rows]
    (folder / "log.csv").write_text(
        "\n".join(("Date,Pilot,Aircraft,Landings,Minutes", *lines, "")), encoding="utf-8"
    )
    return ("fleet.csv", "people.csv", "log.csv")


@pytest.mark.parametrize(
    ("landings", "days", "verdict"), [(3, 89, "met"), (3, 90, "not_met"), (2, 1, "not_met")]
)
def test_three_landings_in_ninety_days_on_training_and_before_a_flight(
    folder: Path, landings: int, days: int, verdict: str
) -> None:
    sheets = log(folder, [(FLOWN, landings, 20)])
    on = FLOWN + timedelta(days=days)
    training = told(folder, "training", "--house", "rules.toml", "--on", str(on), sheets=sheets)
    plan = {row["rule"]: row["verdict"] for row in training["training_plan"]}
    assert plan["recent_on_the_model"] == verdict
    words = ["before-flight", "38.5, -98.5", "--radius", "500", "--from", f"{on} 12:00", "--until", "12:30"]
    words += ["--height", "60 m", "--aircraft", "Fern 1", "--pilot", "Ansel Wray", "--for", "work"]
    flight = told(folder, *words, "--house", "rules.toml", sheets=sheets)
    rules = {one["rule"]: one["verdict"] for one in flight["clauses"]}
    assert rules["recent_before_the_flight"] == verdict


SHARES = ((25, 100), (50, 90), (100, 80), (150, 70), (200, 60), (250, 50), (300, 40), (400, 30), (500, 20))
TOP = (800, 10)


@pytest.mark.parametrize(("upto", "share"), [*SHARES, TOP])
def test_the_hours_of_an_aircraft_at_a_date(folder: Path, upto: int, share: int) -> None:
    """Flown to the last hour of a share on one day, and an hour over it on the next."""
    sheets = log(folder, [(FLOWN, 1, upto * 60), (FLOWN + timedelta(days=1), 1, 60)])
    found = []
    for days in (0, 1):
        on = str(FLOWN + timedelta(days=days))
        report = told(folder, "report", "aircraft-hours", "--aircraft", "fern 1", "--on", on, sheets=sheets)
        hours = float(report["tables"]["flights"]["rows"][-1]["hours_so_far"])
        found.append(next((each for most, each in (*SHARES, TOP) if hours <= most), 0))
    assert found[0] == share
    assert found[1] < share


@pytest.mark.parametrize(
    ("height", "feet", "verdict"),
    [
        ("15 m", 49.2, "met"),
        ("16 m", 52.5, "met"),
        ("20 m", 65.6, "met"),
        ("120 m", 393.7, "met"),
        ("121.92 m", 400.0, "met"),
        ("121.93 m", 400.0, "not_met"),
    ],
)
def test_metric_heights_against_the_limit_of_400_feet(
    folder: Path, height: str, feet: float, verdict: str
) -> None:
    words = [
        "before-flight",
        "38.5, -98.5",
        "--radius",
        "500",
        "--from",
        "2026-06-10 10:00",
        "--until",
        "10:30",
    ]
    words += ["--height", height, "--aircraft", "Fern 1", "--pilot", "Ansel Wray", "--for", "work"]
    flight = told(folder, *words)
    limit = next(one for one in flight["clauses"] if one["rule"] == "height_limit")
    assert limit["verdict"] == verdict
    assert abs(float(flight["plan"]["height_agl_ft"]) - feet) < 0.1


@pytest.mark.parametrize(("charge", "is_said"), [(39, True), (40, False), (65, False), (66, True)])
def test_the_charge_a_battery_is_stored_at(folder: Path, charge: int, is_said: bool) -> None:
    (folder / "packs.csv").write_text(
        f"Battery,Chemistry,Capacity (mAh),Storage charge,Swelling\nB-1,LiPo,5000,{charge} %,no\n",
        encoding="utf-8",
    )
    (row,) = told(folder, "batteries", sheets=("packs.csv",))["in_use"]
    assert any("Common practice is 40 to 65 percent" in one for one in row["says"]) is is_said


@pytest.mark.parametrize(("reserve", "verdict"), [("15%", "met"), ("30%", "not_met")])
def test_the_charge_left_at_landing(folder: Path, reserve: str, verdict: str) -> None:
    """20 minutes of battery at 10 m/s, 4.9 km out and back with no wind: 16.3 minutes, so some 18 percent is left."""
    words = ["way-home", "--airspeed", "10 m/s", "--wind", "0", "--farthest", "4900 m", "--battery", "20"]
    assert told(folder, *words, "--reserve", reserve, sheets=())["verdict"] == verdict


def test_a_registration_lasts_three_years_and_costs_five_dollars(folder: Path) -> None:
    found = run(
        folder, "registration-sheets", "fleet.csv", "--aircraft", "Fern 1", "--on", "2028-03-04", "--json"
    )
    (sheet,) = json.loads(found.stdout)["worksheets"]
    assert sheet["fee"]["usd"] == "5"
    for on, is_over in (("2028-03-03", False), ("2028-03-04", True)):
        sheets = ("fleet.csv", "people.csv")
        standing = told(folder, "aircraft", "Fern 1", "--on", on, sheets=sheets)
        rules = {one["rule"]: one["verdict"] for one in standing["findings"] if one["counts"]}
        assert (rules["registration_in_term"] == "not_met") is is_over
