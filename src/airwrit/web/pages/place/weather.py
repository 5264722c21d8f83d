"""Weather: a METAR or TAF pasted, group by group, beside the limits of Part 107. Nothing is fetched and nothing is kept."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.document import SCOPE_OF_WEATHER
from airwrit.answers.sky.weather import (
    NUMBERS,
    FlightPlanned,
    WeatherAnswer,
    WeatherPoint,
    limits_on,
    number_told,
    sentences,
    weather_of,
)
from airwrit.answers.sky.weather_json import verdict_of, weather_json
from airwrit.answers.sky.weather_words import headline, rows_of
from airwrit.base.days import parse_when
from airwrit.base.errors import AirwritError
from airwrit.base.places import Place, read_place
from airwrit.base.verdict import Verdict
from airwrit.sky.weather.values import Unread
from airwrit.web.server.forms import Typed
from airwrit.web.server.visit import Answer, PageSheet, Visit

_LONGEST, _MOST_TEXT = 100, 20_000


class ReportShown(NamedTuple):
    """A report or forecast as the page tells it."""

    text: str
    points: tuple[WeatherPoint, ...]
    odd: tuple[str, ...]
    groups: tuple[tuple[str, str], ...]
    unread: tuple[Unread, ...]
    plain_remarks: str


@dataclass(frozen=True, slots=True)
class WeatherPage:
    """The page: the form, the reports, what in the text is none, and what to keep in mind."""

    form: Typed
    reports: tuple[ReportShown, ...] = ()
    strange: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()
    verdict: Verdict | None = None
    says: str = ""


def show(visit: Visit) -> Answer:
    """The form; with a report in the address what it says."""
    return _sheet(visit, visit.query)


def act(visit: Visit) -> Answer:
    """What the report of a form says."""
    return _sheet(visit, visit.said)


def _sheet(visit: Visit, said: Mapping[str, str]) -> PageSheet:
    values = {
        name: text.strip()[: _MOST_TEXT if name == "report" else _LONGEST] for name, text in said.items()
    }
    wrong: dict[str, str] = {}
    flight = _flight(values, visit.desk.clock(), wrong)
    if not values.get("report") or flight is None:
        return _unanswered(Typed(values, wrong))
    weather = weather_of(values["report"], flight)
    if not weather.answers:
        wrong["report"] = (
            "we found no METAR or TAF in it. Copy the whole report, starting with the station's four letters"
        )
        return _unanswered(Typed(values, wrong))
    note, limits = sentences()["note"], limits_on(flight)
    notes = [note["decides"], note["higher"]]
    notes += [] if limits is None else [note["beside"].format(beside=f"{limits.beside_ft:,}")]
    shown = tuple(_shown(answer) for answer in weather.answers)
    form = Typed(values)
    page = WeatherPage(
        form, shown, weather.strange, tuple(notes), verdict_of(weather.answers), headline(weather.answers)
    )
    return form.sheet("weather.html", "Weather", page, lambda: weather_json(weather, flight))


def _unanswered(form: Typed) -> PageSheet:
    return form.sheet(
        "weather.html", "Weather", WeatherPage(form), lambda: form.unanswered("weather", SCOPE_OF_WEATHER)
    )


def _flight(values: Mapping[str, str], now: datetime, wrong: dict[str, str]) -> FlightPlanned | None:
    """What the form tells of the flight; None, with what is wrong noted at the fields, where it can't be read."""
    at = now
    if values.get("when"):
        try:
            when = parse_when(values["when"])
        except ValueError:
            when = None
        if isinstance(when, datetime):
            at = when
        else:
            wrong["when"] = "that isn't a time with its zone. Write it like 2026-05-31T14:00-05:00"
    numbers = {name: _number(values, name, wrong) for name in NUMBERS}
    places = {name: _place(values, name, wrong) for name in ("place", "station")}
    if wrong:
        return None
    return FlightPlanned(
        at,
        places["place"],
        places["station"],
        numbers["elevation"],
        numbers["station_elevation"],
        numbers["height"],
        wind_limit_kt=numbers["wind_limit"],
        saw_sm=numbers["saw"],
    )


def _number(values: Mapping[str, str], name: str, wrong: dict[str, str]) -> Decimal | None:
    if not values.get(name):
        return None
    try:
        return number_told(name, values[name])
    except AirwritError as fault:
        wrong[name] = fault.says
        return None


def _place(values: Mapping[str, str], name: str, wrong: dict[str, str]) -> Place | None:
    if not values.get(name):
        return None
    try:
        return read_place(values[name])
    except AirwritError as fault:
        wrong[name] = fault.says
        return None


def _shown(answer: WeatherAnswer) -> ReportShown:
    read, odd = answer.read, sentences()["oddity"]
    said = tuple(odd[code.value] for code in answer.odd)
    return ReportShown(read.text, answer.points, said, rows_of(answer), read.unread, read.plain_remarks)
