"""Degrees as whole numbers, so that what lies on an edge is told exactly as the file wrote it.

One unit is 10 to the power of -15 degrees. Fifteen decimals are all that a number of a common export has; 64 bits hold it.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from airwrit.base.places import Place

DEGREE = 10**15
TURN = 360 * DEGREE


class FixedPoint(NamedTuple):
    """Latitude and longitude in units of 10 to the power of -15 degrees."""

    latitude: int
    longitude: int


class FixedBox(NamedTuple):
    """Least and greatest latitude, least and greatest longitude, in the same units; a longitude may pass 180 degrees."""

    south: int
    north: int
    west: int
    east: int


def fixed(degrees: Decimal) -> int:
    """Decimal degrees in whole units."""
    return int((degrees * DEGREE).to_integral_value())


def point_of(place: Place) -> FixedPoint:
    """A place in whole units, by the shortest decimals that tell it."""
    return FixedPoint(*(fixed(Decimal(repr(float(degrees)))) for degrees in place))
