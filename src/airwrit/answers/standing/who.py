"""Who does what is due: who a kind of duty is assigned to, who has the paper or the login, and else the lead.

A duty is a record of its own, `duty/maintenance`, that says who does it; `duty/lead` is for what nobody is named for.
"""

from __future__ import annotations

from collections.abc import Sequence
from enum import StrEnum

from airwrit.base.days import day_of
from airwrit.facts.keys.aircraft import OWNER
from airwrit.facts.keys.paper import PAPER_RESPONSIBLE
from airwrit.facts.keys.person import HAS_LEFT, LEFT_ON
from airwrit.facts.keys.program import DUTY_DONE_BY
from airwrit.facts.keys.registration import REGISTERED_TO, REGISTRY_LOGIN_HOLDER
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, kind_of, subject_named


class DutyKind(StrEnum):
    """A kind of duty, as it is assigned; the lead does what nobody is named for."""

    REGISTRATION = "registration"
    MAINTENANCE = "maintenance"
    PAPERS = "papers"
    LEAD = "lead"

    @property
    def subject(self) -> str:
        """The record that says who does it."""
        return subject_named("duty", self.value)


def who_does(subjects: Sequence[str], duty: DutyKind, state: State) -> tuple[str, ...]:
    """Who has to do it: the people themselves, or who a paper, a kind of duty or the owner's account is assigned to.

    Nobody is named who has left; where nobody is left, it is the lead.
    """
    if kind_of(subjects[0]) == "person":
        return tuple(id_of(subject) for subject in subjects)
    names = dict.fromkeys(_one_for(subject, duty, state) for subject in subjects)
    return tuple(name for name in names if name)


def _one_for(subject: str, duty: DutyKind, state: State) -> str:
    named = (
        value_held(state, subject, PAPER_RESPONSIBLE) if kind_of(subject) == "paper" else None,
        value_held(state, duty.subject, DUTY_DONE_BY),
        _login_holder(subject, state),
        value_held(state, DutyKind.LEAD.subject, DUTY_DONE_BY),
    )
    return next((name for name in named if name and not _has_left(name, state)), "")


def _has_left(name: str, state: State) -> bool:
    person = subject_named("person", name)
    left = value_held(state, person, LEFT_ON)
    return value_held(state, person, HAS_LEFT) is True or (left is not None and left <= day_of(state.on))


def _login_holder(subject: str, state: State) -> str:
    kind = kind_of(subject)
    owner = subject
    if kind in ("aircraft", "registration"):
        named = (
            value_held(state, subject, OWNER)
            if kind == "aircraft"
            else value_held(state, subject, REGISTERED_TO)
        )
        owner = subject_named("owner", named) if named else ""
    return (value_held(state, owner, REGISTRY_LOGIN_HOLDER) or "") if owner else ""
