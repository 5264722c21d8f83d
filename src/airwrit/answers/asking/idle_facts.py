"""Facts told with a question that changed nothing in its answer: no rule that was asked looked at them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any, NamedTuple

from airwrit.answers.asking.events import EventAnswer
from airwrit.answers.lookup.facts import rules_of_keys
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    MAKER,
    MODEL,
    OWNER,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    REMOTE_ID_WAY,
    USED_FOR,
)
from airwrit.facts.keys.flights.flight import EDUCATIONAL, FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_FOR
from airwrit.facts.keys.incident import INCIDENT_AIRCRAFT
from airwrit.facts.keys.person import FLIES_FOR
from airwrit.facts.keys.registration import OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.state import State
from airwrit.law.flight.purpose import RECREATIONAL_PURPOSE_RULE
from airwrit.law.rule import Finding

_READ_BY_THE_ANSWER: tuple[Key[Any], ...] = (
    USED_FOR,
    FLIES_FOR,
    FLOWN_FOR,
    OWNER,
    OWNER_KIND,
    REGISTRATION,
    REGISTRATION_KIND,
    REMOTE_ID_WAY,
    EDUCATIONAL,
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    INCIDENT_AIRCRAFT,
)
"""Facts by which the answer is put together, whatever the rules look at."""
READY: tuple[Key[Any], ...] = (MAKER, MODEL, REMOTE_ID_SERIAL)
"""Facts that an application asks for."""


class Idle(NamedTuple):
    """A fact that changed nothing. `rules` are those asked here that may look at it, had other facts been otherwise."""

    subject: str
    key: Key[Any]
    rules: tuple[str, ...]


def idle_facts(
    state: State, findings: Iterable[Finding], events: Iterable[EventAnswer], *, ready: bool
) -> tuple[Idle, ...]:
    """The facts told of which none was looked at; of an event only what was found for the uses shown counts.

    A link that rules follow from its other end is left out.

    `ready` tells whether the answer lists what an application asks for.
    """
    found = list(findings)
    shown = {
        (f.subject, f.rule.name, f.use) for event in events for column in event.columns for f in column.rules
    }
    judged = {event.subject for event in events}
    looking = [
        f
        for f in found
        if f.subject not in judged
        or f.rule is RECREATIONAL_PURPOSE_RULE
        or (f.subject, f.rule.name, f.use) in shown
    ]
    looked = {(used.subject, used.key) for f in looking for used in f.used}
    read = _READ_BY_THE_ANSWER + (READY if ready else ())
    asked = dict.fromkeys(f.rule.name for f in looking)
    rules = rules_of_keys()
    return tuple(
        Idle(subject, key, tuple(name for name in rules[key.name] if name in asked))
        for subject, facts in state.held.items()
        for key in facts
        if key not in read and (subject, key) not in looked and not (key.links_to and rules[key.name])
    )


def idle_json(idle: Idle) -> Mapping[str, object]:
    """A fact that changed nothing, and the rules that may look at it."""
    return {"subject": idle.subject, "key": idle.key.name, "rules": list(idle.rules)}
