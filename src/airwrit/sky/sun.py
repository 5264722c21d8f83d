"""Where the sun is: declination, hour angle and distance for whole arrays of moments.

Source: the earth's place by the terms of VSOP87 that make 0.15 seconds of arc or more, as table A4.2 of Reda and Andreas, Solar
Position Algorithm for Solar Radiation Applications (NREL/TP-560-34302), prints them and a public library repeats them;
nutation, aberration and sidereal time by Jean Meeus, Astronomical Algorithms, chapters 12, 22 and 25, from memory. The numbers
are held against published tables and other libraries in tests/checks. Moments are days since 2000-01-01 12:00 UTC (`days`);
angles are degrees, latitude north and longitude east positive. Good to 0.0005 degrees from 1950 to 2053, as far as the other
libraries go.
"""

from __future__ import annotations

import csv
from datetime import UTC, datetime
from functools import cache
from pathlib import Path
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]

EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)
_CENTURY = 36525.0
_AT_ONCE = 2048
"""So many moments are worked out side by side."""
_DAY_S = 86400.0
_A_DAY = 8
_MILLENNIUM = 365250.0
_TERMS = Path(__file__).with_name("earth_terms.csv")


class Sun(NamedTuple):
    """The sun at moments, all `(n,)`: sine and cosine of its declination, its hour angle at Greenwich in degrees, and one
    over its distance in astronomical units.
    """

    sin_declination: Array
    cos_declination: Array
    greenwich_hour_angle_deg: Array
    over_distance: Array


def delta_t_s(days: Array) -> Array:
    """Seconds by which even time is ahead of the earth's turning: 63.8 in 2000, 69.2 in 2025, straight on either side.

    Source: values of the earth-rotation bulletins, from memory; 10 s more or less move a sunrise by 0.03 s.
    """
    return np.interp(days, (-18262.0, 0.0, 9132.0, 36525.0), (29.0, 63.8, 69.2, 93.0))


def sun_at(days: Array) -> Sun:
    """The sun at moments `(n,)` of days since 2000-01-01 12:00 UTC."""
    even = days + delta_t_s(days) / _DAY_S
    century = even / _CENTURY
    over_distance = 1 / _series("R", even / _MILLENNIUM)
    nutation, tilt = _nutation_and_tilt_deg(century)
    true = np.degrees(_series("L", even / _MILLENNIUM)) + 180 - 0.09033 / 3600
    apparent = np.radians(true + nutation - 20.4898 / 3600 * over_distance)
    sin_longitude, slant = np.sin(apparent), np.radians(tilt)
    right_ascension = np.arctan2(np.cos(slant) * sin_longitude, np.cos(apparent))
    sin_declination = np.sin(slant) * sin_longitude
    turned = 280.46061837 + 360.98564736629 * days + 0.000387933 * century**2 + nutation * np.cos(slant)
    return Sun(
        sin_declination,
        np.sqrt(1 - sin_declination**2),
        np.remainder(turned - np.degrees(right_ascension), 360.0),
        over_distance,
    )


class SunTable:
    """The sun through a span of days, worked out every three hours once for all places and taken straight in between.

    The straight line is off by less than 0.00003 degrees: the declination bends by at most 0.00012 radians a day squared.
    """

    __slots__ = ("_cos", "_first", "_over_distance", "_sin", "_turn_deg")

    def __init__(self, first: float, last: float) -> None:
        """`first` and `last` are days since 2000-01-01 12:00 UTC; a moment outside them is off by more."""
        self._first = np.floor(first) - 1
        days = self._first + np.arange(int((np.ceil(last) - self._first + 1) * _A_DAY) + 2) / _A_DAY
        sun = sun_at(days)
        self._sin, self._cos = sun.sin_declination, sun.cos_declination
        self._over_distance = sun.over_distance
        ahead = np.remainder(sun.greenwich_hour_angle_deg - 360 * days + 180, 360) - 180
        self._turn_deg = np.unwrap(ahead, period=360)

    def at(self, days: Array) -> Sun:
        """The sun at moments of any shape; the hour angle is not brought back into 0 to 360."""
        place = (days - self._first) * _A_DAY
        left = np.clip(place.astype(np.intp), 0, self._sin.size - 2)
        part = place - left
        rows = (self._sin, self._cos, self._turn_deg)
        sine, cosine, ahead = (_between(row, left, part) for row in rows)
        return Sun(sine, cosine, ahead + 360 * days, self._over_distance[left])


def _between(row: Array, left: NDArray[np.intp], part: Array) -> Array:
    begin: Array = row[left]
    return begin + part * (row[left + 1] - begin)


@cache
def _terms(series: str) -> tuple[tuple[Array, Array, Array], ...]:
    """Amplitudes, phases and speeds of a series, those of each power of time, from the zeroth up."""
    with _TERMS.open(encoding="ascii", newline="") as file:
        rows = [row for row in csv.DictReader(file) if row["series"].startswith(series)]
    powers = sorted({row["series"] for row in rows})
    return tuple(_columns([row for row in rows if row["series"] == power]) for power in powers)


def _columns(rows: list[dict[str, str]]) -> tuple[Array, Array, Array]:
    names = ("amplitude", "phase", "speed")
    amplitude, phase, speed = (np.array([float(row[name]) for row in rows]) for name in names)
    return amplitude, phase, speed


def _series(name: str, millennium: Array) -> Array:
    """A sum of cosines `(n,)` for moments in Julian millennia since 2000: L is a longitude in radians, R a distance."""
    moments = millennium.ravel()
    total = np.zeros_like(moments)
    for at in range(0, moments.size, _AT_ONCE):
        some = moments[at : at + _AT_ONCE]
        for power, (amplitude, phase, speed) in enumerate(_terms(name)):
            waves = np.cos(phase[:, None] + speed[:, None] * some)
            total[at : at + _AT_ONCE] += amplitude @ waves * some**power
    return total.reshape(millennium.shape)


def _nutation_and_tilt_deg(century: Array) -> tuple[Array, Array]:
    """Nutation in longitude, and the true tilt of the earth's axis, both `(n,)`."""
    node = np.radians(125.04452 - 1934.136261 * century)
    sun, moon = np.radians(280.4665 + 36000.7698 * century), np.radians(218.3165 + 481267.8813 * century)
    nutation = (
        -17.20 * np.sin(node) - 1.32 * np.sin(2 * sun) - 0.23 * np.sin(2 * moon) + 0.21 * np.sin(2 * node)
    )
    tilting = 9.20 * np.cos(node) + 0.57 * np.cos(2 * sun) + 0.10 * np.cos(2 * moon) - 0.09 * np.cos(2 * node)
    return nutation / 3600, 23.4392911 - 0.0130042 * century + tilting / 3600
