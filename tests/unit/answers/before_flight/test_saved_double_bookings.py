"""An aircraft, a pilot or a battery that another planned flight takes up: said with the flight, its hours, and a way out."""

from __future__ import annotations

from dataclasses import replace
from datetime import timedelta
from typing import Any

import pytest

from airwrit.answers.before_flight.answer import FlightAnswer, flight_answer
from airwrit.answers.before_flight.changes import ChangeCode
from airwrit.answers.before_flight.check import FlightAnswerCode
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import Booking, FlightPlan
from airwrit.answers.before_flight.view import reason_text, watch_lines
from airwrit.base.verdict import Verdict
from tests.unit.answers.before_flight.planning import MORNING, PROGRAM, plan, program

OTHER = {"area": "38.9, -98.5 within 500 ft", "pilot": "person/Rune Tveit", "aircraft": "aircraft/Alder 2"}


def answer(planned: FlightPlan, *, two_pilots: bool = False, **other: Any) -> FlightAnswer:
    """The answer for a plan beside a flight called Survey, in a program of one pilot or of two."""
    booked = [Booking("flight/Survey", plan(**{**OTHER, **other}))]
    second = {
        "person_Isa Moe": PROGRAM["person/Ansel Wray"],
        "training_Isa Moe": {**PROGRAM["training/Ansel Wray"], "event_of": "Isa Moe"},
    }
    given = program(**(second if two_pilots else {}))
    return flight_answer(planned, replace(given, booked=booked), None, None, 1)


@pytest.mark.parametrize(
    ("other", "whole"),
    [
        ({}, FlightAnswerCode.NOTHING_AGAINST),
        ({"aircraft": "aircraft/Fern 1"}, FlightAnswerCode.NOT_ALLOWED),
        ({"pilot": "person/Ansel Wray"}, FlightAnswerCode.NOT_ALLOWED),
        ({"packs": ("P1",)}, FlightAnswerCode.NOT_ALLOWED),
        # one ends in the minute in which the other begins
        (
            {"pilot": "person/Ansel Wray", "starts": MORNING.replace(minute=30)},
            FlightAnswerCode.NOTHING_AGAINST,
        ),
    ],
)
def test_what_another_flight_takes_up_is_no_yes(other: dict[str, Any], whole: FlightAnswerCode) -> None:
    later = {"ends": MORNING + timedelta(hours=2)}
    assert answer(plan(packs=("P1",)), **{**later, **other}).check.whole is whole


def test_it_is_said_on_top_and_closes_its_hours() -> None:
    found = answer(plan(), pilot="person/Ansel Wray", ends=MORNING + timedelta(hours=1))
    assert watch_lines(found.check) == [
        "Ansel Wray is also booked for Survey, Jun 10, 2026, 10:00 AM to 11:00 AM CDT."
    ]
    assert check_json(found)["in_two_places"][0]["other"] == "flight/Survey"
    shut = [one for one in found.stretches if one.verdict is Verdict.NOT_MET]
    assert [(one.start, one.end) for one in shut] == [(MORNING, MORNING + timedelta(hours=1))]
    assert "also booked for Survey" in reason_text(shut[0])


def test_other_hours_settle_it() -> None:
    found = answer(plan(), pilot="person/Ansel Wray", ends=MORNING + timedelta(hours=1))
    hours = next(one for one in found.changes if one.code is ChangeCode.HOURS)
    assert hours.plan is not None
    assert hours.plan.ends <= MORNING or hours.plan.starts >= MORNING + timedelta(hours=1)
    assert hours.settles == ("double_booking",)


def test_another_pilot_settles_it() -> None:
    found = answer(plan(), two_pilots=True, pilot="person/Ansel Wray", ends=MORNING + timedelta(hours=1))
    other = next(one for one in found.changes if one.code is ChangeCode.PILOT)
    assert other.names == ("person/Isa Moe",)
    assert other.settles == ("double_booking",)
