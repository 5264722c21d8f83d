"""What falls due: every last day a finding names, soonest first, each thing once."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.standing.report import is_gone
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import NOTHING_HELD, State
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


class DueFinding(NamedTuple):
    """A finding with a day on which it is due, and what that day belongs to."""

    day: date
    about: str
    finding: Finding


def due_of(subject: str, counted: Sequence[Finding], state: State) -> tuple[DueFinding, ...]:
    """The findings about a subject that are due on a day.

    Of an aircraft that the program does not have only filings are due; one on loan is still its owner's to keep registered.
    """
    dated = [(day, finding) for finding in counted if (day := day_due(finding)) is not None]
    if dated and any(is_gone(one) and one.outcome.code != "loaned_out" for one in counted):
        dated = [(day, finding) for day, finding in dated if finding.rule.bears is not Bears.FLIGHT]
    return tuple([DueFinding(day, _thing(subject, one, state), one) for day, one in dated])


def due_items(found: Iterable[DueFinding], on: date) -> tuple[Due, ...]:
    """Everything due or overdue, soonest first; one certificate over several aircraft is one thing."""
    grouped: dict[tuple[str, date, str], list[Finding]] = {}
    for day, about, finding in found:
        grouped.setdefault((finding.rule.name, day, about), []).append(finding)
    items = []
    for (_, day, _), findings in grouped.items():
        subjects = tuple(dict.fromkeys([finding.subject for finding in findings]))
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


def _thing(subject: str, finding: Finding, state: State) -> str:
    """What the due day belongs to: a registration where the finding is about one, else the subject."""
    if finding.rule is REGISTRATION_IN_TERM_RULE:
        held = state.held.get(subject, NOTHING_HELD).get(REGISTRATION)
        if held is not None and held.why is None:
            return f"registration/{held.value}"
    return subject
