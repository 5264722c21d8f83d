"""A defect that a pilot saw or an incident, and whether somebody released the aircraft to fly since. 14 CFR 107.15.

Whether a defect makes an aircraft unsafe is for the pilot in command to say. While nobody has said it, its condition is not
known; so this rule never says that an aircraft is safe, and never that it is not. A release by somebody who had left by then
is taken neither way.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from typing import NamedTuple

from airwrit.base.days import Order, When, day_of, order_of
from airwrit.base.verdict import Outcome, Why
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import (
    DEFECT_RELEASED_BY,
    DEFECT_RELEASED_ON,
    DEFECT_SEEN,
    FLOWN_ON,
    says_no_defect,
)
from airwrit.facts.keys.incident import (
    AIRCRAFT_RELEASED_BY,
    AIRCRAFT_RELEASED_ON,
    HAPPENED_ON,
    INCIDENT_AIRCRAFT,
    NEAR_MISS,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.maintenance import had_left
from airwrit.law.flight.crew import CONDITION
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, no_duty, not_asked, unknown


def defect_released(facts: Facts, law: Law) -> Outcome:
    """Whether someone signed off every defect and incident of the aircraft."""
    seen = False
    for event in _events(facts):
        if order_of(event.at, facts.on) is Order.AFTER:
            continue
        seen = True
        free = not_asked(law, CONDITION)
        if free is not None:
            return free
        still_open = _open(event)
        if still_open is not None:
            return still_open
    return no_duty("released") if seen else no_duty("none_on_file")


DEFECT_RELEASED_RULE = Rule("defect_released", "aircraft", Bears.FLIGHT, defect_released)


class _Event(NamedTuple):
    """A flight with a defect, or an incident: when it was, in words, the keys of the release after it, its codes' ending."""

    facts: Facts
    at: When
    told: str
    release: Key[date]
    by: Key[str]
    suffix: str


def _events(facts: Facts) -> Iterator[_Event]:
    """The flights of the aircraft in which a defect was seen, then its incidents; near misses are passed over."""
    for flight in _with_a_defect(facts):
        at = flight[FLOWN_ON]
        told = f"{flight[DEFECT_SEEN]} ({day_of(at)})"
        yield _Event(flight, at, told, DEFECT_RELEASED_ON, DEFECT_RELEASED_BY, "")
    for incident in facts.linking(INCIDENT_AIRCRAFT):
        if incident.on_file(NEAR_MISS):
            continue
        at = incident[HAPPENED_ON]
        yield _Event(incident, at, str(day_of(at)), AIRCRAFT_RELEASED_ON, AIRCRAFT_RELEASED_BY, "_incident")


def _with_a_defect(facts: Facts) -> Iterator[Facts]:
    """The flights of the aircraft of which a defect is on file, or something that cannot be read. Others are passed over."""
    for flight in facts.linking(FLIGHT_AIRCRAFT, DEFECT_SEEN):
        said = flight.on_file(DEFECT_SEEN)
        if said is not None and not says_no_defect(said):
            yield flight


def _open(event: _Event) -> Outcome | None:
    """What leaves a defect or an incident open on the day; None when the aircraft was released to fly after it."""
    released = event.facts.on_file(event.release)
    if released is None:
        return unknown(Why.MISSING, event.release.name, value=event.told)
    if order_of(released, event.at) is Order.BEFORE:
        return unknown(Why.CONFLICT, f"released_before_it{event.suffix}", value=event.told)
    lies = order_of(released, event.facts.on)
    if lies is Order.AFTER:
        return unknown(Why.MISSING, f"not_released_yet{event.suffix}", value=event.told)
    if lies is Order.DOUBT:
        return unknown(Why.WITHIN_DOUBT, f"released_that_day{event.suffix}", value=event.told)
    if had_left(event.by, event.facts, released):
        return unknown(Why.CONFLICT, f"released_by_someone_gone{event.suffix}", value=event.told)
    return None
