"""What can be wrong with a feature of a file, and what a reading of one keeps."""

from __future__ import annotations

from enum import StrEnum
from typing import NamedTuple


class FeatureFault(StrEnum):
    """Why a feature, or a part of it, can't be taken as it is written."""

    NO_PLACE = "no_place"
    SWAPPED = "swapped"
    OFF_THE_EARTH = "off_the_earth"
    OTHER_PLACE = "other_place"
    NOT_AN_AREA = "not_an_area"
    DAMAGED_OUTLINE = "damaged_outline"
    NUMBER = "number"
    UNIT = "unit"
    REFERENCE = "reference"
    FLOOR_ABOVE_CEILING = "floor_above_ceiling"
    TIME = "time"
    TWO_NUMBERS = "two_numbers"
    CUT_SHORT = "cut_short"
    NO_CONTENT = "no_content"


UNPLACED = frozenset(
    {
        FeatureFault.NO_PLACE,
        FeatureFault.SWAPPED,
        FeatureFault.OFF_THE_EARTH,
        FeatureFault.OTHER_PLACE,
        FeatureFault.NOT_AN_AREA,
        FeatureFault.CUT_SHORT,
        FeatureFault.NO_CONTENT,
    }
)
"""Faults that leave open where something is: no answer from that edition is sure anywhere."""


class FeatureProblem(NamedTuple):
    """A fault, the feature it was found in, and what was written there."""

    fault: FeatureFault
    feature: str
    detail: str = ""
