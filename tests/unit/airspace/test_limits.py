"""Floors and ceilings: how they are read and which faults they may have; whether heights reach them, and by how much."""

from __future__ import annotations

from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.airspace.limits import (
    OPEN,
    SURFACE,
    GroundSpan,
    HeightBand,
    HeightLimit,
    Reach,
    Reference,
    read_limit,
    read_written_limit,
    shared,
    typed_limit,
)
from airwrit.airspace.problems import FeatureFault
from airwrit.airspace.reading import field_names
from airwrit.base.errors import UsageError

AGL, MSL, FL = Reference.GROUND, Reference.SEA, Reference.PRESSURE


@pytest.mark.parametrize(
    ("written", "floor", "limit", "fault"),
    [
        (("FL130 BUT MIN. 1000 FT GND", "FT", "MSL"), True, OPEN, FeatureFault.NUMBER),
        (("FL 65 (MNM ALT 5500FT)", "FL", "STD"), True, OPEN, FeatureFault.NUMBER),
        (("1000FT GND", "FT", "AGL"), False, OPEN, FeatureFault.NUMBER),
        (("2000FT SFC", "FT", "SFC"), True, OPEN, FeatureFault.NUMBER),
        (("1000", "M", "AGL"), True, HeightLimit(3280, AGL), None),
        (("1000", "M", "AGL"), False, HeightLimit(3281, AGL), None),
        (("UNLIM", "", ""), False, OPEN, FeatureFault.NUMBER),
        (("-9998", "FT", "MSL"), True, OPEN, FeatureFault.NUMBER),
        (("180", "FL", "STD"), False, HeightLimit(18_000, FL), None),
        (("0", "FT", "SFC"), True, SURFACE, None),
    ],
)
def test_a_limit_of_fields_is_read_or_open_with_its_fault(
    written: Any, floor: bool, limit: HeightLimit, fault: FeatureFault | None
) -> None:
    assert read_limit(written, field_names(), floor=floor) == (limit, fault)


@pytest.mark.parametrize(
    ("text", "floor", "limit", "fault"),
    [
        ("SFC", True, SURFACE, None),
        ("400 ft AGL", False, HeightLimit(400, AGL), None),
        ("1,500 FT MSL", False, HeightLimit(1500, MSL), None),
        ("FL180", False, HeightLimit(18_000, FL), None),
        ("unlimited", False, OPEN, None),
        ("unlimited", True, OPEN, FeatureFault.NUMBER),
        ("400", False, OPEN, FeatureFault.UNIT),
        ("400 FT", False, OPEN, FeatureFault.REFERENCE),
        ("400 FT SFC", False, OPEN, FeatureFault.REFERENCE),
        ("FL130 BUT MIN. 1000 FT GND", False, OPEN, FeatureFault.NUMBER),
        ("FL 65 (MNM ALT 5500FT)", True, OPEN, FeatureFault.NUMBER),
        ("AH 1000FT GND", True, OPEN, FeatureFault.NUMBER),
        ("1000FT GND", True, OPEN, FeatureFault.REFERENCE),
        ("2000FT SFC", True, OPEN, FeatureFault.REFERENCE),
        ("2000M ASFC", False, OPEN, FeatureFault.REFERENCE),
        ("1000 M AGL", False, HeightLimit(3281, AGL), None),
        ("1000 M AGL", True, HeightLimit(3280, AGL), None),
        ("UNLIM", False, OPEN, None),
        (None, False, OPEN, FeatureFault.NUMBER),
    ],
)
def test_a_limit_of_one_text_is_read_or_open_with_its_fault(
    text: Any, floor: bool, limit: HeightLimit, fault: FeatureFault | None
) -> None:
    assert read_written_limit(text, field_names(), floor=floor) == (limit, fault)
    if fault is not None and text is not None:
        with pytest.raises(UsageError, match="isn't a height we can use"):
            typed_limit(text, field_names(), floor=floor)


GROUND = GroundSpan(790, 860)


