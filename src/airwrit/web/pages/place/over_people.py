"""Over people: which category is open by what the form tells, and the energy of a hit. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from airwrit.answers.document import SCOPE_OF_ANSWERS
from airwrit.answers.site.over_people import TELLS, Told, over_people_of, told_of
from airwrit.answers.site.over_people_json import OverPeopleView, over_people_json, over_people_view
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.vocabulary import id_of
from airwrit.web.parts.fact_fields import LONGEST, FactField, fact_field, facts_answered
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit


@dataclass(frozen=True, slots=True)
class OverPeoplePage:
    """The page: the form, and where something was told the answer."""

    form: Typed
    fields: tuple[FactField, ...]
    answer: OverPeopleView | None = None


def show(visit: Visit) -> Answer:
    """The form; with something told in the address, the answer."""
    said = {name: text.strip()[:LONGEST] for name, text in visit.query.items()}
    wrong: dict[str, str] = {}
    told = {**_on_record(visit, said), **facts_answered(TELLS, said, wrong)}
    names = _names(visit)
    of_aircraft = (fact_field(FLIGHT_AIRCRAFT, names),) if names else ()
    form, fields = Typed(said, wrong), (*of_aircraft, *(fact_field(key) for key in TELLS))
    if wrong or not told:
        page = OverPeoplePage(form, fields)
        return form.sheet(
            "over_people.html",
            "Over people",
            page,
            lambda: form.unanswered("over_people", SCOPE_OF_ANSWERS),
        )
    answer = over_people_of(told, visit.asked.on)
    page = OverPeoplePage(form, fields, over_people_view(answer))
    return PageSheet("over_people.html", "Over people", page, lambda: over_people_json(answer))


def _names(visit: Visit) -> list[str]:
    """The aircraft on record; none where there is no ledger yet."""
    if visit.desk.is_empty:
        return []
    return [id_of(one) for one in visit.desk.standing(visit.asked).report.state.subjects("aircraft")]


def _on_record(visit: Visit, said: Mapping[str, str]) -> Told:
    """What the records tell of the aircraft that was chosen."""
    chosen = said.get(FLIGHT_AIRCRAFT.name)
    if not chosen or visit.desk.is_empty:
        return {}
    return told_of(visit.desk.standing(visit.asked).report.state, chosen)
