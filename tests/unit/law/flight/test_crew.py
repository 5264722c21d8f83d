"""Right of way, crew and checks before a flight."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    case,
    check,
    flight,
    waiver,
)

HELD: dict[str, Raw] = {"flight_waiver": "W", "waiver_terms_kept": True}
FIT: dict[str, Raw] = {"crew_fit": True, "hours_since_drink": "8", "flight_pilot": "P"}


def asked(rule: str, verdict: str, code: str, why: str = "", use: str = "work", **facts: Raw) -> Case:
    """A flight today."""
    return case(rule, verdict, code, TODAY, flight(**facts), why=why, use=use)


CASES = [
    asked("right_of_way", "met", "way_given", gives_way=True),
    asked("right_of_way", "not_met", "no_way_given", gives_way=False),
    asked("right_of_way", "unknown", "gives_way", "missing"),
    asked("right_of_way", "met", "way_given", use="recreation", gives_way=True),
    asked("right_of_way", "not_met", "no_way_given", use="recreation", gives_way=False),
    asked("one_aircraft", "met", "one_at_a_time", several_at_once=False),
    asked("one_aircraft", "not_met", "several", several_at_once=True),
    case(
        "one_aircraft",
        "not_applicable",
        "not_asked",
        TODAY,
        flight(several_at_once=True),
        moved=("one_aircraft_at_a_time", False),
    ),
    case(
        "one_aircraft",
        "met",
        "by_waiver",
        TODAY,
        flight(several_at_once=True, **HELD),
        waiver("107.35 several aircraft"),
    ),
    case(
        "right_of_way",
        "met",
        "by_waiver",
        TODAY,
        flight(gives_way=False, **HELD),
        waiver("107.37(a) yielding right of way"),
    ),
    case(
        "visual_observer",
        "met",
        "by_waiver",
        TODAY,
        flight(observer_used=True, observer_able=False, **HELD),
        waiver("107.33 visual observer"),
    ),
    asked("visual_observer", "not_applicable", "no_observer", observer_used=False),
    asked("visual_observer", "met", "observer_able", observer_used=True, observer_able=True),
    asked("visual_observer", "not_met", "observer_not_able", observer_used=True, observer_able=False),
    asked("airport_interference", "met", "left_alone", interferes_with_airport=False),
    asked("airport_interference", "not_met", "interferes", interferes_with_airport=True),
    asked("checked_before_flight", "met", "checked", condition_checked=True, preflight_done=True),
    asked("checked_before_flight", "not_met", "condition_not_checked", condition_checked=False),
    asked(
        "checked_before_flight", "not_met", "preflight_not_done", condition_checked=True, preflight_done=False
    ),
    asked("checked_before_flight", "unknown", "preflight_done", "missing", condition_checked=True),
    case("crew_fit", "met", "fit", TODAY, flight(**FIT)),
    case("crew_fit", "not_met", "not_fit", TODAY, flight(**{**FIT, "crew_fit": False})),
    case(
        "crew_fit", "not_met", "too_soon_after_alcohol", TODAY, flight(**{**FIT, "hours_since_drink": "7.9"})
    ),
    asked("crew_fit", "unknown", "hours_since_drink", "missing", crew_fit=True, flight_pilot="P"),
    asked("crew_fit", "unknown", "flight_pilot", "missing", crew_fit=True, hours_since_drink="9"),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
