"""The flights on record one by one, newest first, and what may be chosen for the next one."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import UTC, date, datetime, time
from typing import NamedTuple

from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import offered
from airwrit.base.days import Order, When, order_of
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import DEFECT_SEEN, FLOWN_ON, LANDINGS, MINUTES, PACKS, packs_named
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of
from airwrit.law.wording import shown


class FlightShown(NamedTuple):
    """A flight as a log shows it; what is not on file is empty."""

    subject: str
    landed: When
    aircraft: str
    pilot: str
    minutes: str
    landings: str
    packs: tuple[str, ...]
    defect: str

    @property
    def said(self) -> str:
        """When it landed, in the zone it was written in."""
        return words_of(self.landed)


class Choices(NamedTuple):
    """The names that a flight may carry, those flown last first."""

    aircraft: tuple[str, ...]
    pilots: tuple[str, ...]
    packs: tuple[str, ...]


def logged(state: State) -> tuple[FlightShown, ...]:
    """The flights up to the day or instant of a state, the last landed first."""
    found = (_logged(state, subject) for subject in state.subjects("flight"))
    flown = [one for one in found if one is not None and order_of(one.landed, state.on) is not Order.AFTER]
    return tuple(sorted(flown, key=lambda one: (_moment(one.landed), one.subject), reverse=True))


def choices_of(answer: Standing, flights: Iterable[FlightShown]) -> Choices:
    """What may be chosen: what flew last, then the rest by name; neither who left nor what the program has no more."""
    flown = tuple(flights)
    return Choices(
        _first_flown((one.aircraft for one in flown), map(id_of, offered(answer, "aircraft"))),
        _first_flown((one.pilot for one in flown), map(id_of, offered(answer, "person"))),
        tuple(dict.fromkeys(pack for one in flown for pack in one.packs)),
    )


def words_of(landed: When) -> str:
    """A day, or a moment to the minute with its zone."""
    return f"{landed:%Y-%m-%d %H:%M} {landed:%Z}" if isinstance(landed, datetime) else landed.isoformat()


def _first_flown(flown: Iterable[str], known: Iterable[str]) -> tuple[str, ...]:
    all_of = set(known)
    ordered = dict.fromkeys(name for name in flown if name in all_of)
    ordered.update(dict.fromkeys(sorted(all_of)))
    return tuple(ordered)


def _logged(state: State, subject: str) -> FlightShown | None:
    landed = value_held(state, subject, FLOWN_ON)
    if landed is None:
        return None
    minutes, landings = value_held(state, subject, MINUTES), value_held(state, subject, LANDINGS)
    return FlightShown(
        subject,
        landed,
        value_held(state, subject, FLIGHT_AIRCRAFT) or "",
        value_held(state, subject, FLIGHT_PILOT) or "",
        "" if minutes is None else shown(minutes),
        "" if landings is None else shown(landings),
        tuple(packs_named(value_held(state, subject, PACKS) or "")),
        value_held(state, subject, DEFECT_SEEN) or "",
    )


def _moment(landed: date | datetime) -> datetime:
    """A moment to sort by; a day alone counts as its end."""
    return landed if isinstance(landed, datetime) else datetime.combine(landed, time.max, UTC)
