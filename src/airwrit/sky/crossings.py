"""When the sun crosses a level: all risings and settings of many places through a span of time, none made up, none lost.

Each solar day, from one lower transit to the next, is first worked out by the hour angle and three Newton steps on the
altitude. Where the crossing grazes, or a step doesn't come to rest, the whole solar day is looked at every two minutes and
each change of side halved down. A day without a crossing has none, and a civil day may have two of a kind.
"""

from __future__ import annotations

from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from airwrit.sky.sun import Array, Sun, SunTable

Index: TypeAlias = NDArray[np.intp]
Mask: TypeAlias = NDArray[np.bool_]

PARALLAX_DEG = 8.794 / 3600
"""By how much the sun stands lower on the horizon from the ground than from the earth's center, at its mean distance.

Source: this and the radius, 959.63 seconds of arc, are the Astronomical Almanac's, from memory.
"""
_RADIUS_DEG = 959.63 / 3600
_STEPS = 3
_AT_REST_DAYS = 2e-5
_GRAZING = 0.01
_LOOKS = 721
_HALVINGS = 16
_LOOKED_AT_ONCE = 256


class Crossings(NamedTuple):
    """Crossings in order of place and time, all `(k,)`: which place, days since 2000-01-01 12:00 UTC, upward or not."""

    place: Index
    days: Array
    rising: Mask


class Level(NamedTuple):
    """An altitude of the sun as seen from the ground with no air in the way: of its center, or of its upper edge."""

    seen_deg: float
    is_of_the_edge: bool

    def center_deg(self, over_distance: Array) -> Array:
        """Where the sun's center is seen when the sun is at the level, by one over its distance."""
        return self.seen_deg - (_RADIUS_DEG * over_distance if self.is_of_the_edge else 0.0 * over_distance)

    def sine(self, over_distance: Array) -> Array:
        """Sine of the altitude of the sun's center from the earth's center when the sun is at the level."""
        center = np.radians(self.center_deg(over_distance))
        found: Array = np.sin(center + np.radians(PARALLAX_DEG) * over_distance * np.cos(center))
        return found


class _SolarDays(NamedTuple):
    """Solar days of places, all `(n,)`: which place, its coordinates, and the moment of the upper transit."""

    place: Index
    latitude_deg: Array
    longitude_deg: Array
    transit: Array

    def only(self, those: Mask | slice) -> _SolarDays:
        """The solar days that a mask or a slice picks."""
        return _SolarDays(
            self.place[those], self.latitude_deg[those], self.longitude_deg[those], self.transit[those]
        )


def sine_of_altitude(sun: Sun, latitude_deg: Array, longitude_deg: Array) -> Array:
    """Sine of the geometric altitude of the sun's center, seen from the earth's center."""
    latitude = np.radians(latitude_deg)
    hour_angle = np.radians(sun.greenwich_hour_angle_deg + longitude_deg)
    up: Array = np.sin(latitude) * sun.sin_declination
    return up + np.cos(latitude) * sun.cos_declination * np.cos(hour_angle)


def crossings(
    latitude_deg: Array, longitude_deg: Array, first: float, last: float, level: Level
) -> Crossings:
    """Every crossing of a level from `first` to `last` (days since 2000-01-01 12:00 UTC) at places `(p,)`."""
    table = SunTable(first - 2, last + 2)
    solar = _solar_days(table, latitude_deg, longitude_deg, first, last)
    sun = table.at(solar.transit)
    goal = level.sine(sun.over_distance)
    latitude = np.radians(solar.latitude_deg)
    reach = np.cos(latitude) * sun.cos_declination
    with np.errstate(divide="ignore", invalid="ignore"):
        cosine = (goal - np.sin(latitude) * sun.sin_declination) / reach
        margin = _GRAZING / np.cos(latitude)
    crossed = np.abs(cosine) <= 1 - margin
    grazing = ~crossed & ~(np.abs(cosine) > 1 + margin)
    plain = solar.only(crossed)
    turn_days = np.degrees(np.arccos(cosine[crossed])) / 360
    early, early_off = _newton(table, plain, -turn_days, goal[crossed])
    late, late_off = _newton(table, plain, turn_days, goal[crossed])
    restless = early_off | late_off
    calm = ~restless
    parts = [
        (plain.place[calm], at[calm], np.full(int(calm.sum()), up))
        for at, up in ((early, True), (late, False))
    ]
    parts += _looked_at(table, solar.only(grazing), level) + _looked_at(table, plain.only(restless), level)
    return _in_order(parts, first, last)


