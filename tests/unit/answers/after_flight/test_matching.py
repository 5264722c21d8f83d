"""Which planned flight a log is of: by aircraft, hours and place; two that fit are none."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import PurePath

import pytest

from airwrit.answers.after_flight.check import flown_answer
from airwrit.answers.after_flight.many import line_of
from airwrit.answers.after_flight.matching import aircraft_in_name
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.after_flight.view import assumed_lines, whole_lines
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.base.places import Place
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.sky.zones import zone_of
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.track import TrackProblem
from tests.unit.answers.after_flight.asking import ASKED, KNOWN_AT, answered, clause
from tests.unit.answers.told import firm_aircraft
from tests.unit.tracks.made import HOME, STARTS, bump, made

FERN, MOSS = "aircraft/Fern 1", "aircraft/Moss 2"


def planned(name: str, *, late_min: int = 0, aircraft: str = FERN, north_deg: float = 0.0) -> SavedFlight:
    """A plan of half an hour for a place near where the made track flies."""
    starts = STARTS + timedelta(minutes=late_min)
    place = Place(HOME.latitude_deg + north_deg, HOME.longitude_deg)
    area = f"{place.latitude_deg}, {place.longitude_deg} within 300 ft"
    plan = FlightPlan(
        area,
        place,
        zone_of(place),
        starts,
        starts + timedelta(minutes=30),
        Decimal(300),
        aircraft,
        "person/Ansel Wray",
        UsedFor.WORK,
    )
    return SavedFlight(f"flight/{name}", plan, (), (), "", None)


@pytest.mark.parametrize(
    ("plans", "aircraft", "expected"),
    [
        ([planned("A")], "", "A"),
        ([planned("A")], FERN, "A"),
        ([planned("A")], MOSS, None),
        ([planned("A"), planned("B", aircraft=MOSS)], FERN, "A"),
        ([planned("A"), planned("B", aircraft=MOSS)], "", None),
        ([planned("A"), planned("B", late_min=40)], FERN, "A"),
        ([planned("A", late_min=50)], FERN, "A"),
        ([planned("A", late_min=80)], FERN, None),
        ([planned("A", north_deg=0.018)], FERN, "A"),
        ([planned("A", north_deg=0.03)], FERN, None),
        ([], FERN, None),
    ],
)
def test_one_plan_that_fits_is_the_plan(
    plans: list[SavedFlight], aircraft: str, expected: str | None
) -> None:
    asked = ASKED._replace(aircraft=aircraft, pilot="", plans=tuple(plans))
    moss = firm_aircraft("Moss 2", "FA00TEST02", "2025-03-03")
    found = answered(made(bump(60, 500, 50.0, 60)), asked, more=moss)
    assert (found.planned and found.planned.subject) == (expected and f"flight/{expected}")
    assert ("plan_matched" in found.assumed) is (expected is not None)
    assert ("plan_area" in {one.name for one in found.clauses}) is (expected is not None)
    if len(plans) == 2 and expected is None:
        assert "This log fits more than one planned flight: A, B. Enter which one it was." in assumed_lines(
            found
        )


def test_a_log_without_a_clock_is_of_no_plan() -> None:
    asked = ASKED._replace(plans=(planned("A"),), day=datetime(2026, 6, 10, tzinfo=UTC).date())
    assert answered(made(bump(60, 500, 50.0, 60), starts=None), asked).planned is None


def test_planned_against_flown_is_told() -> None:
    plan = planned("A")
    late = replace_plan(plan, ends=STARTS + timedelta(minutes=5))
    found = answered(
        made(bump(60, 500, 95.0, 60), east_m=bump(150, 400, 150.0, 40)), ASKED._replace(plans=(late,))
    )
    assert clause(found, "plan_area").code == "outside_plan"
    assert clause(found, "plan_height").code == "over_plan"
    assert {one.what for one in found.differences if one.differs} >= {"landing", "height"}


def replace_plan(one: SavedFlight, *, ends: datetime) -> SavedFlight:
    return one._replace(plan=one.plan._replace(ends=ends))


@pytest.mark.parametrize(
    ("log", "expected"),
    [
        ("Fern 1/2026-06-10.gpx", FERN),
        ("logs/FERN-1_0004.bin", FERN),
        ("Fern 12/a.gpx", ""),
        ("Moss 2 Fern 1.gpx", ""),
        ("a.gpx", ""),
    ],
)
def test_the_aircraft_is_in_the_name_of_the_log_or_its_folder(log: str, expected: str) -> None:
    assert aircraft_in_name(PurePath(log), [FERN, MOSS, "aircraft/7"]) == expected


def test_the_aircraft_by_its_name_is_said() -> None:
    found = answered(made(bump(60, 500, 50.0, 60)), ASKED._replace(by_name=True))
    assert "The name of the log or its folder says the aircraft is Fern 1." in assumed_lines(found)
    gone = answered(made(bump(60, 500, 50.0, 60)), ASKED._replace(by_name=True, aircraft=MOSS))
    assert gone.aircraft is None


SERIAL = "ZZ9Z7TEST000002"


def on_file(key: str, *subjects: str) -> Mapping[str, dict[str, Raw]]:
    """The aircraft Moss 2, and a serial under a key for some aircraft."""
    more = dict(firm_aircraft("Moss 2", "FA00TEST02", "2025-03-03"))
    return {**more, **{one: {**more.get(one, {}), key: SERIAL} for one in subjects}}


@pytest.mark.parametrize(
    ("asked", "more", "aircraft", "code"),
    [
        (ASKED._replace(aircraft=""), on_file("remote_id_serial", MOSS), MOSS, "serial_fits"),
        (ASKED._replace(aircraft=""), on_file("airframe_serial", MOSS), MOSS, "serial_fits"),
        (ASKED._replace(aircraft=""), on_file("listed_serial", MOSS), MOSS, "serial_fits"),
        (ASKED._replace(by_name=True), on_file("airframe_serial", MOSS), MOSS, "serial_fits"),
        (ASKED, on_file("airframe_serial", MOSS), FERN, "serial_other"),
        (ASKED, on_file("airframe_serial"), FERN, "serial_unknown"),
        (
            ASKED._replace(aircraft=""),
            on_file("airframe_serial", MOSS, "aircraft/Reed 3"),
            "",
            "serial_several",
        ),
        (ASKED._replace(planned=planned("A")), on_file("airframe_serial", MOSS), FERN, "serial_other"),
    ],
)
def test_the_serial_in_the_log_tells_the_aircraft(
    asked: FlownQuestion, more: Mapping[str, dict[str, Raw]], aircraft: str, code: str
) -> None:
    track = replace(made(bump(60, 500, 50.0, 60)), serials=(SERIAL,))
    found = answered(track, asked, more=more)
    assert found.plan.aircraft == aircraft
    assert [one for one in found.assumed if one.startswith("serial")] == [code]
    said = " ".join(assumed_lines(found))
    assert SERIAL in said
    assert ("Moss 2" in said) is (code != "serial_unknown")
    is_against = code != "serial_fits"
    assert (SERIAL in line_of(found).says) is is_against
    assert ("The serial number in the log belongs to another aircraft." in whole_lines(found)) is (
        code == "serial_other"
    )


def test_of_two_plans_the_serials_aircraft_has_one() -> None:
    plans = (planned("A"), planned("B", aircraft=MOSS))
    track = replace(made(bump(60, 500, 50.0, 60)), serials=(SERIAL,))
    asked = ASKED._replace(aircraft="", plans=plans)
    found = answered(track, asked, more=on_file("airframe_serial", MOSS))
    assert found.planned is not None
    assert found.planned.subject == "flight/B"


def test_a_vehicle_of_several_is_told_by_its_serial() -> None:
    problems = (TrackProblem(TrackFault.OTHER_VEHICLE, 2),)
    track = replace(made(bump(60, 500, 50.0, 60)), serials=(SERIAL,), problems=problems)
    asked = ASKED._replace(by_name=True, plans=(planned("B", aircraft=MOSS),))
    found = answered(track, asked, more=on_file("airframe_serial", MOSS))
    assert (found.plan.aircraft, found.planned is not None) == (MOSS, True)
    nameless = answered(replace(track, serials=()), asked, more=on_file("airframe_serial", MOSS))
    assert (nameless.plan.aircraft, nameless.planned) == ("", None)


def test_without_aircraft_on_file_a_serial_says_nothing() -> None:
    track = replace(made(bump(60, 500, 50.0, 60)), serials=(SERIAL,))
    found = flown_answer(track, FlownQuestion(), Program((), KNOWN_AT), FlownFolders())
    assert not [one for one in found.assumed if one.startswith("serial")]
