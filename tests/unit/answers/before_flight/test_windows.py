"""When a flight could go and how high: breakpoints against every minute judged by itself."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwrit.answers.before_flight.check import (
    flight_check,
    moment_of,
    standing_of,
    verdict_of_row,
)
from airwrit.answers.before_flight.heights import highest_of
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import Surroundings, lasting_facts
from airwrit.answers.before_flight.windows import stretches_of, windows_of
from airwrit.answers.sky.light import light_at
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.sky.zones import zone_of
from tests.unit.answers.before_flight.planning import (
    NOTHING_AROUND,
    PROGRAM,
    check,
    plan,
    program,
    verdict_of,
)

NEAR_A_TURN = timedelta(minutes=2)


def look(_: FlightPlan) -> Surroundings:
    return NOTHING_AROUND


def by_the_minute(planned: FlightPlan, given_to: Program, at: datetime) -> tuple[bool, bool]:
    """Whether anything stands against the flight at an instant, and whether it needs lights: judged by itself."""
    mine = plan(place=planned.place, zone=planned.zone, starts=at, ends=at + timedelta(minutes=1))
    moment = moment_of(
        mine, given_to, lasting_facts(mine, NOTHING_AROUND), light_at(mine.place, mine.zone, at)
    )
    rows = standing_of(mine, given_to).rows
    papers = [
        verdict_of_row(rows[one], moment.use, by_night=moment.is_by_night)
        for one in (mine.aircraft, mine.pilot)
    ]
    broken = any(one.verdict is Verdict.NOT_MET for one in moment.clauses) or Verdict.NOT_MET in papers
    return broken, moment.needs_lights


@settings(max_examples=8)
@given(
    place=st.sampled_from(
        [(38.5, -98.5), (61.2, -149.9), (25.8, -80.3), (21.3, -157.9), (47.6, -122.3), (71.2, -156.8)]
    ),
    day=st.dates(date(2026, 1, 2), date(2027, 1, 30)),
    lit=st.booleans(),
    offset=st.integers(0, 96),
)
def test_every_minute_stands_as_its_stretch(
    place: tuple[float, float], day: date, lit: bool, offset: int
) -> None:
    where = Place(*place)
    planned = plan(place=where, zone=zone_of(where))
    given_to = program({"lights_lit": lit})
    stretches = stretches_of(planned, given_to, look, day, day)
    assert all(a.end == b.start for a, b in pairwise(stretches))
    turns = [one.start for one in stretches] + [stretches[-1].end]
    start, end = stretches[0].start, stretches[-1].end
    at = start + timedelta(minutes=offset)
    while at < end:
        if all(abs(at - turn) > NEAR_A_TURN for turn in turns):
            mine = next(one for one in stretches if one.start <= at < one.end)
            broken, lights = by_the_minute(planned, given_to, at)
            assert (mine.verdict is Verdict.NOT_MET, mine.needs_lights) == (broken, lights), at
        at += timedelta(minutes=97)


def test_recency_that_ends_closes_the_window_at_midnight_of_the_place() -> None:
    stretches = stretches_of(plan(), program(), look, date(2027, 1, 31), date(2027, 2, 1))
    found = windows_of(stretches, timedelta(minutes=30))
    assert [(one.start, one.end) for one in found] == [
        (datetime(2027, 1, 31, 6, tzinfo=UTC), datetime(2027, 2, 1, 6, tzinfo=UTC))
    ]
    assert found[0].latest == datetime(2027, 2, 1, 5, 30, tzinfo=UTC)


def test_a_window_shorter_than_the_flight_is_none() -> None:
    stretches = stretches_of(
        plan(), program({"lights_lit": False}), look, date(2026, 6, 10), date(2026, 6, 10)
    )
    day = windows_of(stretches, timedelta(hours=10))
    assert len(day) == 1
    assert day[0].latest >= day[0].start
    assert windows_of(stretches, timedelta(hours=17)) == ()


@pytest.mark.parametrize(
    ("told", "highest"),
    [({}, Decimal(400)), ({"airspace_class": "D"}, None)],
)
def test_the_greatest_height(told: dict[str, Raw], highest: Decimal | None) -> None:
    given_to = program(told)
    assert highest_of(check(given=given_to), given_to, look)[0] == highest


def test_an_authorization_sets_the_greatest_height() -> None:
    granted = program(
        {"airspace_class": "D", "flight_authorization": "A-1", "flight_place": "Quarry"},
        **{
            "paper_A-1": {
                "paper_kind": "authorization",
                "given_by": "FAA automated service",
                "authorizes_from_on": "2026-06-10T08:00-05:00",
                "authorizes_until_on": "2026-06-10T20:00-05:00",
                "authorized_height_ft": "150",
                "authorized_place": "Quarry",
            }
        },
    )
    planned = plan(height_ft=Decimal(150))
    found = flight_check(planned, granted, NOTHING_AROUND)
    assert highest_of(found, granted, look)[0] == 150
    stretches = stretches_of(planned, granted, look, date(2026, 6, 10), date(2026, 6, 10))
    windows = windows_of(stretches, timedelta(minutes=30))
    assert [(one.start.hour, one.end.hour) for one in windows] == [(13, 1)]


def test_a_paper_whose_area_holds_the_flight_covers_it_unnamed() -> None:
    paper: dict[str, Raw] = {
        "paper_kind": "authorization",
        "paper_state": "granted",
        "given_by": "FAA automated service",
        "authorizes_from_on": "2026-06-10T08:00-05:00",
        "authorizes_until_on": "2026-06-10T20:00-05:00",
        "authorized_height_ft": "200",
        "authorized_area": "38.5, -98.5 within 0.5 nm",
    }
    wide = {**paper, "authorized_area": "38.6, -98.5 within 0.5 nm"}
    for told, verdict in (
        (paper, "met"),
        (wide, "not_met"),
        ({**paper, "paper_state": "requested"}, "not_met"),
    ):
        given_to = program({"airspace_class": "D"}, **{"paper_A-1": told})
        found = flight_check(plan(), given_to, NOTHING_AROUND)
        assert verdict_of(found, "authority_controlled_airspace") == verdict, told
    low = flight_check(
        plan(height_ft=Decimal(201)), program({"airspace_class": "D"}, **{"paper_A-1": paper}), NOTHING_AROUND
    )
    assert verdict_of(low, "authority_controlled_airspace") == "not_met"


def test_a_pilot_who_leaves_closes_the_window_and_is_no_yes_after() -> None:
    person = {**PROGRAM["person/Ansel Wray"], "left_on": "2026-06-11"}
    stretches = stretches_of(
        plan(), program(**{"person_Ansel Wray": person}), look, date(2026, 6, 10), date(2026, 6, 11)
    )
    midnight = datetime(2026, 6, 11, 5, tzinfo=UTC)
    assert {one.verdict for one in stretches if one.end <= midnight} == {Verdict.MET}
    assert {one.verdict for one in stretches if one.start >= midnight} == {Verdict.UNKNOWN}


def test_a_defect_seen_at_an_hour_closes_the_window_from_that_hour_on() -> None:
    # 14 CFR 107.15: no flight of an aircraft that isn't in a condition for safe operation
    seen: dict[str, Raw] = {
        "flight_aircraft": "Fern 1",
        "flight_pilot": "Ansel Wray",
        "flown_on": "2026-06-10T14:00-05:00",
        "defect_seen": "cracked arm",
    }
    stretches = stretches_of(plan(), program(flight_Early=seen), look, date(2026, 6, 10), date(2026, 6, 10))
    hour = datetime(2026, 6, 10, 19, tzinfo=UTC)
    assert {one.verdict for one in stretches if one.end <= hour} == {Verdict.MET}
    assert Verdict.MET not in {one.verdict for one in stretches if one.start > hour}
