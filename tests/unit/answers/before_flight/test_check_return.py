"""The way home as a rule of a planned flight: wind, speed, battery and distance told, or said to be missing."""

from __future__ import annotations

from dataclasses import replace

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, FlightCheck, fact_of, flight_check
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.view import clause_text
from airwrit.base.places import Place
from airwrit.facts.key import Raw
from airwrit.house.rules import house_rules
from tests.unit.answers.before_flight.planning import NOTHING_AROUND, PROGRAM, plan, program, verdict_of

WIDE = "38.5, -98.5 within 6076 ft"
RESERVE = """document = "Operations manual"
[[rule]]
name = "land_with"
about = "flight"
kind = "at_least"
key = "battery_reserve_percent"
limit = {percent}
clause = "9"
"""


def flying(gust_kt: str | None, **model: Raw) -> Program:
    """The program with its aircraft of a model that flies like this, and the strongest wind the pilot measured."""
    figures: dict[str, Raw] = {"model_airspeed_kt": "20", "model_flight_time_min": "12", **model}
    craft = {**PROGRAM["aircraft/Fern 1"], "model": "Sarvo 4"}
    told = {} if gust_kt is None else {"gust_seen_kt": gust_kt}
    return program(told, **{"aircraft_Fern 1": craft, "model_Sarvo 4": figures})


def found(given: Program, percent: int | None = None) -> FlightCheck:
    """A flight of a mile around its takeoff point."""
    rules = () if percent is None else house_rules(RESERVE.format(percent=percent), "manual.toml")
    planned = plan(area=WIDE, takeoff=Place(38.5, -98.5))
    return flight_check(planned, replace(given, house=rules), NOTHING_AROUND)


def says(check: FlightCheck) -> str:
    return next(clause_text(one) for one in check.clauses if one.finding.rule.name == "return_home")


def test_enough_battery_is_ok_and_says_what_is_left() -> None:
    check = found(flying("10"))
    assert verdict_of(check, "return_home") == "met"
    assert check.whole is FlightAnswerCode.NOTHING_AGAINST
    # 8 minutes out and back of 9 before a quarter is left
    assert "takes 8 minutes" in says(check)
    assert "1 min to spare" in says(check)


@pytest.mark.parametrize(("percent", "verdict"), [(33, "met"), (43, "not_met")])
def test_the_reserve_of_your_rules_counts(percent: int, verdict: str) -> None:
    check = found(flying("10"), percent)
    assert verdict_of(check, "return_home") == verdict
    assert verdict_of(check, "land_with") == "met"


def test_a_wind_as_strong_as_the_aircraft_is_said_plainly() -> None:
    check = found(flying("20"))
    assert check.whole is FlightAnswerCode.NOT_ALLOWED
    assert "get home against a wind" in says(check)


def test_what_nobody_told_is_asked_and_is_no_no() -> None:
    check = found(flying(None))
    assert check.whole is FlightAnswerCode.CONFIRM_FIRST
    assert [fact_of(need) for need in check.owed] == ["gust_seen_kt"]
    alone = found(program())
    assert verdict_of(alone, "return_home") == "not_applicable"
    assert "aren't on file" in says(alone)
    assert alone.whole is FlightAnswerCode.NOTHING_AGAINST


def test_without_a_takeoff_point_the_whole_width_has_to_fit() -> None:
    wide = flight_check(plan(area=WIDE), flying("10"), NOTHING_AROUND)
    assert verdict_of(wide, "return_home") == "unknown"
    assert "Enter your takeoff point" in says(wide)
    small = flight_check(plan(), flying("10"), NOTHING_AROUND)
    assert verdict_of(small, "return_home") == "met"
