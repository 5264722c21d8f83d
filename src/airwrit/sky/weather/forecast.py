"""A TAF: its parts in time, and what is expected and what is possible at an instant."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from typing import NamedTuple

from airwrit.sky.weather.air import read_altimeter
from airwrit.sky.weather.draft import ReportDraft, read_groups, said
from airwrit.sky.weather.report import SKY_AND_WIND, read_head
from airwrit.sky.weather.texts import TextPiece
from airwrit.sky.weather.times import DayTime, day_time, instant_near
from airwrit.sky.weather.values import Conditions, Group, Unread

_SPAN = re.compile(r"(\d{4})/(\d{4})")
_FROM = re.compile(r"FM(\d{4,6})")
_CHANGES = ("BECMG", "TEMPO", "INTER")
_PLAIN = ("RMK", "AMD", "LAST", "LIMITED", "NEXT")
"""Words with which plain language starts at the end of a forecast."""
_CHANCE = re.compile(r"PROB\d{2}")
_SHEAR = re.compile(r"WS(\d{3})/(\d{3})(\d{2,3})KT")
_EXTREME = re.compile(r"T[XN]M?\d{2}/\d{4}Z")
_ICING = re.compile(r"[56]\d{5}")


@dataclass(frozen=True, slots=True)
class ForecastPart:
    """A part of a forecast: its word ("" for the first), its ends (None where it runs to the next FM), its conditions."""

    word: str
    text: str
    start: DayTime | None
    end: DayTime | None
    conditions: Conditions
    groups: tuple[Group, ...]


@dataclass(frozen=True, slots=True)
class Forecast:
    """A forecast as it was read."""

    text: str
    station: str
    issued: DayTime | None
    valid_from: DayTime | None
    valid_until: DayTime | None
    is_amended: bool
    is_corrected: bool
    is_missing: bool
    is_canceled: bool
    parts: tuple[ForecastPart, ...]
    groups: tuple[Group, ...]
    unread: tuple[Unread, ...]
    plain_remarks: str


class Expected(NamedTuple):
    """What holds at an instant, and what may hold beside it: the word of each part that says so, and its conditions."""

    main: Conditions
    possible: tuple[tuple[str, Conditions], ...]

    @property
    def all(self) -> tuple[Conditions, ...]:
        """Every state of the weather that may hold."""
        return (self.main, *(one for _, one in self.possible))


def read_forecast(piece: TextPiece) -> Forecast:
    """The forecast of a piece of text."""
    draft = ReportDraft()
    _, station, issued, rest = read_head(piece.signs, draft, ("TAF",))
    place = next((at for at, sign in enumerate(rest) if sign in _PLAIN), len(rest))
    rest, remarks = rest[:place], rest[place:]
    valid_from, valid_until = None, None
    if rest and _SPAN.fullmatch(rest[0]):
        valid_from, valid_until = _span(rest.pop(0), draft)
    canceled = "CNL" in rest
    missing = "NIL" in rest
    if missing:
        draft.read("NIL", said("nil"))
    signs = [sign for sign in rest if sign not in ("CNL", "NIL")]
    parts = tuple(_part(part, draft) for part in _divided(signs))
    return Forecast(
        piece.text,
        station,
        issued,
        valid_from,
        valid_until,
        draft.is_amended,
        draft.is_corrected,
        missing,
        canceled,
        parts,
        tuple(draft.groups),
        tuple(draft.unread),
        " ".join(remarks).removeprefix("RMK "),
    )


def expected_at(forecast: Forecast, at: datetime) -> Expected | None:
    """What is expected and possible at an instant; None outside the forecast, or where its times could not be read.

    A part whose time is missing or out of order may hold at any time.
    """
    ends = _instants(forecast, forecast.valid_from, forecast.valid_until, at)
    if ends is None or not ends[0] <= at < ends[1] or forecast.is_missing or forecast.is_canceled:
        return None
    main, since = Conditions(), ends[0]
    possible: list[tuple[str, Conditions]] = []
    for part in forecast.parts:
        if part.word in ("", "FM"):
            start = ends[0] if not part.word else instant_near(part.start, ends[0]) if part.start else None
            if start is None or start < since:
                possible.append((part.word, part.conditions))
            elif start <= at:
                main, possible, since = part.conditions, [], start
            continue
        span = _instants(forecast, part.start, part.end, at)
        if span is None:
            possible.append((part.word, part.conditions))
        elif part.word == "BECMG" and at >= span[1]:
            main = overlaid(main, part.conditions)
            possible = [(word, overlaid(one, part.conditions)) for word, one in possible if word != "BECMG"]
        elif span[0] <= at < span[1]:
            possible.append((part.word, overlaid(main, part.conditions)))
    return Expected(main, tuple(possible))


class Span(NamedTuple):
    """The instants between which a part holds; None where its times could not be read."""

    start: datetime | None
    end: datetime | None


def spans_of(forecast: Forecast, near: datetime) -> tuple[Span, ...]:
    """When each part holds, in order: the first and each FM to the next FM or the end of the forecast."""
    whole = _instants(forecast, forecast.valid_from, forecast.valid_until, near)
    starts = [_start_of(part, forecast, near) for part in forecast.parts]
    found = []
    for number, part in enumerate(forecast.parts):
        if part.word in ("", "FM"):
            later = [at for at, other in enumerate(forecast.parts) if other.word == "FM" and at > number]
            end = starts[later[0]] if later else whole[1] if whole else None
            found.append(Span(starts[number], end))
        else:
            found.append(Span(*(_instants(forecast, part.start, part.end, near) or (None, None))))
    return tuple(found)


def _start_of(part: ForecastPart, forecast: Forecast, near: datetime) -> datetime | None:
    start = part.start if part.word else forecast.valid_from
    issued = instant_near(forecast.issued, near) if forecast.issued else None
    return None if start is None else instant_near(start, issued or near)


def overlaid(under: Conditions, over: Conditions) -> Conditions:
    """The conditions with what a change names put in their place; what it doesn't name stays."""
    sky_named = bool(over.layers or over.sky)
    return replace(
        under,
        wind=over.wind or under.wind,
        visibility=over.visibility or under.visibility,
        layers=over.layers if sky_named else under.layers,
        sky=over.sky if sky_named else under.sky,
        weather=over.weather or under.weather,
    )


