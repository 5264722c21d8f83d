"""May this flight go: the whole, each limit from both sides, and what is never turned into a yes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, fact_of
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from tests.unit.answers.before_flight.planning import (
    CONFIRMED,
    MORNING,
    PROGRAM,
    check,
    plan,
    program,
    verdict_of,
)

ALL_FACTS = list(CONFIRMED)


def test_a_flight_with_all_confirmed_and_papers_in_order_breaks_no_rule() -> None:
    found = check()
    assert (found.whole, found.verdict) == (FlightAnswerCode.NOTHING_AGAINST, Verdict.MET)
    assert not found.owed
    assert not found.needed


@pytest.mark.parametrize(("height", "verdict"), [("400", "met"), ("400.1", "not_met"), ("1", "met")])
def test_four_hundred_feet_is_the_limit_itself(height: str, verdict: str) -> None:
    # 14 CFR 107.51(b): no higher than 400 feet above ground level
    assert verdict_of(check(plan(height_ft=Decimal(height))), "height_limit") == verdict


@pytest.mark.parametrize(("miles", "verdict"), [("3", "met"), ("2.9", "not_met")])
def test_three_statute_miles_are_enough(miles: str, verdict: str) -> None:
    # 14 CFR 107.51(c): no less than 3 statute miles
    assert verdict_of(check(given=program({"flight_visibility_sm": miles})), "flight_visibility") == verdict


@pytest.mark.parametrize(
    "name", [name for name in ALL_FACTS if not name.startswith("lights") and name != "no_clouds"]
)
def test_whatever_is_not_confirmed_keeps_the_answer_from_a_yes(name: str) -> None:
    found = check(given=program({name: None}))
    assert found.whole in (FlightAnswerCode.CONFIRM_FIRST, FlightAnswerCode.CANT_TELL)
    assert (
        name in {fact_of(need) for need in (*found.owed, *found.needed)}
        or found.whole is FlightAnswerCode.CANT_TELL
    )


def test_no_clouds_left_out_asks_how_far_off_they_are() -> None:
    # 14 CFR 107.51(d): 500 feet below, 2,000 feet horizontally
    found = check(given=program({"no_clouds": None}))
    assert [fact_of(need) for need in found.owed] == ["below_clouds_ft"]
    for below, beside, whole in (("500", "2000", "nothing_against"), ("499", "2000", "not_allowed")):
        clouds = {"no_clouds": None, "below_clouds_ft": below, "beside_clouds_ft": beside}
        assert check(given=program(clouds)).whole.value == whole


@pytest.mark.parametrize(
    ("name", "bad"),
    [
        (name, one.lets_go == "no")
        for name, one in confirmations().items()
        if one.lets_go and name in CONFIRMED
    ],
)
def test_the_other_answer_to_a_confirmation_never_lets_the_flight_go(name: str, bad: bool) -> None:
    night = plan(starts=_night(), ends=_night() + timedelta(minutes=20))
    found = check(night, program({name: bad}))
    assert found.whole is not FlightAnswerCode.NOTHING_AGAINST


def _night() -> datetime:
    return datetime(2026, 6, 11, 6, tzinfo=UTC)


def test_an_expired_registration_and_an_unknown_pilot_stand_in_the_way() -> None:
    late = datetime(2028, 3, 3, 15, tzinfo=UTC)
    expired = check(plan(starts=late + timedelta(days=1), ends=late + timedelta(days=1, minutes=9)))
    assert expired.verdict_of(expired.aircraft) is Verdict.NOT_MET
    assert expired.whole is FlightAnswerCode.NOT_ALLOWED
    with pytest.raises(UsageError, match="Nobody"):
        check(plan(pilot="person/Nobody"))
    with pytest.raises(UsageError, match="Fern 9"):
        check(plan(aircraft="aircraft/Fern 9"))


def test_recency_ends_with_the_last_day_of_the_month_by_the_clock_of_the_place() -> None:
    # 14 CFR 107.65: within the previous 24 calendar months; tested 2025-01-15, so through 2027-01-31
    last = datetime(2027, 1, 31, 17, tzinfo=UTC)
    good = check(plan(starts=last, ends=last + timedelta(minutes=9)))
    after = check(plan(starts=last + timedelta(days=1), ends=last + timedelta(days=1, minutes=9)))
    assert (good.verdict_of(good.pilot), after.verdict_of(after.pilot)) == (Verdict.MET, Verdict.NOT_MET)
    evening = datetime(2027, 2, 1, 5, tzinfo=UTC)  # 11 p.m. on January 31 in Kansas, February by UTC
    found = check(plan(starts=evening, ends=evening + timedelta(minutes=9)))
    assert found.verdict_of(found.pilot) is Verdict.MET


def test_a_flight_into_twilight_needs_lights_though_it_takes_off_by_day() -> None:
    evening = datetime(2026, 6, 11, 1, 30, tzinfo=UTC)
    long = plan(starts=evening, ends=evening + timedelta(hours=2))
    assert verdict_of(check(long), "twilight_lights") == "met"
    assert verdict_of(check(long, program({"lights_lit": False})), "twilight_lights") == "not_met"
    assert verdict_of(check(plan()), "twilight_lights") == "not_applicable"


def test_spoken_leave_in_controlled_airspace_grants_nothing() -> None:
    # 14 CFR 107.41: prior authorization from air traffic control; a word on the phone is none on file
    spoken = program(
        {"airspace_class": "D", "flight_authorization": "A-1", "flight_place": "Quarry"},
        paper_A_1={},
    )
    assert verdict_of(check(given=spoken), "authority_controlled_airspace") != "met"
    assert (
        verdict_of(check(given=program({"airspace_class": "D"})), "authority_controlled_airspace")
        == "not_met"
    )


def test_what_it_is_flown_for_is_asked_where_nobody_said() -> None:
    both = program(**{"aircraft_Fern 1": {**PROGRAM["aircraft/Fern 1"], "used_for": "work and recreation"}})
    with pytest.raises(UsageError, match="what the flight is for"):
        check(plan(use=None), both)
    assert check(plan(use=None)).use is UsedFor.WORK


def test_the_morning_is_the_morning_of_the_place() -> None:
    assert MORNING.astimezone(plan().zone.info).strftime("%H:%M %Z") == "10:00 CDT"


def test_a_flight_past_the_midnight_at_which_recency_ends_is_not_allowed() -> None:
    # 14 CFR 107.65: tested 2025-01-15, so through 2027-01-31 in local time there
    late = datetime(2027, 2, 1, 5, 50, tzinfo=UTC)  # 11:50 p.m. on January 31 in Kansas
    before = check(plan(starts=late, ends=late + timedelta(minutes=9)))
    past = check(plan(starts=late, ends=late + timedelta(minutes=11)))
    assert (before.whole, past.whole) == (FlightAnswerCode.NOTHING_AGAINST, FlightAnswerCode.NOT_ALLOWED)


def test_a_sunset_typed_by_hand_does_not_move_the_sun() -> None:
    night = plan(starts=_night(), ends=_night() + timedelta(minutes=9))
    told: dict[str, Raw | None] = {
        "lights_lit": False,
        "official_sunset_on": "2026-06-11T05:59Z",
        "evening_twilight_end_on": "2026-06-11T07:59Z",
    }
    assert verdict_of(check(night, program(told)), "night_lights") == "not_met"
