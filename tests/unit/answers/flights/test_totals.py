"""Flights, hours and cycles up to a day; gaps are counted apart and never filled."""

from __future__ import annotations

from datetime import UTC, datetime
from decimal import Decimal

import pytest

from airwrit.answers.flights.totals import Total, Totals, flight_totals, totals_json
from airwrit.base.days import parse_when
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from tests.unit.answers.told import known_of

KNOWN_AT = datetime(2026, 11, 25, 12, tzinfo=UTC)


def flight(day: str, **more: Raw) -> dict[str, Raw]:
    """A flight of the log."""
    usual: dict[str, Raw] = {"flight_aircraft": "A", "flight_pilot": "P", "flown_on": day}
    return {**usual, "minutes": "30", "landings": "2", "packs": "P1, P2", **more}


def totals(*flights: dict[str, Raw], on: str = "2026-11-25") -> Totals:
    """The totals of flights."""
    told: dict[str, dict[str, Raw]] = {
        f"flight/{at}": {key: value for key, value in one.items() if value is not None}
        for at, one in enumerate(flights)
    }
    return flight_totals(state_of(known_of(told), parse_when(on), KNOWN_AT))


def test_sums_are_told_by_aircraft_pilot_and_pack() -> None:
    found = totals(flight("2026-11-24"), flight("2026-11-25T09:00-05:00", packs="P2", minutes="15"))
    a = Total("A", 2, Decimal(45), 0, Decimal(4), 0, parse_when("2026-11-25"))
    assert found.aircraft == (a,)
    assert found.pilots == (a._replace(name="P"),)
    assert [(one.name, one.flights, one.minutes) for one in found.packs] == [
        ("P1", 1, Decimal(30)),
        ("P2", 2, Decimal(45)),
    ]
    assert a.hours == Decimal("0.8")
    assert found.verdict is Verdict.MET


@pytest.mark.parametrize(
    ("landed", "on", "counted"),
    [
        ("2026-11-25", "2026-11-25", 1),
        ("2026-11-26", "2026-11-25", 0),
        ("2026-11-25T23:00-05:00", "2026-11-25", 1),
        ("2026-11-25T10:00-05:00", "2026-11-25T15:00Z", 1),
        ("2026-11-25T10:01-05:00", "2026-11-25T15:00Z", 0),
    ],
)
def test_later_flights_are_not_counted(landed: str, on: str, counted: int) -> None:
    found = totals(flight(landed), on=on)
    assert (found.flights, found.later) == (counted, 1 - counted)


def test_what_a_flight_does_not_say_is_counted_apart() -> None:
    found = totals(
        flight("2026-11-24", minutes=None),
        flight("2026-11-24", landings=None, flight_pilot=None),
        flight("2026-11-23") | {"flown_on": None},
    )
    (a,) = found.aircraft
    assert a == Total("A", 2, Decimal(30), 1, Decimal(2), 1, parse_when("2026-11-24"))
    assert found.undated == ("flight/2",)
    assert found.unnamed == ("flight/1",)
    assert found.verdict is Verdict.UNKNOWN


def test_a_flight_asked_about_is_none_of_the_log() -> None:
    asked: dict[str, Raw] = {"flight_aircraft": "A", "flight_pilot": "P", "gives_way": True}
    assert totals(asked) == totals()
    assert totals().verdict is Verdict.UNKNOWN


def test_the_document_says_cycles() -> None:
    told = totals_json(totals(flight("2026-11-24")))
    assert told["packs"][0]["cycles"] == 1
    assert told["aircraft"][0]["last_on"] == "2026-11-24"
