"""Flights about to be kept that may stand on record already under another name: told before they are kept."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from decimal import Decimal, InvalidOperation

from airwrit.answers.sheets.difference import Difference, OnRecord
from airwrit.base.days import parse_when
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_ON, MINUTES
from airwrit.facts.same_flight import FlightOnRecord, possible_doubles
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import id_of

_FACTS = (FLIGHT_AIRCRAFT.name, FLIGHT_PILOT.name, FLOWN_ON.name, MINUTES.name)


def doubles_to_look_at(held: OnRecord, taking: Difference, where: str) -> tuple[Problem, ...]:
    """A remark for each flight about to be kept that may be on record already under another name."""
    new = {change.statement.subject for change in taking.changes if change.statement.key == FLOWN_ON.name}
    if not new:
        return ()
    remarks = []
    for double in possible_doubles(_logged(held, taking)):
        if new & set(double):
            mine, known = (double.other, double.one) if double.other in new else double
            what = f"{id_of(mine)} and {id_of(known)} may be the same flight, entered twice"
            remarks.append(Problem(where, what, "if they are, take back one of them"))
    return tuple(remarks)


def _logged(held: OnRecord, taking: Difference) -> Iterator[FlightOnRecord]:
    """The flights on record and those about to be kept, as far as they tell aircraft, pilot and day in one way."""
    told: dict[str, dict[str, set[str]]] = defaultdict(lambda: defaultdict(set))
    for subject, key in held.groups:
        if key in _FACTS and subject.startswith("flight/"):
            told[subject][key] |= {str(item.statement.value) for item in held.alive((subject, key))}
    for change in taking.changes:
        if change.statement.key in _FACTS:
            told[change.statement.subject][change.statement.key].add(str(change.statement.value))
    for subject, facts in told.items():
        aircraft, pilot, when, minutes = (_only(facts[name]) for name in _FACTS)
        try:
            if aircraft and pilot and when:
                yield FlightOnRecord(
                    subject, aircraft, pilot, parse_when(when), None if minutes is None else Decimal(minutes)
                )
        except (ValueError, InvalidOperation):
            continue


def _only(values: set[str]) -> str | None:
    return next(iter(values)) if len(values) == 1 else None
