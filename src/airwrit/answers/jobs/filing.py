"""Filing changes with the FAA: one act for all registrations of which a change has to be filed."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from airwrit.answers.acts.catalog import ActRequest
from airwrit.answers.jobs.job import MANY, Job, JobAsked, JobField, JobFilled, JobStep
from airwrit.base.sentences import with_days
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording
from airwrit.law.aircraft.filings import UPDATE_REGISTRATION_RULE
from airwrit.law.rule import Finding, judge

_OPEN = ("owed", "overdue")


def _owed(asked: JobAsked) -> Iterator[Finding]:
    """The registrations of which a change is to be filed."""
    for one in asked.state.subjects("registration"):
        finding = judge(UPDATE_REGISTRATION_RULE, asked.state, one, UsedFor.WORK, asked.on)
        if finding.outcome.code in _OPEN:
            yield finding


def _steps(asked: JobAsked) -> Sequence[JobStep]:
    owed = list(_owed(asked))
    names = tuple((id_of(one.subject), _words(asked, one)) for one in owed)
    which = JobField(
        "which", "Which did you file?", MANY, names, tuple(value for value, _ in names), required=True
    )
    day = JobField("filed_on", "Filed on", "date", (), (asked.on.isoformat(),), required=True)
    if not owed:
        return (JobStep("Changes to file", (), (), "There is no change to file."),)
    return (JobStep("Changes to file", (), (which, day), "You have 14 days from the change. 14 CFR 48.115"),)


def _words(asked: JobAsked, finding: Finding) -> str:
    aircraft = ", ".join(id_of(one) for one in asked.state.holding(REGISTRATION, id_of(finding.subject))[:4])
    told = with_days(wording.worded(finding, asked.state).says)
    return f"{id_of(finding.subject)}, {aircraft}: {told}"


def _acts(asked: JobAsked, filled: JobFilled) -> Sequence[ActRequest]:
    on = filled.day("filed_on", asked.on)
    return [ActRequest("file_change", f"registration/{one}", {}, on) for one in filled.many("which")]


FILE_CHANGES = Job(
    "filed-with-faa",
    "registration",
    "Filed with the FAA",
    "Record that you notified the FAA of a change.",
    False,
    _steps,
    _acts,
)
"""The job."""
