"""A job on one page from beginning to end: its steps and fields, what it would save and change, and its one button."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.catalog import subjects_named
from airwrit.answers.acts.plan import Effects, effects_of
from airwrit.answers.jobs.catalog import JOBS
from airwrit.answers.jobs.job import (
    Job,
    JobAsked,
    JobFilled,
    JobPlan,
    JobStep,
    expirations,
    fields_of,
    job_plan,
    missing_in,
    suggested,
)
from airwrit.answers.jobs.leaving import people_here
from airwrit.answers.sheets.difference import NOTHING_HELD, OnRecord
from airwrit.base.errors import BadFact, UsageError
from airwrit.facts.fold import state_of
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.parts.acts import Caused, caused_of, effects_for
from airwrit.web.server.forms import NOTE, Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.site import FIRST
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_in, held_now


@dataclass(frozen=True, slots=True)
class JobPage:
    """The whole page."""

    job: Job
    subject: str
    steps: Sequence[JobStep]
    chosen: Mapping[str, Sequence[str]]
    form: Typed
    ticket: Ticket
    caused: Caused | None
    expires: tuple[tuple[str, date], ...]
    """the registrations that it gives a new expiration, with that"""
    back: str


class WhomPage(NamedTuple):
    """Whom a job is about, to be chosen first."""

    job: Job
    people: tuple[str, ...]


def show(visit: Visit) -> Answer:
    """The form of a job, with what it comes to where nothing more is needed."""
    job, asked = _asked(visit)
    if not asked.subject and job.about == "person" and not job.may_be_new:
        people = tuple(subject_named("person", name) for name in people_here(asked.state))
        return PageSheet("job_whom.html", job.title, WhomPage(job, people), lambda: {"question": job.name})
    steps = job.steps(asked)
    given = {name: visit.chosen[name] for name in _names(steps) if name in visit.chosen}
    values = {**suggested(steps), **given}
    filled = JobFilled(values)
    ready = (
        bool(fields_of(steps))
        and not missing_in(steps, filled)
        and not (job.may_be_new and not asked.subject)
    )
    plan = _plan(visit, job, asked, steps, filled)[0] if ready else None
    typed = Typed({name: filled.get(name) for name in _names(steps)})
    return _sheet(visit, job, asked, steps, filled, plan, typed)


def act(visit: Visit) -> Answer:
    """Show what a job comes to, or save it where that was asked for and nothing is wrong."""
    job, asked = _asked(visit)
    writes = visit.said.get("way") == "write"
    if writes and (gone := sent_before(visit, ())):
        return Redirect(gone)
    if not asked.subject and job.about == "person" and not job.may_be_new:
        return show(visit)
    steps = job.steps(asked)
    filled = JobFilled({name: visit.chosen.get(name, ()) for name in _names(steps)})
    plan, typed = _plan(visit, job, asked, steps, filled)
    if not writes or plan is None or plan.taking.is_empty:
        return _sheet(visit, job, asked, steps, filled, plan, typed)

    def write(book: Ledger) -> int:
        held = held_in(visit.desk, book)
        taking = job_plan(job.acts(asked, filled), held, visit.by, _note(visit)).taking
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    about = {change.statement.subject for change in plan.taking.changes}
    to = path_of(plan.deeds[0].subject) or _back(asked)
    return write_once(visit, write, lambda seq: visit.link(to, None, written=str(seq)), about)


def _asked(visit: Visit) -> tuple[Job, JobAsked]:
    """The job of an address, and whom it is about. Refused for a subject that is not on file."""
    job = JOBS[visit.path.strip("/").removesuffix(".json")]
    state, subject = _state(visit), visit.query.get("of", "")
    fits = kind_of(subject) == job.about and id_of(subject) in subjects_named(state, job.about)
    if subject and not fits:
        raise Refused(
            Trouble(
                404,
                "Whom is it about?",
                f"no {job.about} on file is named {id_of(subject)[:80]!r}"
                if subject
                else "nobody was chosen",
                visit.path,
                NOTHING_WRITTEN,
                "choose from the list of people" if job.about == "person" else "choose from the list",
            )
        )
    return job, JobAsked(state, subject, visit.asked.today)


def _names(steps: Sequence[JobStep]) -> tuple[str, ...]:
    return tuple(field.name for field in fields_of(steps))


def _plan(
    visit: Visit, job: Job, asked: JobAsked, steps: Sequence[JobStep], filled: JobFilled
) -> tuple[JobPlan | None, Typed]:
    """What a filled-in job comes to, and what is wrong with it."""
    values = {**{name: filled.get(name) for name in _names(steps)}, NOTE: _note(visit)}
    wrong = missing_in(steps, filled)
    if not asked.subject and job.may_be_new and filled.get("name") in subjects_named(asked.state, job.about):
        name = subject_named(job.about, filled.get("name"))
        wrong["name"] = f"{id_of(name)} is on file already; open its page, or choose another name"
    if wrong:
        return None, Typed(values, wrong)
    try:
        return job_plan(job.acts(asked, filled), _held(visit), visit.by, _note(visit)), Typed(values)
    except (UsageError, BadFact) as fault:
        field = fault.where if fault.where in values else ""
        return None, Typed(values, {field: fault.says})


def _sheet(
    visit: Visit,
    job: Job,
    asked: JobAsked,
    steps: Sequence[JobStep],
    filled: JobFilled,
    plan: JobPlan | None,
    typed: Typed,
) -> PageSheet:
    caused, expires = None, tuple[tuple[str, date], ...]()
    if plan is not None:
        effects = _effects(visit, plan)
        caused = caused_of(plan.taking, effects, plan.deeds[0].subject)
        expires = expirations(plan, effects.after.report.state)
    view = JobPage(
        job,
        asked.subject,
        steps,
        filled.values,
        typed,
        ticket(visit.desk),
        caused,
        expires,
        visit.link(_back(asked)),
    )
    title = f"{job.title}: {asked.name[:80]}" if asked.subject else job.title
    return typed.sheet("job.html", title, view, lambda: _twin(view))


def _note(visit: Visit) -> str:
    return visit.said.get(NOTE, "").strip()


def _held(visit: Visit) -> OnRecord:
    """Every statement there is; none where there is no ledger yet."""
    return held_now(visit.desk) if visit.desk.ledger.exists() else NOTHING_HELD


def _state(visit: Visit) -> State:
    if visit.desk.ledger.exists():
        return visit.desk.judged_on(visit.asked).state
    return state_of((), visit.asked.on, visit.asked.known_at)


def _effects(visit: Visit, plan: JobPlan) -> Effects:
    if visit.desk.ledger.exists():
        return effects_for(visit, plan.taking, plan.after)
    return effects_of(plan.before, plan.after, visit.asked.on, visit.desk.clock())


def _back(asked: JobAsked) -> str:
    return path_of(asked.subject) or FIRST


def _twin(view: JobPage) -> object:
    return {
        "question": view.job.name,
        "subject": view.subject or None,
        "steps": [
            {
                "step": step.title,
                "on_record": dict(step.done),
                "fields": [
                    {"name": one.name, "asks": one.asks, "choices": [value for value, _ in one.choices]}
                    for one in step.fields
                ],
            }
            for step in view.steps
        ],
        "expires_on": {number: day.isoformat() for number, day in view.expires},
        "wrong": dict(view.form.wrong),
    }
