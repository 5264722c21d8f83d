"""Light at a place: sunrise, sunset and twilights of days, by the sun and by the law of each day, and the light at a moment."""

from __future__ import annotations

import tomllib
from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.base.places import Place
from airwrit.base.verdict import Undecided
from airwrit.law.flight.light import ALASKA_TWILIGHT, NIGHT_DEFINITION, TWILIGHT_MINUTES
from airwrit.law.holder.pilot import NIGHT_BY_TRAINING
from airwrit.law.parameters import Law, LawReading
from airwrit.sky.light import (
    ALTITUDE_ERROR_DEG,
    CIVIL,
    HORIZON,
    LEAST_ERROR_S,
    Stays,
    SunEvent,
    altitude_deg,
    events,
    horizon_deg,
    stays,
)
from airwrit.sky.zones import Zone

FIRST_YEAR, LAST_YEAR = 1950, 2053
"""The years the sun is worked out for: those it was held against another library for."""
_AROUND = timedelta(hours=36)
_NEAREST = timedelta(hours=13)
"""As far as the law's rules of light look for a moment: half a day, and what one day may be longer than another."""
_SHIFT = timedelta(hours=2)


class LightEvent(StrEnum):
    """What happens at a moment of the light."""

    DAWN = "morning_civil_twilight_starts"
    LIGHTS_FROM = "morning_30_minutes_start"
    SUNRISE = "sunrise"
    SUNSET = "sunset"
    LIGHTS_UNTIL = "evening_30_minutes_end"
    DUSK = "evening_civil_twilight_ends"


class Phase(StrEnum):
    """The light at a moment, as 14 CFR 107.29 and 1.1 tell it apart."""

    DAY = "day"
    TWILIGHT = "civil_twilight"
    NIGHT = "night"
    BOTH = "night_and_civil_twilight"
    BETWEEN = "between"


class Moment(NamedTuple):
    """Something of the light: what, when (UTC), and by how many seconds an almanac may differ."""

    kind: LightEvent
    at: datetime
    error_s: int


class Rules(NamedTuple):
    """What the law of a day asks: minutes of twilight (None where it was not read), whether Alaska's rule holds (None unknown).

    `is_night_open` tells that night takes training and lights; before that it took a waiver.
    """

    minutes: timedelta | None
    almanac: bool | None
    is_night_open: bool
    readings: tuple[LawReading, ...]


@dataclass(frozen=True, slots=True)
class LightOfDay:
    """A civil day at a place: its ends (UTC), what happens in it, in order, and where the sun stays if it crosses nothing."""

    on: date
    start: datetime
    end: datetime
    moments: tuple[Moment, ...]
    horizon: Stays | None
    civil: Stays | None
    rules: Rules

    def of(self, kind: LightEvent) -> tuple[Moment, ...]:
        """The moments of a kind: none, one or two."""
        return tuple(moment for moment in self.moments if moment.kind is kind)


@dataclass(frozen=True, slots=True)
class LightAt:
    """The light at an instant: every phase it may be, one where it is sure, and the nearest moments of each kind."""

    at: datetime
    altitude_deg: float
    phases: tuple[Phase, ...]
    nearest: Mapping[LightEvent, Moment]
    rules: Rules


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of moments, phases and cautions."""
    path = Path(__file__).with_name("light.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"))


def light_of(place: Place, zone: Zone, first: date, last: date) -> tuple[LightOfDay, ...]:
    """The light of every civil day from `first` to `last` in the zone, each by the law of its day."""
    days = [first + timedelta(days=number) for number in range((last - first).days + 1)]
    midnights = [_midnight(day, zone) for day in days] + [_midnight(last + timedelta(days=1), zone)]
    found = _in_order(_moments(place, midnights[0] - _AROUND, midnights[-1] + _AROUND))
    laid: list[LightOfDay] = []
    for day, start, end in zip(days, midnights, midnights[1:], strict=False):
        rules = rules_of(day, zone)
        near = _between(found, start - _SHIFT, end + _SHIFT)
        moments = _between(_in_order((*near, *_shifted(near, rules))), start, end)
        kinds = {moment.kind for moment in moments}
        horizon = (
            None if kinds & {LightEvent.SUNRISE, LightEvent.SUNSET} else stays(place, start, end, HORIZON)
        )
        civil = None if kinds & {LightEvent.DAWN, LightEvent.DUSK} else stays(place, start, end, CIVIL)
        laid.append(LightOfDay(day, start, end, moments, horizon, civil, rules))
    return tuple(laid)


def lights_over(place: Place, zone: Zone, start: datetime, end: datetime) -> Callable[[datetime], LightAt]:
    """Tells the light at any instant of a span; the sun's moments are worked out once."""
    found = _moments(place, start - _AROUND, end + _AROUND)
    return lambda at: _light_at(place, zone, at, _between(_in_order(found), at - _AROUND, at + _AROUND))


def light_at(place: Place, zone: Zone, at: datetime) -> LightAt:
    """The light at an instant. More than one phase where a boundary lies within its error."""
    return _light_at(place, zone, at, _moments(place, at - _AROUND, at + _AROUND))


