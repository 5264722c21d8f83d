"""Flights that may stand on record twice: in a log that was imported, and entered by hand or handed over from a phone.

Each is counted all the same. That they are one flight is for somebody to say who knows; nothing is dropped in silence.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal, InvalidOperation
from itertools import pairwise
from typing import NamedTuple

from airwrit.answers.taking_in import Before, Taking
from airwrit.base.times import When, day_of, parse_when
from airwrit.facts.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.flight_log import FLOWN_ON, MINUTES
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import id_of
from airwrit.intake.subjects import folded

_BY_HAND = re.compile(r" \d{4}-\d\d-\d\d(T\d\d:\d\dZ| no\. \d+)?")
_FACTS = (FLIGHT_AIRCRAFT.name, FLIGHT_PILOT.name, FLOWN_ON.name, MINUTES.name)


class Logged(NamedTuple):
    """A flight on record: its aircraft, its pilot, the day or the moment of its landing, its minutes if they are told."""

    subject: str
    aircraft: str
    pilot: str
    when: When
    minutes: Decimal | None = None


class Double(NamedTuple):
    """Two flights on record that may be one; the second was said by hand, where one of the two was."""

    one: str
    other: str


def possible_doubles(flights: Iterable[Logged]) -> tuple[Double, ...]:
    """Flights that may be one: of the same aircraft, pilot and day, and of the same landing time as far as it is told.

    Where both tell the moment, it is the same minute. Where one tells the day alone, one of them was said by hand and the
    other was not, and their minutes in the air do not differ; each flight is then held against one other only. Two rows of
    one log with nothing but the day are two flights.
    """
    of_a_day: dict[tuple[str, str, date], list[Logged]] = defaultdict(list)
    for flight in flights:
        of_a_day[folded(flight.aircraft), folded(flight.pilot), day_of(flight.when)].append(flight)
    return tuple(double for mine in of_a_day.values() if len(mine) > 1 for double in _of_one_day(mine))


def _of_one_day(flights: Sequence[Logged]) -> Iterator[Double]:
    """The possible doubles among the flights of one aircraft, pilot and day: by the minute first, then by the day."""
    by_minute: dict[str, list[Logged]] = defaultdict(list)
    for flight in flights:
        if isinstance(flight.when, datetime):
            by_minute[f"{flight.when.astimezone(UTC):%H:%M}"].append(flight)
    paired: set[str] = set()
    for mine in by_minute.values():
        ordered = sorted(mine, key=_is_by_hand)
        for one, other in pairwise(ordered):
            paired |= {one.subject, other.subject}
            yield Double(one.subject, other.subject)
    logged = [one for one in flights if not _is_by_hand(one) and one.subject not in paired]
    for said in (one for one in flights if _is_by_hand(one) and one.subject not in paired):
        alike = [one for one in logged if _may_be(one, said)]
        if alike:
            twin = min(alike, key=lambda one: one.minutes is None or one.minutes != said.minutes)
            logged.remove(twin)
            yield Double(twin.subject, said.subject)


def _is_by_hand(flight: Logged) -> bool:
    """Whether its name is one that entering gives: the aircraft, and the minute of the landing or the day."""
    name = id_of(flight.subject)
    return name.startswith(flight.aircraft) and bool(_BY_HAND.fullmatch(name[len(flight.aircraft) :]))


def _may_be(one: Logged, other: Logged) -> bool:
    """Whether two flights of a day may be one, where at least one of them does not tell when it landed."""
    if isinstance(one.when, datetime) and isinstance(other.when, datetime):
        return False
    return one.minutes is None or other.minutes is None or one.minutes == other.minutes


def doubles_to_look_at(held: Before, taking: Taking, where: str) -> tuple[Problem, ...]:
    """A remark for each flight about to be kept that may be on record already under another name."""
    new = {change.statement.subject for change in taking.changes if change.statement.key == FLOWN_ON.name}
    if not new:
        return ()
    remarks = []
    for double in possible_doubles(_logged(held, taking)):
        if new & set(double):
            mine, known = (double.other, double.one) if double.other in new else double
            what = f"{id_of(mine)} may be the same flight as {id_of(known)}, which would count twice"
            remarks.append(Problem(where, what, "keep one of the two if it is"))
    return tuple(remarks)


def _logged(held: Before, taking: Taking) -> Iterator[Logged]:
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
                yield Logged(
                    subject, aircraft, pilot, parse_when(when), None if minutes is None else Decimal(minutes)
                )
        except (ValueError, InvalidOperation):
            continue


def _only(values: set[str]) -> str | None:
    return next(iter(values)) if len(values) == 1 else None
