"""Plans as typed: times in local time there, areas, heights, axes; what cannot be is refused by name."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode
from airwrit.answers.before_flight.plan import checked
from airwrit.answers.before_flight.typed import PlanTyped, plan_of
from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.sky.zones import instant_at, zone_of
from tests.unit.answers.before_flight.planning import MORNING, PLACE, check, plan, program, verdict_of
from tests.unit.answers.told import known_of

ZONE = zone_of(PLACE)


def test_a_time_is_by_the_clock_of_the_place_unless_it_names_its_zone() -> None:
    assert instant_at("2026-12-02 14:30", ZONE, "--from") == datetime(2026, 12, 2, 20, 30, tzinfo=UTC)
    assert instant_at("2026-12-02T14:30-05:00", ZONE, "--from") == datetime(2026, 12, 2, 19, 30, tzinfo=UTC)
    assert instant_at("14:40", ZONE, "--until", MORNING) == datetime(2026, 6, 10, 19, 40, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "why"),
    [("2026-03-08 02:30", "is skipped"), ("2026-11-01 01:30", "comes twice")],
)
def test_an_hour_that_the_clocks_skip_or_repeat_is_asked_about(text: str, why: str) -> None:
    # 15 U.S.C. 260a: from the second Sunday of March to the first of November, at 2 a.m. local time
    with pytest.raises(UsageError, match=why):
        instant_at(text, ZONE, "--from")
    before = datetime.fromisoformat(text) - timedelta(minutes=91)
    assert instant_at(before.isoformat(sep=" "), ZONE, "--from").tzinfo is UTC


@pytest.mark.parametrize("text", ["2026-12-02", "noon", "", "25:00", "2026-13-01 10:00", "14h30"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="isn't a time"):
        instant_at(text, ZONE, "--from", MORNING)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"ends": MORNING}, "ends before"),
        ({"ends": MORNING + timedelta(hours=24, seconds=1)}, "longer than a day"),
        ({"area": "38.5, -98.5 within 20 nm"}, "degrees wide"),
        ({"height_ft": Decimal(0)}, "We can't use that height"),
        ({"place": Place(-98.5 + 20, 38.5)}, "the other way around it is"),
    ],
)
def test_a_plan_that_cannot_be_flown_is_refused_by_name(change: dict[str, Any], why: str) -> None:
    with pytest.raises(UsageError, match=why):
        checked(plan(**change))


def test_a_plan_at_its_edges_is_taken() -> None:
    assert checked(plan(ends=MORNING + timedelta(hours=24), area="38.5, -98.5 within 11 nm"))


def typed(**changes: str) -> PlanTyped:
    """The plan as a pilot types it."""
    told = PlanTyped("38.5, -98.5", "500", "2026-06-10 10:00", "10:30", "200", "Fern 1", "Ansel Wray", "work")
    return told._replace(**changes)


@pytest.mark.parametrize("end", ["+30", "+30 min", "+ 30 minutes"])
def test_a_call_out_starts_now_and_lasts_so_many_minutes(end: str) -> None:
    now = datetime(2026, 6, 10, 15, 4, 40, tzinfo=UTC)
    found = plan_of(typed(start="now", end=end).starting(now), [])
    assert found.starts == now.replace(second=0)
    assert found.ends - found.starts == timedelta(minutes=30)
    assert typed().starting(now) == typed()


def test_a_saved_site_fills_in_what_is_not_typed() -> None:
    site = {"site_area": "38.6, -98.6 within 300 ft", "site_ground_ft": "1900", "site_takeoff": "38.6, -98.6"}
    known = known_of({"saved_site/North Field": dict(site), "saved_site/Bare": {"site_notes": "no area"}})
    at = typed(place="", site="north field").at_site(known)
    assert (at.area, at.ground, at.takeoff) == ("38.6, -98.6 within 300 ft", "1900", "38.6, -98.6")
    own = typed(site="North Field", ground="2000").at_site(known)
    assert (own.area, own.ground) == ("38.5, -98.5 within 500 ft", "2000")
    found = plan_of(at, ["aircraft/Fern 1", "person/Ansel Wray"])
    assert (found.place_name, found.ground_ft) == ("North Field", Decimal(1900))
    with pytest.raises(UsageError, match="saved sites are North Field"):
        typed(site="South Field").at_site(known)


@pytest.mark.parametrize(
    ("changes", "where", "what"),
    [
        # 0.01 degrees are 1,110 m there (WGS 84), and the radius is 152 m
        ({"takeoff": "38.51, -98.5"}, "takeoff", "3,142 ft outside the area"),
        ({"takeoff": "here"}, "takeoff", "isn't a latitude"),
        ({"height": "2000 ft MSL"}, "height", "isn't a height above the ground"),
        ({"height": "300 ft above takeoff"}, "height", "isn't a height above the ground"),
        ({"structure": "38.5, -98.5"}, "structure_top", "isn't a plain number"),
        ({"place": "-98.5, 38.5"}, "place", "Latitude comes first"),
        ({"place": "38.5, -98.5; 38.6, -98.5; 38.7, -98.5", "radius": ""}, "place", "make an area"),
        ({"place": "37, -102; 40, -102; 40, -94.6; 37, -94.6", "radius": ""}, "place", "degrees wide"),
        ({"pilot": ""}, "pilot", "crew"),
    ],
)
def test_what_cannot_be_meant_is_refused_by_its_field(changes: dict[str, str], where: str, what: str) -> None:
    with pytest.raises(UsageError) as fault:
        plan_of(typed(**changes), ["aircraft/Fern 1", "person/Ansel Wray"])
    assert fault.value.where == where
    assert what in fault.value.says


def test_a_takeoff_at_the_edge_of_the_area_is_inside_it() -> None:
    # 500 ft is 152.4 m; 152 m north of the middle at 111,003 m a degree of latitude there (WGS 84)
    assert plan_of(typed(takeoff="38.501369, -98.5"), []).takeoff is not None


def test_a_height_above_a_structure_is_held_against_its_own_limit() -> None:
    # 14 CFR 107.51(b): within 400 ft of a structure, no higher than 400 ft above its uppermost limit
    beside = plan_of(typed(structure="38.5, -98.5", structure_top="300", radius="390", height="650"), [])
    found = check(beside)
    assert verdict_of(found, "height_limit") == "met"
    far = plan_of(typed(structure="38.5, -98.5", structure_top="300", radius="410", height="650"), [])
    assert verdict_of(check(far), "height_limit") == "not_met"
    controlled = check(beside, program({"airspace_class": "D"}))
    assert controlled.whole is FlightAnswerCode.NOT_ALLOWED
    assert verdict_of(controlled, "authority_controlled_airspace") == "not_met"
