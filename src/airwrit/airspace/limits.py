"""Floors and ceilings: feet and what they are measured from; whether heights reach a volume, and by how much."""

from __future__ import annotations

import math
import re
from collections.abc import Mapping, Sequence
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, NamedTuple, TypeAlias

from airwrit.airspace.problems import FeatureFault
from airwrit.base.errors import UsageError


class Reference(StrEnum):
    """What a height is measured from."""

    GROUND = "ground"
    SEA = "sea"
    PRESSURE = "pressure"
    NONE = "none"


class HeightLimit(NamedTuple):
    """A floor or a ceiling in feet; with no reference it is the ground for a floor and no end for a ceiling."""

    feet: int
    reference: Reference


OPEN = HeightLimit(0, Reference.NONE)
"""What stands for a limit that can't be read: everything from the ground up."""

SURFACE = HeightLimit(0, Reference.GROUND)


class GroundSpan(NamedTuple):
    """The lowest and the highest ground of a place, in feet above sea level."""

    lowest_ft: float
    highest_ft: float


class HeightBand(NamedTuple):
    """The heights of a flight: the lowest and the highest, in feet above the ground or above sea level."""

    low_ft: float
    high_ft: float
    reference: Reference = Reference.GROUND


class Reach(StrEnum):
    """Whether a flight comes into a volume by its heights."""

    IN = "in"
    BELOW_FLOOR = "below_floor"
    ABOVE_CEILING = "above_ceiling"
    CANT_TELL = "cant_tell"


class HeightsShared(NamedTuple):
    """Whether heights reach a volume; the most feet they share; the least feet that are between, where they don't."""

    reach: Reach
    overlap_ft: float | None = None
    clear_ft: float | None = None


FT_PER_M = 1 / Decimal("0.3048")
PRESSURE_FT = 3_000
"""A flight level may lie that far from the same feet above sea level. From memory of record pressures; wider on purpose."""

_Span: TypeAlias = tuple[float, float]
_WRITTEN = re.compile(
    r"(?:FL ?(?P<level>\d{2,3})|(?P<number>[\d,]+) ?(?P<unit>[A-Z]+)? ?(?P<reference>[A-Z]+)?)"
)
_SURFACE_WORDS = ("SFC", "SURFACE", "GND", "GROUND", "0")
_NO_END = ("UNL", "UNLIMITED", "UNLIM")


def read_limit(
    written: Sequence[Any], words: Mapping[str, Mapping[str, str]], *, floor: bool
) -> tuple[HeightLimit, FeatureFault | None]:
    """A limit of three fields: value, unit, reference. What can't be read is open, with the fault."""
    value, unit, reference = written
    number = whole_number(value)
    if number is None or number < 0:
        return OPEN, FeatureFault.NUMBER
    spoken = str(reference or "").strip().upper()
    if number == 0 and spoken == "SFC":
        return SURFACE, None
    measured = words["units"].get(str(unit or "").strip().upper())
    if measured is None:
        return OPEN, FeatureFault.UNIT
    if measured == "fl":
        return HeightLimit(number * 100, Reference.PRESSURE), None
    known = words["references"].get(spoken)
    if known is None or spoken == "SFC":  # feet above "the surface" may be meant either way
        return OPEN, FeatureFault.REFERENCE
    return HeightLimit(_in_feet(number, measured, floor=floor), Reference(known)), None


def read_written_limit(
    text: Any, words: Mapping[str, Mapping[str, str]], *, floor: bool
) -> tuple[HeightLimit, FeatureFault | None]:
    """A limit written as one text, such as `400 ft AGL`, `SFC` or `FL180`. What can't be read is open, with the fault."""
    said = " ".join(str("" if text is None else text).upper().split())
    if said in _SURFACE_WORDS and floor:
        return SURFACE, None
    if said in _NO_END and not floor:
        return OPEN, None
    found = _WRITTEN.fullmatch(said)
    if found is None:
        return OPEN, FeatureFault.NUMBER
    if found["level"]:
        return HeightLimit(int(found["level"]) * 100, Reference.PRESSURE), None
    number, unit, reference = found["number"].replace(",", ""), found["unit"], found["reference"]
    return read_limit((number, unit, reference), words, floor=floor)


