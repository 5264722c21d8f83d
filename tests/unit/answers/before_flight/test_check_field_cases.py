"""Flights as field cases tell them: each gives the verdict and the reason that the case asks for."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.before_flight.check import FlightAnswerCode, FlightCheck, flight_check
from airwrit.answers.before_flight.plan import FlightPlan, middle_of
from airwrit.answers.before_flight.surroundings import look_around
from airwrit.answers.before_flight.typed import PlanTyped, plan_of
from airwrit.answers.before_flight.view import authority_lines, clause_text, watch_lines
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Raw
from airwrit.sky.zones import zone_of
from tests.unit.answers.before_flight.planning import check, plan, program, verdict_of

RAIN = "SPECI KMDW 121856Z 32005KT 1 1/2SM RA OVC007 17/16 A2980 RMK RAB35"
MIST = "KLAX 041828Z 02004KT 2 1/2SM -RA BR BKN007 OVC013 14/12 A2996 RMK AO2 VIS 1 1/2V3"


def at(area: str, local: str, minutes: int = 1, **changes: object) -> FlightPlan:
    """A flight at a place from a local time on."""
    place = middle_of(area)
    zone = zone_of(place)
    start = datetime.fromisoformat(local).replace(tzinfo=zone.info).astimezone(UTC)
    return plan(
        area=area, place=place, zone=zone, starts=start, ends=start + timedelta(minutes=minutes), **changes
    )


def says(found: FlightCheck, rule: str) -> str:
    return next(clause_text(one) for one in found.clauses if one.finding.rule.name == rule)


@pytest.mark.parametrize(
    ("report", "miles", "shown", "day"),
    [
        (RAIN, "1.5", "Visibility 1 1/2 statute miles", "2026-06-12 13:56"),
        # its remark: the visibility varies from 1 1/2 to 3
        (MIST, "2.5", "statute miles. That is below the minimum of 3", "2026-06-04 13:28"),
    ],
)
def test_a_report_below_three_miles_warns_and_the_pilots_own_look_decides(
    report: str, miles: str, shown: str, day: str
) -> None:
    # 14 CFR 107.51(c): flight visibility as observed from the control station; reports as in the FAA's sample exam
    found = at("41.78, -87.75 within 500 ft", day, height_ft=Decimal(150))
    unseen = flight_check(found, program({"flight_visibility_sm": None}), look_around(found, None, report))
    assert unseen.whole is FlightAnswerCode.CONFIRM_FIRST
    assert any(
        shown in line and "Fly only if the weather you see at the control station" in line
        for line in watch_lines(unseen)
    )
    assert "flight_visibility_sm" in [need.question.settles[0][1].name for need in unseen.owed]
    own = flight_check(found, program({"flight_visibility_sm": miles}), look_around(found, None, report))
    assert verdict_of(own, "flight_visibility") == "not_met"
    assert f"only {miles} statute miles" in says(own, "flight_visibility")


def test_the_sunset_is_that_of_the_evening_flown() -> None:
    # 34.175301, -118.983334 on 2022-07-10: sunset 20:10 PDT is 03:10 UTC on the 11th
    area = "34.175301, -118.983334 within 300 ft"
    dark: dict[str, Raw | None] = {"lights_lit": False}
    before = check(at(area, "2022-07-10 20:05"), program(dark))
    after = check(at(area, "2022-07-10 20:15"), program(dark))
    assert verdict_of(before, "twilight_lights") == "not_applicable"
    assert verdict_of(after, "twilight_lights") == "not_met"


@pytest.mark.parametrize(
    ("local", "twilight", "night"),
    [
        # 33.8, -84.4 on Sep 6, 2009: civil twilight 6:50 to 7:15 and 19:56 to 20:21 EDT (US Naval Observatory); the days of
        # a year later than the rules of 2021 are used here, a minute apart at most
        ("2026-09-06 06:47", "not_met", "not_met"),
        ("2026-09-06 20:00", "not_met", "not_applicable"),
        ("2026-09-06 20:24", "not_met", "not_met"),
        ("2026-09-06 12:00", "not_applicable", "not_applicable"),
    ],
)
def test_the_thirty_minutes_and_the_almanac_are_two_twilights(local: str, twilight: str, night: str) -> None:
    found = check(at("33.8, -84.4 within 300 ft", local), program({"lights_lit": False}))
    assert (verdict_of(found, "twilight_lights"), verdict_of(found, "night_lights")) == (twilight, night)


def test_beside_a_tower_in_controlled_airspace_the_height_rule_gives_no_authority() -> None:
    typed = PlanTyped(
        "38.5, -98.5", "300", "2026-06-10 10:00", "10:30", "2700", "Fern 1", "Ansel Wray", "work"
    )._replace(structure="38.5, -98.5", structure_top="2429")
    found = plan_of(typed, [])
    assert verdict_of(check(found, program({"airspace_class": "G"})), "height_limit") == "met"
    controlled = check(found, program({"airspace_class": "D"}))
    assert controlled.whole is FlightAnswerCode.NOT_ALLOWED
    assert "no authorization on file covers this flight" in says(controlled, "authority_controlled_airspace")


def _paper(**changes: Raw) -> dict[str, Raw]:
    """An authorization: 50 ft within half a mile, until 17:00 local."""
    return {
        "paper_kind": "authorization",
        "paper_state": "granted",
        "given_by": "FAA automated service",
        "authorizes_from_on": "2026-06-10T08:00-05:00",
        "authorizes_until_on": "2026-06-10T17:00-05:00",
        "authorized_height_ft": "50",
        "authorized_area": "38.5, -98.5 within 0.5 nm",
        **changes,
    }


@pytest.mark.parametrize(
    ("changes", "verdict"),
    [
        ({}, "met"),
        ({"height_ft": Decimal("65.6")}, "not_met"),  # 20 m: the limit that the controller was set to
        ({"height_ft": Decimal("49.2")}, "met"),  # 15 m
        ({"ends": datetime(2026, 6, 10, 22, 4, tzinfo=UTC)}, "not_met"),  # 17:04
        ({"area": "38.51, -98.5 within 500 ft"}, "not_met"),
    ],
)
def test_an_authorization_of_fifty_feet_until_five_holds_for_nothing_else(
    changes: dict[str, Any], verdict: str
) -> None:
    low = plan(**{"height_ft": Decimal(50), **changes})
    found = check(low, program({"airspace_class": "D"}, **{"paper_A-1": _paper()}))
    assert verdict_of(found, "authority_controlled_airspace") == verdict
    assert (found.whole is FlightAnswerCode.NOT_ALLOWED) is (verdict == "not_met")


def test_a_school_film_is_no_recreation_and_a_notice_overrules_an_authorization() -> None:
    # 49 USC 44809(a)(1): strictly for recreational purposes; 14 CFR 107.47: notices of 91.137 to 91.145 and 99.7
    film = check(plan(), program({"helps_organization": True}))
    assert film.use.value == "work"
    covered = check(
        plan(height_ft=Decimal(50)),
        program({"airspace_class": "D", "notice_covers": True}, **{"paper_A-1": _paper()}),
    )
    assert covered.whole is not FlightAnswerCode.NOTHING_AGAINST
    assert verdict_of(covered, "tfr") in ("not_met", "unknown")


def test_a_hobby_flight_in_a_restricted_area_needs_the_agency_too() -> None:
    """49 USC 44809(a)(6): the exception asks to keep to all restrictions of airspace."""
    hobby = plan(use=UsedFor.RECREATION)
    inside = check(hobby, program({"restricted_area": True, "area_permission": False}))
    assert verdict_of(inside, "restricted_area_permission") == "not_met"
    assert inside.whole is FlightAnswerCode.NOT_ALLOWED
    asked = check(hobby, program({"restricted_area": True}))
    assert verdict_of(asked, "restricted_area_permission") == "unknown"
    outside = check(hobby, program({"restricted_area": False}))
    assert verdict_of(outside, "restricted_area_permission") == "not_applicable"


def test_notes_of_land_and_local_rules_stand_with_their_source_and_decide_nothing() -> None:
    note: dict[str, Raw] = {
        "paper_kind": "land or local rule",
        "rule_text": "no takeoff from the county park",
        "rule_source": "county web page",
        "rule_read_on": "2026-05-20",
    }
    bare, noted = check(), check(given=program(paper_P={**note}))
    assert noted.whole is bare.whole
    said = authority_lines(noted)
    assert "no takeoff from the county park (Source: county web page. Read May 20, 2026.)" in said
    assert "These are your own notes. We don't check them, and a note never counts as permission." in said
    assert any(
        line.startswith("No notes on landowner or local rules are on file.") for line in authority_lines(bare)
    )
