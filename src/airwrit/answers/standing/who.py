"""Who does what is due."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.answers.registration.fees import value_held
from airwrit.base.days import day_of
from airwrit.facts.keys.aircraft import OWNER
from airwrit.facts.keys.paper import PAPER_RESPONSIBLE
from airwrit.facts.keys.person import HAS_LEFT, LEFT_ON
from airwrit.facts.keys.registration import REGISTERED_TO, REGISTRY_LOGIN_HOLDER
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of, subject_named


def who_does(subjects: Sequence[str], state: State) -> tuple[str, ...]:
    """Who has to do it: the people themselves, who is responsible for a paper, who has the login of the owner's account.

    Nobody is named who has left.
    """
    if kind_of(subjects[0]) == "person":
        return tuple(id_of(subject) for subject in subjects)
    names = dict.fromkeys(_answers_for(subject, state) for subject in subjects)
    return tuple(name for name in names if name and not _has_left(name, state))


def _has_left(name: str, state: State) -> bool:
    person = subject_named("person", name)
    left = value_held(state, person, LEFT_ON)
    return value_held(state, person, HAS_LEFT) is True or (left is not None and left <= day_of(state.on))


def _answers_for(subject: str, state: State) -> str:
    kind = kind_of(subject)
    if kind == "paper":
        return value_held(state, subject, PAPER_RESPONSIBLE) or ""
    owner = subject
    if kind in ("aircraft", "registration"):
        named = (
            value_held(state, subject, OWNER)
            if kind == "aircraft"
            else value_held(state, subject, REGISTERED_TO)
        )
        owner = subject_named("owner", named) if named else ""
    return (value_held(state, owner, REGISTRY_LOGIN_HOLDER) or "") if owner else ""
