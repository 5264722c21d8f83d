"""What a job is: its steps with their fields, and the acts that its answers come to, kept together as one entry."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.catalog import ActPlanned, ActRequest, act_named, deed_of
from airwrit.answers.acts.plan import all_known, follow_up, kept_of
from airwrit.answers.sheets.difference import Difference, HandEntry, OnRecord, saying_by_hand
from airwrit.base.days import day_of, parse_day
from airwrit.base.errors import UsageError
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import Facts, State
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law.aircraft.renewal import expiry_now
from airwrit.law.parameters import Law

MANY = "ticks"


class JobField(NamedTuple):
    """One field: its name, what it asks, its kind (text, date, select, radios, ticks), its choices, what stands in it."""

    name: str
    asks: str
    kind: str = "text"
    choices: tuple[tuple[str, str], ...] = ()
    suggested: tuple[str, ...] = ()
    hint: str = ""
    required: bool = False


class JobStep(NamedTuple):
    """A step: its title, what is on record of it already, its fields, a line on what else it takes, who answers more.

    `see` is a question and the address of the page that answers it.
    """

    title: str
    done: tuple[tuple[str, str], ...]
    fields: tuple[JobField, ...]
    note: str = ""
    see: tuple[str, str] | None = None


class JobAsked(NamedTuple):
    """What a job is asked on: how things are today, whom or what it is about ("" for a new one), and the day."""

    state: State
    subject: str
    on: date

    @property
    def name(self) -> str:
        """The subject without its kind."""
        return id_of(self.subject)


class JobFilled(NamedTuple):
    """What was filled in: every field with all its values."""

    values: Mapping[str, Sequence[str]]

    def get(self, name: str) -> str:
        """The value of a field; empty where nothing was said."""
        said = self.values.get(name, ())
        return said[-1].strip() if said else ""

    def many(self, name: str) -> tuple[str, ...]:
        """The values of a field that takes several."""
        return tuple(one for one in self.values.get(name, ()) if one)

    def day(self, name: str, otherwise: date) -> date:
        """A day typed; `otherwise` where nothing was. UsageError on what is none."""
        text = self.get(name)
        try:
            return parse_day(text) if text else otherwise
        except ValueError as fault:
            raise wrong(name, f"{text[:40]!r} isn't a date", "write it like 2026-05-31") from fault


@dataclass(frozen=True, slots=True)
class Job:
    """A job: its name, the kind of subject it is about ("" for several), what it says, its steps and its acts."""

    name: str
    about: str
    title: str
    says: str
    may_be_new: bool
    steps: Callable[[JobAsked], Sequence[JobStep]]
    acts: Callable[[JobAsked, JobFilled], Sequence[ActRequest]]


class JobPlan(NamedTuple):
    """A job worked out against a ledger: its deeds, what keeping them does, what is known without and with it."""

    deeds: tuple[ActPlanned, ...]
    taking: Difference
    before: tuple[Known, ...]
    after: tuple[Known, ...]


def wrong(field: str, what: str, do: str) -> UsageError:
    """The error of a field that cannot be as it is."""
    return UsageError(what, where=field, do=do)


def job_plan(requests: Sequence[ActRequest], held: OnRecord, by: str, note: str = "") -> JobPlan:
    """What keeping the acts of a job does: one entry. UsageError and BadFact on an act that cannot be.

    A later act sees what an earlier one says, and where both speak of the same fact from the same day, the later one holds.
    """
    before = all_known(held)
    said: dict[tuple[str, str, object], Statement] = {}
    deeds: list[ActPlanned] = []
    takes: dict[str, Known] = {}
    for request in requests:
        known = (*before, *(Known(one) for one in said.values()))
        deed = deed_of(act_named(request.act), request.subject, request.told, request.on, known)
        said |= {(one.subject, one.key, one.valid_from): one for one in deed.statements}
        takes |= {item.number: item for item in follow_up(deed, held, set(takes))}
        deeds.append(deed)
    if not deeds:
        raise UsageError("there is nothing to save yet", where="", do="fill in what you know")
    entry = HandEntry(tuple(said.values()), note=note, act=deeds[0].act.name, takes=tuple(takes.values()))
    taking = saying_by_hand(held, entry, by)
    return JobPlan(tuple(deeds), taking, before, (*before, *kept_of(taking)))


def expirations(plan: JobPlan, after: State) -> tuple[tuple[str, date], ...]:
    """The registrations that a job renews or begins, each with its expiration as worked out once that is on record."""
    numbers = dict.fromkeys(
        id_of(one.subject) if deed.act.name == "renew" else str(one.value)
        for deed in plan.deeds
        if deed.act.name in ("renew", "register")
        for one in deed.statements
        if deed.act.name == "renew" or one.key == REGISTRATION.name
    )
    law = Law(day_of(after.on))
    found = ((one, expiry_now(Facts(after, subject_named("registration", one)), law)) for one in numbers)
    return tuple((number, day) for number, day in found if day is not None)


def fields_of(steps: Sequence[JobStep]) -> tuple[JobField, ...]:
    """All fields of a job, in order."""
    return tuple(field for step in steps for field in step.fields)


def suggested(steps: Sequence[JobStep]) -> dict[str, Sequence[str]]:
    """What stands in the fields before anybody types."""
    return {field.name: field.suggested for field in fields_of(steps) if field.suggested}


def missing_in(steps: Sequence[JobStep], filled: JobFilled) -> dict[str, str]:
    """What is wrong with each field by itself: nothing in one that is needed, or no choice of its list."""
    found = {}
    for field in fields_of(steps):
        said = filled.many(field.name)
        if field.required and not said:
            found[field.name] = "fill this in"
        elif field.kind in ("radios", "select", MANY):
            odd = [one for one in said if one not in {value for value, _ in field.choices}]
            if odd:
                found[field.name] = f"{odd[0][:60]!r} isn't one of the choices"
    return found
