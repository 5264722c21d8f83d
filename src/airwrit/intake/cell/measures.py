"""Heights, distances, speeds and amounts as somebody writes them, in the unit of the fact they are for."""

from __future__ import annotations

import re
from decimal import ROUND_HALF_EVEN, Decimal

from airwrit.base.errors import BadFact
from airwrit.base.measured import METERS, METERS_AN_HOUR
from airwrit.facts.key import raw_of
from airwrit.intake.cell.quantities import number_of
from airwrit.intake.cell.value import clean, shown

_MEASURE = re.compile(r"([+-]?\d[\d ',.]*?) ?([a-z/$'\u2032]+(?: [a-z]+)*)?\.?", re.IGNORECASE)
_DEGREES = re.compile(r"([+-]?\d[\d.]*) ?(?:°|deg(?:rees)?)? ?(f|fahrenheit|c|celsius)", re.IGNORECASE)
_FRACTION = re.compile(r"(?:(\d+)[ -])?(\d{1,2})/(2|4|8|16)( ?[a-z].*)?", re.IGNORECASE)
_ROUGH = re.compile(r"(?:about|around|approx(?:imately)?\.?|roughly|ca\.?|~|≈)(?![a-z])", re.IGNORECASE)
_CELSIUS = "°C"
_PLACES = Decimal("0.000001")
"""A converted number is kept to a millionth of its unit."""
_CALLED = {
    "ft": ("feet", "foot", "ft agl", "feet agl", "'"),
    "m": ("meter", "meters", "metre", "metres"),
    "yd": ("yard", "yards", "yds"),
    "km": ("kilometer", "kilometers"),
    "mi": ("mile", "miles"),
    "sm": ("statute mile", "statute miles"),
    "nm": ("nautical mile", "nautical miles", "nmi"),
    "in": ("inch", "inches"),
    "cm": ("centimeter", "centimeters"),
    "mm": ("millimeter", "millimeters"),
    "kt": ("kts", "knot", "knots"),
    "mph": ("miles an hour", "miles per hour"),
    "km/h": ("kph", "kmh"),
    "m/s": ("mps", "meters per second"),
    "ft/s": ("fps", "feet per second"),
    "usd": ("$", "dollar", "dollars", "us dollars"),
}
_UNITS = {name: unit for unit, names in _CALLED.items() for name in (unit, *names)}
_ALIKE = (METERS, METERS_AN_HOUR)
"""Units that can be turned into one another."""


def read_measure(text: str, unit: str) -> str:
    """The number in `unit` that a text tells, as a statement keeps it; a number without a unit is in `unit` already.

    BadFact for what is no number, and for a unit that measures something else.
    """
    said = clean(text).text.removeprefix("$").strip()
    said = _celsius(said) if unit == _CELSIUS else _whole(said)
    found = _MEASURE.fullmatch(said)
    number = None if found is None else number_of(found[1].strip(), None)
    like = f"write it like 120 {unit}" if unit else "write a number"
    if _ROUGH.match(said):
        raise BadFact(
            f"{shown(text)} isn't exact enough to use", do="measure it, or enter the value you are sure of"
        )
    if found is None or number is None:
        raise BadFact(f"{shown(text)} isn't a plain number", do=like)
    written = (found[2] or "").casefold()
    if not written or written == unit:
        return str(raw_of(number))
    told = _UNITS.get(written)
    if told == unit:
        return str(raw_of(number))
    table = next((table for table in _ALIKE if told in table and unit in table), None)
    if table is None or told is None:
        raise BadFact(f"{shown(text)} has a unit we can't use here", do=like)
    converted = (number * table[told] / table[unit]).quantize(_PLACES, ROUND_HALF_EVEN)
    return str(raw_of(converted)).rstrip("0").rstrip(".")


def _whole(text: str) -> str:
    """A number with a fraction of halves to sixteenths, as visibility is told, with decimals; any other text as it is."""
    found = _FRACTION.fullmatch(text)
    if found is None:
        return text
    whole, over, under, rest = found.groups(default="")
    return f"{Decimal(whole or 0) + Decimal(over) / Decimal(under)}{rest}"


def _celsius(text: str) -> str:
    """Degrees with their letter as a bare number in Celsius, to a tenth; any other text as it is."""
    found = _DEGREES.fullmatch(text)
    number = None if found is None else number_of(found[1], None)
    if found is None or number is None:
        return text
    is_fahrenheit = found[2][0] in "fF"
    return format(((number - 32) / Decimal("1.8") if is_fahrenheit else number).quantize(Decimal("0.1")), "f")
