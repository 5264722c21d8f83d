"""One person: how they stand, what to do, their life through time, and numbered items whose numbers never change."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.attaching import Attached, attached_in
from airwrit.answers.carry_law import Asked, asked_of_a_pilot
from airwrit.answers.duties_of import Duties, Training, duties_json, duties_of, training_json, training_of
from airwrit.answers.papers_of import Paper, paper_json, papers_answered_for, papers_covering
from airwrit.answers.record import Record, record_of
from airwrit.answers.standing import Standing
from airwrit.facts.flight import FLIGHT_PILOT
from airwrit.facts.people import (
    EVENT_OF,
    FLIES_AT_NIGHT,
    FLIES_FOR,
    HAS_CERTIFICATE,
    LEFT_ON,
    PERSON_KEYS,
    ROLE,
)
from airwrit.facts.state import Held, with_held
from airwrit.facts.vocabulary import id_of
from airwrit.web.records.acts import Way, acts_for
from airwrit.web.records.caused import Caused, caused_of, effects_in
from airwrit.web.records.facts import Told, facts_told
from airwrit.web.records.flown import Flown, flown_by, flown_json
from airwrit.web.records.kept import findings_by_subject
from airwrit.web.records.lanes import two_and_one
from airwrit.web.records.paths import asked_subject
from airwrit.web.records.sheet import Opening, opening_json, opening_of
from airwrit.web.sheets import Answer, Sheet, Visit

_ANCHORS = {
    "Certificate": "s3",
    "Recency": "s4",
    "Night": "s4",
    "Safety test": "s3",
    "House rules": "s1",
}
_TRIED_AT_ONCE = 1_500
_WHO = (ROLE, FLIES_FOR, FLIES_AT_NIGHT, LEFT_ON)
_CERTIFICATE = tuple(key for key in PERSON_KEYS if key not in _WHO)


@dataclass(frozen=True, slots=True)
class View:
    """The whole sheet."""

    opening: Opening
    role: str
    facts: tuple[Told, ...]
    certificate: tuple[Told, ...]
    training: Training
    asked_of_pilot: tuple[Asked, ...]
    papers: tuple[Paper, ...]
    answers_for: tuple[Paper, ...]
    duties: Duties
    flown: Flown
    documents: tuple[Attached, ...]
    left_on: str
    leaving: Caused | None
    ways: tuple[Way, ...]


def show(visit: Visit) -> Answer:
    """The sheet of the person that the address names."""
    with visit.desk.opened() as book:
        subject = asked_subject(visit, "person", book)
    record = record_of(visit.desk.standing(visit.asked), subject, findings_by_subject(visit))
    view = _view(visit, record)
    return Sheet("person_record.html", f"{id_of(subject)[:80]}: person", view, lambda: _twin(record, view))


def _view(visit: Visit, record: Record) -> View:
    state, subject = record.state, record.subject
    role = facts_told(state, subject, (ROLE,))
    answers_for = papers_answered_for(record.standing, subject)
    return View(
        opening_of(
            visit, record, two_and_one(visit.asked.on), _ANCHORS, state.holding(EVENT_OF, id_of(subject))
        ),
        role[0].value if role and role[0].known else "",
        facts_told(state, subject, _WHO, (ROLE, FLIES_FOR)),
        facts_told(state, subject, _CERTIFICATE, (HAS_CERTIFICATE,)),
        training_of(state, subject),
        asked_of_a_pilot(visit.asked.on),
        papers_covering(record.standing, subject),
        answers_for,
        duties_of(state, subject),
        flown_by(visit, state, FLIGHT_PILOT, subject),
        tuple(attached_in(state, (subject,))),
        "" if record.left_on is None else record.left_on.isoformat(),
        _leaving(visit, record),
        acts_for(state, subject, (paper.subject for paper in answers_for)),
    )


def _leaving(visit: Visit, record: Record) -> Caused | None:
    """What follows if the person leaves on the day shown.

    None where they left already, and in a program so great that this is worked out only where it is asked for.
    """
    if record.row is None or len(record.standing.rows) > _TRIED_AT_ONCE:
        return None
    state, left = record.state, {LEFT_ON: Held(visit.asked.on)}

    def work(_: Standing) -> Caused:
        effects = effects_in(visit, with_held(state, {record.subject: left}))
        return caused_of(None, effects, record.subject)

    return visit.desk.made_of(f"leaving of {record.subject}", visit.asked, work)


def _twin(record: Record, view: View) -> object:
    return {
        **opening_json(record, view.opening),
        "training": training_json(view.training),
        "papers": [paper_json(paper) for paper in view.papers],
        "answers_for": {
            **duties_json(view.duties),
            "papers": [paper_json(paper) for paper in view.answers_for],
        },
        "flights": flown_json(view.flown),
    }
