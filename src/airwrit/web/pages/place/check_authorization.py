"""Authority: whether a paper on record covers the flight that the form tells of, and what a request asks. Nothing is kept."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.document import SCOPE_OF_AUTHORITY
from airwrit.answers.site.authority import authority_of
from airwrit.answers.site.authority_view import AuthorityView, authority_json, authority_view
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
from airwrit.web.server.visit import Answer, Visit

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


@dataclass(frozen=True, slots=True)
class AuthorityPage:
    """The page: the form, and where something was told the answer."""

    form: Typed
    fields: tuple[FactField, ...]
    view: AuthorityView | None = None

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
        return form.sheet(
            "check_authorization.html",
            "Check an authorization",
            AuthorityPage(form, fields),
            lambda: form.unanswered("authority", SCOPE_OF_AUTHORITY),
        )
    known = [Known(Statement(_FLIGHT, key.name, raw)) for key, raw in told.items()]
    flight = state_of(known, state.on, state.known_at).held
    answer = authority_of(state.with_facts(flight), _FLIGHT)
    return form.sheet(
        "check_authorization.html",
        "Check an authorization",
        AuthorityPage(form, fields, authority_view(answer)),
        lambda: authority_json(answer),
    )
