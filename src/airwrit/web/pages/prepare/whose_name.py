"""Whose name to register an organization's aircraft in: the ways side by side, for the numbers of a form or one aircraft."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.asking.ask import not_available_to
from airwrit.answers.registration.whose_name import WhoseName, how_often, obeying, whose_name, whose_name_json
from airwrit.answers.registration.whose_ways import (
    AIRCRAFT_IF_LEFT_OUT,
    TURNOVER_IF_LEFT_OUT,
    YEARS_IF_LEFT_OUT,
    InShort,
    whose_name_in_short,
)
from airwrit.base.errors import BadFact, UsageError
from airwrit.facts.key import Raw
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.intake.typed.reply import read_reply
from airwrit.web.pages.prepare.which_registration import answer_on_record
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, Visit

_LONGEST = 300
_LEFT_OUT = {
    "aircraft": str(AIRCRAFT_IF_LEFT_OUT),
    "turnover": str(TURNOVER_IF_LEFT_OUT),
    "years": str(YEARS_IF_LEFT_OUT),
}


@dataclass(frozen=True, slots=True)
class WhoseNamePage:
    """The page: the form, the table (None where the form cannot be read), and the aircraft on record it is for, if any."""

    form: Typed
    found: WhoseName | None
    of: str
    not_for_it: str


class _Numbers(NamedTuple):
    """The numbers of a form."""

    aircraft: int
    turnover: Decimal
    years: int


def show(visit: Visit) -> Answer:
    """The options compared, less those not available to the aircraft told of in the form or named by the address."""
    said = {name: text.strip()[:_LONGEST] for name, text in visit.query.items()}
    values = {**said, **{name: said.get(name) or text for name, text in _LEFT_OUT.items()}}
    of = said.get("of", "")
    wrong: dict[str, str] = {}
    numbers, weight = _numbers(values, wrong), _weight(said, wrong)
    found, not_for_it = None, ""
    if numbers is not None and not wrong:
        try:
            if of:
                found, not_for_it = _of_aircraft(visit, of, numbers)
            else:
                told = InShort(weight, bool(said.get("abroad")), bool(said.get("trust")))
                found = whose_name_in_short(*numbers, told, visit.asked.on)
        except UsageError as fault:
            wrong[fault.field] = fault.says
    view = WhoseNamePage(Typed(values, wrong), found, of, not_for_it)
    return view.form.sheet("whose_name.html", "Whose name", view, lambda: _json(view))


def _json(view: WhoseNamePage) -> Mapping[str, object]:
    if view.found is None:
        return {"question": "whose_name", "wrong": dict(view.form.wrong)}
    return whose_name_json(view.found)


def _numbers(values: Mapping[str, str], wrong: dict[str, str]) -> _Numbers | None:
    """The numbers of a form; None, with what is wrong noted at the fields, where they are none."""
    for name in ("aircraft", "years"):
        if not (values[name].isascii() and values[name].isdigit()):
            wrong[name] = "write a whole number"
    try:
        turnover = how_often(values["turnover"])
    except UsageError as fault:
        wrong["turnover"] = fault.says
    return None if wrong else _Numbers(int(values["aircraft"]), turnover, int(values["years"]))


def _weight(said: Mapping[str, str], wrong: dict[str, str]) -> Raw | None:
    if not said.get("weight"):
        return None
    try:
        return read_reply(TAKEOFF_WEIGHT, said["weight"])
    except BadFact as fault:
        wrong["weight"] = fault.says
        return None


def _of_aircraft(visit: Visit, name: str, numbers: _Numbers) -> tuple[WhoseName, str]:
    """The ways for an aircraft on record, and why there is no choice for it ("" where there is)."""
    subject = name if kind_of(name) == "aircraft" else subject_named("aircraft", name)
    answer = answer_on_record(visit, subject)
    found = whose_name(*numbers, visit.asked.on)
    try:
        return obeying(found, not_available_to(answer)), ""
    except UsageError:
        return found, f"{id_of(subject)} is gone, or a person owns it. The table below is for any aircraft."
