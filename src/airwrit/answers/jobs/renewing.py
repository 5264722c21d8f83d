"""Renewing registrations, one or many at once: the new expiration is worked out and shown before anything is saved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.catalog import ActRequest
from airwrit.answers.jobs.job import MANY, Job, JobAsked, JobField, JobFilled, JobStep, wrong
from airwrit.base.identifiers import NumberForm, number_form
from airwrit.base.sentences import with_days
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.registration import CANCELLED_ON, REGISTRATION_KIND
from airwrit.facts.state import Facts, State, value_held
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law.aircraft.renewal import expiry_if_renewed, expiry_now, part_47_window, window_before
from airwrit.law.parameters import Law

_NAMED = 4


def renewable(state: State) -> Iterator[str]:
    """The registrations that an aircraft is under and that were not canceled."""
    for one in state.subjects("registration"):
        if state.holding(REGISTRATION, id_of(one)) and value_held(state, one, CANCELLED_ON) is None:
            yield one


class Renewable(NamedTuple):
    """A registration as a choice: its number, its words, and whether it can be renewed on the day."""

    number: str
    words: str
    is_open: bool


def _choice(state: State, registration: str, law: Law, on: date) -> Renewable:
    """A registration with when it expires, and what a renewal gives on the day."""
    facts, number = Facts(state, registration), id_of(registration)
    names = ", ".join(id_of(one) for one in state.holding(REGISTRATION, number)[:_NAMED])
    expires, renewed = expiry_now(facts, law), expiry_if_renewed(facts, law)
    head = f"{number}, {names}"
    if expires is None:
        return Renewable(number, f"{head}: expiration not on file", is_open=False)
    if on > expires:
        return Renewable(
            number, f"{head}: expired {_day(expires)}. Register it again instead.", is_open=False
        )
    part_47 = _is_part_47(state, registration)
    opens = (part_47_window if part_47 else window_before)(expires, law).opens
    if on < opens:
        return Renewable(number, f"{head}: you can renew from {_day(opens)}", is_open=False)
    new = f". If you renew, it expires {_day(renewed)}" if renewed and not part_47 else ""
    return Renewable(number, f"{head}: expires {_day(expires)}{new}", is_open=True)


def _day(day: date) -> str:
    return with_days(day.isoformat())


def _steps(asked: JobAsked) -> Sequence[JobStep]:
    state, law = asked.state, Law(asked.on)
    found = [_choice(state, one, law, asked.on) for one in renewable(state)]
    found.sort(key=lambda one: not one.is_open)
    part_47 = any(_is_part_47(state, subject_named("registration", one.number)) for one in found)
    chosen = (id_of(asked.subject),) if asked.subject else ()
    which = JobField(
        "which",
        "Which registrations did you renew?",
        MANY,
        tuple((one.number, one.words) for one in found),
        chosen,
        required=True,
    )
    when = JobField("renewed_on", "Renewed on", "date", (), (asked.on.isoformat(),), required=True)
    printed = JobField(
        "expires_on", "New expiration date (for an N-number)", "date", hint="As printed on the certificate"
    )
    return (JobStep("What was renewed", (), (which, when, *([printed] if part_47 else []))),)


def _is_part_47(state: State, registration: str) -> bool:
    kind = value_held(state, registration, REGISTRATION_KIND)
    n_number = number_form(id_of(registration)) is NumberForm.N_NUMBER
    return kind is RegistrationKind.PART_47 or (kind is None and n_number)


def _acts(asked: JobAsked, filled: JobFilled) -> Sequence[ActRequest]:
    on, expires = filled.day("renewed_on", asked.on), filled.get("expires_on")
    found = []
    for number in filled.many("which"):
        subject = f"registration/{number}"
        part_47 = _is_part_47(asked.state, subject)
        if part_47 and not expires:
            raise wrong("expires_on", f"{number} is an N-number", "type the new expiration, as printed")
        found.append(ActRequest("renew", subject, {"expires_on": expires} if part_47 else {}, on))
    return found


RENEW = Job(
    "renew",
    "registration",
    "Renew",
    "Record that you renewed one or more registrations.",
    False,
    _steps,
    _acts,
)
"""The job."""
