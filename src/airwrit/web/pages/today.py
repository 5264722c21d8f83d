"""Today: who and what may fly, what to fix first, what we ask, and what expires next."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.json import standing_json
from airwrit.answers.standing.missing import MissingFact
from airwrit.answers.standing.standing import Standing
from airwrit.answers.standing.today import NEAR, Fix, PostStrip, today_of
from airwrit.answers.standing.view import BY_URGENCY
from airwrit.base.days import day_of
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import kind_of
from airwrit.law import wording
from airwrit.web.draw.svg import Axis
from airwrit.web.parts.acts import ExpiryLine, StepButton, button_of, expiry_line, whose
from airwrit.web.parts.questions import QuestionForm, questions_for
from airwrit.web.server.site import FIRST
from airwrit.web.server.visit import Answer, PageSheet, Visit

FIXES = 7
"""The causes that stand open on the page; the others are folded."""

ASKED = 3
"""The questions that stand there with their field; the others are folded."""

_EXPIRES = 5
_LISTED = 40
_FOLDED = 60
LIST_WORDS = {
    Headline.GROUNDED: "grounded",
    Headline.CANT_SAY: "cant-say",
    Headline.RECREATION: "recreation",
    Headline.WORK: "work",
    Headline.NOT_IN_FLEET: "not-here",
    Headline.NOT_JUDGED: "not-judged",
}
"""The words in the address of a list that narrow it to a headline."""


class FixLine(NamedTuple):
    """One line of what to fix, with its button and its place in the list."""

    number: int
    fix: Fix
    button: StepButton | None
    who: str


class Folded(NamedTuple):
    """Aircraft or people of one headline that need nothing now: named where they are few, else found on their list."""

    title: str
    path: str
    subjects: tuple[str, ...]
    many: int


@dataclass(frozen=True, slots=True)
class TodayPage:
    """The whole page."""

    say: tuple[str, ...]
    strips: tuple[PostStrip, ...]
    fixes: tuple[FixLine, ...]
    more_fixes: tuple[FixLine, ...]
    axis: Axis
    expires: tuple[ExpiryLine, ...]
    expires_many: int
    gaps: tuple[MissingFact, ...]
    gaps_many: int
    settled: int
    folded: tuple[Folded, ...]
    problems: tuple[Problem, ...]
    problems_many: int
    left: tuple[tuple[str, date | None], ...]
    withheld: int
    assumed: tuple[str, ...]
    law_read: tuple[date, date] | None
    asks: tuple[QuestionForm, ...] = ()


def show(visit: Visit) -> Answer:
    """The day asked about."""
    view = visit.desk.made_of("today page", visit.asked, view_of)
    answer = visit.desk.standing(visit.asked)
    asks = questions_for(visit, answer.gaps[:ASKED], answer.report.state, FIRST)
    title = "Today" if visit.asked.is_today else "Status"
    return PageSheet("today.html", title, replace(view, asks=asks), lambda: standing_json(answer))


def view_of(answer: Standing) -> TodayPage:
    """The page of a standing."""
    report, on, today = answer.report, day_of(answer.report.on), today_of(answer)
    lines = tuple(_line(number, fix) for number, fix in enumerate(today.fixes, 1))
    problems = sorted(report.problems, key=lambda problem: not (problem.spoils or problem.unread))
    return TodayPage(
        today.say,
        today.strips,
        lines[:FIXES],
        lines[FIXES:],
        Axis(on, on + timedelta(days=NEAR), on),
        tuple(expiry_line(one) for one in today.expires[:_EXPIRES]),
        len(today.expires),
        answer.gaps[:_LISTED],
        len(answer.gaps),
        len({one for gap in answer.gaps[:ASKED] for one in gap.holds_up}),
        tuple(_folded(answer)),
        tuple(problems[:_LISTED]),
        len(problems),
        answer.left,
        len({finding.subject for finding in report.withheld}),
        answer.words_assumed,
        answer.law_read_between,
    )


def _line(number: int, fix: Fix) -> FixLine:
    return FixLine(number, fix, button_of(fix.step, fix.subjects), whose(fix.who))


def _folded(answer: Standing) -> list[Folded]:
    """Who and what needs nothing now, and what stands apart."""
    found = []
    for headline in BY_URGENCY:
        if headline.holds_back:
            continue
        for kind, path in (("aircraft", "/aircraft"), ("person", "/people")):
            rows = [row for row in answer.rows if row.headline is headline and kind_of(row.subject) == kind]
            to = f"{path}?standing={LIST_WORDS[headline]}"
            for why, mine in _by_why(rows, answer).items():
                title = f"{headline.value}, {'aircraft' if kind == 'aircraft' else 'people'}{why}"
                found.append(Folded(title, to, tuple(mine[:_FOLDED]), len(mine)))
    return found


def _by_why(rows: Sequence[SubjectStanding], answer: Standing) -> dict[str, list[str]]:
    """The subjects of rows; those that are not in the fleet by why they are not."""
    found: dict[str, list[str]] = {}
    for row in rows:
        gone = row.deciding if row.headline is Headline.NOT_IN_FLEET else None
        why = "" if gone is None else f": {wording.worded(gone, answer.report.state).says.partition('. ')[0]}"
        found.setdefault(why, []).append(row.subject)
    return found
