"""Deadlines: what comes due in 30, 60 or 90 days by week, the calendar of it, and three years with their fees."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.due.deadlines import (
    Deadline,
    Deadlines,
    Undated,
    deadlines_json,
    deadlines_of,
    weeks_of,
)
from airwrit.answers.incident.clocks import OwedNotice
from airwrit.answers.incident.decision import words
from airwrit.answers.registration.fees import Fees, fees_of
from airwrit.answers.standing.headline import SPANS
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import step_of_notice
from airwrit.answers.standing.who import DutyKind
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.law.wording import cites
from airwrit.papers.calendar import calendar_of
from airwrit.web.draw.svg import Axis, Life, LineSegment
from airwrit.web.parts.acts import ExpiryLine, StepButton, button_for, expiry_line, path_of_step
from airwrit.web.parts.timeline import years_ahead
from airwrit.web.server.visit import Answer, Download, PageSheet, Visit

SPANS_ASKED = (30, 60, 90)
"""The spans that the page offers, in days."""

_SHOWN = 300


class DueLine(NamedTuple):
    """One thing due, told once for all of which it reads the same."""

    day: date
    overdue: bool
    subjects: tuple[str, ...]
    says: str
    do: str
    cites: str
    opens: date | None
    life: Life


class DueGroup(NamedTuple):
    """What falls into one step of days: its title, its lines as far as they are shown, and how many there are."""

    title: str
    lines: tuple[DueLine, ...]
    many: int


class WeekLines(NamedTuple):
    """A week with its lines, as they stand on the page; no Monday for what is overdue."""

    monday: date | None
    lines: tuple[ExpiryLine, ...]


class NoticeLine(NamedTuple):
    """A notice still owed after an incident: the word for whether it must be given, its button, and whose duty it is."""

    notice: OwedNotice
    word: str
    button: StepButton
    duty: DutyKind = DutyKind.LEAD


@dataclass(frozen=True, slots=True)
class DuePage:
    """The whole page."""

    days: int
    notices: tuple[NoticeLine, ...]
    ahead: Axis
    posts: tuple[date, ...]
    weeks: tuple[WeekLines, ...]
    in_span: int
    axis: Axis
    groups: tuple[DueGroup, ...]
    overdue: int
    next_on: date | None
    undated: tuple[tuple[Undated, StepButton | None], ...]
    undated_many: int
    fees: Fees


def show(visit: Visit) -> Answer:
    """What falls due from the day asked about."""
    deadlines, fees = visit.desk.made_of("due", visit.asked, lambda it: (deadlines_of(it), fees_of(it)))
    days = days_asked(visit)
    view = view_of(deadlines, fees, SPANS_ASKED[1] if days is None else days)
    return PageSheet("deadlines.html", "Deadlines", view, lambda: deadlines_json(deadlines, fees))


def days_asked(visit: Visit) -> int | None:
    """The span that the address asks for; None for none. UsageError on what is none of the page's."""
    told = visit.query.get("days", "")
    if not told:
        return None
    if told not in map(str, SPANS_ASKED):
        raise UsageError(
            f"{told[:40]!r} isn't one of the choices on this page", where="days", do="choose 30, 60 or 90"
        )
    return int(told)


def save(visit: Visit) -> Answer:
    """The calendar: one event for each thing due, which stays the same event when its day moves."""
    on, days = visit.asked.on, days_asked(visit)

    def calendar(of: Standing) -> bytes:
        deadlines = deadlines_of(of, days)
        return calendar_of(deadlines.due, on, deadlines.notices)

    made = visit.desk.made_of(f"calendar {days}", visit.asked, calendar)
    name = "deadlines.ics" if days is None else f"deadlines-{days}-days.ics"
    return Download(name, "text/calendar", made, "calendar")


def view_of(deadlines: Deadlines, fees: Fees, days: int) -> DuePage:
    """The page of the deadlines."""
    on = day_of(deadlines.report.on)
    axis = years_ahead(on)
    late = [one for one in deadlines.due if one.overdue]
    coming = [one for one in deadlines.due if not one.overdue]
    groups = [_group("Overdue", late, axis)]
    after = on - timedelta(days=1)
    for span in SPANS:
        until = on + timedelta(days=span)
        groups.append(_group(f"Within {span} days", [o for o in coming if after < o.day <= until], axis))
        after = until
    groups.append(_group(f"Later than {SPANS[-1]} days", [one for one in coming if one.day > after], axis))
    weeks = tuple(
        WeekLines(week.monday, tuple(map(expiry_line, week.lines)))
        for week in weeks_of(deadlines.report, deadlines.items, days)
    )
    until = on + timedelta(days=days)
    return DuePage(
        days,
        tuple(map(_notice_line, deadlines.notices)),
        Axis(on, until + timedelta(days=1), on),
        tuple(one.day for one in coming if one.day <= until),
        weeks,
        sum(len(week.lines) for week in weeks if week.monday is not None),
        axis,
        tuple(group for group in groups if group.many),
        len(_alike(late)),
        coming[0].day if coming else None,
        tuple((one, button_for(one.finding, deadlines.report.state)) for one in deadlines.undated[:_SHOWN]),
        len(deadlines.undated),
        fees,
    )


def _notice_line(one: OwedNotice) -> NoticeLine:
    step = step_of_notice(one)
    return NoticeLine(one, words()["must"][one.must], StepButton(step.says, path_of_step(step)))


def _group(title: str, items: Sequence[Deadline], axis: Axis) -> DueGroup:
    alike = _alike(items)
    return DueGroup(title, tuple(_line(same, axis) for same in alike[:_SHOWN]), len(alike))


def _alike(items: Iterable[Deadline]) -> list[list[Deadline]]:
    """The things that read the same on the same day, put together, in order."""
    found: dict[tuple[date, str, str], list[Deadline]] = {}
    for one in items:
        found.setdefault((one.day, one.says, one.do), []).append(one)
    return list(found.values())


def _line(same: Sequence[Deadline], axis: Axis) -> DueLine:
    one = same[0]
    subjects = tuple(dict.fromkeys(subject for each in same for subject in each.subjects))
    return DueLine(
        one.day,
        one.overdue,
        subjects,
        one.says,
        one.do,
        "; ".join(cites(one.finding)),
        one.opens,
        life_of(one, axis),
    )


def life_of(one: Deadline, axis: Axis) -> Life:
    """The line of a thing due: thin to its post; broken since its day where that is past; the comb of a renewal."""
    after = one.day + timedelta(days=1)
    if one.overdue:
        return Life(
            (LineSegment("broken", after, axis.now), LineSegment("open", max(after, axis.now), axis.until))
        )
    comb = () if one.opens is None else (LineSegment("renew", one.opens, after),)
    return Life((LineSegment("holds", axis.now, after), *comb), (one.day,), one.day >= axis.until)
