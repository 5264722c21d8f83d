"""What would have to change: a change to the plan is judged like the plan; what others grant is never counted as granted."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal
from typing import Any

from airwrit.answers.before_flight.answer import FlightAnswer, flight_answer
from airwrit.answers.before_flight.changes import Change, ChangeCode, open_of
from airwrit.answers.before_flight.check import FlightAnswerCode
from airwrit.answers.before_flight.json import check_json
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.view import change_text
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from tests.unit.answers.before_flight.planning import PROGRAM, plan, program
from tests.unit.answers.told import firm_aircraft

EVENING = datetime(2026, 6, 11, 3, tzinfo=UTC)
"""22:00 in central Kansas, after dusk."""


def answer_of(
    planned: FlightPlan, but: dict[str, Raw | None] | None = None, **facts: dict[str, Raw]
) -> FlightAnswer:
    given: dict[str, Any] = facts
    return flight_answer(planned, program(but, **given), None, None, 1)


def of(answer: FlightAnswer, code: ChangeCode) -> Change | None:
    return next((one for one in answer.changes if one.code is code), None)


def test_nothing_has_to_change_where_nothing_is_open() -> None:
    found = answer_of(plan())
    assert [one.code for one in found.changes] in ([], [ChangeCode.FIX])


def test_too_high_by_a_foot_is_settled_by_flying_at_the_limit() -> None:
    found = answer_of(plan(height_ft=Decimal(401)))
    lower = of(found, ChangeCode.LOWER)
    assert lower is not None
    assert lower.plan is not None
    assert lower.plan.height_ft == 400  # 14 CFR 107.51(b)
    assert lower.settles == ("height_limit",)
    assert lower.then is FlightAnswerCode.CONFIRM_FIRST


def test_night_without_lights_is_settled_by_the_nearest_hour_of_light() -> None:
    late = plan(starts=EVENING, ends=EVENING.replace(minute=30))
    hours = of(answer_of(late, {"lights_lit": False}), ChangeCode.HOURS)
    assert hours is not None
    assert hours.plan is not None
    assert "night_lights" in hours.settles
    # sunset there on that day is 20:57 CDT; the flight of 30 minutes ends before it
    assert hours.plan.ends <= datetime(2026, 6, 11, 1, 58, tzinfo=UTC)
    assert hours.plan.starts.second == 0
    assert not hours.needs_lights


def test_two_broken_rules_are_settled_only_together() -> None:
    late = plan(starts=EVENING, ends=EVENING.replace(minute=30), height_ft=Decimal(450))
    found = answer_of(late, {"lights_lit": False})
    lower, both = of(found, ChangeCode.LOWER), of(found, ChangeCode.TOGETHER)
    assert lower is not None
    assert lower.then is FlightAnswerCode.NOT_ALLOWED
    assert "night_lights" in lower.still
    assert both is not None
    assert both.then is FlightAnswerCode.CONFIRM_FIRST


def test_a_stand_in_is_named_only_where_its_papers_are_ok() -> None:
    people: dict[str, dict[str, Raw]] = {
        "person_Bram Osk": {**PROGRAM["person/Ansel Wray"]},
        "person_Cato Fenn": {**PROGRAM["person/Ansel Wray"]},
        "training_Cato Fenn": {**PROGRAM["training/Ansel Wray"], "event_of": "Cato Fenn"},
        "training_Ansel Wray": {**PROGRAM["training/Ansel Wray"], "completed_on": "2023-01-15"},
    }
    pilot = of(answer_of(plan(), **people), ChangeCode.PILOT)
    assert pilot is not None
    assert pilot.names == ("person/Cato Fenn",)
    assert "pilot" in pilot.settles


def test_another_aircraft_stands_in_for_one_that_expired() -> None:
    found = answer_of(
        plan(aircraft="aircraft/Old 1"),
        **{
            name.replace("/", "_", 1): told
            for name, told in firm_aircraft("Old 1", "FA00TEST02", "2020-03-03").items()
        },
    )
    swap = of(found, ChangeCode.AIRCRAFT)
    assert swap is not None
    assert swap.names == ("aircraft/Fern 1",)


def test_an_authorization_that_could_be_asked_for_grants_nothing() -> None:
    found = answer_of(plan(), {"airspace_class": "D"})
    asked = of(found, ChangeCode.AUTHORIZATION)
    assert asked is not None
    assert asked.plan is None
    assert change_text(asked, found.check).verdict is Verdict.UNKNOWN
    assert found.check.verdict is Verdict.NOT_MET


def test_every_rule_broken_or_open_has_a_way_to_settle_it() -> None:
    late = plan(starts=EVENING, ends=EVENING.replace(minute=30), height_ft=Decimal(450))
    found = answer_of(
        late, {"lights_lit": False, "airspace_class": "C", "people_below": None, "crew_fit": None}
    )
    ways = {name for one in found.changes for name in one.settles}
    assert set(open_of(found.check)) <= ways


def test_the_document_tells_each_change_in_words() -> None:
    told = check_json(answer_of(plan(height_ft=Decimal(401))))["changes"]
    assert told[0]["says"] == "Fly at 400 ft above ground or lower."
    assert all(one["takes"] and one["how_long_before"] for one in told)
