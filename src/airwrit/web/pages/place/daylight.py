"""Light: sunrise, sunset, twilight and night at a place, on the day shown, over its year, and at a time of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date, datetime, time
from typing import NamedTuple

from airwrit.answers.document import SCOPE_OF_LIGHT
from airwrit.answers.sky.light import (
    FIRST_YEAR,
    LAST_YEAR,
    LightAt,
    LightEvent,
    LightOfDay,
    Moment,
    light_at,
    light_of,
    sentences,
)
from airwrit.answers.sky.light_json import light_json
from airwrit.answers.sky.light_words import (
    LightRow,
    clock_words,
    in_a_sentence,
    minute_of,
    notes,
    phases_words,
    rows_of,
    stays_words,
)
from airwrit.base.days import parse_clock
from airwrit.base.errors import AirwritError
from airwrit.base.places import Place, read_place
from airwrit.sky.zones import Zone, zone_named, zone_of
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 100
_ALASKA = {"yes": True, "no": False}


class YearRow(NamedTuple):
    """A day of the year's table: its day and a cell for each kind of moment."""

    on: date
    cells: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class LightPage:
    """The page: the form, and what is told of the place; nothing where none was given or it can't be read."""

    form: Typed
    place: Place | None = None
    zone: str = ""
    says: str = ""
    rows: tuple[LightRow, ...] = ()
    stays: tuple[str, ...] = ()
    phases: tuple[str, ...] = ()
    moment: str = ""
    columns: tuple[str, ...] = ()
    year: tuple[YearRow, ...] = ()
    notes: tuple[str, ...] = ()


class _LightAsked(NamedTuple):
    """What a form asks: the place, its clock, and the instant if a time was given."""

    place: Place
    zone: Zone
    at: datetime | None


def show(visit: Visit) -> Answer:
    """The form; with a place in the address its light."""
    said = {name: text.strip()[:_LONGEST] for name, text in visit.query.items()}
    wrong: dict[str, str] = {}
    asked = _asked(said, visit.asked.on, wrong) if said.get("place") else None
    if asked is None:
        form = Typed(said, wrong)
        return form.sheet(
            "daylight.html", "Daylight", LightPage(form), lambda: form.unanswered("light", SCOPE_OF_LIGHT)
        )
    whole_year = bool(said.get("year"))
    days = _days(asked, visit.asked.on, whole_year=whole_year)
    at = None if asked.at is None else light_at(asked.place, asked.zone, asked.at)
    view = _view(Typed(said), asked, days, at, visit.asked.on)
    return PageSheet("daylight.html", "Daylight", view, lambda: light_json(asked.place, asked.zone, days, at))


def _asked(said: Mapping[str, str], on: date, wrong: dict[str, str]) -> _LightAsked | None:
    """What is asked; None, with what is wrong noted at the fields, where it can't be read."""
    try:
        place = read_place(said["place"])
    except AirwritError as fault:
        wrong["place"] = fault.says
        return None
    if not FIRST_YEAR <= on.year <= LAST_YEAR:
        wrong[""] = (
            f"we can't work out sunrise and sunset for {on.year}. Use a year from {FIRST_YEAR} to {LAST_YEAR}"
        )
        return None
    zone = zone_of(place)
    try:
        zone = zone_named(said["zone"], place) if said.get("zone") else zone
    except AirwritError as fault:
        wrong["zone"] = fault.says
    if said.get("alaska") in _ALASKA:
        zone = zone._replace(in_alaska=_ALASKA[said["alaska"]])
    at = None
    if said.get("time"):
        try:
            hour, minute = divmod(parse_clock(said["time"]), 60)
            at = datetime.combine(on, time(hour, minute), zone.info)
        except ValueError:
            wrong["time"] = "that isn't a time of day. Write it like 16:50 or 4:50 PM"
    return None if wrong else _LightAsked(place, zone, at)


def _days(asked: _LightAsked, on: date, *, whole_year: bool) -> tuple[LightOfDay, ...]:
    first, last = (date(on.year, 1, 1), date(on.year, 12, 31)) if whole_year else (on, on)
    return light_of(asked.place, asked.zone, first, last)


def _view(
    form: Typed, asked: _LightAsked, days: tuple[LightOfDay, ...], at: LightAt | None, on: date
) -> LightPage:
    words, zone = sentences(), asked.zone
    day = next(one for one in days if one.on == on)
    kinds = [kind for kind in LightEvent if any(one.of(kind) for one in days)] if len(days) > 1 else []
    return LightPage(
        form,
        asked.place,
        zone.name,
        in_a_sentence(day, zone),
        rows_of(day, zone),
        stays_words(day),
        () if at is None else phases_words(at),
        "" if at is None else clock_words(at.at, zone),
        tuple(words["column"][kind.value] for kind in kinds),
        tuple(YearRow(one.on, tuple(_cell(one.of(kind), zone) for kind in kinds)) for one in days if kinds),
        tuple(note.says for note in notes(zone, day.rules)),
    )


def _cell(moments: tuple[Moment, ...], zone: Zone) -> str:
    return ", ".join(minute_of(one, zone) for one in moments) or "none"
