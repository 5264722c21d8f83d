"""Planned flights on record: a plan, what was confirmed for it, and the answer given, kept with all it was made from.

A confirmation is for the plan it was given for: once the place, the hours or the height change, it is asked for again.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date, datetime
from decimal import Decimal
from itertools import combinations
from typing import Any, NamedTuple

from airwrit.answers.before_flight.plan import (
    PLANNED,
    Booking,
    FlightPlan,
    StructureBeside,
    double_bookings,
    middle_of,
)
from airwrit.base.days import parse_when
from airwrit.base.errors import UsageError
from airwrit.base.places import read_place
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.equipment import FLOWN_CONFIGURATION
from airwrit.facts.keys.flights.airspace import FLIGHT_PLACE
from airwrit.facts.keys.flights.authority import (
    FLIGHT_AREA,
    FLIGHT_EAST,
    FLIGHT_ENDS,
    FLIGHT_NORTH,
    FLIGHT_SOUTH,
    FLIGHT_STARTS,
    FLIGHT_WEST,
    HIGHEST_GROUND,
)
from airwrit.facts.keys.flights.flight import (
    ANSWER_GIVEN,
    ANSWERED_ON,
    CONFIRMED_FOR,
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    HEIGHT_AGL,
)
from airwrit.facts.keys.flights.limits import STRUCTURE_DISTANCE, STRUCTURE_TOP
from airwrit.facts.keys.flights.log import DEFECT_SEEN, FLOWN_FOR, FLOWN_ON, PACKS, packs_named
from airwrit.facts.keys.flights.planning import (
    ACCEPTED_BY,
    ACCEPTED_ON,
    FLOWN_AGAINST,
    HAZARDS,
    STRUCTURE_PLACE,
    TAKEOFF_PLACE,
)
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.sky.zones import zone_of

_NEEDED = (FLIGHT_AREA, FLIGHT_STARTS, FLIGHT_ENDS, HEIGHT_AGL, FLIGHT_AIRCRAFT, FLIGHT_PILOT)
"""The facts without which a flight on record is no plan."""


MAY_BE_LEFT_OUT = (
    HAZARDS,
    FLIGHT_PLACE,
    TAKEOFF_PLACE,
    PACKS,
    STRUCTURE_DISTANCE,
    STRUCTURE_TOP,
    STRUCTURE_PLACE,
    HIGHEST_GROUND,
    FLOWN_CONFIGURATION,
)
"""Facts of a plan that it may leave out: then they are taken back."""


_NOT_TOLD = frozenset(
    key.name
    for key in (
        *_NEEDED,
        *MAY_BE_LEFT_OUT,
        *(FLIGHT_SOUTH, FLIGHT_NORTH, FLIGHT_WEST, FLIGHT_EAST, FLOWN_FOR),
        *(ANSWER_GIVEN, ANSWERED_ON, CONFIRMED_FOR, ACCEPTED_BY, ACCEPTED_ON, FLOWN_AGAINST),
        *(FLOWN_ON, DEFECT_SEEN),
    )
)
"""What on record of a planned flight is the plan itself, its answer, or what became of it. All else was told with it."""


class FlightRelease(NamedTuple):
    """Who released a flight, and why although the answer wasn't OK ("" where it was). It turns no answer into another."""

    by: str
    against: str = ""
    at: datetime | None = None


class SavedFlight(NamedTuple):
    """A planned flight on record: its subject, the plan, what was confirmed for it, and what was confirmed for another plan.

    `release` is None where nobody released it; `is_outdated` tells that it was saved anew since.
    """

    subject: str
    plan: FlightPlan
    told: tuple[Known, ...]
    outdated: tuple[str, ...]
    answer: str
    answered_on: datetime | None
    release: FlightRelease | None = None

    @property
    def is_outdated(self) -> bool:
        """Whether it was saved with another answer after it was released."""
        return self.release is not None and self.release.at != self.answered_on


class InTwoPlaces(NamedTuple):
    """Something that two planned flights want at the same time."""

    what: str
    one: str
    other: str


def saved_flight(known: Iterable[Known], name: str, *, flown: bool = False) -> SavedFlight:
    """A planned flight of that name; one that was flown already only where that is asked. UsageError where there is none."""
    subject = name if kind_of(name) == "flight" and "/" in name else subject_named("flight", name)
    mine = [item for item in known if item.statement.subject == subject]
    found = _saved([item for item in mine if not flown or item.statement.key != FLOWN_ON.name], subject)
    if found is None:
        raise UsageError(
            f"there is no planned flight called {name!r}", where="flight", do="see `airwrit planned-flights`"
        )
    return found


def planned_flights(known: Iterable[Known], *, flown: bool = False) -> list[SavedFlight]:
    """The planned flights on record by takeoff; those that were flown too only where that is asked."""
    by_subject: dict[str, list[Known]] = {}
    for item in known:
        if flown and item.statement.key == FLOWN_ON.name:
            continue
        if kind_of(item.statement.subject) == "flight":
            by_subject.setdefault(item.statement.subject, []).append(item)
    found = [one for subject, items in by_subject.items() if (one := _saved(items, subject)) is not None]
    return sorted(found, key=lambda one: one.plan.starts)


def flights_on(known: Iterable[Known], day: date) -> tuple[SavedFlight, ...]:
    """The planned flights of a day by the clock of their place, by takeoff; those flown are none."""
    return tuple(one for one in planned_flights(known) if _is_on(one.plan, day))


