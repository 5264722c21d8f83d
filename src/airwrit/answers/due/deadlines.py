"""Every day that matters: the last day of each thing due, the first day of each renewal, and what no day can be said for."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.document import ON_PAPERS, Json
from airwrit.answers.incident.clocks import OwedNotice, owed_json, owed_notices
from airwrit.answers.incident.decision import Must
from airwrit.answers.law_reading import reading_json
from airwrit.answers.registration.fees import Fees, fees_json
from airwrit.answers.standing.headline import SPANS, Due, day_due
from airwrit.answers.standing.json import provenance_json, report_json
from airwrit.answers.standing.report import Report, counts
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import Expiry, expiries, expiry_json
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import FRIA_RECOGNIZED_ON, REGISTRATION
from airwrit.facts.state import State, value_held
from airwrit.law import wording
from airwrit.law.aircraft.remote_id import REMOTE_ID_WAY_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE, RENEWAL_WINDOW_RULE
from airwrit.law.rule import Finding, judge


class Deadline(NamedTuple):
    """One thing due: its last day, the day it opens (None: open now, or no such day), the words, and a name that stays."""

    name: str
    day: date
    opens: date | None
    overdue: bool
    subjects: tuple[str, ...]
    says: str
    do: str
    finding: Finding


class DueWeek(NamedTuple):
    """What is due in one week, told by cause: the Monday it begins on, None for what is overdue."""

    monday: date | None
    lines: tuple[Expiry, ...]


class Undated(NamedTuple):
    """Something that may fall due on a day that cannot be said, what is missing, and the finding that says so."""

    subject: str
    rule: str
    says: str
    do: str
    finding: Finding


class Deadlines(NamedTuple):
    """What falls due, soonest first, and what no day can be said for."""

    due: tuple[Deadline, ...]
    undated: tuple[Undated, ...]
    report: Report
    items: tuple[Due, ...]
    notices: tuple[OwedNotice, ...]
    """what is still to be sent or answered after incidents"""

    @property
    def verdict(self) -> Verdict:
        """Not met when something is overdue, unknown when a day cannot be said or a row went unread, else met."""
        if any(one.overdue for one in self.due) or any(one.is_late for one in self.notices):
            return Verdict.NOT_MET
        if any(_overdue(f, self.report) for f in self.report.withheld):
            return Verdict.NOT_MET
        if any(one.must is Must.CANT_TELL for one in self.notices):
            return Verdict.UNKNOWN
        if self.undated or any(problem.unread for problem in self.report.problems):
            return Verdict.UNKNOWN
        return Verdict.MET


def _overdue(finding: Finding, report: Report) -> bool:
    day = day_due(finding)
    return day is not None and (day < day_of(report.on) or finding.verdict is Verdict.NOT_MET)


def deadlines_of(standing: Standing, within_days: int | None = None) -> Deadlines:
    """The deadlines of a standing: all of them, or the overdue ones and those of the next `within_days` days."""
    report = standing.report
    last = date.max if within_days is None else day_of(report.on) + timedelta(days=within_days)
    due = [item for item in standing.due if item.overdue or item.day <= last]
    notices = tuple(one for one in owed_notices(report.state) if one.day is None or one.day <= last)
    return Deadlines(tuple(_named(due, report)), tuple(_undated(report)), report, tuple(due), notices)


def weeks_of(report: Report, items: Iterable[Due], days: int) -> tuple[DueWeek, ...]:
    """What is overdue, then what is due within so many days week by week; weeks without anything are left out."""
    state, last = report.state, day_of(report.on) + timedelta(days=days)
    teller, due = wording.Teller(state), list(items)
    late = expiries((one for one in due if one.overdue), state, teller)
    coming = expiries((one for one in due if not one.overdue and one.day <= last), state, teller)
    weeks: dict[date, list[Expiry]] = {}
    for one in sorted(coming, key=lambda one: one.day):
        weeks.setdefault(one.day - timedelta(days=one.day.weekday()), []).append(one)
    found = [DueWeek(monday, tuple(lines)) for monday, lines in weeks.items()]
    return (*([DueWeek(None, late)] if late else []), *found)


def _named(items: Iterable[Due], report: Report) -> list[Deadline]:
    """The deadlines, each with a name that stays the same when its day moves."""
    taken: dict[str, int] = {}
    found = []
    teller = wording.Teller(report.state)
    for item in items:
        words = teller.worded(item.finding)
        name = f"{item.finding.rule.name} {_thing(item.finding, report)}"
        taken[name] = taken.get(name, 0) + 1
        if taken[name] > 1:
            name = f"{name} {taken[name]}"
        opens = None if item.overdue else _opens(item.finding, report.state)
        found.append(
            Deadline(name, item.day, opens, item.overdue, item.subjects, words.says, words.do, item.finding)
        )
    return found


def _thing(finding: Finding, report: Report) -> str:
    """What the day belongs to: the registration where the finding is about one, else the subject."""
    number = value_held(report.state, finding.subject, REGISTRATION)
    is_term = finding.rule is REGISTRATION_IN_TERM_RULE and number is not None
    return f"registration/{number}" if is_term else finding.subject


def _opens(finding: Finding, state: State) -> date | None:
    """The first day of the renewal window, where it is still to come."""
    if finding.rule is not REGISTRATION_IN_TERM_RULE:
        return None
    window = judge(RENEWAL_WINDOW_RULE, state, finding.subject, UsedFor.WORK, day_of(state.on)).outcome
    return window.value if window.code == "too_early" and isinstance(window.value, date) else None


def _undated(report: Report) -> list[Undated]:
    found: dict[tuple[str, str], Undated] = {}
    for finding in report.findings:
        if not finding.rule.has_last_day or finding.verdict is not Verdict.UNKNOWN:
            continue
        if finding.rule is REMOTE_ID_WAY_RULE and finding.outcome.code != FRIA_RECOGNIZED_ON.name:
            continue
        if finding.outcome.due_on is None and counts(finding, report.state):
            words = wording.worded(finding, report.state)
            key = (finding.subject, finding.rule.name)
            found.setdefault(key, Undated(*key, words.says, words.do, finding))
    return list(found.values())


def deadlines_json(deadlines: Deadlines, fees: Fees) -> Json:
    """The deadlines and fees as a document."""
    report = deadlines.report
    told = report_json(Report("due", report.state, (), (), report.problems, report.sources))
    return {
        "question": "due",
        "on": told["on"],
        "known_at": told["known_at"],
        **reading_json(report.on),
        "verdict": deadlines.verdict.value,
        "notices": [owed_json(one) for one in deadlines.notices],
        "due": [{**deadline_json(one), **provenance_json(one.finding)} for one in deadlines.due],
        "weeks": [_week_json(week) for week in weeks_of(report, deadlines.items, SPANS[-1])],
        "undated": [
            {"subject": one.subject, "rule": one.rule, "says": one.says, "do": one.do}
            for one in deadlines.undated
        ],
        "withheld": len(report.withheld),
        "fees": fees_json(fees),
        "problems": told["problems"],
        "sources": told["sources"],
        **ON_PAPERS,
    }


def deadline_json(one: Deadline) -> Json:
    """A deadline as a document."""
    return {
        "day": one.day.isoformat(),
        "opens": None if one.opens is None else one.opens.isoformat(),
        "overdue": one.overdue,
        "subjects": list(one.subjects),
        "rule": one.finding.rule.name,
        "says": one.says,
        "do": one.do or None,
        "cites": "; ".join(wording.cites(one.finding)),
    }


def _week_json(week: DueWeek) -> Json:
    monday = None if week.monday is None else week.monday.isoformat()
    return {"monday": monday, "lines": [expiry_json(one) for one in week.lines]}
