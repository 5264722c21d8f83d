"""What falls due: every last day a finding names, soonest first, each thing once."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from airwrit.answers.standing.report import Report, is_gone
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.rule import Bears, Finding

SPANS = (7, 30, 60, 90)
"""The due list is told in these steps of days."""


class Due(NamedTuple):
    """One thing due: the day, whether that day is past, what, and the subjects it touches."""

    day: date
    overdue: bool
    finding: Finding
    subjects: tuple[str, ...]


def due_items(report: Report) -> tuple[Due, ...]:
    """Everything due or overdue, soonest first; one certificate over several aircraft is one thing.

    Of an aircraft that the program does not have only filings are due; one on loan is still its owner's to keep registered.
    """
    on = day_of(report.on)
    gone = {f.subject for f in report.counted if is_gone(f) and f.outcome.code != "loaned_out"}
    grouped: dict[tuple[str, date, str], list[Finding]] = {}
    for finding in report.counted:
        day = day_due(finding)
        if day is None or (finding.subject in gone and finding.rule.bears is Bears.FLIGHT):
            continue
        grouped.setdefault((finding.rule.name, day, _thing(finding, report)), []).append(finding)
    items = []
    for (_, day, _), findings in grouped.items():
        subjects = tuple(dict.fromkeys(finding.subject for finding in findings))
        items.append(Due(day, day < on or findings[0].verdict is Verdict.NOT_MET, findings[0], subjects))
    return tuple(sorted(items, key=lambda item: (item.day, item.subjects)))


def day_due(finding: Finding) -> date | None:
    """The day a finding is due; for a lapse, the day it lapsed."""
    outcome = finding.outcome
    if outcome.due_on is not None:
        return outcome.due_on
    if outcome.verdict is Verdict.NOT_MET and outcome.code == finding.rule.lapse:
        return outcome.value if isinstance(outcome.value, date) else None
    return None


def _thing(finding: Finding, report: Report) -> str:
    """What the due day belongs to: a registration where the finding is about one, else the subject."""
    if finding.rule is REGISTRATION_IN_TERM_RULE:
        held = report.state.held.get(finding.subject, {}).get(REGISTRATION)
        if held is not None and held.why is None:
            return f"registration/{held.value}"
    return finding.subject