@pytest.mark.parametrize(
    ("floor", "ceiling", "band", "ground", "found", "feet"),
    [
        (HeightLimit(700, AGL), OPEN, (0, 400), None, Reach.BELOW_FLOOR, 300),
        (HeightLimit(400, AGL), OPEN, (0, 400), None, Reach.IN, 0),
        (SURFACE, HeightLimit(2500, MSL), (0, 400), None, Reach.IN, 400),
        (SURFACE, HeightLimit(900, MSL), (0, 400), GROUND, Reach.IN, 110),
        (HeightLimit(1200, MSL), OPEN, (0, 400), None, Reach.CANT_TELL, None),
        (HeightLimit(1190, MSL), OPEN, (0, 400), GROUND, Reach.IN, 70),
        (HeightLimit(1191, MSL), OPEN, (0, 400), GROUND, Reach.CANT_TELL, None),
        (HeightLimit(1261, MSL), OPEN, (0, 400), GROUND, Reach.BELOW_FLOOR, 1),
        (SURFACE, HeightLimit(100, AGL), (150, 400), None, Reach.ABOVE_CEILING, 50),
        (HeightLimit(18_000, FL), OPEN, (0, 400), GROUND, Reach.BELOW_FLOOR, 13_740),
        (HeightLimit(4_000, FL), OPEN, (0, 400), GROUND, Reach.CANT_TELL, None),
        (SURFACE, HeightLimit(91_000, FL), (0, 400), GROUND, Reach.IN, 400),
        (OPEN, OPEN, (0, 0), None, Reach.IN, 0),
    ],
)
def test_heights_reach_a_volume_or_not_and_by_how_much(
    floor: HeightLimit,
    ceiling: HeightLimit,
    band: tuple[float, float],
    ground: GroundSpan | None,
    found: Reach,
    feet: float | None,
) -> None:
    told = shared(floor, ceiling, HeightBand(*band), ground)
    assert told.reach is found
    assert (told.overlap_ft if found is Reach.IN else told.clear_ft) == feet


def test_a_floor_above_the_ceiling_over_high_ground_counts_as_the_ceiling() -> None:
    """A floor of 1,200 ft above ground of 5,000 ft lies above a ceiling of 6,000 ft above the sea."""
    floor, ceiling, high = HeightLimit(1200, AGL), HeightLimit(6000, MSL), GroundSpan(5000, 5000)
    assert shared(floor, ceiling, HeightBand(0, 1000), high).reach is Reach.IN
    assert shared(floor, ceiling, HeightBand(0, 999), high).reach is Reach.BELOW_FLOOR


def test_heights_above_the_sea_are_compared_with_heights_above_ground() -> None:
    band = HeightBand(1000, 1300, MSL)
    assert shared(SURFACE, HeightLimit(100, AGL), band, GROUND).reach is Reach.ABOVE_CEILING
    assert shared(SURFACE, HeightLimit(3000, AGL), band, GROUND).overlap_ft == 300
    assert shared(SURFACE, HeightLimit(3000, AGL), band, None).reach is Reach.CANT_TELL


limits = st.builds(HeightLimit, st.integers(0, 4000), st.sampled_from([AGL, MSL]))


@given(
    limits, limits, st.integers(0, 2000), st.integers(0, 2000), st.integers(-100, 3000), st.integers(0, 500)
)
def test_no_height_of_the_ground_contradicts_an_answer(
    floor: HeightLimit, ceiling: HeightLimit, low: int, high: int, lowest: int, rise: int
) -> None:
    """What is surely clear of a volume is clear of it over every ground there may be; what is surely in, in over each."""
    band, ground = HeightBand(min(low, high), max(low, high)), GroundSpan(lowest, lowest + rise)
    told = shared(floor, ceiling, band, ground).reach
    for height in range(lowest, lowest + rise + 1, 50):
        bottom = floor.feet if floor.reference is MSL else floor.feet + height
        top = ceiling.feet if ceiling.reference is MSL else ceiling.feet + height
        inside = min(bottom, top) <= height + band.high_ft and height + band.low_ft <= top
        if told in (Reach.BELOW_FLOOR, Reach.ABOVE_CEILING):
            assert not inside
        if told is Reach.IN and height == lowest and rise == 0:
            assert inside
