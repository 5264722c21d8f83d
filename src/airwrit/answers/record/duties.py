"""What hangs on one person: registrations filed, logins, papers answered for, aircraft in hand, tests and training."""

from __future__ import annotations

from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.base.days import When, day_of
from airwrit.base.verdict import Undecided
from airwrit.facts.keys.aircraft import HOLDER, REGISTRATION
from airwrit.facts.keys.registration import REGISTRY_LOGIN_HOLDER, REPRESENTATIVE
from airwrit.facts.state import Facts, State
from airwrit.facts.vocabulary import id_of
from airwrit.law.holder.pilot import Counted, events_counted
from airwrit.law.parameters import Law


class Filed(NamedTuple):
    """A registration that a person filed for an organization, and the aircraft under it."""

    registration: str
    aircraft: tuple[str, ...]


class Duties(NamedTuple):
    """What a person answers for in the program: registrations, owners whose login is theirs, aircraft kept."""

    filed: tuple[Filed, ...]
    logins: tuple[str, ...]
    keeps: tuple[str, ...]


class Training(NamedTuple):
    """The tests and training on file, newest first, and which of them the recency of the day rests on."""

    events: tuple[Counted, ...]
    rests_on: str


def duties_of(state: State, person: str) -> Duties:
    """What a person answers for on the day of a state."""
    name = id_of(person)
    return Duties(
        tuple(
            Filed(one, tuple(state.holding(REGISTRATION, id_of(one))))
            for one in state.holding(REPRESENTATIVE, name)
        ),
        tuple(state.holding(REGISTRY_LOGIN_HOLDER, name)),
        tuple(state.holding(HOLDER, name)),
    )


def training_of(state: State, person: str) -> Training:
    """The tests and training of a person, by the law of the day."""
    try:
        events = events_counted(Facts(state, person), Law(day_of(state.on)))
    except Undecided:
        return Training((), "")
    told = sorted(events, key=_day, reverse=True)
    good = [one for one in told if one.until is not None]
    best = max(good, key=lambda one: one.until or day_of(state.on), default=None)
    return Training(tuple(told), "" if best is None else best.subject)


def _day(one: Counted) -> str:
    return "" if one.event is None else _text(one.event.completed)


def _text(when: When) -> str:
    return when.isoformat()


def training_json(training: Training) -> list[Json]:
    """The tests and training as part of a document."""
    return [
        {
            "event": one.subject,
            "kind": None if one.event is None else one.event.kind.value,
            "completed": None if one.event is None else _text(one.event.completed),
            "counts": one.counts,
            "good_until": None if one.until is None else one.until.isoformat(),
            "for_night": one.for_night,
            "recency_rests_on_it": one.subject == training.rests_on,
        }
        for one in training.events
    ]


def duties_json(duties: Duties) -> Json:
    """What a person answers for, as part of a document."""
    return {
        "representative_of": [
            {"registration": id_of(one.registration), "aircraft": list(one.aircraft)} for one in duties.filed
        ],
        "login_of": list(duties.logins),
        "keeps": list(duties.keeps),
    }