def without_plans(known: Sequence[Known]) -> list[Known]:
    """What is on record but for planned flights: each is judged by itself, with what was confirmed for it.

    One that was flown, or on which a defect was seen, counts as any flight.
    """
    said = {
        key.name: {item.statement.subject for item in known if item.statement.key == key.name}
        for key in (CONFIRMED_FOR, FLOWN_ON, DEFECT_SEEN)
    }
    plans = said[CONFIRMED_FOR.name] - said[FLOWN_ON.name] - said[DEFECT_SEEN.name]
    return [item for item in known if item.statement.subject not in plans]


def in_two_places(flights: Sequence[SavedFlight]) -> tuple[InTwoPlaces, ...]:
    """The aircraft, people and batteries that planned flights want at the same time."""
    return tuple(
        InTwoPlaces(found.what, one.subject, other.subject)
        for one, other in combinations(flights, 2)
        for found in double_bookings(one.plan, (Booking(other.subject, other.plan),))
    )


def bookings(known: Iterable[Known], plan: FlightPlan, name: str = "") -> tuple[Booking, ...]:
    """The planned flights on record beside a plan, which itself may be on record: under a name, or as the same plan."""
    own = subject_named("flight", name.strip())
    return tuple(
        Booking(one.subject, one.plan)
        for one in planned_flights(known)
        if one.subject != own and one.plan.digest != plan.digest
    )


def _is_on(plan: FlightPlan, day: date) -> bool:
    info = plan.zone.info
    return plan.starts.astimezone(info).date() <= day <= plan.ends.astimezone(info).date()


def _saved(items: Sequence[Known], subject: str) -> SavedFlight | None:
    """What is on record of a planned flight; None where it is no whole plan, or was flown."""
    answered = {number for item in items for number in item.answers}
    alive = {
        item.statement.key: item
        for item in items
        if item.number not in answered and item.statement.value is not None
    }
    if FLOWN_ON.name in alive or any(key.name not in alive for key in _NEEDED):
        return None
    plan = _plan(alive)
    made_for = alive.get(CONFIRMED_FOR.name)
    holds = made_for is not None and made_for.statement.value == plan.digest
    told = [
        _confirmed_with(item, made_for)._replace(statement=item.statement._replace(subject=PLANNED))
        for name, item in alive.items()
        if name not in _NOT_TOLD
    ]
    given = alive.get(ANSWER_GIVEN.name)
    return SavedFlight(
        subject,
        plan,
        tuple(told) if holds else (),
        () if holds else tuple(item.statement.key for item in told),
        "" if given is None else str(given.statement.value),
        _moment(alive, ANSWERED_ON),
        _release(alive),
    )


def _confirmed_with(item: Known, made_for: Known | None) -> Known:
    """A confirmation by the entry it was given in: the later of its own and that of the plan it is for."""
    if made_for is None or made_for.recorded_at <= item.recorded_at:
        return item
    return item._replace(recorded_at=made_for.recorded_at, origin=made_for.origin)


def _moment(alive: dict[str, Known], key: Key[date]) -> datetime | None:
    item = alive.get(key.name)
    when = None if item is None else parse_when(str(item.statement.value))
    return when if isinstance(when, datetime) else None


def _release(alive: dict[str, Known]) -> FlightRelease | None:
    by, against = alive.get(ACCEPTED_BY.name), alive.get(FLOWN_AGAINST.name)
    if by is None:
        return None
    why = "" if against is None else str(against.statement.value)
    return FlightRelease(str(by.statement.value), why, _moment(alive, ACCEPTED_ON))


def _plan(alive: dict[str, Known]) -> FlightPlan:
    def text(key: Key[Any]) -> str:
        return str(alive[key.name].statement.value)

    def instant(key: Key[date]) -> datetime:
        when = parse_when(text(key))
        if not isinstance(when, datetime):
            raise UsageError(
                f"{text(key)} has no time of day", where=key.name, do="plan the flight again with its times"
            )
        return when

    area = text(FLIGHT_AREA)
    place = middle_of(area)
    return FlightPlan(
        area,
        place,
        zone_of(place),
        instant(FLIGHT_STARTS),
        instant(FLIGHT_ENDS),
        Decimal(text(HEIGHT_AGL)),
        subject_named("aircraft", text(FLIGHT_AIRCRAFT)),
        subject_named("person", text(FLIGHT_PILOT)),
        UsedFor(text(FLOWN_FOR)) if FLOWN_FOR.name in alive else None,
        Decimal(text(HIGHEST_GROUND)) if HIGHEST_GROUND.name in alive else None,
        text(FLIGHT_PLACE) if FLIGHT_PLACE.name in alive else "",
        read_place(text(TAKEOFF_PLACE)) if TAKEOFF_PLACE.name in alive else None,
        packs_named(text(PACKS)) if PACKS.name in alive else (),
        None
        if STRUCTURE_TOP.name not in alive or STRUCTURE_DISTANCE.name not in alive
        else StructureBeside(
            Decimal(text(STRUCTURE_DISTANCE)),
            Decimal(text(STRUCTURE_TOP)),
            read_place(text(STRUCTURE_PLACE)) if STRUCTURE_PLACE.name in alive else None,
        ),
        text(HAZARDS) if HAZARDS.name in alive else "",
        text(FLOWN_CONFIGURATION) if FLOWN_CONFIGURATION.name in alive else "",
    )