def typed_limit(text: str, words: Mapping[str, Mapping[str, str]], *, floor: bool) -> HeightLimit:
    """A limit that somebody typed. UsageError where it can't be read: nothing is guessed of what can be asked again."""
    limit, fault = read_written_limit(text, words, floor=floor)
    if fault is not None:
        raise UsageError(
            f"{text!r} isn't a height we can use",
            where="--floor" if floor else "--ceiling",
            do="write it like 400 ft AGL, 2500 ft MSL, FL180, SFC or unlimited",
        )
    return limit


def whole_number(value: Any) -> int | None:
    """A whole number written as number or text; None for anything else."""
    if value is None or isinstance(value, bool) or len(str(value)) > 12:
        return None
    try:
        number = Decimal(str(value).strip())
    except InvalidOperation:
        return None
    return int(number) if number.is_finite() and abs(number) < 10**9 and number == int(number) else None


def is_upside_down(floor: HeightLimit, ceiling: HeightLimit) -> bool:
    """Whether a floor is above its ceiling, where both are measured from the same."""
    return floor.reference is ceiling.reference and floor.feet > ceiling.feet


def shared(
    floor: HeightLimit, ceiling: HeightLimit, band: HeightBand, ground: GroundSpan | None
) -> HeightsShared:
    """Whether the heights of a flight reach a volume, its floor and its ceiling included, and the most feet they share.

    A floor that comes out above its ceiling counts as the ceiling. A ceiling that can't be compared counts as high enough.
    """
    low, high = (_Height(feet, band.reference) for feet in (band.low_ft, band.high_ft))
    bottom = _Height(-math.inf if floor.reference is Reference.NONE else floor.feet, floor.reference)
    top = _Height(math.inf if ceiling.reference is Reference.NONE else ceiling.feet, ceiling.reference)
    into, out = _above(high, bottom, ground), _above(top, low, ground)
    over_top = _above(high, top, ground)
    if into is not None and over_top is not None and math.isfinite(over_top[0]):
        into = (max(into[0], over_top[0]), max(into[1], over_top[1]))
    if into is not None and into[1] < 0:
        return HeightsShared(Reach.BELOW_FLOOR, clear_ft=-into[1])
    if out is not None and out[1] < 0:
        return HeightsShared(Reach.ABOVE_CEILING, clear_ft=-out[1])
    if into is None or into[0] < 0:
        return HeightsShared(Reach.CANT_TELL)
    sizes = [into[1], band.high_ft - band.low_ft, *([] if out is None else [out[1]])]
    thick = _above(top, bottom, ground)
    overlap = min([*sizes, *([] if thick is None or thick[1] < 0 else [thick[1]])])
    return HeightsShared(Reach.IN, overlap_ft=max(0.0, overlap))


class _Height(NamedTuple):
    feet: float
    reference: Reference


def _above(one: _Height, other: _Height, ground: GroundSpan | None) -> _Span | None:
    """The least and the most feet that one height may be above another; None where that can't be told."""
    if math.isinf(one.feet) or math.isinf(other.feet):
        return (math.inf, math.inf)
    if one.reference is other.reference:
        return (one.feet - other.feet, one.feet - other.feet)
    spans = [_above_sea(height, ground) for height in (one, other)]
    if spans[0] is None or spans[1] is None:
        return None
    return (spans[0][0] - spans[1][1], spans[0][1] - spans[1][0])


def _above_sea(height: _Height, ground: GroundSpan | None) -> _Span | None:
    if height.reference is Reference.SEA:
        return (height.feet, height.feet)
    if height.reference is Reference.PRESSURE:
        return (height.feet - PRESSURE_FT, height.feet + PRESSURE_FT)
    if ground is None:
        return None
    return (ground.lowest_ft + height.feet, ground.highest_ft + height.feet)


def _in_feet(number: int, unit: str, *, floor: bool) -> int:
    if unit == "ft":
        return number
    rounding = ROUND_FLOOR if floor else ROUND_CEILING
    return int((number * FT_PER_M).to_integral_value(rounding))
