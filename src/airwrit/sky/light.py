"""Sunrise, sunset and twilight of a span of time at one place, each with how far it may be off."""

from __future__ import annotations

from datetime import datetime, timedelta
from enum import Enum
from functools import lru_cache
from typing import NamedTuple

import numpy as np

from airwrit.base.places import Place
from airwrit.sky.crossings import PARALLAX_DEG, Level, crossings, sine_of_altitude
from airwrit.sky.sun import EPOCH, Array, sun_at

HORIZON = Level(-34 / 60, is_of_the_edge=True)
"""The sun's upper edge at official sunrise and sunset: 34 minutes of arc of refraction, at sea level.

Source: the US Naval Observatory's definition, which names a zenith distance of 90 degrees 50 minutes for the center; its tables
agree best with the edge of the day, seen from the ground (tests/checks/sun).
"""
CIVIL = Level(-6.0, is_of_the_edge=False)
"""The sun's center where civil twilight starts and ends. Source: the same, a zenith distance of 96 degrees."""
LEAST_ERROR_S = 60
"""What a time may be off at least: the almanac prints whole minutes."""
ALTITUDE_ERROR_DEG = 0.02
"""What an altitude may be off from an almanac's: far more than the formula's 0.0005 degrees, so that where the sun grazes a
level, and the air decides, the answer is too close to call.
"""
_LOOK_S = 120
_DAY_S = 86400.0


class SunEvent(NamedTuple):
    """A crossing: when (UTC), upward or not, and by how many seconds an almanac may differ."""

    at: datetime
    rising: bool
    error_s: int


class Stays(Enum):
    """Where the sun is in a span in which it never crosses an altitude."""

    ABOVE = "above"
    BELOW = "below"
    TOO_CLOSE = "too_close"


def days_of(moment: datetime) -> float:
    """Days since 2000-01-01 12:00 UTC."""
    return (moment - EPOCH) / timedelta(days=1)


def moment_of(days: float) -> datetime:
    """The UTC instant of days since 2000-01-01 12:00 UTC, to the second."""
    return EPOCH + timedelta(seconds=round(days * _DAY_S))


def events(place: Place, start: datetime, end: datetime, level: Level) -> tuple[SunEvent, ...]:
    """All crossings of a level from `start` to `end`, in order; none and several are ordinary."""
    found = crossings(*_arrays(place), days_of(start), days_of(end), level)
    errors = _errors_s(place, found.days)
    return tuple(
        SunEvent(moment_of(days), bool(rising), error)
        for days, rising, error in zip(found.days.tolist(), found.rising.tolist(), errors, strict=True)
    )


def stays(place: Place, start: datetime, end: datetime, level: Level) -> Stays:
    """On which side of a level the sun stays from `start` to `end`; too close where it comes within the error of it."""
    steps = int((end - start).total_seconds() // _LOOK_S) + 2
    days = np.linspace(days_of(start), days_of(end), steps)
    over = altitudes_deg(place, days) - level.center_deg(sun_at(days).over_distance)
    if over.min() > ALTITUDE_ERROR_DEG:
        return Stays.ABOVE
    if over.max() < -ALTITUDE_ERROR_DEG:
        return Stays.BELOW
    return Stays.TOO_CLOSE


def altitude_deg(place: Place, moment: datetime) -> float:
    """Altitude of the sun's center from the ground with no air in the way, in degrees."""
    return float(altitudes_deg(place, np.array([days_of(moment)]))[0])


@lru_cache(maxsize=1024)
def horizon_deg(moment: datetime) -> float:
    """Altitude of the sun's center at which its upper edge is on the horizon."""
    return float(HORIZON.center_deg(sun_at(np.array([days_of(moment)])).over_distance)[0])


def altitudes_deg(place: Place, days: Array) -> Array:
    """Altitudes `(n,)` at moments `(n,)`, from the ground with no air in the way."""
    sun = sun_at(days)
    sine = np.clip(sine_of_altitude(sun, *_arrays(place)), -1, 1)
    found: Array = np.degrees(np.arcsin(sine)) - PARALLAX_DEG * sun.over_distance * np.sqrt(1 - sine**2)
    return found


def _errors_s(place: Place, days: Array) -> list[int]:
    """The altitude's error over the speed at which the sun climbs or sinks, at least a minute, at most half a day."""
    if not days.size:
        return []
    half = 30 / _DAY_S
    climbed = altitudes_deg(place, days + half) - altitudes_deg(place, days - half)
    slow = ALTITUDE_ERROR_DEG / np.maximum(np.abs(climbed) / 60, ALTITUDE_ERROR_DEG / (_DAY_S / 2))
    return [int(error) for error in np.ceil(np.maximum(slow, LEAST_ERROR_S))]


def _arrays(place: Place) -> tuple[Array, Array]:
    return np.array([place.latitude_deg]), np.array([place.longitude_deg])
