"""Standing: what may fly for work, for recreation, what is grounded and why, what can't be said, what is due next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import NamedTuple

from airwrit.answers.standing.assumed import assumed_in
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.json import standing_json
from airwrit.answers.standing.missing import MissingFact
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.view import (
    BY_URGENCY,
    DueShown,
    FirstThing,
    due_lines,
    first_thing,
    records_to_put_right,
)
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.state import State
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import kind_of
from airwrit.law import wording
from airwrit.law.rule import Finding
from airwrit.web.draw.svg import Axis, Life, year_ahead
from airwrit.web.draw.words import count
from airwrit.web.pages.standing_lines import life_of
from airwrit.web.parts.questions import QuestionForm, questions_for
from airwrit.web.server.site import FIRST
from airwrit.web.server.visit import Answer, PageSheet, Visit

_TITLES = {
    Headline.GROUNDED: "Grounded",
    Headline.CANT_SAY: "Can't tell yet",
    Headline.RECREATION: "Papers OK for recreation only",
    Headline.WORK: "Papers OK for work",
    Headline.NOT_IN_FLEET: "Not in the fleet",
    Headline.NOT_JUDGED: "Not a pilot",
}
_WORDS = {
    Headline.GROUNDED: "grounded",
    Headline.CANT_SAY: "cant-say",
    Headline.RECREATION: "recreation",
    Headline.WORK: "work",
    Headline.NOT_IN_FLEET: "not-here",
    Headline.NOT_JUDGED: "not-judged",
}
SHOWN = 60
"""The most rows of one headline that are listed; the others are counted, and found on their own page."""

SHOWN_WELL = 20
"""Of many that may fly, those are listed whose last good day is nearest."""

ASKED = 5
"""The questions that stand there with their field; of the others the fact has its own."""

_DUE_SHOWN = 24
_LISTED = 40


class StandingLine(NamedTuple):
    """One aircraft or person as a row."""

    subject: str
    work: Verdict
    recreation: Verdict
    night: Verdict | None
    says: str
    cites: str
    first: FirstThing
    more: int
    last: date | None
    life: Life


class HeadlineGroup(NamedTuple):
    """The rows of one headline: those listed, how many there are, and the word under which all of them are found."""

    title: str
    word: str
    lines: tuple[StandingLine, ...]
    many: int


class KindList(NamedTuple):
    """All of one kind: aircraft or people."""

    title: str
    path: str
    said: str
    groups: tuple[HeadlineGroup, ...]
    tally: tuple[tuple[Headline, int], ...]


class RecordLine(NamedTuple):
    """A record to put right."""

    subject: str
    says: str
    do: str
    cites: str


class Parts(NamedTuple):
    """What stands below the rolls; of long lists the first part, with how many there are."""

    due: tuple[DueShown, ...]
    due_many: int
    overdue: int
    next_on: date | None
    records: tuple[RecordLine, ...]
    records_many: int
    gaps: tuple[MissingFact, ...]
    gaps_many: int
    problems: tuple[Problem, ...]
    problems_many: int


@dataclass(frozen=True, slots=True)
class StandingPage:
    """The whole page."""

    axis: Axis
    rolls: tuple[KindList, ...]
    parts: Parts
    left: tuple[tuple[str, date | None], ...]
    withheld: int
    assumed: tuple[str, ...]
    law_read: tuple[date, date] | None
    asks: tuple[QuestionForm, ...] = ()


def show(visit: Visit) -> Answer:
    """The standing of the day asked about."""
    view = visit.desk.made_of("standing page", visit.asked, view_of)
    answer = visit.desk.standing(visit.asked)
    asks = questions_for(visit, answer.gaps[:ASKED], answer.report.state, FIRST)
    title = "Today" if visit.asked.is_today else "Status"
    return PageSheet("today.html", title, replace(view, asks=asks), lambda: standing_json(answer))


def view_of(answer: Standing) -> StandingPage:
    """The page of a standing."""
    report, axis = answer.report, year_ahead(day_of(answer.report.on))
    rolls = (_roll(kind, answer.rows, report.state, axis) for kind in ("aircraft", "person"))
    return StandingPage(
        axis,
        tuple(roll for roll in rolls if roll.groups),
        _parts(answer),
        answer.left,
        len({finding.subject for finding in report.withheld}),
        tuple(one.words for one in assumed_in(report, answer.rows)),
        wording.read_between(report.findings),
    )


def _parts(answer: Standing) -> Parts:
    report = answer.report
    due = due_lines(answer.due, report.state)
    records = records_to_put_right(report)
    problems = sorted(report.problems, key=lambda problem: not (problem.spoils or problem.unread))
    return Parts(
        due[:_DUE_SHOWN],
        len(due),
        sum(item.overdue for item in due),
        next((item.day for item in due if not item.overdue), None),
        tuple(_record(report.state, finding) for finding in records[:_LISTED]),
        len(records),
        answer.gaps[:_LISTED],
        len(answer.gaps),
        tuple(problems[:_LISTED]),
        len(problems),
    )


def _record(state: State, finding: Finding) -> RecordLine:
    words = wording.worded(finding, state)
    return RecordLine(finding.subject, words.says, words.do, "; ".join(wording.cites(finding)))


def _roll(kind: str, rows: Sequence[SubjectStanding], state: State, axis: Axis) -> KindList:
    mine = [row for row in rows if kind_of(row.subject) == kind]
    groups = []
    for headline in BY_URGENCY:
        here = [row for row in mine if row.headline is headline]
        if here:
            lines = tuple(_lines(_listed(headline, here, fold=len(mine) > SHOWN), state, axis))
            groups.append(HeadlineGroup(_TITLES[headline], _WORDS[headline], lines, len(here)))
    title, path, one = (
        ("Aircraft", "/aircraft", "aircraft") if kind == "aircraft" else ("People", "/people", "person")
    )
    said = count(len(mine), one, title.lower())
    tally = tuple((headline, len([r for r in mine if r.headline is headline])) for headline in BY_URGENCY)
    return KindList(
        title, path, f"{said[:1].upper()}{said[1:]}", tuple(groups), tuple(pair for pair in tally if pair[1])
    )


def _listed(headline: Headline, rows: list[SubjectStanding], *, fold: bool) -> list[SubjectStanding]:
    """The rows that are listed: where many may fly, those of which something is due next."""
    if headline.holds_back or not fold:
        return rows[:SHOWN]
    return sorted(rows, key=_nearest)[:SHOWN_WELL]


def _nearest(row: SubjectStanding) -> date:
    due = row.next_due
    days = (row.holds_until, None if due is None else due.outcome.due_on)
    return min((day for day in days if day is not None), default=date.max)


def _lines(rows: Iterable[SubjectStanding], state: State, axis: Axis) -> Iterable[StandingLine]:
    for row in rows:
        words = None if row.deciding is None else wording.worded(row.deciding, state)
        yield StandingLine(
            row.subject,
            row.work,
            row.recreation,
            row.night,
            "" if words is None else words.says,
            "" if row.deciding is None else "; ".join(wording.cites(row.deciding)),
            first_thing(row, state),
            max(0, len(row.in_the_way) - 1),
            row.holds_until if row.deciding is None else None,
            life_of(row, axis),
        )