def _instants(
    forecast: Forecast, start: DayTime | None, end: DayTime | None, at: datetime
) -> tuple[datetime, datetime] | None:
    """The two instants of a span near the forecast's issue; None where one is missing or the end is before the start."""
    if start is None or end is None:
        return None
    issued = instant_near(forecast.issued, at) if forecast.issued else None
    first = instant_near(start, issued or at)
    last = instant_near(end, first) if first else None
    return (first, last) if first and last and first < last else None


def _span(text: str, draft: ReportDraft) -> tuple[DayTime | None, DayTime | None]:
    found = _SPAN.fullmatch(text)
    ends = (day_time(found[1]), day_time(found[2])) if found else (None, None)
    if None in ends:
        draft.refuse(text, "time")
    return ends


def _divided(signs: Sequence[str]) -> list[list[str]]:
    """The signs of each part: a new one starts at FM, BECMG, TEMPO, INTER and PROB, but TEMPO behind PROB joins it."""
    parts: list[list[str]] = [[]]
    for sign in signs:
        joins = sign in _CHANGES and len(parts[-1]) == 1 and _CHANCE.fullmatch(parts[-1][0])
        if (sign in _CHANGES or _FROM.fullmatch(sign) or _CHANCE.fullmatch(sign)) and not joins:
            parts.append([])
        parts[-1].append(sign)
    return [part for part in parts if part]


def _part(signs: Sequence[str], whole: ReportDraft) -> ForecastPart:
    """A part with its conditions; its unread groups join the forecast's."""
    draft, rest = ReportDraft(), list(signs)
    word, start, end = "", None, None
    begins = _FROM.fullmatch(rest[0])
    if begins is not None:
        word, start = "FM", day_time(begins[1]) if len(begins[1]) == 6 else None
        if start is None:
            draft.refuse(rest[0], "time")
        rest.pop(0)
    while rest and (rest[0] in _CHANGES or _CHANCE.fullmatch(rest[0])):
        word = f"{word} {rest.pop(0)}".strip()
    if word not in ("", "FM") and rest and _SPAN.fullmatch(rest[0]):
        start, end = _span(rest.pop(0), draft)
    for sign in read_groups(rest, draft, (*SKY_AND_WIND, read_altimeter, _of_forecasts)):
        draft.refuse(sign, "unknown")
    whole.groups += draft.groups
    whole.unread += draft.unread
    return ForecastPart(word, " ".join(signs), start, end, draft.conditions(), tuple(draft.groups))


def _of_forecasts(signs: Sequence[str], at: int, draft: ReportDraft) -> int:
    """Groups that only forecasts have: wind shear, highest and lowest temperature, icing and turbulence."""
    sign = signs[at]
    shear = _SHEAR.fullmatch(sign)
    if shear is not None:
        height, degrees, speed = int(shear[1]) * 100, shear[2], int(shear[3])
        draft.read(sign, said("shear", height=height, degrees=degrees, speed=speed))
        return 1
    if _EXTREME.fullmatch(sign):
        draft.read(sign, said("extreme_forecast"))
        return 1
    if _ICING.fullmatch(sign):
        draft.read(sign, said("icing_forecast"))
        return 1
    return 0
