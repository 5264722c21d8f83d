"""A standing as every face tells it: order of urgency, the first thing to do and by when, records to put right, due lines."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date, timedelta
from typing import NamedTuple

from airwrit.answers.standing.headline import SPANS, Headline, SubjectStanding
from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.state import State
from airwrit.facts.vocabulary import kind_of
from airwrit.law.wording import worded

BY_URGENCY = (
    Headline.GROUNDED,
    Headline.CANT_SAY,
    Headline.RECREATION,
    Headline.WORK,
    Headline.NOT_IN_FLEET,
    Headline.NOT_JUDGED,
)
"""The headlines in the order a lead takes them."""


class FirstThing(NamedTuple):
    """What to do first; by which day, or before the next flight; all empty when nothing is near."""

    do: str
    by: date | None
    before_flight: bool


def first_thing(row: SubjectStanding, state: State) -> FirstThing:
    """What to do first: against what grounds it, else for the nearest day that is due within the longest span."""
    if row.deciding is not None:
        grounds = row.headline.holds_back
        due = row.deciding.outcome.due_on
        return FirstThing(worded(row.deciding, state).do, due, grounds and due is None)
    nearest = row.next_due
    if nearest is None or nearest.outcome.due_on is None:
        return FirstThing("", None, False)
    if nearest.outcome.due_on > day_of(state.on) + timedelta(days=SPANS[-1]):
        return FirstThing("", None, False)
    return FirstThing(worded(nearest, state).do, nearest.outcome.due_on, False)


class Warned(NamedTuple):
    """An aircraft or person that is not OK for a flight: the headline, and why."""

    subject: str
    headline: str
    says: str


def warned_of(answer: Standing, subjects: Iterable[str], use: UsedFor | None = None) -> tuple[Warned, ...]:
    """What to say before a flight or a pack with these is saved; `use` None where nothing was said of it."""
    rows, left = {row.subject: row for row in answer.rows}, {subject for subject, _ in answer.left}
    return tuple(
        warned
        for subject in dict.fromkeys(subjects)
        if (warned := _warned(answer, subject, rows.get(subject), use, is_left=subject in left)) is not None
    )


def _warned(
    answer: Standing, subject: str, row: SubjectStanding | None, use: UsedFor | None, *, is_left: bool
) -> Warned | None:
    if is_left:
        return Warned(subject, "left the program", "")
    if row is None or row.headline in (Headline.WORK, Headline.NOT_JUDGED):
        return None
    if row.headline is Headline.RECREATION and use is UsedFor.RECREATION:
        return None
    says = "" if row.deciding is None else worded(row.deciding, answer.report.state).says
    return Warned(subject, row.headline.value, says)


def offered(answer: Standing, kind: str) -> tuple[str, ...]:
    """The subjects of a kind that a form offers: neither who left nor what the program has no more."""
    return tuple(
        row.subject
        for row in answer.rows
        if kind_of(row.subject) == kind and row.headline is not Headline.NOT_IN_FLEET
    )
