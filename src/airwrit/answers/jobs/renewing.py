"""Renewing registrations, one or many at once: the new expiration is worked out and shown before anything is saved."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airwrit.answers.acts.catalog import ActRequest
from airwrit.answers.jobs.job import MANY, Job, JobAsked, JobField, JobFilled, JobStep, wrong
from airwrit.answers.registration.fees import value_held
from airwrit.base.identifiers import NumberForm, number_form
from airwrit.base.sentences import with_days
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.registration import CANCELLED_ON, REGISTRATION_KIND
from airwrit.facts.state import Facts, State
from airwrit.facts.vocabulary import id_of
from airwrit.law.aircraft.renewal import expiry_if_renewed, expiry_now
from airwrit.law.parameters import Law


def renewable(state: State) -> Iterator[str]:
    """The registrations that an aircraft is under and that were not canceled."""
    for one in state.subjects("registration"):
        if state.holding(REGISTRATION, id_of(one)) and value_held(state, one, CANCELLED_ON) is None:
            yield one


def _words(state: State, registration: str, on: Law) -> str:
    """A registration as a choice: its number, its aircraft, when it expires, and when it would."""
    facts = Facts(state, registration)
    names = ", ".join(id_of(one) for one in state.holding(REGISTRATION, id_of(registration))[:4])
    now, then = expiry_now(facts, on), expiry_if_renewed(facts, on)
    told = f"expires {with_days(now.isoformat())}" if now else "expiration not on file"
    new = f"; renewed, to {with_days(then.isoformat())}" if then else ""
    return f"{id_of(registration)}, {names}: {told}{new}"


def _steps(asked: JobAsked) -> Sequence[JobStep]:
    state, law = asked.state, Law(asked.on)
    found = list(renewable(state))
    part_47 = [one for one in found if _is_part_47(state, one)]
    chosen = (id_of(asked.subject),) if asked.subject else ()
    which = JobField(
        "which",
        "Which registrations did you renew?",
        MANY,
        tuple((id_of(one), _words(state, one, law)) for one in found),
        chosen,
        required=True,
    )
    when = JobField("renewed_on", "Renewed on", "date", (), (asked.on.isoformat(),), required=True)
    printed = JobField(
        "expires_on", "New expiration, for an N-number", "date", hint="As printed on the certificate"
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


RENEW = Job("renew", "registration", "Renew", "You renewed one registration or many.", False, _steps, _acts)
"""The job."""
