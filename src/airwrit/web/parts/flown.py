"""Flights and hours of one aircraft or pilot: the sums, and the last flights one by one."""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.flights.totals import Total, Totals, flight_totals
from airwrit.base.days import Order, day_of, order_of
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_ON, LANDINGS, MINUTES
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law.wording import shown
from airwrit.web.server.visit import Visit

_SHOWN = 12


class Flight(NamedTuple):
    """One flight: its day, who or what else it was flown by or with, minutes and landings; empty where not on file."""

    on: date
    other: str
    minutes: str
    landings: str


class FlownTotals(NamedTuple):
    """The sums up to the day (None: no flight is on record), the last flights, newest first, and how many may count twice."""

    total: Total | None
    last: tuple[Flight, ...]
    twice: int


def flown_by(visit: Visit, state: State, key: Key[Any], subject: str) -> FlownTotals:
    """The flights that name a subject under a key; the sums of all are kept while nothing behind them changes."""
    desk, asked = visit.desk, visit.asked
    with desk.opened() as book:
        basis = desk.basis_of(book, asked, desk.house())
    totals: Totals = desk.once(("flown", asked.question), basis, lambda: flight_totals(state))
    sums = totals.aircraft if key is FLIGHT_AIRCRAFT else totals.pilots
    total = next((one for one in sums if one.name == id_of(subject)), None)
    mine = state.holding(key, id_of(subject))
    found = [_flight(state, flight, key) for flight in mine]
    these = frozenset(mine)
    twice = sum(not these.isdisjoint(pair) for pair in totals.doubles)
    dated = sorted((one for one in found if one is not None), key=lambda one: one.on, reverse=True)
    return FlownTotals(total, tuple(dated[:_SHOWN]), twice)


def _flight(state: State, flight: str, key: Key[Any]) -> Flight | None:
    when = value_held(state, flight, FLOWN_ON)
    if when is None or order_of(when, state.on) is Order.AFTER:
        return None
    other_key = FLIGHT_PILOT if key is FLIGHT_AIRCRAFT else FLIGHT_AIRCRAFT
    other = value_held(state, flight, other_key)
    minutes, landings = value_held(state, flight, MINUTES), value_held(state, flight, LANDINGS)
    return Flight(
        day_of(when),
        "" if other is None else subject_named("person" if key is FLIGHT_AIRCRAFT else "aircraft", other),
        "" if minutes is None else shown(minutes),
        "" if landings is None else shown(landings),
    )


def flown_json(flown: FlownTotals) -> Json:
    """The flights as part of a document."""
    total = flown.total
    return {
        "flights": 0 if total is None else total.flights,
        "hours": None if total is None else str(total.hours),
        "flights_without_minutes": 0 if total is None else total.without_minutes,
        "landings": None if total is None else str(total.landings),
        "may_count_twice": flown.twice,
        "last": [{**one._asdict(), "on": one.on.isoformat()} for one in flown.last],
    }
