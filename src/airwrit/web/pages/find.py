"""Find: an aircraft, a person or a number from every page; what is found alone is opened at once."""

from __future__ import annotations

from typing import NamedTuple

from airwrit.answers.document import ON_PAPERS
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, LISTED_SERIAL, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.keys.person import CERTIFICATE_NUMBER
from airwrit.facts.state import State
from airwrit.facts.vocabulary import folded, id_of
from airwrit.web.draw.words import path_of
from airwrit.web.parts.subject_list import mark_of, text_held
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit

_NUMBERS = (REGISTRATION, REMOTE_ID_SERIAL, LISTED_SERIAL, AIRFRAME_SERIAL, CERTIFICATE_NUMBER)
_LONGEST = 200
_LISTED = 60


class FindPage(NamedTuple):
    """What was looked for, and the rows found, with how many there are."""

    find: str
    rows: tuple[SubjectStanding, ...]
    many: int


def show(visit: Visit) -> Answer:
    """What goes by a name or number; its own page where it is the only one."""
    find = visit.query.get("find", "").strip()[:_LONGEST]
    answer = visit.desk.standing(visit.asked)
    state, wanted = answer.report.state, folded(find)
    exact = [row for row in answer.rows if wanted and wanted in _names(row, state)]
    some = exact or [
        row for row in answer.rows if wanted and any(wanted in one for one in _names(row, state))
    ]
    if len(some) == 1 and not visit.path.endswith(".json"):
        return Redirect(visit.link(path_of(some[0].subject)))
    view = FindPage(find, tuple(some[:_LISTED]), len(some))
    return PageSheet("find.html", "Find", view, lambda: _json(view))


def _names(row: SubjectStanding, state: State) -> list[str]:
    """The name and numbers that something goes by, as they are compared."""
    numbers = [text_held(state, row.subject, key) for key in _NUMBERS]
    return [folded(one) for one in (id_of(row.subject), *numbers) if one]


def _json(view: FindPage) -> dict[str, object]:
    return {
        "question": "find",
        "find": view.find,
        "many": view.many,
        "found": [
            {"subject": row.subject, "headline_code": row.headline.code, "mark": mark_of(row).value}
            for row in view.rows
        ],
        **ON_PAPERS,
    }
