"""Light: sunrise, sunset, twilight and night at a place, on the day shown, over its year, and at a time of it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_LIGHT, Json
from airwrit.answers.sky.light import (
    FIRST_YEAR,
    LAST_YEAR,
    Kind,
    LightAt,
    LightOfDay,
    Moment,
    light_at,
    light_of,
    sentences,
)
from airwrit.answers.sky.light_json import light_json, notes, to_minute
from airwrit.base.errors import AirwritError
from airwrit.base.places import Place, read_place
from airwrit.sky.light import LEAST_ERROR_S
from airwrit.sky.zones import Zone, zone_named, zone_of
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST = 100
_ALASKA = {"yes": True, "no": False}


class Row(NamedTuple):
    """A moment of the day: its local time and its time in UTC, what happens, and the section of law if any."""

    local: str
    utc: str
    says: str
    cites: str


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
    rows: tuple[Row, ...] = ()
    stays: tuple[str, ...] = ()
    phases: tuple[str, ...] = ()
    moment: str = ""
    columns: tuple[str, ...] = ()
    year: tuple[YearRow, ...] = ()
    notes: tuple[str, ...] = ()


class _Asked(NamedTuple):
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
        view = LightPage(Typed(said, wrong))
        return PageSheet(
            "light.html", view.form.title("Light"), view, lambda: _nothing(wrong), 422 if wrong else 200
        )
    whole_year = bool(said.get("year"))
    days = _days(asked, visit.asked.on, whole_year=whole_year)
    at = None if asked.at is None else light_at(asked.place, asked.zone, asked.at)
    view = _view(Typed(said), asked, days, at, visit.asked.on)
    return PageSheet("light.html", "Light", view, lambda: light_json(asked.place, asked.zone, days, at))


def _nothing(wrong: Mapping[str, str]) -> Json:
    return {"question": "light", "scope": SCOPE_OF_LIGHT, "wrong": dict(wrong), "caution": CAUTION}


def _asked(said: Mapping[str, str], on: date, wrong: dict[str, str]) -> _Asked | None:
    """What is asked; None, with what is wrong noted at the fields, where it can't be read."""
    try:
        place = read_place(said["place"])
    except AirwritError as fault:
        wrong["place"] = f"{fault.what}; {fault.do}"
        return None
    if not FIRST_YEAR <= on.year <= LAST_YEAR:
        wrong[""] = f"the sun of {on.year} isn't worked out; ask for a year from {FIRST_YEAR} to {LAST_YEAR}"
        return None
    zone = zone_of(place)
    try:
        zone = zone_named(said["zone"], place) if said.get("zone") else zone
    except AirwritError as fault:
        wrong["zone"] = f"{fault.what}; {fault.do}"
    if said.get("alaska") in _ALASKA:
        zone = zone._replace(in_alaska=_ALASKA[said["alaska"]])
    at = None
    if said.get("time"):
        try:
            at = datetime.combine(on, time.fromisoformat(said["time"]), zone.info)
        except ValueError:
            wrong["time"] = "that is no time of the day; write it like 16:50"
    return None if wrong else _Asked(place, zone, at)


def _days(asked: _Asked, on: date, *, whole_year: bool) -> tuple[LightOfDay, ...]:
    first, last = (date(on.year, 1, 1), date(on.year, 12, 31)) if whole_year else (on, on)
    return light_of(asked.place, asked.zone, first, last)


def _view(
    form: Typed, asked: _Asked, days: tuple[LightOfDay, ...], at: LightAt | None, on: date
) -> LightPage:
    words, zone = sentences(), asked.zone
    day = next(one for one in days if one.on == on)
    kinds = [kind for kind in Kind if any(one.of(kind) for one in days)] if len(days) > 1 else []
    stays = [words["horizon"][day.horizon.value]] if day.horizon else []
    stays += [words["civil"][day.civil.value]] if day.civil else []
    return LightPage(
        form,
        asked.place,
        zone.name,
        tuple(_row(one, zone, on) for one in day.moments),
        tuple(stays),
        () if at is None else tuple(words["phase"][phase.value] for phase in at.phases),
        "" if at is None else f"{at.at.astimezone(zone.info):%H:%M %Z}",
        tuple(words["column"][kind.value] for kind in kinds),
        tuple(YearRow(one.on, tuple(_cell(one.of(kind), zone) for kind in kinds)) for one in days if kinds),
        tuple(notes(zone, day.rules)),
    )


def _row(one: Moment, zone: Zone, on: date) -> Row:
    words = sentences()
    doubt = f" Good to {-(-one.error_s // 60)} minutes only." if one.error_s > LEAST_ERROR_S else ""
    minute = to_minute(one.at)
    utc = minute.astimezone(UTC)
    other_day = f" {utc:%b} {utc.day}" if utc.date() != on else ""
    local = minute.astimezone(zone.info)
    return Row(
        f"{local:%H:%M %Z}",
        f"{utc:%H:%M}{other_day}",
        words["moment"][one.kind.value] + doubt,
        words["cites"][one.kind.value],
    )


def _cell(moments: tuple[Moment, ...], zone: Zone) -> str:
    return ", ".join(f"{to_minute(one.at).astimezone(zone.info):%H:%M}" for one in moments) or "none"
