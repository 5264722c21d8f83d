"""Flights made up after the kind that safety reports and forums tell: each gives the verdict and the reason it asks for."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from types import MappingProxyType
from typing import Any, NamedTuple

import pytest

from airwrit.answers.before_flight.answer import flight_answer
from airwrit.answers.before_flight.changes import ChangeCode
from airwrit.answers.before_flight.check import FlightAnswerCode, flight_check
from airwrit.answers.before_flight.plan import StructureBeside
from airwrit.answers.before_flight.view import clause_text, who_texts
from airwrit.base.places import Place
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

TOWER = StructureBeside(Decimal(120), Decimal(300), Place(38.5, -98.5))
WINDY: dict[str, dict[str, Raw]] = {
    "aircraft_Fern 1": {**PROGRAM["aircraft/Fern 1"], "model": "Sarvo 4"},
    "model_Sarvo 4": {"model_airspeed_kt": "22", "model_flight_time_min": "18"},
}
WET: dict[str, dict[str, Raw]] = {**WINDY, "model_Sarvo 4": {"model_in_rain": False}}
TO_MIDNIGHT = {
    "starts": datetime(2026, 6, 11, 4, 45, tzinfo=UTC),
    "ends": datetime(2026, 6, 11, 5, 15, tzinfo=UTC),
}
DUSK = {"starts": datetime(2026, 6, 11, 1, 40, tzinfo=UTC), "ends": datetime(2026, 6, 11, 2, 10, tzinfo=UTC)}

CASES += [
    # 14 CFR 107.49: power for the time it is meant to fly. A mile out, 18 kt of wind against 22 kt of airspeed
    FieldCase(
        "low battery against a head wind",
        NO,
        "return_home",
        "some of the battery reserve",
        {"gust_seen_kt": "18"},
        {"area": "38.5, -98.5 within 6076 ft", "takeoff": Place(38.5, -98.5)},
        WINDY,
    ),
    FieldCase(
        "the same wind close to home",
        CLEAR,
        "return_home",
        "keeps its reserve",
        {"gust_seen_kt": "18"},
        {"takeoff": Place(38.5, -98.5)},
        WINDY,
    ),
    # 14 CFR 107.51(b): 400 ft above the top of a structure within 400 ft; 107.41 asks for more all the same
    FieldCase(
        "roof takeoff beside a tower",
        CLEAR,
        "height_limit",
        "",
        {},
        {"structure": TOWER, "height_ft": Decimal(650)},
    ),
    FieldCase(
        "the same tower under Class C",
        NO,
        "authority_controlled_airspace",
        "",
        {"airspace_class": "C"},
        {"structure": TOWER, "height_ft": Decimal(650)},
    ),
    FieldCase(
        "over the tower by more than its room",
        NO,
        "height_limit",
        "",
        {},
        {"structure": TOWER, "height_ft": Decimal(701)},
    ),
    # 14 CFR 107.39, 107.140: a parade, and no category
    FieldCase(
        "parade down the main street",
        NO,
        "over_people",
        "",
        {**STUDENTS, "over_assembly": "sustained", "over_people_category": "none"},
    ),
    # 14 CFR 137.3: weed killer is an economic poison; Part 137 certificates aren't covered, so it is no yes
    FieldCase(
        "weeds sprayed", OPEN, "agricultural_certificate", "", {"dispenses": "weed killer or pesticide"}
    ),
    # common practice, no source: a maker that allows no rain
    FieldCase(
        "drizzle, and a model kept out of rain", NO, "model_limits", "raining", {"rain_seen": True}, {}, WET
    ),
    # 14 CFR 107.29(b): civil twilight begins in the middle of the flight
    FieldCase(
        "search that runs on past sunset, lights off",
        NO,
        "twilight_lights",
        "",
        {"lights_lit": False},
        DUSK,
    ),
    # 14 CFR 107.25: from a moving vehicle only over a sparsely populated area
    FieldCase(
        "from a boat along the river front",
        NO,
        "from_moving_vehicle",
        "",
        {"flown_from": "a moving vehicle or boat", "sparsely_populated": False},
    ),
    # 14 CFR 107.51(c)
    FieldCase("smoke over the site", NO, "flight_visibility", "", {"flight_visibility_sm": "2.5"}),
]


def test_a_registration_that_ends_at_midnight_grounds_what_flies_past_it() -> None:
    # 14 CFR 48.110 doesn't say whether the last day still counts; the day after it surely doesn't
    paper = {**PROGRAM["registration/FA00TEST01"], "issued_on": "2023-06-10", "expires_on": "2026-06-10"}
    given = program(registration_FA00TEST01=paper)
    past = check(plan(**TO_MIDNIGHT), given)
    assert past.whole is NO
    assert "expired" in who_texts(past)[0].why
    before = check(plan(**{**TO_MIDNIGHT, "ends": datetime(2026, 6, 11, 4, 59, tzinfo=UTC)}), given)
    assert before.whole is OPEN


@pytest.mark.parametrize(("minute", "whole"), [(-5, CLEAR), (5, NO)])
def test_recurrent_training_ends_with_the_month_of_the_place(minute: int, whole: FlightAnswerCode) -> None:
    # 14 CFR 107.65: June 2024 holds through June 30, 2026, by the clock of the place (UTC-5)
    midnight = datetime(2026, 7, 1, 5, tzinfo=UTC)
    start = midnight + timedelta(minutes=minute)
    training = {**PROGRAM["training/Ansel Wray"], "completed_on": "2024-06-03"}
    given = program(**{"training_Ansel Wray": training})
    assert check(plan(starts=start, ends=start + timedelta(minutes=4)), given).whole is whole


def test_fog_that_lifts_at_ten_twenty_opens_the_window_then() -> None:
    # Fog until 1520Z, which is 10:20 there. The forecast gives no yes: the pilot still looks.
    taf = "TAF KZZZ 101130Z 1012/1112 00000KT 1/2SM FG OVC002 FM101520 10005KT P6SM SKC"
    without = {"flight_visibility_sm": None, "no_clouds": None}
    found = flight_answer(plan(), program(without), None, taf, 1)
    assert found.check.whole is CONFIRM
    lifted = datetime(2026, 6, 10, 15, 20, tzinfo=UTC)
    assert [one.start for one in found.windows if one.start >= plan().starts] == [lifted]
    moved = next(one.plan for one in found.changes if one.code is ChangeCode.HOURS)
    assert moved is not None
    assert moved.starts == lifted


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
