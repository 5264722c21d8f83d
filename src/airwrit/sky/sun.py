"""Where the sun is: declination, right ascension and altitude for whole arrays of moments and places.

Source: Jean Meeus, Astronomical Algorithms, chapters 12, 22, 25 and 28 (the formulas behind the NOAA solar calculator), with
the five periodic terms that his Astronomical Formulae for Calculators, chapter 18, adds for Venus, Jupiter and the moon; both
from memory, so the numbers are held against published tables and another library in tests/checks. Moments are days since
2000-01-01 12:00 UTC (`days`); angles are degrees, latitude north and longitude east positive. Good to 0.005 degrees from 1950
to 2053, as far as the other library goes.
"""

from __future__ import annotations

from datetime import UTC, datetime
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Array: TypeAlias = NDArray[np.float64]

EPOCH = datetime(2000, 1, 1, 12, tzinfo=UTC)
_CENTURY = 36525.0
_DAY_S = 86400.0
_A_DAY = 8


class Sun(NamedTuple):
    """The sun at moments, all `(n,)`: sine and cosine of its declination, and its hour angle at Greenwich in degrees."""

    sin_declination: Array
    cos_declination: Array
    greenwich_hour_angle_deg: Array


def delta_t_s(days: Array) -> Array:
    """Seconds by which even time is ahead of the earth's turning: 63.8 in 2000, 69.2 in 2025, straight on either side.

    Source: values of the earth-rotation bulletins, from memory; 10 s more or less move a sunrise by 0.03 s.
    """
    return np.interp(days, (-18262.0, 0.0, 9132.0, 36525.0), (29.0, 63.8, 69.2, 93.0))


def sun_at(days: Array) -> Sun:
    """The sun at moments `(n,)` of days since 2000-01-01 12:00 UTC."""
    century = (days + delta_t_s(days) / _DAY_S) / _CENTURY
    longitude = np.radians(_true_longitude_deg(century))
    node = np.radians(125.04452 - 1934.136261 * century)
    apparent = longitude + np.radians(-0.00569 - 0.00478 * np.sin(node))
    tilt = np.radians(23.4392911 - 0.0130042 * century + 0.00256 * np.cos(node))
    sin_longitude = np.sin(apparent)
    right_ascension = np.arctan2(np.cos(tilt) * sin_longitude, np.cos(apparent))
    sin_declination = np.sin(tilt) * sin_longitude
    turned = 280.46061837 + 360.98564736629 * days - 0.00478 * np.sin(node) * np.cos(tilt)
    return Sun(
        sin_declination,
        np.sqrt(1 - sin_declination**2),
        np.remainder(turned - np.degrees(right_ascension), 360.0),
    )


class SunTable:
    """The sun through a span of days, worked out every three hours once for all places and taken straight in between.

    The straight line is off by less than 0.00003 degrees: the declination bends by at most 0.00012 radians a day squared.
    """

    __slots__ = ("_cos", "_first", "_sin", "_turn_deg")

    def __init__(self, first: float, last: float) -> None:
        """`first` and `last` are days since 2000-01-01 12:00 UTC; a moment outside them is off by more."""
        self._first = np.floor(first) - 1
        days = self._first + np.arange(int((np.ceil(last) - self._first + 1) * _A_DAY) + 2) / _A_DAY
        sun = sun_at(days)
        self._sin, self._cos = sun.sin_declination, sun.cos_declination
        ahead = np.remainder(sun.greenwich_hour_angle_deg - 360 * days + 180, 360) - 180
        self._turn_deg = np.unwrap(ahead, period=360)

    def at(self, days: Array) -> Sun:
        """The sun at moments of any shape; the hour angle is not brought back into 0 to 360."""
        place = (days - self._first) * _A_DAY
        left = np.clip(place.astype(np.intp), 0, self._sin.size - 2)
        part = place - left
        sine, cosine, ahead = (_between(row, left, part) for row in (self._sin, self._cos, self._turn_deg))
        return Sun(sine, cosine, ahead + 360 * days)


def _between(row: Array, left: NDArray[np.intp], part: Array) -> Array:
    begin: Array = row[left]
    return begin + part * (row[left + 1] - begin)


def _true_longitude_deg(century: Array) -> Array:
    """The sun's true longitude `(n,)` for moments in Julian centuries since 2000."""
    mean = 280.46646 + 36000.76983 * century + 0.0003032 * century**2
    anomaly = np.radians(357.52911 + 35999.05029 * century - 0.0001537 * century**2)
    center = (
        (1.914602 - 0.004817 * century) * np.sin(anomaly)
        + (0.019993 - 0.000101 * century) * np.sin(2 * anomaly)
        + 0.000289 * np.sin(3 * anomaly)
    )
    since_1900 = century + 1
    pulls = (
        0.00134 * np.cos(np.radians(153.23 + 22518.7541 * since_1900))
        + 0.00154 * np.cos(np.radians(216.57 + 45037.5082 * since_1900))
        + 0.00200 * np.cos(np.radians(312.69 + 32964.3577 * since_1900))
        + 0.00179 * np.sin(np.radians(350.74 + 445267.1142 * since_1900 - 0.00144 * since_1900**2))
        + 0.00178 * np.sin(np.radians(231.19 + 20.20 * since_1900))
    )
    total: Array = mean + center + pulls
    return total
