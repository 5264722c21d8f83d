"""Airspace on file before a flight: its hours cut the day, and what the pilot says against it decides nothing."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path

import pytest

from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.changes import ChangeCode
from airwrit.answers.before_flight.check import FlightAnswerCode, flight_check
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.surroundings import Surroundings, look_around
from airwrit.answers.before_flight.windows import stretches_of, windows_of
from tests.unit.airspace.features import feature, volume, written
from tests.unit.answers.before_flight.planning import plan, program, verdict_of


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Class D over the place, active on weekdays from 8 to 5 by its clock."""
    ring = [[-98.6, 38.4], [-98.4, 38.4], [-98.4, 38.6], [-98.6, 38.6], [-98.6, 38.4]]
    fields = {
        "NAME": "SYNTHETIC",
        "CLASS": "D",
        "LOCAL_TYPE": "CLASS_D",
        "TIMESOFUSE": "MON-FRI 0800-1700 LOCAL",
    }
    file = written(tmp_path / "class.geojson", feature({**volume()["properties"], **fields}, ring))
    shelve(tmp_path / "airspace", read_edition((file,), None, None, date(2026, 5, 14)))
    return tmp_path / "airspace"


def test_the_hours_of_class_d_cut_the_day(folder: Path) -> None:
    @cache
    def look(one: FlightPlan) -> Surroundings:
        return look_around(one, folder, None)

    given = program({"airspace_class": None})
    stretches = stretches_of(plan(), given, look, date(2026, 6, 10), date(2026, 6, 10))
    zone = plan().zone.info
    broken = [one for one in stretches if one.verdict.value == "not_met"]
    assert [(f"{a.start.astimezone(zone):%H:%M}", f"{a.end.astimezone(zone):%H:%M}") for a in broken] == [
        ("08:00", "17:00")
    ]
    assert len(windows_of(stretches, timedelta(minutes=30))) == 2
    saturday = stretches_of(plan(), given, look, date(2026, 6, 13), date(2026, 6, 13))
    assert all(one.verdict.value != "not_met" for one in saturday)


def test_a_pilot_who_says_otherwise_than_the_data_settles_nothing(folder: Path) -> None:
    around = look_around(plan(), folder, None)
    said_d = flight_check(plan(), program({"airspace_class": "D"}), around)
    said_g = flight_check(plan(), program({"airspace_class": "G"}), around)
    assert verdict_of(said_d, "authority_controlled_airspace") == "not_met"
    assert verdict_of(said_g, "authority_controlled_airspace") == "unknown"
    assert said_g.whole is FlightAnswerCode.CANT_TELL


def test_the_nearest_hour_ends_before_the_airspace_begins(folder: Path) -> None:
    zone = plan().zone.info
    early = plan(
        starts=datetime(2026, 6, 10, 9, tzinfo=zone).astimezone(UTC),
        ends=datetime(2026, 6, 10, 9, 30, tzinfo=zone).astimezone(UTC),
    )
    found = flight_answer(early, program({"airspace_class": None}), folder, None, 1)
    hours = next(one for one in found.changes if one.code is ChangeCode.HOURS)
    assert hours.plan is not None
    # Class D begins at 8:00 by its clock: 30 minutes that are over before it begin at 7:29 at the latest
    assert f"{hours.plan.starts.astimezone(zone):%H:%M}" == "07:29"
    assert "authority_controlled_airspace" in hours.settles