def _solar_days(
    table: SunTable, latitude_deg: Array, longitude_deg: Array, first: float, last: float
) -> _SolarDays:
    numbers = np.arange(np.floor(first) - 1, np.ceil(last) + 2)
    place = np.repeat(np.arange(latitude_deg.size), numbers.size)
    longitude = longitude_deg[place]
    guess = np.tile(numbers, latitude_deg.size) - longitude / 360
    behind = np.remainder(table.at(guess).greenwich_hour_angle_deg + longitude + 180, 360) - 180
    return _SolarDays(place, latitude_deg[place], longitude, guess - behind / 360)


def _newton(table: SunTable, solar: _SolarDays, from_transit: Array, goal: Array) -> tuple[Array, Mask]:
    """The moments after the steps, and which did not come to rest on their own half of the solar day."""
    latitude = np.radians(solar.latitude_deg)
    sin_latitude, cos_latitude = np.sin(latitude), np.cos(latitude)
    at, step = solar.transit + from_transit, np.zeros_like(from_transit)
    for _ in range(_STEPS):
        sun = table.at(at)
        hour_angle = np.radians(sun.greenwich_hour_angle_deg + solar.longitude_deg)
        reach = cos_latitude * sun.cos_declination
        height = sin_latitude * sun.sin_declination + reach * np.cos(hour_angle)
        with np.errstate(divide="ignore", invalid="ignore"):
            step = (height - goal) / (2 * np.pi * reach * np.sin(hour_angle))
        at = at + step
    way = (at - solar.transit) * np.sign(from_transit)
    restless: Mask = ~((np.abs(step) < _AT_REST_DAYS) & (way > 0) & (way < 0.5))
    return at, restless


def _looked_at(table: SunTable, solar: _SolarDays, level: Level) -> list[tuple[Index, Array, Mask]]:
    """The crossings of whole solar days by looking every two minutes."""
    found = []
    spread = np.linspace(-0.5, 0.5, _LOOKS)
    for start in range(0, solar.place.size, _LOOKED_AT_ONCE):
        some = solar.only(slice(start, start + _LOOKED_AT_ONCE))
        moments = some.transit[:, None] + spread
        above = _is_above(table, some.latitude_deg[:, None], some.longitude_deg[:, None], moments, level)
        row, column = np.nonzero(above[:, 1:] != above[:, :-1])
        rising = above[row, column + 1]
        low, high = moments[row, column], moments[row, column + 1]
        for _ in range(_HALVINGS):
            middle = (low + high) / 2
            above = _is_above(table, some.latitude_deg[row], some.longitude_deg[row], middle, level)
            reached = above == rising
            low, high = np.where(reached, low, middle), np.where(reached, middle, high)
        found.append((some.place[row], (low + high) / 2, rising))
    return found


def _is_above(
    table: SunTable, latitude_deg: Array, longitude_deg: Array, moments: Array, level: Level
) -> Mask:
    sun = table.at(moments)
    above: Mask = sine_of_altitude(sun, latitude_deg, longitude_deg) >= level.sine(sun.over_distance)
    return above


def _in_order(parts: list[tuple[Index, Array, Mask]], first: float, last: float) -> Crossings:
    place, days, rising = (np.concatenate(columns) for columns in zip(*parts, strict=True))
    inside = (days >= first) & (days < last)
    place, days, rising = place[inside], days[inside], rising[inside]
    order = np.lexsort((days, place))
    place, days, rising = place[order], days[order], rising[order]
    again = np.zeros(days.shape, dtype=bool)
    again[1:] = (place[1:] == place[:-1]) & (rising[1:] == rising[:-1])
    return Crossings(place[~again], days[~again], rising[~again])
