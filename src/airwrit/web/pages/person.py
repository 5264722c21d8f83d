"""One person: how they stand, what to do, their life through time, and numbered items whose numbers never change."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.carry.law import Asked, asked_of_a_pilot
from airwrit.answers.documents.attaching import Attached, attached_in
from airwrit.answers.record.duties import Duties, Training, duties_json, duties_of, training_json, training_of
from airwrit.answers.record.papers import Paper, paper_json, papers_answered_for, papers_covering
from airwrit.answers.record.record import SubjectRecord, record_of
from airwrit.answers.standing.standing import Standing
from airwrit.facts.keys.flights.flight import FLIGHT_PILOT
from airwrit.facts.keys.person import (
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
from airwrit.web.parts.acts import ActLink, Caused, acts_for, caused_of, effects_in
from airwrit.web.parts.facts import FactShown, facts_told
from airwrit.web.parts.flown import FlownTotals, flown_by, flown_json
from airwrit.web.parts.record import Opening, opening_json, opening_of
from airwrit.web.parts.timeline import two_and_one
from airwrit.web.server.subject_paths import asked_subject
from airwrit.web.server.visit import Answer, PageSheet, Visit, findings_by_subject

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
class PersonPage:
    """The whole sheet."""

    opening: Opening
    role: str
    facts: tuple[FactShown, ...]
    certificate: tuple[FactShown, ...]
    training: Training
    asked_of_pilot: tuple[Asked, ...]
    papers: tuple[Paper, ...]
    answers_for: tuple[Paper, ...]
    duties: Duties
    flown: FlownTotals
    documents: tuple[Attached, ...]
    left_on: str
    leaving: Caused | None
    ways: tuple[ActLink, ...]


def show(visit: Visit) -> Answer:
    """The sheet of the person that the address names."""
    with visit.desk.opened() as book:
        subject = asked_subject(visit, "person", book)
    record = record_of(visit.desk.standing(visit.asked), subject, findings_by_subject(visit))
    view = _view(visit, record)
    return PageSheet(
        "person_record.html", f"{id_of(subject)[:80]}: person", view, lambda: _twin(record, view)
    )


def _view(visit: Visit, record: SubjectRecord) -> PersonPage:
    state, subject = record.state, record.subject
    role = facts_told(state, subject, (ROLE,))
    answers_for = papers_answered_for(record.standing, subject)
    return PersonPage(
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


def _leaving(visit: Visit, record: SubjectRecord) -> Caused | None:
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


def _twin(record: SubjectRecord, view: PersonPage) -> object:
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
