"""Facts that cannot all be true: told as problems, and held as contradicted, so that none of them decides anything."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.asking.steps import value
from airwrit.base.days import day_of
from airwrit.base.sentences import with_section
from airwrit.base.verdict import Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import APPLIED_ON, USED_FOR, WEIGHED_ON
from airwrit.facts.keys.flights.flight import (
    EDUCATIONAL,
    FLIGHT_AIRCRAFT,
    HELPS_BUSINESS,
    HELPS_ORGANIZATION,
    PAID,
)
from airwrit.facts.keys.person import BORN_ON, SAFETY_TEST_ON
from airwrit.facts.keys.registration import ISSUED_ON, OWNER_BORN_ON
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.statement import Problem
from airwrit.law.contradictions import settled, told

_PAST = (OWNER_BORN_ON, BORN_ON, ISSUED_ON, APPLIED_ON, WEIGHED_ON, SAFETY_TEST_ON)

Place = tuple[str, Key[Any]]


class _Doubt(NamedTuple):
    places: tuple[Place, ...]
    what: str
    do: str


def without_contradictions(state: State, earlier: State | None = None) -> tuple[State, tuple[Problem, ...]]:
    """The state with every pair of facts that cannot both be so held as contradicted, and a problem for each pair.

    `earlier` is a state of the same day or instant without its contradictions, of which most is held still.
    """
    found = settled(state, day_of(state.on), earlier)
    return found, tuple(_problem(doubt) for doubt in _clashes(found))


def contradictions(state: State, today: date) -> tuple[State, tuple[Problem, ...]]:
    """The same for the facts of one aircraft told on a day, of which none can be of a day to come."""
    found = [*_days_to_come(state, today), *_purposes(state)]
    changes: dict[str, dict[Key[Any], Held]] = {}
    for doubt in found:
        for subject, key in doubt.places:
            changes.setdefault(subject, {})[key] = Held(None, Why.CONFLICT)
    without, problems = without_contradictions(with_held(state, changes))
    return without, (*map(_problem, found), *problems)


def _problem(doubt: _Doubt) -> Problem:
    return Problem(
        " and ".join(dict.fromkeys(f"{subject} {key.name}" for subject, key in doubt.places)),
        doubt.what,
        doubt.do,
        tuple((subject, key.name) for subject, key in doubt.places),
    )


def _clashes(state: State) -> Iterable[_Doubt]:
    for clash in state.clashes:
        words = told(clash, state)
        yield _Doubt(clash.places, with_section(words.says, words.cites), words.do)


def _days_to_come(state: State, today: date) -> Iterator[_Doubt]:
    for subject, facts in state.held.items():
        for key in _PAST:
            day = None if key not in facts or facts[key].why is not None else facts[key].value
            if day is not None and day_of(day) > today:
                yield _Doubt(
                    ((subject, key),),
                    f"{day} is still to come.",
                    f"Enter a date up to {today}, or leave it out.",
                )


def _purposes(state: State) -> Iterator[_Doubt]:
    for flight in state.subjects("flight"):
        aircraft = f"aircraft/{value(state, flight, FLIGHT_AIRCRAFT)}"
        if value(state, aircraft, USED_FOR) is not UsedFor.RECREATION or value(state, flight, EDUCATIONAL):
            continue
        for key in (PAID, HELPS_BUSINESS, HELPS_ORGANIZATION):
            if value(state, flight, key):
                yield _Doubt(
                    ((aircraft, USED_FOR), (flight, key)),
                    f"Recreation only is on file, but a flight on file isn't recreation: {key.meaning}.",
                    "Enter work, or work and recreation, unless another aircraft flies that flight.",
                )
