"""A defect that a pilot saw, and whether somebody released the aircraft to fly since. 14 CFR 107.15.

Whether a defect makes an aircraft unsafe is for the pilot in command to say. While nobody has said it, its condition is not
known; so this rule never says that an aircraft is safe, and never that it is not.
"""

from __future__ import annotations

from collections.abc import Iterator

from airwrit.base.days import Order, day_of, order_of
from airwrit.base.verdict import Outcome, Why
from airwrit.facts.keys.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flight_log import DEFECT_RELEASED_ON, DEFECT_SEEN, FLOWN_ON, says_no_defect
from airwrit.facts.state import Facts
from airwrit.law.flight.crew import CONDITION
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, no_duty, not_asked, unknown


def defect_released(facts: Facts, law: Law) -> Outcome:
    """Whether every defect that was seen in a flight of the aircraft was followed by a release to fly."""
    seen = False
    for flight in _with_a_defect(facts):
        if order_of(flight[FLOWN_ON], facts.on) is Order.AFTER:
            continue
        seen = True
        free = not_asked(law, CONDITION)
        if free is not None:
            return free
        still_open = _open(flight)
        if still_open is not None:
            return still_open
    return no_duty("released") if seen else no_duty("none_on_file")


DEFECT_RELEASED_RULE = Rule("defect_released", "aircraft", Bears.FLIGHT, defect_released)


def _with_a_defect(facts: Facts) -> Iterator[Facts]:
    """The flights of the aircraft of which a defect is on file, or something that cannot be read. Others are passed over."""
    for flight in facts.linking(FLIGHT_AIRCRAFT, DEFECT_SEEN):
        said = flight.on_file(DEFECT_SEEN)
        if said is not None and not says_no_defect(said):
            yield flight


def _open(flight: Facts) -> Outcome | None:
    """What leaves a flight's defect open on the day; None when the aircraft was released to fly after it."""
    text, flown = flight[DEFECT_SEEN], flight[FLOWN_ON]
    told = f"{text} ({day_of(flown)})"
    released = flight.on_file(DEFECT_RELEASED_ON)
    if released is None:
        return unknown(Why.MISSING, DEFECT_RELEASED_ON.name, value=told)
    if order_of(released, flown) is Order.BEFORE:
        return unknown(Why.CONFLICT, "released_before_it", value=told)
    lies = order_of(released, flight.on)
    if lies is Order.AFTER:
        return unknown(Why.MISSING, "not_released_yet", value=told)
    if lies is Order.DOUBT:
        return unknown(Why.WITHIN_DOUBT, "released_that_day", value=told)
    return None
