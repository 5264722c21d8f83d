"""One aircraft: how it stands, what to do, its life through time, and numbered items whose numbers never change."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from airwrit.answers.documents.attaching import Attached, attached_in
from airwrit.answers.record.papers import Paper, paper_json, papers_covering
from airwrit.answers.record.record import SubjectRecord, record_of, touching
from airwrit.answers.registration.certificate import SHOWN, Certificate, certificate_json, certificate_of
from airwrit.answers.registration.fees import Fee
from airwrit.answers.registration.serial import Serial, serials_json, serials_of
from airwrit.answers.registration.weight import Weights, weights_json, weights_of
from airwrit.answers.upkeep.batteries import batteries_kept_for
from airwrit.answers.upkeep.view import UpkeepRow, row_json
from airwrit.base.days import day_of
from airwrit.facts.choices import OwnerKind
from airwrit.facts.keys.aircraft import (
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
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.event import HOLDING_KEYS
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.registration import OWNER_KIND
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.law.aircraft.renewal import NEW_EXPIRY_RULE
from airwrit.law.rule import Finding
from airwrit.web.parts.acts import ActLink, acts_for
from airwrit.web.parts.clauses import ClauseShown, clauses_of
from airwrit.web.parts.facts import FactShown, facts_told
from airwrit.web.parts.flown import FlownTotals, flown_by, flown_json
from airwrit.web.parts.record import Opening, opening_json, opening_of
from airwrit.web.parts.timeline import four_years
from airwrit.web.server.subject_paths import asked_subject
from airwrit.web.server.visit import Answer, PageSheet, Visit, findings_by_subject

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
    facts: tuple[FactShown, ...]
    clauses: tuple[ClauseShown, ...]
    fee: Fee | None


@dataclass(frozen=True, slots=True)
class AircraftPage:
    """The whole sheet."""

    opening: Opening
    made: str
    facts: tuple[FactShown, ...]
    weights: Weights
    limits: tuple[ClauseShown, ...]
    registered: Registered
    mark: tuple[FactShown, ...]
    number: str
    photos: tuple[Attached, ...]
    remote_id: tuple[FactShown, ...]
    serials: tuple[Serial, ...]
    papers: tuple[Paper, ...]
    flown: FlownTotals
    packs: tuple[UpkeepRow, ...]
    documents: tuple[Attached, ...]
    ways: tuple[ActLink, ...]


def show(visit: Visit) -> Answer:
    """The sheet of the aircraft that the address names."""
    with visit.desk.opened() as book:
        subject = asked_subject(visit, "aircraft", book)
    record = record_of(visit.desk.standing(visit.asked), subject, findings_by_subject(visit))
    view = _view(visit, record)
    title = f"{id_of(subject)[:80]}: aircraft"
    return PageSheet("aircraft_record.html", title, view, lambda: _twin(record, view))


def _view(visit: Visit, record: SubjectRecord) -> AircraftPage:
    state, subject = record.state, record.subject
    certificate = certificate_of(state, subject)
    parts = state.holding(PART_OF, id_of(subject))
    around = (*touching(state, subject)[1:], *parts)
    weights = weights_of(state, subject)
    documents = tuple(attached_in(state, touching(state, subject)))
    made = facts_told(state, subject, (MAKER, MODEL))
    axis = four_years(visit.asked.on)
    window = None if certificate is None else certificate.window
    return AircraftPage(
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
        batteries_kept_for(record.standing, subject),
        documents,
        acts_for(state, subject, (*touching(state, subject)[1:], *_owner(state, subject))),
    )


def _owner(state: State, subject: str) -> tuple[str, ...]:
    """The organization that owns the aircraft, for which somebody stands at the registry."""
    owner = value_held(state, subject, OWNER)
    named = "" if owner is None else subject_named("owner", owner)
    kind = value_held(state, named, OWNER_KIND)
    return (named,) if kind not in (None, OwnerKind.PERSON) else ()


def _registered(state: State, record: SubjectRecord, certificate: Certificate | None) -> Registered:
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
    return [f for f in certificate.findings if not (over and f.rule is NEW_EXPIRY_RULE)]


def _twin(record: SubjectRecord, view: AircraftPage) -> object:
    state, registered = record.state, view.registered
    certificate = registered.certificate
    return {
        **opening_json(record, view.opening),
        "weights": weights_json(view.weights, state),
        "registration": None if certificate is None else certificate_json(certificate, state),
        "serials": serials_json(view.serials),
        "papers": [paper_json(paper) for paper in view.papers],
        "flights": flown_json(view.flown),
        "batteries": [row_json(row) for row in view.packs],
        "documents": [
            {"shows": one.shows and one.shows.value, "name": one.name, "sha256": one.sha256}
            for one in view.documents
        ],
    }
