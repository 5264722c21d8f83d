"""One aircraft: how it stands, what to do, its life through time, and numbered items whose numbers never change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.attaching import Attached, attached_in
from airwrit.answers.certificates import SHOWN, Certificate, certificate_json, certificate_of
from airwrit.answers.fees import Fee, value_held
from airwrit.answers.papers_of import Paper, paper_json, papers_covering
from airwrit.answers.record import Record, record_of, touching
from airwrit.answers.serials import Serial, serials_json, serials_of
from airwrit.answers.weights import Weights, weights_json, weights_of
from airwrit.base.times import day_of
from airwrit.facts.aircraft import (
    AIRCRAFT_KEYS,
    MAKER,
    MARK_LEGIBLE,
    MARK_PLACE,
    MARK_TEXT,
    MODEL,
    OWNER,
    PART_OF,
    REGISTRATION,
    REMOTE_ID_WAY,
    USED_FOR,
)
from airwrit.facts.documents import DocumentShows
from airwrit.facts.events import HOLDING_KEYS
from airwrit.facts.flight import FLIGHT_AIRCRAFT
from airwrit.facts.registration import OWNER_KIND
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.facts.words import OwnerKind
from airwrit.law.judging import Finding
from airwrit.web.records.acts import Way, acts_for
from airwrit.web.records.clauses import Clause, clauses_of
from airwrit.web.records.facts import Told, facts_told
from airwrit.web.records.flown import Flown, flown_by, flown_json
from airwrit.web.records.kept import findings_by_subject
from airwrit.web.records.lanes import four_years
from airwrit.web.records.paths import asked_subject
from airwrit.web.records.sheet import Opening, opening_json, opening_of
from airwrit.web.sheets import Answer, Sheet, Visit

_ANCHORS = {"Registration": "s4", "Owner": "s2", "Mark": "s5", "Remote ID": "s6", "House rules": "s1"}
_WEIGHED = ("takeoff_weight_g", "base_weight_g", "scale_error_g", "weighed_on")
_IS = tuple(
    key
    for key in (*AIRCRAFT_KEYS, *HOLDING_KEYS)
    if key.table == "aircraft" and key is not REGISTRATION and key.name not in _WEIGHED
)
_ALWAYS = (MAKER, MODEL, USED_FOR, OWNER)
_MARK = (MARK_PLACE, MARK_TEXT, MARK_LEGIBLE)
_REMOTE_ID = tuple(
    key
    for key in AIRCRAFT_KEYS
    if key.table == "remote_id" and key.name not in ("remote_id_serial", "listed_serial")
)


class Registered(NamedTuple):
    """Item 4: the certificate, its facts, what the law finds of its term, and its fee."""

    certificate: Certificate | None
    facts: tuple[Told, ...]
    clauses: tuple[Clause, ...]
    fee: Fee | None


@dataclass(frozen=True, slots=True)
class View:
    """The whole sheet."""

    opening: Opening
    made: str
    facts: tuple[Told, ...]
    weights: Weights
    limits: tuple[Clause, ...]
    registered: Registered
    mark: tuple[Told, ...]
    number: str
    photos: tuple[Attached, ...]
    remote_id: tuple[Told, ...]
    serials: tuple[Serial, ...]
    papers: tuple[Paper, ...]
    flown: Flown
    documents: tuple[Attached, ...]
    ways: tuple[Way, ...]


def show(visit: Visit) -> Answer:
    """The sheet of the aircraft that the address names."""
    with visit.desk.opened() as book:
        subject = asked_subject(visit, "aircraft", book)
    record = record_of(visit.desk.standing(visit.asked), subject, findings_by_subject(visit))
    view = _view(visit, record)
    title = f"{id_of(subject)[:80]}: aircraft"
    return Sheet("aircraft_record.html", title, view, lambda: _twin(record, view))


def _view(visit: Visit, record: Record) -> View:
    state, subject = record.state, record.subject
    certificate = certificate_of(state, subject)
    parts = state.holding(PART_OF, id_of(subject))
    around = (*touching(state, subject)[1:], *parts)
    weights = weights_of(state, subject)
    documents = tuple(attached_in(state, touching(state, subject)))
    made = facts_told(state, subject, (MAKER, MODEL))
    axis = four_years(visit.asked.on)
    window = None if certificate is None else certificate.window
    return View(
        opening_of(visit, record, axis, _ANCHORS, around, window),
        " ".join(one.value for one in made if one.known),
        facts_told(state, subject, _IS, _ALWAYS),
        weights,
        clauses_of([limit.finding for limit in weights.limits], state, subject),
        _registered(state, record, certificate),
        facts_told(state, subject, _MARK, _MARK[:1]),
        "" if certificate is None else certificate.number,
        tuple(one for one in documents if one.shows is DocumentShows.MARK),
        facts_told(state, subject, _REMOTE_ID, (REMOTE_ID_WAY,)),
        serials_of(state, subject),
        papers_covering(record.standing, subject),
        flown_by(visit, state, FLIGHT_AIRCRAFT, subject),
        documents,
        acts_for(state, subject, (*touching(state, subject)[1:], *_owner(state, subject))),
    )


def _owner(state: State, subject: str) -> tuple[str, ...]:
    """The organization that owns the aircraft, for which somebody stands at the registry."""
    owner = value_held(state, subject, OWNER)
    named = "" if owner is None else subject_named("owner", owner)
    kind = value_held(state, named, OWNER_KIND)
    return (named,) if kind not in (None, OwnerKind.PERSON) else ()


def _registered(state: State, record: Record, certificate: Certificate | None) -> Registered:
    if certificate is None:
        return Registered(None, (), (), record.fee)
    return Registered(
        certificate,
        facts_told(state, certificate.subject, SHOWN),
        clauses_of(_of_use(certificate, day_of(state.on)), state, record.subject),
        record.fee,
    )


def _of_use(certificate: Certificate, on: date) -> list[Finding]:
    """What is found of a certificate; what a renewal would give is left out once nothing can be renewed any more."""
    over = certificate.ends_on is not None and on > certificate.ends_on
    return [f for f in certificate.findings if not (over and f.rule.name == "new_expiry")]


def _twin(record: Record, view: View) -> object:
    state, registered = record.state, view.registered
    certificate = registered.certificate
    return {
        **opening_json(record, view.opening),
        "weights": weights_json(view.weights, state),
        "registration": None if certificate is None else certificate_json(certificate, state),
        "serials": serials_json(view.serials),
        "papers": [paper_json(paper) for paper in view.papers],
        "flights": flown_json(view.flown),
        "documents": [
            {"shows": one.shows and one.shows.value, "name": one.name, "sha256": one.sha256}
            for one in view.documents
        ],
    }
