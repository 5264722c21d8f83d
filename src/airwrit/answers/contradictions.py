"""Facts that cannot all be true: told as problems, and held as contradicted, so that none of them decides anything."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.ask_words import value
from airwrit.answers.ways import with_held
from airwrit.base.findings import Why
from airwrit.base.times import day_of
from airwrit.facts.aircraft import (
    APPLIED_ON,
    ARMED_FORCES,
    FLOWN_ABROAD,
    FOREIGN_REGISTRY,
    IS_REGISTERED,
    ONLY_INDOORS,
    OWNER,
    REGISTRATION,
    USED_FOR,
    WEIGHED_ON,
)
from airwrit.facts.flight import EDUCATIONAL, FLIGHT_AIRCRAFT, HELPS_BUSINESS, HELPS_ORGANIZATION, PAID
from airwrit.facts.key import Key
from airwrit.facts.people import BORN_ON, SAFETY_TEST_ON
from airwrit.facts.registration import CITIZENSHIP, ISSUED_ON, OWNER_BORN_ON, OWNER_KIND
from airwrit.facts.state import Held, State
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import id_of
from airwrit.facts.words import OwnerKind, UsedFor

_PAST = (OWNER_BORN_ON, BORN_ON, ISSUED_ON, APPLIED_ON, WEIGHED_ON, SAFETY_TEST_ON)
_OF_A_PERSON: tuple[Key[Any], ...] = (OWNER_BORN_ON, CITIZENSHIP)

Place = tuple[str, Key[Any]]


class _Clash(NamedTuple):
    places: tuple[Place, ...]
    what: str
    do: str


def contradictions(state: State, today: date) -> tuple[State, tuple[Problem, ...]]:
    """The state with every fact of a contradiction held as such, and the problems, each in one line."""
    found = [clash for check in _CHECKS for clash in check(state, today)]
    changes: dict[str, dict[Key[Any], Held]] = {}
    for clash in found:
        for subject, key in clash.places:
            changes.setdefault(subject, {})[key] = Held(None, Why.CONFLICT)
    problems = tuple(
        Problem(
            " and ".join(dict.fromkeys(f"{subject} {key.name}" for subject, key in clash.places)),
            clash.what,
            clash.do,
            tuple((subject, key.name) for subject, key in clash.places),
        )
        for clash in found
    )
    return with_held(state, changes), problems


def _days_to_come(state: State, today: date) -> Iterator[_Clash]:
    for subject, facts in state.held.items():
        for key in _PAST:
            day = None if key not in facts or facts[key].why is not None else facts[key].value
            if day is not None and day_of(day) > today:
                yield _Clash(
                    ((subject, key),), f"{day} has not come yet", f"give a day up to {today}, or leave it out"
                )


def _owners(state: State, today: date) -> Iterator[_Clash]:
    del today
    for subject in state.subjects("owner"):
        kind = value(state, subject, OWNER_KIND)
        if kind is None or kind is OwnerKind.PERSON:
            continue
        for key in _OF_A_PERSON:
            if value(state, subject, key) is not None:
                yield _Clash(
                    ((subject, OWNER_KIND), (subject, key)),
                    f"{id_of(subject)} is told to be a {kind.value}, and {key.meaning} is told as of a person",
                    "say whether the owner is the person or the organization, and keep the facts of that one",
                )


def _aircraft(state: State, today: date) -> Iterator[_Clash]:
    del today
    pairs: tuple[tuple[Key[bool], Key[bool], str], ...] = (
        (ONLY_INDOORS, FLOWN_ABROAD, "flown only inside a closed building, and outside the United States"),
        (
            FOREIGN_REGISTRY,
            IS_REGISTERED,
            "on another country's registry, and registered here: one of them would be void",
        ),
        (
            FOREIGN_REGISTRY,
            ARMED_FORCES,
            "on another country's registry, and of the armed forces of the United States",
        ),
    )
    for subject in state.subjects("aircraft"):
        for one, other, what in pairs:
            if value(state, subject, one) and value(state, subject, other):
                yield _Clash(
                    ((subject, one), (subject, other)), what, "find out which is right and correct the other"
                )
        if value(state, subject, IS_REGISTERED) is False and value(state, subject, REGISTRATION) is not None:
            places: tuple[Place, ...] = ((subject, IS_REGISTERED), (subject, REGISTRATION))
            yield _Clash(
                places, "told to be unregistered, and has a registration number", "correct one of the two"
            )
        owner = value(state, subject, OWNER)
        kind = None if owner is None else value(state, f"owner/{owner}", OWNER_KIND)
        if value(state, subject, ARMED_FORCES) and kind not in (None, OwnerKind.GOVERNMENT):
            places = ((subject, ARMED_FORCES), (f"owner/{owner}", OWNER_KIND))
            yield _Clash(places, f"of the armed forces, and owned by a {kind}", "correct one of the two")


def _purposes(state: State, today: date) -> Iterator[_Clash]:
    del today
    for flight in state.subjects("flight"):
        aircraft = f"aircraft/{value(state, flight, FLIGHT_AIRCRAFT)}"
        if value(state, aircraft, USED_FOR) is not UsedFor.RECREATION or value(state, flight, EDUCATIONAL):
            continue
        for key in (PAID, HELPS_BUSINESS, HELPS_ORGANIZATION):
            if value(state, flight, key):
                yield _Clash(
                    ((aircraft, USED_FOR), (flight, key)),
                    f"told to be flown for recreation only, and a flight is told of which {key.meaning}",
                    "say work, or work and recreation, unless that flight is made with another aircraft",
                )


_CHECKS: tuple[Callable[[State, date], Iterator[_Clash]], ...] = (
    _days_to_come,
    _owners,
    _aircraft,
    _purposes,
)
