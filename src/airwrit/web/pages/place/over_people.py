"""Over people: which category is open by what the form tells, and the energy of a hit. Nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, NamedTuple

from airwrit.answers.document import ON_ANSWERS, Json
from airwrit.answers.site.over_people import TELLS, OverPeopleAnswer, Told, over_people_of
from airwrit.answers.site.over_people_json import (
    SiteRow,
    below_row,
    energy_sentences,
    headline,
    notes,
    over_people_json,
    site_rows,
    way_rows,
)
from airwrit.base.errors import BadFact
from airwrit.facts.key import Key
from airwrit.intake.typed.reply import read_reply
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 100
_YES_NO = (("yes", "yes"), ("no", "no"))


class Asking(NamedTuple):
    """A field of the form: the fact's name, its question, its unit, the choices where it has a list of them."""

    name: str
    question: str
    hint: str
    choices: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class OverPeoplePage:
    """The page: the form, and where something was told the answer in rows."""

    form: Typed
    fields: tuple[Asking, ...]
    says: str = ""
    below: tuple[SiteRow, ...] = ()
    site: tuple[SiteRow, ...] = ()
    ways: tuple[SiteRow, ...] = ()
    energy: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()


def show(visit: Visit) -> Answer:
    """The form; with something told in the address, the answer."""
    said = {name: text.strip()[:_LONGEST] for name, text in visit.query.items()}
    wrong: dict[str, str] = {}
    told = _told(said, wrong)
    form, fields = Typed(said, wrong), tuple(_field(key) for key in TELLS)
    if wrong or not told:
        view = OverPeoplePage(form, fields)
        status = 422 if wrong else 200
        return PageSheet("over_people.html", form.title("Over people"), view, lambda: _nothing(wrong), status)
    answer = over_people_of(told, visit.asked.on)
    return PageSheet(
        "over_people.html", "Over people", _view(form, fields, answer), lambda: over_people_json(answer)
    )


def _told(said: Mapping[str, str], wrong: dict[str, str]) -> Told:
    found = {}
    for key in TELLS:
        if said.get(key.name):
            try:
                found[key] = read_reply(key, said[key.name])
            except BadFact as fault:
                wrong[key.name] = fault.says
    return found


def _nothing(wrong: Mapping[str, str]) -> Json:
    return {"question": "over_people", **ON_ANSWERS, "wrong": dict(wrong)}


def _field(key: Key[Any]) -> Asking:
    choices: tuple[tuple[str, str], ...] = ()
    hint = {"g": "With its unit, like 249 g or 2 lb.", "kt": "In knots, or with a unit like 15 m/s."}.get(
        key.unit, ""
    )
    if key.kind is bool:
        choices = _YES_NO
    elif not key.unit:
        choices = tuple((one.value, one.value) for one in key.kind)
    return Asking(key.name, key.question, hint, choices)


def _view(form: Typed, fields: tuple[Asking, ...], answer: OverPeopleAnswer) -> OverPeoplePage:
    return OverPeoplePage(
        form,
        fields,
        headline(answer),
        (below_row(answer),),
        tuple(site_rows(answer)),
        tuple(way_rows(answer)),
        tuple(energy_sentences(answer)),
        tuple(notes(answer)),
    )
