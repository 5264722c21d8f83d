"""Authority: whether a paper on record covers the flight that the form tells of, and what a request asks. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_AUTHORITY, Json
from airwrit.answers.site.authority import AuthorityAnswer, PaperFound, authority_of
from airwrit.answers.site.authority_json import (
    RequestLine,
    authority_json,
    beside_sentences,
    field_sentence,
    headline,
    notes,
    paper_sentence,
    paper_title,
    request_lines,
    sentences,
    under_sentence,
    waivable_sentences,
)
from airwrit.base.verdict import Verdict
from airwrit.facts.fold import state_of
from airwrit.facts.keys.flights.airspace import AIRSPACE_CLASS, FLIGHT_PLACE, NOTICE_COVERS
from airwrit.facts.keys.flights.authority import (
    COMMANDER_SUPPORTS,
    CONDITIONS_KEPT,
    CURRENCY_KEPT,
    EMERGENCY_RESTRICTION,
    FLIGHT_AREA,
    FLIGHT_ENDS,
    FLIGHT_STARTS,
    HEIGHT_SET,
    HIGHEST_GROUND,
    MITIGATIONS,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT, HEIGHT_AGL
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER, HEIGHT_ERROR
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import id_of
from airwrit.web.parts.fact_fields import LONGEST, FactField, fact_field, facts_answered
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_FLIGHT = "flight/planned"
_FIRST = (
    FLIGHT_AREA,
    HEIGHT_AGL,
    FLIGHT_STARTS,
    FLIGHT_ENDS,
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    AIRSPACE_CLASS,
)
"""What the form asks first, in its order."""
_TELLS = (
    *_FIRST,
    FLIGHT_PLACE,
    HEIGHT_ERROR,
    HIGHEST_GROUND,
    NOTICE_COVERS,
    EMERGENCY_RESTRICTION,
    COMMANDER_SUPPORTS,
    FLIGHT_UNDER,
    HEIGHT_SET,
    CONDITIONS_KEPT,
    CURRENCY_KEPT,
    MITIGATIONS,
)
"""All that the form asks; what isn't asked first is folded."""


class PaperLine(NamedTuple):
    """A field of a paper: its name, verdict and sentence."""

    name: str
    verdict: Verdict
    says: str


class PaperShown(NamedTuple):
    """A paper with its sentence and every field."""

    title: str
    verdict: Verdict
    says: str
    fields: tuple[PaperLine, ...]


@dataclass(frozen=True, slots=True)
class AuthorityPage:
    """The page: the form, and where something was told the whole, the papers, a request, and what else counts."""

    form: Typed
    fields: tuple[FactField, ...]
    says: str = ""
    verdict: Verdict | None = None
    under: str = ""
    papers: tuple[PaperShown, ...] = ()
    request: tuple[RequestLine, ...] = ()
    track: str = ""
    beside: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def first(self) -> tuple[FactField, ...]:
        """The fields asked first."""
        return self.fields[: len(_FIRST)]

    @property
    def more(self) -> tuple[FactField, ...]:
        """The fields that are folded."""
        return self.fields[len(_FIRST) :]


def show(visit: Visit) -> Answer:
    """The form; with something told in the address, the answer by the papers on record."""
    said = {name: text.strip()[:LONGEST] for name, text in visit.query.items()}
    wrong: dict[str, str] = {}
    told = facts_answered(_TELLS, said, wrong)
    state = visit.desk.standing(visit.asked).report.state
    form = Typed(said, wrong)
    fields = tuple(
        fact_field(key, [id_of(one) for one in state.subjects(key.links_to)] if key.links_to else ())
        for key in _TELLS
    )
    if wrong or not told:
        view = AuthorityPage(form, fields)
        status = 422 if wrong else 200
        return PageSheet(
            "check_authorization.html",
            form.title("Check an authorization"),
            view,
            lambda: _nothing(wrong),
            status,
        )
    known = [Known(Statement(_FLIGHT, key.name, raw)) for key, raw in told.items()]
    flight = state_of(known, state.on, state.known_at).held
    answer = authority_of(state.with_facts(flight), _FLIGHT)
    return PageSheet(
        "check_authorization.html",
        "Check an authorization",
        _view(form, fields, answer),
        lambda: authority_json(answer),
    )


def _nothing(wrong: Mapping[str, str]) -> Json:
    return {
        "question": "authority",
        "scope": SCOPE_OF_AUTHORITY,
        "wrong": dict(wrong),
        "caution": CAUTION,
    }


def _view(form: Typed, fields: tuple[FactField, ...], answer: AuthorityAnswer) -> AuthorityPage:
    track = sentences()["request"]["track"]
    return AuthorityPage(
        form,
        fields,
        headline(answer),
        answer.verdict,
        under_sentence(answer),
        tuple(_shown(paper, answer) for paper in answer.papers),
        tuple(request_lines(answer)),
        " ".join((track, *waivable_sentences(answer.state.on))),
        tuple(beside_sentences(answer)),
        tuple(notes()),
    )


def _shown(paper: PaperFound, answer: AuthorityAnswer) -> PaperShown:
    fields = (
        PaperLine(one.field.value, one.verdict, field_sentence(one, paper, answer)) for one in paper.fields
    )
    return PaperShown(paper_title(paper, answer.state), paper.verdict, paper_sentence(paper), tuple(fields))
