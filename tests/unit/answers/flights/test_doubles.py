"""Flights that may stand on record twice are told, and never left out."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from airwrit.answers.acts.plan import before_of
from airwrit.answers.flights.doubles import doubles_to_look_at
from airwrit.answers.flights.entering import entering, flight_subject
from airwrit.answers.flights.totals import flight_totals, totals_json
from airwrit.base.days import When, parse_when
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.same_flight import FlightOnRecord, SameFlight, possible_doubles
from airwrit.intake.typed.flight import Flown, flown_of
from tests.unit.answers.told import known_of

LANDED = "2026-11-20T10:20-05:00"
DAY = "2026-11-20"


def hand(when: str = LANDED, minutes: str = "14", aircraft: str = "H-03", pilot: str = "Ivo Brask") -> Flown:
    """A flight said by hand."""
    said = {"aircraft": aircraft, "pilot": pilot, "landed": when, "minutes": minutes, "landings": "1"}
    flown, problems = flown_of(said, "--")
    assert flown is not None, problems
    return flown


def by_hand(when: str = LANDED, minutes: str | None = "14", **more: str) -> FlightOnRecord:
    """The same as it stands on record."""
    flown = hand(when, **more)
    exact = None if minutes is None else Decimal(minutes)
    return FlightOnRecord(flight_subject(flown), flown.aircraft, flown.pilot, flown.landed, exact)


def logged(when: str = DAY, minutes: str | None = "14", nth: int = 1, **more: str) -> FlightOnRecord:
    """A row of an imported log, named as an import names it."""
    aircraft, pilot = more.get("aircraft", "H-03"), more.get("pilot", "Ivo Brask")
    moment: When = parse_when(when)
    name = f"flight/{pilot}, {moment.isoformat()}, {aircraft}" + (f", {nth}" if nth > 1 else "")
    return FlightOnRecord(name, aircraft, pilot, moment, None if minutes is None else Decimal(minutes))


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (logged(LANDED), by_hand(LANDED)),
        (logged("2026-11-20T10:20:41-05:00", "15"), by_hand(LANDED)),
        (logged(LANDED, aircraft="h-03"), by_hand(LANDED)),
        (logged(DAY), by_hand(LANDED)),
        (logged(DAY, None), by_hand(LANDED)),
        (logged(DAY), by_hand(LANDED, None)),
        (logged(DAY), by_hand(DAY)),
        (logged(LANDED), by_hand(DAY)),
    ],
)
def test_a_row_and_a_flight_said_by_hand_may_be_one(row: FlightOnRecord, said: FlightOnRecord) -> None:
    assert possible_doubles([said, row]) == (SameFlight(row.subject, said.subject),)
    assert possible_doubles([row, said]) == (SameFlight(row.subject, said.subject),)


@pytest.mark.parametrize(
    ("row", "said"),
    [
        (logged("2026-11-20T10:21-05:00"), by_hand(LANDED)),
        (logged(DAY, "15"), by_hand(LANDED)),
        (logged("2026-11-21"), by_hand(LANDED)),
        (logged(LANDED, pilot="Nela Quist"), by_hand(LANDED)),
        (logged(LANDED, aircraft="H-04"), by_hand(LANDED)),
        (logged(DAY), logged(DAY, nth=2)),
        (by_hand(DAY), by_hand(LANDED)),
    ],
)
def test_what_differs_or_comes_from_one_place_is_two_flights(
    row: FlightOnRecord, said: FlightOnRecord
) -> None:
    assert possible_doubles([said, row]) == ()


def test_each_flight_is_held_against_one_other_the_likest_first() -> None:
    rows = [logged(DAY, None), logged(DAY, "14", 2), logged(DAY, "14", 3)]
    assert possible_doubles([*rows, by_hand(LANDED)]) == (
        SameFlight(rows[1].subject, by_hand(LANDED).subject),
    )
    both = possible_doubles([*rows, by_hand(LANDED), by_hand("2026-11-20T11:00-05:00")])
    assert [double.one for double in both] == [rows[1].subject, rows[2].subject]


def test_three_of_one_minute_are_all_held_against_the_first() -> None:
    rows = [logged(LANDED), logged("2026-11-20T10:20:30-05:00"), by_hand(LANDED)]
    assert possible_doubles(rows) == (
        SameFlight(rows[0].subject, rows[1].subject),
        SameFlight(rows[0].subject, rows[2].subject),
    )


def _facts(flight: FlightOnRecord) -> dict[str, Raw]:
    return {
        "flight_aircraft": flight.aircraft,
        "flight_pilot": flight.pilot,
        "flown_on": flight.when.isoformat(),
        "minutes": str(flight.minutes),
        "landings": "1",
    }


def test_hours_count_both_and_say_so() -> None:
    told = {one.subject: _facts(one) for one in (logged(DAY), by_hand(LANDED))}
    totals = flight_totals(
        state_of(known_of(told), parse_when("2026-11-25"), datetime(2026, 11, 25, tzinfo=UTC))
    )
    assert (totals.flights, totals.aircraft[0].minutes) == (2, Decimal(28))
    assert totals.verdict is Verdict.UNKNOWN
    assert totals_json(totals)["possible_doubles"] == [[logged(DAY).subject, by_hand(LANDED).subject]]


def test_entering_a_flight_of_the_log_is_remarked_on_before_it_is_kept() -> None:
    held = before_of(known_of({logged(DAY).subject: _facts(logged(DAY)), "aircraft/H-03": {"owner": "T"}}))
    taking = entering(held, [hand()], "ada")
    (remark,) = doubles_to_look_at(held, taking, "enter")
    assert remark.what == (
        "H-03 2026-11-20T15:20Z and Ivo Brask, 2026-11-20, H-03 may be the same flight, entered twice"
    )
    assert not remark.unread
    assert doubles_to_look_at(held, entering(held, [hand("2026-11-22")], "ada"), "enter") == ()
