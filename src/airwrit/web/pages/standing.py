"""Standing: what may fly for work, for recreation, what is grounded and why, what can't be said, what is due next."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.as_json import standing_json
from airwrit.answers.gaps import Gap
from airwrit.answers.standing import Headline, Row, Standing
from airwrit.answers.standing_told import BY_URGENCY, DueLine, due_lines, first_thing, records_to_put_right
from airwrit.base.findings import Verdict
from airwrit.base.times import day_of
from airwrit.facts.state import State
from airwrit.facts.statement import Problem
from airwrit.facts.vocabulary import kind_of
from airwrit.law import wording
from airwrit.law.wording import Wording
from airwrit.web.pages import first_run
from airwrit.web.pages.standing_lines import life_of
from airwrit.web.sheets import Answer, Sheet, Visit
from airwrit.web.svg import Axis, Life, year_round
from airwrit.web.words import count

_TITLES = {
    Headline.GROUNDED: "Grounded",
    Headline.CANT_SAY: "Can't say",
    Headline.RECREATION: "Recreation only",
    Headline.WORK: "May fly for work",
}
_VERDICTS = {
    Headline.GROUNDED: Verdict.NOT_MET,
    Headline.CANT_SAY: Verdict.UNKNOWN,
    Headline.RECREATION: Verdict.NOT_MET,
    Headline.WORK: Verdict.MET,
}
_DUE_SHOWN = 12
_SHOWN = 60


class Line(NamedTuple):
    """One aircraft or person as a row."""

    subject: str
    headline: Headline
    work: Verdict
    recreation: Verdict
    night: Verdict | None
    says: str
    do: str
    by: date | None
    before_flight: bool
    cites: str
    more: int
    life: Life


class Group(NamedTuple):
    """The rows of one headline: those shown, and how many there are."""

    title: str
    lines: tuple[Line, ...]
    many: int


class Roll(NamedTuple):
    """All of one kind: aircraft or people."""

    title: str
    said: str
    groups: tuple[Group, ...]
    many: int
    tally: tuple[tuple[Headline, int], ...]


@dataclass(frozen=True, slots=True)
class View:
    """The whole page."""

    axis: Axis
    rolls: tuple[Roll, ...]
    due: tuple[DueLine, ...]
    due_more: int
    gaps: tuple[Gap, ...]
    records: tuple[tuple[str, Wording], ...]
    problems: tuple[Problem, ...]
    left: tuple[tuple[str, date], ...]
    withheld: int
    law_from: date | None
    law_to: date | None
    verdict: Verdict


def show(visit: Visit) -> Answer:
    """The standing of the day asked about; the three ways in where there is nothing yet."""
    if visit.desk.is_empty:
        return first_run.show(visit)
    answer = visit.desk.standing(visit.asked)
    return Sheet("standing.html", "Standing", view_of(answer), lambda: standing_json(answer))


def view_of(answer: Standing) -> View:
    """The page of a standing."""
    report, axis = answer.report, year_round(day_of(answer.report.on))
    state = report.state
    due = due_lines(answer.due, state)
    read = [day for day in map(wording.read_on, report.findings) if day]
    return View(
        axis,
        tuple(
            roll
            for roll in (_roll(kind, answer.rows, state, axis) for kind in ("aircraft", "person"))
            if roll.many
        ),
        due[:_DUE_SHOWN],
        max(0, len(due) - _DUE_SHOWN),
        answer.gaps,
        tuple((finding.subject, wording.worded(finding, state)) for finding in records_to_put_right(report)),
        report.problems,
        answer.left,
        len({finding.subject for finding in report.withheld}),
        min(read, default=None),
        max(read, default=None),
        report.verdict,
    )


def _roll(kind: str, rows: Sequence[Row], state: State, axis: Axis) -> Roll:
    mine = [row for row in rows if kind_of(row.subject) == kind]
    groups = []
    for headline in BY_URGENCY:
        here = [row for row in mine if row.headline is headline]
        if here:
            lines = tuple(_lines(here[:_SHOWN], state, axis))
            groups.append(Group(_TITLES[headline], lines, len(here)))
    told = [(headline, sum(row.headline is headline for row in mine)) for headline in BY_URGENCY]
    tally = tuple((headline, many) for headline, many in told if many)
    title, one = ("Aircraft", "aircraft") if kind == "aircraft" else ("People", "person")
    said = count(len(mine), one, title.lower())
    return Roll(title, f"{said[:1].upper()}{said[1:]}", tuple(groups), len(mine), tally)


def _lines(rows: Iterable[Row], state: State, axis: Axis) -> Iterable[Line]:
    for row in rows:
        words = None if row.deciding is None else wording.worded(row.deciding, state)
        first = first_thing(row, state)
        yield Line(
            row.subject,
            row.headline,
            row.work,
            row.recreation,
            row.night,
            "" if words is None else words.says,
            first.do,
            first.by,
            first.before_flight,
            "" if row.deciding is None else "; ".join(wording.cites(row.deciding)),
            max(0, len(row.in_the_way) - 1),
            life_of(row, axis),
        )
