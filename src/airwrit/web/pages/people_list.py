"""People: everybody with how they stand, their certificate, the end of their recency, night, and what is due first."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.view import FirstThing, first_thing
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.person import FLIES_FOR, ROLE
from airwrit.facts.state import State
from airwrit.law.holder.pilot import CERTIFICATE_HELD_RULE, RECENCY_RULE
from airwrit.web.parts.acts import ActLink, acts_for_new
from airwrit.web.parts.subject_list import SubjectList, mark_of, roll_json, roll_of, text_held
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LOOKED_IN = (ROLE, FLIES_FOR)


class PersonLine(NamedTuple):
    """One person as a line of the list."""

    subject: str
    role: str
    headline: str
    mark: Verdict
    certificate: Verdict | None
    recent_until: date | None
    lapsed: bool
    night: Verdict | None
    first: FirstThing


class PeopleListPage(NamedTuple):
    """The whole page; `left` are those who left, with the day."""

    roll: SubjectList
    lines: tuple[PersonLine, ...]
    ways: tuple[ActLink, ...]
    left: tuple[tuple[str, date | None], ...]


def show(visit: Visit) -> Answer:
    """The list of people on the day asked about."""
    answer = visit.desk.standing(visit.asked)
    roll = roll_of(visit, answer, "person", _LOOKED_IN)
    lines = tuple(_line(row, answer.report.state) for row in roll.rows)
    told = [_json(line) for line in lines]
    return PageSheet(
        "people.html",
        "People",
        PeopleListPage(roll, lines, acts_for_new("person"), answer.left),
        lambda: roll_json(roll, answer, told, "people"),
    )


def _line(row: SubjectStanding, state: State) -> PersonLine:
    found = {f.rule: f for f in row.findings if f.verdict is not Verdict.NOT_APPLICABLE}
    held, recent = found.get(CERTIFICATE_HELD_RULE), found.get(RECENCY_RULE)
    until = None if recent is None or not isinstance(recent.outcome.value, date) else recent.outcome.value
    return PersonLine(
        row.subject,
        text_held(state, row.subject, ROLE),
        row.headline.value,
        mark_of(row),
        None if held is None else held.verdict,
        until,
        recent is not None and recent.verdict is Verdict.NOT_MET,
        row.night,
        first_thing(row, state),
    )


def _json(line: PersonLine) -> Json:
    return {
        "subject": line.subject,
        "role": line.role or None,
        "headline": line.headline,
        "certificate": None if line.certificate is None else line.certificate.value,
        "recent_until": None if line.recent_until is None else line.recent_until.isoformat(),
        "night": None if line.night is None else line.night.value,
        "do_first": line.first.do or None,
        "by": None if line.first.by is None else line.first.by.isoformat(),
        "before_next_flight": line.first.before_flight,
    }
