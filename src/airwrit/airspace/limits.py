"""Floors and ceilings: a number of feet and what it is measured from, and whether a flight reaches a floor."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.airspace.problems import FeatureFault


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


class Reach(StrEnum):
    """Whether a flight from the ground up to its height comes into a volume."""

    IN = "in"
    BELOW_FLOOR = "below_floor"
    CANT_TELL = "cant_tell"


def read_limit(
    value: Any, unit: Any, reference: Any, words: Mapping[str, Mapping[str, str]]
) -> tuple[HeightLimit, FeatureFault | None]:
    """A limit of three fields. What can't be read is open, with the fault."""
    number = whole_number(value)
    if number is None or number < 0:
        return OPEN, FeatureFault.NUMBER
    known = words["references"].get(str(reference or "").strip().upper())
    if number == 0 and str(reference or "").strip().upper() == "SFC":
        return HeightLimit(0, Reference.GROUND), None
    measured = words["units"].get(str(unit or "").strip().upper())
    if measured is None:
        return OPEN, FeatureFault.UNIT
    if measured == "fl":
        return HeightLimit(number * 100, Reference.PRESSURE), None
    if (
        known is None or str(reference).strip().upper() == "SFC"
    ):  # feet above "the surface" may be meant either way
        return OPEN, FeatureFault.REFERENCE
    return HeightLimit(number, Reference(known)), None


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


def reach(floor: HeightLimit, height_ft: float, ground_ft: float | None) -> Reach:
    """Whether a flight up to a height above ground comes up to a floor; the floor itself counts.

    A floor above sea level needs the height of the ground; one by pressure can't be told from heights alone.
    """
    if floor.reference is Reference.NONE:
        return Reach.IN
    if floor.reference is Reference.GROUND:
        return Reach.IN if floor.feet <= height_ft else Reach.BELOW_FLOOR
    if floor.reference is Reference.PRESSURE or ground_ft is None:
        return Reach.CANT_TELL
    return Reach.IN if floor.feet <= ground_ft + height_ft else Reach.BELOW_FLOOR