def _light_at(place: Place, zone: Zone, at: datetime, near: tuple[Moment, ...]) -> LightAt:
    rules = rules_of(at.astimezone(zone.info).date(), zone)
    found = _in_order((*near, *_shifted(near, rules)))
    height = altitude_deg(place, at)
    looks = {(at, height + bias) for bias in (-ALTITUDE_ERROR_DEG, 0.0, ALTITUDE_ERROR_DEG)}
    for moment in found:
        if abs(moment.at - at) <= timedelta(seconds=moment.error_s):
            beside = (moment.at + timedelta(seconds=side * LEAST_ERROR_S) for side in (-1, 1))
            looks |= {(other, altitude_deg(place, other)) for other in beside}
    phases = {phase for look in looks for phase in _phases(*look, found, rules)}
    nearest = {kind: _nearest(found, kind, at) for kind in LightEvent}
    told = {kind: moment for kind, moment in nearest.items() if moment is not None}
    return LightAt(at, height, tuple(phase for phase in Phase if phase in phases), told, rules)


def rules_of(day: date, zone: Zone) -> Rules:
    """What the law of a day asks at a place; without minutes where that day's law was not read."""
    used: list[LawReading] = []
    law = Law(day, used)
    try:
        minutes = timedelta(minutes=law[TWILIGHT_MINUTES])
        law.written_for(ALASKA_TWILIGHT, "Air Almanac")
        law.written_for(NIGHT_DEFINITION, "civil twilight")
        is_night_open = law[NIGHT_BY_TRAINING]
    except Undecided:
        return Rules(None, zone.in_alaska, False, ())
    return Rules(minutes, zone.in_alaska, is_night_open, tuple(used))


def _midnight(day: date, zone: Zone) -> datetime:
    """The first instant of a civil day, in UTC."""
    return datetime.combine(day, time(), zone.info).astimezone(UTC)


def _moments(place: Place, start: datetime, end: datetime) -> tuple[Moment, ...]:
    horizon = events(place, start, end, HORIZON)
    civil = events(place, start, end, CIVIL)
    return (
        *_named(horizon, LightEvent.SUNRISE, LightEvent.SUNSET),
        *_named(civil, LightEvent.DAWN, LightEvent.DUSK),
    )


def _named(found: Iterable[SunEvent], up: LightEvent, down: LightEvent) -> list[Moment]:
    return [Moment(up if one.rising else down, one.at, one.error_s) for one in found]


def _shifted(found: Iterable[Moment], rules: Rules) -> list[Moment]:
    """The ends of the fixed minutes before sunrise and after sunset; none where Alaska's rule holds for sure."""
    if rules.minutes is None or rules.almanac:
        return []
    return [
        Moment(LightEvent.LIGHTS_FROM, one.at - rules.minutes, one.error_s)
        if one.kind is LightEvent.SUNRISE
        else Moment(LightEvent.LIGHTS_UNTIL, one.at + rules.minutes, one.error_s)
        for one in found
        if one.kind in (LightEvent.SUNRISE, LightEvent.SUNSET)
    ]


def _in_order(found: Iterable[Moment]) -> tuple[Moment, ...]:
    return tuple(sorted(found, key=_when))


def _when(moment: Moment) -> datetime:
    return moment.at


def _between(found: Sequence[Moment], start: datetime, end: datetime) -> tuple[Moment, ...]:
    """Of moments in order those from `start` to before `end`."""
    return tuple(found[bisect_left(found, start, key=_when) : bisect_left(found, end, key=_when)])


def _nearest(found: Sequence[Moment], kind: LightEvent, at: datetime) -> Moment | None:
    """The moment of a kind nearest to an instant, within half a day of it."""
    near = [moment for moment in found if moment.kind is kind and abs(moment.at - at) <= _NEAREST]
    return min(near, key=lambda moment: abs(moment.at - at), default=None)


def _phases(at: datetime, height: float, found: Sequence[Moment], rules: Rules) -> set[Phase]:
    """What the light is at an instant with the sun at a height; two where it is not known whether Alaska's rule holds."""
    if height >= horizon_deg(at):
        return {Phase.DAY}
    dark = Phase.NIGHT if height < CIVIL.seen_deg else Phase.BETWEEN
    almanac = Phase.NIGHT if height < CIVIL.seen_deg else Phase.TWILIGHT
    if rules.minutes is None:
        return {almanac}
    fixed = dark
    if _in_minutes(at, found, rules.minutes):
        fixed = Phase.BOTH if dark is Phase.NIGHT else Phase.TWILIGHT
    if rules.almanac is None:
        return {fixed, almanac}
    return {almanac} if rules.almanac else {fixed}


def _in_minutes(at: datetime, found: Sequence[Moment], minutes: timedelta) -> bool:
    return any(
        (moment.kind is LightEvent.SUNSET and moment.at <= at <= moment.at + minutes)
        or (moment.kind is LightEvent.SUNRISE and moment.at - minutes <= at <= moment.at)
        for moment in found
    )
