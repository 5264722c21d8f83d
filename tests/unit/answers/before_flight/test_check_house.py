"""Conditions of a policy or a waiver, as house rules about a flight: asked before it, and never of flights already made."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime, timedelta

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, FlightCheck, fact_of
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.standing.standing import standing
from airwrit.base.errors import BadHouseFile
from airwrit.facts.fold import state_of
from airwrit.house.rules import house_rules
from airwrit.law.rule import Rule
from airwrit.law.wording import cites, worded
from tests.unit.answers.before_flight.planning import MORNING, check, plan, program, verdict_of
from tests.unit.answers.told import known_of

POLICY = """document = "Liability policy"
[[rule]]
name = "named_pilots"
about = "flight"
kind = "one_of"
key = "flight_pilot"
values = ["Ansel Wray"]
clause = "schedule 1"
bears = "flight"
[[rule]]
name = "territory"
about = "flight"
kind = "inside_box"
south = 37.0
north = 38.51
west = -102.05
east = -94.6
clause = "section 2"
[[rule]]
name = "no_night_flights"
about = "flight"
kind = "by_day"
clause = "exclusion 4"
[[rule]]
name = "least_crew"
about = "flight"
kind = "at_least"
key = "crew_present"
limit = 2
clause = "section 6"
bears = "flight"
"""
RULES: tuple[Rule, ...] = house_rules(POLICY, "policy.toml")
NIGHT = datetime(2026, 6, 11, 4, tzinfo=UTC)
"""11 PM in central Kansas."""


def found(of: FlightPlan | None = None, crew: str | None = "2") -> FlightCheck:
    """The answer for a plan under the policy."""
    return check(of or plan(), replace(program({"crew_present": crew}), house=RULES))


def test_a_flight_within_every_condition_breaks_none() -> None:
    assert found().whole is FlightAnswerCode.NOTHING_AGAINST
    assert {verdict_of(found(), rule.name) for rule in RULES} == {"met"}


@pytest.mark.parametrize(
    ("broken", "of"),
    [
        ("territory", plan(area="38.5, -98.5 within 2 mi")),
        ("no_night_flights", plan(starts=NIGHT, ends=NIGHT + timedelta(minutes=20))),
    ],
)
def test_one_condition_broken_stands_in_the_way(broken: str, of: FlightPlan) -> None:
    assert verdict_of(found(of), broken) == "not_met"
    assert found(of).whole is FlightAnswerCode.NOT_ALLOWED


def test_a_flight_that_runs_into_the_night_breaks_it_at_its_end() -> None:
    late = datetime(2026, 6, 11, 1, 30, tzinfo=UTC)
    assert (
        verdict_of(found(plan(starts=late, ends=late + timedelta(hours=3))), "no_night_flights") == "not_met"
    )
    assert verdict_of(found(plan(starts=late, ends=late + timedelta(minutes=9))), "no_night_flights") == "met"


STATES = """document = "Liability policy"
[[rule]]
name = "states_covered"
about = "flight"
kind = "in_states"
values = ["Kansas", "NE"]
clause = "section 2"
"""


@pytest.mark.parametrize(
    ("area", "told", "verdict"),
    [
        ("38.5, -98.5 within 2 mi", None, "met"),
        ("39.0, -105.5 within 2 mi", None, "not_met"),
        ("25.0, -90.0 within 2 mi", None, "not_met"),
        ("40.0, -98.5 within 1000 ft", None, "unknown"),
        ("40.0, -98.5 within 1000 ft", "Kansas, Nebraska", "met"),
        ("37.02, -98.5 within 1000 ft", "Kansas, Oklahoma", "not_met"),
        ("38.5, -98.5 within 2 mi", "Oklahoma", "unknown"),
    ],
)
def test_a_territory_of_states_by_name(area: str, told: str | None, verdict: str) -> None:
    """Kansas lies between 37 and 40 degrees north; the Gulf is in no State. Known places, from memory."""
    under = replace(program({"flight_states": told}), house=house_rules(STATES, "policy.toml"))
    assert verdict_of(check(plan(area=area), under), "states_covered") == verdict


AREA = """document = "Liability policy"
[[rule]]
name = "insured_area"
about = "flight"
kind = "inside_area"
{}
clause = "section 2"
"""
CORNERS = "38.0, -99.0; 38.0, -98.0; 39.0, -98.0; 39.0, -99.0"
GEOJSON = '{"type": "Polygon", "coordinates": [[[-99, 38], [-98, 38], [-98, 39], [-99, 39], [-99, 38]]]}'
L_SHAPE = "38.0, -99.0; 38.0, -98.0; 38.5, -98.0; 38.5, -98.5; 39.0, -98.5; 39.0, -99.0"


@pytest.mark.parametrize(
    ("rule", "area", "verdict", "says"),
    [
        (CORNERS, "38.5, -98.5 within 2 mi", "met", "inside the area, 25."),
        (CORNERS, "38.0, -98.6; 38.0, -98.5; 38.1, -98.5", "met", "inside the area, 0 ft from its edge"),
        (CORNERS, "37.999999, -98.6; 38.1, -98.5; 38.1, -98.6", "not_met", "part of the flight is outside"),
        (CORNERS, "38.01, -98.5 within 1 mi", "not_met", "part of the flight is outside"),
        (CORNERS, "37.9, -98.5 within 1 mi", "not_met", "5.9 miles outside the area"),
        (CORNERS, "34.0, -98.5 within 1 mi", "not_met", "more than 60 miles outside the area"),
        (GEOJSON, "38.5, -98.5 within 2 mi", "met", "inside the area, 25."),
        (L_SHAPE, "38.7, -98.3 within 1000 ft", "not_met", "outside the area"),
        (L_SHAPE, "38.7, -98.7 within 1000 ft", "met", "inside the area, 10."),
        ("38.5, -98.5 within 3 mi", "38.5, -98.5 within 2 mi", "met", "inside the area, 1.0 miles"),
        ("38.5, -98.5 within 2 mi", "38.5, -98.5 within 3 mi", "not_met", "part of the flight is outside"),
    ],
)
def test_a_territory_with_corners_of_its_own(rule: str, area: str, verdict: str, says: str) -> None:
    """A degree of latitude is 69 miles there, one of longitude 54: 0.5 degrees less 2 miles are 25 miles, and so on."""
    rules = house_rules(AREA.format(f"area = '{rule}'"), "policy.toml")
    found = check(plan(area=area), replace(program({}), house=rules))
    assert verdict_of(found, "insured_area") == verdict
    clause = next(one for one in found.clauses if one.finding.rule.name == "insured_area")
    assert says in worded(clause.finding, clause.state).says
    assert cites(clause.finding) == ("Liability policy section 2",)


def test_the_territory_of_a_saved_site() -> None:
    rules = house_rules(AREA.format('site = "north field"'), "policy.toml")
    without = check(plan(), replace(program({}), house=rules))
    assert verdict_of(without, "insured_area") == "unknown"
    assert without.whole is FlightAnswerCode.CANT_TELL
    base = replace(program({}), house=rules)
    with_site = replace(
        base, known=[*base.known, *known_of({"saved_site/North Field": {"site_area": CORNERS}})]
    )
    assert verdict_of(check(plan(), with_site), "insured_area") == "met"


def test_an_area_that_is_none_is_refused_with_its_rule() -> None:
    rules = house_rules(AREA.format('area = "38.0, -99.0; 39.0, -98.0"'), "policy.toml")
    with pytest.raises(BadHouseFile, match="radius"):
        check(plan(), replace(program({}), house=rules))


def test_what_a_condition_needs_and_nobody_told_is_asked() -> None:
    asked = found(crew=None)
    assert asked.whole is FlightAnswerCode.CONFIRM_FIRST
    assert "crew_present" in {fact_of(need) for need in asked.owed}


def test_flights_already_made_are_not_asked_about_it() -> None:
    known = known_of({"flight/1": {"flown_on": "2026-06-01", "flight_pilot": "Somebody Else"}})
    state = state_of(known, MORNING, MORNING)
    answer = standing(state, MORNING, MORNING, house=RULES)
    assert not {one.rule.name for one in answer.report.findings} & {rule.name for rule in RULES}
