"""Aircraft: every aircraft with how it stands, its number, the end of its term, its serial, and what is due first."""

from __future__ import annotations

from datetime import date
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.view import FirstThing, first_thing
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import (
    AIRFRAME_SERIAL,
    HOLDER,
    MAKER,
    MODEL,
    OWNER,
    REGISTRATION,
    REMOTE_ID_SERIAL,
)
from airwrit.facts.state import State, value_held
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE
from airwrit.law.rule import Finding
from airwrit.web.parts.acts import ActLink, acts_for_new
from airwrit.web.parts.subject_list import SubjectList, mark_of, roll_json, roll_of, text_held
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LOOKED_IN = (MAKER, MODEL, REGISTRATION, REMOTE_ID_SERIAL, AIRFRAME_SERIAL, OWNER, HOLDER)


class AircraftLine(NamedTuple):
    """One aircraft as a line of the list."""

    subject: str
    made: str
    headline: str
    mark: Verdict
    number: str
    ends_on: date | None
    ended: bool
    serial: str
    first: FirstThing


class AircraftListPage(NamedTuple):
    """The whole page."""

    roll: SubjectList
    lines: tuple[AircraftLine, ...]
    ways: tuple[ActLink, ...]


def show(visit: Visit) -> Answer:
    """The list of aircraft on the day asked about."""
    answer = visit.desk.standing(visit.asked)
    roll = roll_of(visit, answer, "aircraft", _LOOKED_IN)
    lines = tuple(_line(row, answer.report.state) for row in roll.rows)
    told = [_json(line) for line in lines]
    return PageSheet(
        "aircraft.html",
        "Aircraft",
        AircraftListPage(roll, lines, acts_for_new("aircraft")),
        lambda: roll_json(roll, answer, told, "aircraft"),
    )


def term_of(row: SubjectStanding) -> Finding | None:
    """The finding about the term of an aircraft's registration."""
    return next((f for f in row.findings if f.rule is REGISTRATION_IN_TERM_RULE), None)


def _line(row: SubjectStanding, state: State) -> AircraftLine:
    term = term_of(row)
    ends_on = None if term is None or not isinstance(term.outcome.value, date) else term.outcome.value
    made = [value_held(state, row.subject, key) for key in (MAKER, MODEL)]
    return AircraftLine(
        row.subject,
        " ".join(one for one in made if one),
        row.headline.value,
        mark_of(row),
        text_held(state, row.subject, REGISTRATION),
        ends_on,
        term is not None and term.verdict is Verdict.NOT_MET,
        text_held(state, row.subject, REMOTE_ID_SERIAL),
        first_thing(row, state),
    )


def _json(line: AircraftLine) -> Json:
    return {
        "subject": line.subject,
        "made_by": line.made,
        "headline": line.headline,
        "registration": line.number or None,
        "term_ends_on": None if line.ends_on is None else line.ends_on.isoformat(),
        "remote_id_serial": line.serial or None,
        "do_first": line.first.do or None,
        "by": None if line.first.by is None else line.first.by.isoformat(),
        "before_next_flight": line.first.before_flight,
    }
