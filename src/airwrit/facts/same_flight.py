"""Flights that may be one: in a log that was imported, and entered by hand or handed over from a phone.

That they are one flight is for somebody to say who knows: nothing is dropped in silence, and nothing counts as done twice.
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal
from typing import NamedTuple

from airwrit.base.days import When, day_of
from airwrit.facts.vocabulary import folded, id_of

_BY_HAND = re.compile(r" \d{4}-\d\d-\d\d(T\d\d:\d\dZ| no\. \d+)?")


class FlightOnRecord(NamedTuple):
    """A flight on record: its aircraft, its pilot, the day or the moment of its landing, its minutes if they are told."""

    subject: str
    aircraft: str
    pilot: str
    when: When
    minutes: Decimal | None = None


class SameFlight(NamedTuple):
    """Two flights on record that may be one; the second was said by hand, where one of the two was."""

    one: str
    other: str


def possible_doubles(flights: Iterable[FlightOnRecord]) -> tuple[SameFlight, ...]:
    """Flights that may be one: of the same aircraft, pilot and day, and of the same landing time as far as it is told.

    Where both tell the moment, it is the same minute. Where one tells the day alone, one of them was said by hand and the
    other was not, and their minutes in the air do not differ; each flight is then held against one other only. Two rows of
    one log with nothing but the day are two flights.
    """
    of_a_day: dict[tuple[str, str, date], list[FlightOnRecord]] = defaultdict(list)
    for flight in flights:
        of_a_day[folded(flight.aircraft), folded(flight.pilot), day_of(flight.when)].append(flight)
    return tuple(double for mine in of_a_day.values() if len(mine) > 1 for double in _of_one_day(mine))


def _of_one_day(flights: Sequence[FlightOnRecord]) -> Iterator[SameFlight]:
    """The possible doubles among the flights of one aircraft, pilot and day: by the minute first, then by the day."""
    by_minute: dict[str, list[FlightOnRecord]] = defaultdict(list)
    for flight in flights:
        if isinstance(flight.when, datetime):
            by_minute[f"{flight.when.astimezone(UTC):%H:%M}"].append(flight)
    paired: set[str] = set()
    for mine in by_minute.values():
        ordered = sorted(mine, key=_is_by_hand)
        for other in ordered[1:]:
            paired |= {ordered[0].subject, other.subject}
            yield SameFlight(ordered[0].subject, other.subject)
    logged = [one for one in flights if not _is_by_hand(one) and one.subject not in paired]
    for said in (one for one in flights if _is_by_hand(one) and one.subject not in paired):
        alike = [one for one in logged if _may_be(one, said)]
        if alike:
            twin = min(alike, key=lambda one: one.minutes is None or one.minutes != said.minutes)
            logged.remove(twin)
            yield SameFlight(twin.subject, said.subject)


def _is_by_hand(flight: FlightOnRecord) -> bool:
    """Whether its name is one that entering gives: the aircraft, and the minute of the landing or the day."""
    name = id_of(flight.subject)
    return name.startswith(flight.aircraft) and bool(_BY_HAND.fullmatch(name[len(flight.aircraft) :]))


def _may_be(one: FlightOnRecord, other: FlightOnRecord) -> bool:
    """Whether two flights of a day may be one, where at least one of them does not tell when it landed."""
    if isinstance(one.when, datetime) and isinstance(other.when, datetime):
        return False
    return one.minutes is None or other.minutes is None or one.minutes == other.minutes
