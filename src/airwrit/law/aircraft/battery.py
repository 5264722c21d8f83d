"""Is a battery fit to fly with, how many cycles it has, and what of its capacity is left? 14 CFR 107.15.

Nothing here says that a battery is good: it says what on file speaks against it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

from airwrit.base.days import Order, day_of, order_of
from airwrit.base.measured import Measured, exact
from airwrit.base.verdict import Outcome, Undecided, Why
from airwrit.facts.keys.equipment import (
    BATTERY_CLEARED_BY,
    BATTERY_CLEARED_ON,
    BATTERY_DAMAGED_ON,
    BATTERY_RETIRED_ON,
    BATTERY_SHIPPED_ON,
    CAPACITY_MEASURED,
    CAPACITY_NEW,
    CYCLES_READ,
    CYCLES_READ_ON,
    SWELLING,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.flights.log import FLOWN_ON, LANDINGS, MINUTES, PACKS
from airwrit.facts.state import Facts
from airwrit.law.aircraft.maintenance import had_left
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, no_duty, not_asked, not_met, unknown
from airwrit.law.shared_parameters import CONDITION

_GONE = ((BATTERY_RETIRED_ON, "retired"), (BATTERY_SHIPPED_ON, "shipped"))


def battery_fit(facts: Facts, law: Law) -> Outcome:
    """Whether anything on file says not to fly with the battery: damage, swelling, retirement, two places at once."""
    free = not_asked(law, CONDITION)
    if free is not None:
        return free
    for key, code in _GONE:
        day = facts.on_file(key)
        if day is not None and day <= day_of(facts.on):
            if any(day < one <= day_of(facts.on) for one in _days_flown(facts)):
                return unknown(Why.CONFLICT, f"flown_since_{code}", value=day)
            return no_duty(code, value=day)
    return _damaged(facts) or _twice(facts) or no_duty("nothing_against")


BATTERY_FIT_RULE = Rule("battery_fit", "battery", Bears.FLIGHT, battery_fit)


def _days_flown(facts: Facts) -> Iterator[date]:
    """The days of the flights that name the battery, of those that have one."""
    for flight in facts.quietly().linking(PACKS):
        try:
            yield day_of(flight[FLOWN_ON])
        except Undecided:
            continue


def _damaged(facts: Facts) -> Outcome | None:
    """What damage or swelling leaves of the battery; None when there is none on file, or it was cleared since."""
    damaged = facts.on_file(BATTERY_DAMAGED_ON)
    if damaged is not None and damaged <= day_of(facts.on):
        cleared = facts.on_file(BATTERY_CLEARED_ON)
        if cleared is None or cleared > day_of(facts.on):
            return not_met("damaged", value=damaged)
        if cleared < damaged:
            return unknown(Why.CONFLICT, "cleared_before", value=damaged)
        if had_left(BATTERY_CLEARED_BY, facts, cleared):
            return unknown(Why.CONFLICT, "cleared_by_someone_gone", value=cleared)
    return not_met("swollen") if facts.on_file(SWELLING) else None


class _FlownWith(NamedTuple):
    """A flight with the battery: from when to when, with which aircraft."""

    start: datetime
    end: datetime
    aircraft: str


def _twice(facts: Facts) -> Outcome | None:
    """Two flights with the same battery in two aircraft at once; None where none is told so."""
    lasting: dict[str, datetime] = {}
    for one in sorted(_timed(facts)):
        for aircraft, end in lasting.items():
            if aircraft != one.aircraft and one.start < end:
                told = f"{aircraft} and {one.aircraft} ({one.start.date()})"
                return unknown(Why.CONFLICT, "in_two_places", value=told)
        lasting[one.aircraft] = max(one.end, lasting.get(one.aircraft, one.end))
    return None


def _timed(facts: Facts) -> Iterator[_FlownWith]:
    """The flights with the battery that tell when they landed and how long they took."""
    for flight in facts.quietly().linking(PACKS):
        try:
            landed, minutes, aircraft = flight[FLOWN_ON], flight[MINUTES], flight[FLIGHT_AIRCRAFT]
        except Undecided:
            continue
        if isinstance(landed, datetime) and order_of(landed, facts.on) is not Order.AFTER:
            yield _FlownWith(landed - timedelta(minutes=float(min(minutes, _DAY))), landed, aircraft)


_DAY = Decimal(1440)


def battery_cycles(facts: Facts) -> Measured:
    """The cycles of a battery: the count read off it, if any, and one for each flight since; flights of that day may be in it.

    Undecided when a flight that names it has no day.
    """
    read, read_on = facts.on_file(CYCLES_READ), facts.on_file(CYCLES_READ_ON)
    if read is not None and read_on is None:
        raise Undecided(Why.MISSING, CYCLES_READ_ON.name)
    if read is None or read_on is None or read_on > day_of(facts.on):
        read, read_on = Decimal(0), None
    sure, that_day = read, Decimal(0)
    for flight in facts.linking(PACKS):
        if not any(flight.has(key) for key in (FLOWN_ON, MINUTES, LANDINGS)):
            continue
        flown = flight[FLOWN_ON]
        if order_of(flown, facts.on) is Order.AFTER:
            continue
        if read_on is None or day_of(flown) > read_on:
            sure += 1
        elif day_of(flown) == read_on:
            that_day += 1
    return Measured(sure, sure, sure + that_day)


def capacity_left(facts: Facts) -> Measured:
    """The capacity measured last as a share of the capacity when new, in percent. Undecided when either is not on file."""
    measured, new = facts[CAPACITY_MEASURED], facts[CAPACITY_NEW]
    if not new:
        raise Undecided(Why.CONFLICT, CAPACITY_NEW.name)
    return exact(100 * measured / new)
