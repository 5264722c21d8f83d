"""Pressure altitude and density altitude, by the rules of thumb pilots use.

Pressure altitude is elevation + 1,000 ft for each inch of mercury that the altimeter setting is below 29.92. Density altitude
is that + 120 ft for each degree Celsius above standard, which is 15 degrees less 2 for each 1,000 ft of pressure altitude.
Source: rules of thumb of pilot training, seen at second hand.
"""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

STANDARD_INHG = Decimal("29.92")
_FEET_PER_INCH = Decimal(1000)
_FEET_PER_DEGREE = Decimal(120)
_STANDARD_DEGC, _LAPSE_DEGC = Decimal(15), Decimal(2)


class AirAltitudes(NamedTuple):
    """Both altitudes in feet."""

    pressure_ft: Decimal
    density_ft: Decimal


def air_altitudes(elevation_ft: Decimal, altimeter_inhg: Decimal, temperature_degc: Decimal) -> AirAltitudes:
    """Pressure and density altitude of a place by its elevation, the altimeter setting and the temperature."""
    pressure = elevation_ft + (STANDARD_INHG - altimeter_inhg) * _FEET_PER_INCH
    standard = _STANDARD_DEGC - _LAPSE_DEGC * pressure / 1000
    return AirAltitudes(pressure, pressure + _FEET_PER_DEGREE * (temperature_degc - standard))
