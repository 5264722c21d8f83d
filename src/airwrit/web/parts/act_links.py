"""The acts that fit a subject, each with the address of its form."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any, NamedTuple
from urllib.parse import quote

from airwrit.answers.acts.catalog import ACTS
from airwrit.answers.registration.fees import value_held
from airwrit.facts.fold import is_same_number
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import LOST_ON, REGISTRATION, SOLD_ON, SOLD_UNDER
from airwrit.facts.keys.event import HELD_UNDER
from airwrit.facts.keys.person import LEFT_ON
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of, subject_named

_ONLY_WHERE: dict[str, Key[Any]] = {
    "buy": SOLD_ON,
    "find": LOST_ON,
    "give_back": HELD_UNDER,
    "join": LEFT_ON,
}
"""Acts that fit a subject on record only where a fact is on file of it."""


class ActLink(NamedTuple):
    """An act that may be written: its word, the subject where that is not the sheet's own, what it means, its address."""

    word: str
    about: str
    meaning: str
    path: str


def acts_for(state: State, subject: str, others: Iterable[str] = ()) -> tuple[ActLink, ...]:
    """The acts of a subject, and of other subjects that its sheet speaks for; of its old registration, canceling."""
    return (*_acts_for(state, subject, others), *_cancel_old(state, subject))


def _cancel_old(state: State, subject: str) -> tuple[ActLink, ...]:
    old, number = value_held(state, subject, SOLD_UNDER), value_held(state, subject, REGISTRATION)
    if old is None or (number is not None and is_same_number(old, number)):
        return ()
    links = _acts_for(state, subject_named("registration", old))
    return tuple(
        link._replace(about=f"registration {old}")
        for link in links
        if link.path.startswith("/record-change/cancel/")
    )


def _acts_for(state: State, subject: str, others: Iterable[str] = ()) -> tuple[ActLink, ...]:
    return tuple(
        ActLink(
            act.name.replace("_", " ").capitalize(),
            "" if one == subject else f"{kind_of(one)} {id_of(one)}",
            act.meaning,
            f"/record-change/{act.name}/{kind_of(one)}/{quote(id_of(one), safe='')}",
        )
        for one in dict.fromkeys((subject, *others))
        for act in ACTS
        if act.about == kind_of(one) and _fits(act.name, state, one)
    )


def _fits(act: str, state: State, subject: str) -> bool:
    key = _ONLY_WHERE.get(act)
    return key is None or key in state.held.get(subject, {})


def acts_for_new(kind: str) -> tuple[ActLink, ...]:
    """The acts by which an aircraft or a person comes on record."""
    return tuple(
        ActLink(act.name.replace("_", " ").capitalize(), "", act.meaning, f"/record-change/{act.name}")
        for act in ACTS
        if act.about == kind and act.may_be_new
    )
