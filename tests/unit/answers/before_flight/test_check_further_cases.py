"""Flights made up after the kind that safety reports and forums tell: each gives the verdict and the reason it asks for."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime
from types import MappingProxyType
from typing import Any, NamedTuple

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, flight_check
from airwrit.answers.before_flight.view import clause_text, who_texts
from airwrit.facts.key import Raw
from tests.unit.answers.before_flight.planning import NOTHING_AROUND, PROGRAM, check, plan, program


class FieldCase(NamedTuple):
    """What is told of a flight otherwise than in the plan that breaks nothing, and what has to come of it."""

    name: str
    whole: FlightAnswerCode
    rule: str
    says: str
    told: dict[str, Raw | None]
    changes: Mapping[str, Any] = MappingProxyType({})
    facts: Mapping[str, dict[str, Raw]] = MappingProxyType({})


NO, OPEN = FlightAnswerCode.NOT_ALLOWED, FlightAnswerCode.CANT_TELL
CONFIRM, CLEAR = FlightAnswerCode.CONFIRM_FIRST, FlightAnswerCode.NOTHING_AGAINST
NIGHT = {"starts": datetime(2026, 6, 11, 3, tzinfo=UTC), "ends": datetime(2026, 6, 11, 3, 30, tzinfo=UTC)}
GAME: dict[str, Raw | None] = {"stadium_seats": "42000", "stadium_distance_nm": "2", "listed_event": True}
MORNING: dict[str, Raw] = {
    "event_starts_on": "2026-06-10T10:30-05:00",
    "event_ends_on": "2026-06-10T13:30-05:00",
}
EVENING: dict[str, Raw] = {
    "event_starts_on": "2026-06-10T19:00-05:00",
    "event_ends_on": "2026-06-10T22:00-05:00",
}
PAPER: dict[str, Raw] = {
    "paper_kind": "authorization",
    "paper_state": "granted",
    "given_by": "FAA automated service",
    "authorizes_from_on": "2026-06-10T12:00-05:00",
    "authorizes_until_on": "2026-06-10T17:00-05:00",
    "authorized_height_ft": "200",
    "authorized_area": "38.5, -98.5 within 0.5 nm",
}
WAIVER: dict[str, Raw] = {
    "paper_kind": "waiver",
    "paper_state": "granted",
    "waives": "107.39 over people",
    "covers_all": True,
    "granted_on": "2022-06-10",
    "ends_on": "2026-06-09",
}
STUDENTS: dict[str, Raw | None] = {"people_below": "people who take no part and are not sheltered"}

CASES = [
    # 14 CFR 107.43, 107.29(a)(2)
    FieldCase(
        "night call-out beside a heliport",
        NO,
        "airport_interference",
        "",
        {"interferes_with_airport": True},
        NIGHT,
    ),
    FieldCase("night call-out, lights off", NO, "night_lights", "lights off", {"lights_lit": False}, NIGHT),
    # 14 CFR 107.47, 91.137: only who is authorized inside it
    FieldCase(
        "wildfire TFR, nobody asked the commander", OPEN, "tfr", "Not on file", {"notice_covers": True}
    ),
    FieldCase(
        "wildfire TFR, not authorized", NO, "tfr", "", {"notice_covers": True, "notice_authorized": False}
    ),
    FieldCase("wildfire TFR not looked up", CONFIRM, "tfr", "Not on file", {"notice_covers": None}),
    # the standing notice about stadiums: from an hour before to an hour after
    FieldCase("game in the morning", OPEN, "event_ring", "Not on file", {**GAME, **MORNING}),
    FieldCase("game, not cleared", NO, "event_ring", "", {**GAME, **MORNING, "notice_authorized": False}),
    FieldCase("game moved to the evening", CLEAR, "event_ring", "", {**GAME, **EVENING}),
    # 14 CFR 107.41
    FieldCase(
        "authorized from noon, flown at ten",
        NO,
        "authority_controlled_airspace",
        "",
        {"airspace_class": "D"},
        {},
        {"paper_A-1": PAPER},
    ),
    # 14 CFR 107.39
    FieldCase("students in the school yard", OPEN, "over_people", "Which category", STUDENTS),
    FieldCase(
        "students, and no category", NO, "over_people", "", {**STUDENTS, "over_people_category": "none"}
    ),
    FieldCase(
        "waiver that ended yesterday",
        NO,
        "waiver_terms",
        "",
        {**STUDENTS, "flight_waiver": "W"},
        {},
        {"paper_W": WAIVER},
    ),
]


@pytest.mark.parametrize("case", CASES, ids=lambda case: case.name)
def test_a_flight_as_told(case: FieldCase) -> None:
    found = check(plan(**case.changes), program(case.told, **case.facts))
    clause = next(one for one in found.clauses if one.finding.rule.name == case.rule)
    assert (found.whole, case.says in clause_text(clause)) == (case.whole, True), clause_text(clause)
    assert (clause.verdict.value == "not_met") is (case.whole is NO)


@pytest.mark.parametrize(("done", "whole"), [("2024-06-30", CLEAR), ("2024-05-31", NO)])
def test_training_that_ended_ten_days_before_grounds_the_pilot(done: str, whole: FlightAnswerCode) -> None:
    # 14 CFR 107.65: 24 calendar months, to the end of the month
    training = {**PROGRAM["training/Ansel Wray"], "completed_on": done}
    found = flight_check(plan(), program(**{"training_Ansel Wray": training}), NOTHING_AROUND)
    assert found.whole is whole
    assert (whole is CLEAR) or "expired" in who_texts(found)[1].why
