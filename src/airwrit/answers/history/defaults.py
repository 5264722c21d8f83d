"""Facts told with the question, for rows that say nothing themselves: what all is used for, who owns it."""

from __future__ import annotations

from collections.abc import Collection, Iterable
from typing import Any

from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import held_of, says_nothing
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION, USED_FOR
from airwrit.facts.keys.person import FLIES_FOR
from airwrit.facts.keys.registration import REGISTERED_TO
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import kind_of, subject_named

ORIGIN = "given with the question"

Pair = tuple[str, str]


def told_for_all(known: Iterable[Known], use: UsedFor | None, owner: str | None) -> tuple[Known, ...]:
    """The statements, and for each aircraft or person silent on its use or owner the one told for all.

    One of which everything was taken back is spoken of no longer, and nothing is told of it.
    """
    given = tuple(known)
    said = {(item.statement.subject, item.statement.key) for item in given}
    answered = {number for item in given for number in item.answers}
    subjects = dict.fromkeys(
        item.statement.subject
        for item in given
        if not (item.number and item.number in answered) and not says_nothing(item)
    )
    facts = ((*item.statement[:3],) for item in given)
    said |= {(subject, OWNER.name) for subject in _in_another_name(facts, owner)}
    told = _told(subjects, said, use, owner)
    return given + tuple(Known(Statement(subject, key.name, value), ORIGIN) for subject, key, value in told)


def told_in_state(state: State, said: Collection[Pair], use: UsedFor | None, owner: str | None) -> State:
    """The state, and for each of its aircraft or people not in `said` with its use or owner the one told for all."""
    changes: dict[str, dict[Key[Any], Held]] = {}
    facts = (
        (subject, key.name, held.value)
        for subject, mine in state.held.items()
        for key, held in mine.items()
        if key in (REGISTRATION, REGISTERED_TO)
    )
    said = {*said, *((subject, OWNER.name) for subject in _in_another_name(facts, owner))}
    for subject, key, value in _told(state.held, said, use, owner):
        held = held_of(key, value, (ORIGIN,))
        if held is not None:
            changes.setdefault(subject, {})[key] = held
    return with_held(state, changes)


def _in_another_name(facts: Iterable[tuple[str, str, Any]], owner: str | None) -> list[str]:
    """The aircraft whose certificate names another than the owner told for all: of them it is not told."""
    if owner is None:
        return []
    numbers: list[tuple[str, str]] = []
    named: dict[str, str] = {}
    for subject, key, value in facts:
        if key == REGISTRATION.name:
            numbers.append((subject, subject_named("registration", str(value))))
        elif key == REGISTERED_TO.name and value is not None:
            named[subject] = _letters(str(value))
    return [subject for subject, number in numbers if named.get(number, _letters(owner)) != _letters(owner)]


def _letters(name: str) -> str:
    """A name without case, spaces and signs."""
    return "".join(sign for sign in name.casefold() if sign.isalnum())


def _told(
    subjects: Iterable[str], said: Collection[Pair], use: UsedFor | None, owner: str | None
) -> list[tuple[str, Key[Any], str]]:
    """What is told: of which subject, which fact, which value."""
    wanted: list[tuple[str, Key[Any], str]] = []
    if use is not None:
        wanted += [("aircraft", USED_FOR, use.value), ("person", FLIES_FOR, use.value)]
    if owner is not None:
        wanted.append(("aircraft", OWNER, owner))
    return [
        (subject, key, value)
        for kind, key, value in wanted
        for subject in subjects
        if kind_of(subject) == kind and (subject, key.name) not in said
    ]
