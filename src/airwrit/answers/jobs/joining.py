"""Somebody joins: who they are, what they fly for, their certificate and their last test or training."""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.answers.acts.catalog import ActRequest
from airwrit.answers.jobs.job import Job, JobAsked, JobField, JobFilled, JobStep, wrong
from airwrit.facts.choices import CrewRole, EventKind, UsedFor
from airwrit.facts.vocabulary import subject_named

_YES_NO = (("yes", "yes"), ("no", "no"))


def _steps(asked: JobAsked) -> Sequence[JobStep]:
    crew = tuple((one.value, one.words) for one in CrewRole)
    use = tuple((one.value, one.words) for one in UsedFor)
    kinds = tuple((one.value, one.words) for one in EventKind)
    name = () if asked.subject else (JobField("name", "Name", required=True),)
    return (
        JobStep(
            "Who joins",
            (),
            (
                *name,
                JobField(
                    "crew_role", "What do they do?", "radios", crew, (CrewRole.PILOT.value,), required=True
                ),
                JobField("joined_on", "First day", "date", (), (asked.on.isoformat(),), required=True),
            ),
        ),
        JobStep(
            "If they fly",
            (),
            (
                JobField("flies_for", "What do they fly for?", "radios", use),
                JobField("flies_at_night", "Do they fly at night?", "radios", _YES_NO),
                JobField("has_certificate", "Do they hold a remote pilot certificate?", "radios", _YES_NO),
                JobField("kind", "Last test or training", "select", kinds),
                JobField(
                    "completed_on", "Completed on", "date", hint="As printed on the certificate of completion"
                ),
            ),
            "A visual observer needs no certificate. 14 CFR 107.33",
        ),
    )


def _acts(asked: JobAsked, filled: JobFilled) -> Sequence[ActRequest]:
    subject = asked.subject or subject_named("person", filled.get("name"))
    role = filled.get("crew_role")
    told = {name: filled.get(name) for name in ("flies_for", "flies_at_night", "has_certificate")}
    said = {"role": role, "crew_role": role, **{name: value for name, value in told.items() if value}}
    found = [ActRequest("join", subject, said, filled.day("joined_on", asked.on))]
    kind, completed = filled.get("kind"), filled.get("completed_on")
    if bool(kind) != bool(completed):
        raise wrong(
            "completed_on" if kind else "kind", "a test or training has a kind and a date", "fill in both"
        )
    if kind:
        found.append(ActRequest("train", subject, {"kind": kind}, filled.day("completed_on", asked.on)))
    return found


JOIN = Job(
    "new-person",
    "person",
    "New person",
    "Add someone who joins the program or comes back.",
    True,
    _steps,
    _acts,
)
"""The job."""
