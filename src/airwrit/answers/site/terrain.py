"""The ground under an area, and a height over it told from the ground, the takeoff point, sea level and the ellipsoid."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.airspace.question import footprint_typed
from airwrit.base.measured import METERS, Measured, compared
from airwrit.base.places import Place
from airwrit.base.verdict import Outcome, Undecided, Verdict
from airwrit.geo.earth import M_PER_FT
from airwrit.geo.geoid import undulation_m
from airwrit.geo.terrain import DIFFERENCE_ERROR_M, GROUND_ERROR_M, Ground, ground_at, ground_of
from airwrit.law.parameters import Law
from airwrit.law.shared_parameters import HEIGHT_LIMIT

GEOID_ERROR_M = 1.0
"""What EGM96 may be off from mean sea level on land. Source: from memory."""


class HeightAbove(StrEnum):
    """What a height is told from."""

    GROUND = "ground"
    TAKEOFF = "takeoff"
    SEA = "sea"
    ELLIPSOID = "ellipsoid"


class TerrainAsked(NamedTuple):
    """A place, the places of a line, or the corners of an area, and the day; then a height over it if any, all in meters.

    From what the height is told, how far off it may be, the takeoff point.
    """

    places: tuple[Place, ...]
    on: date
    radius_m: float = 0.0
    is_area: bool = False
    height_m: float | None = None
    above: HeightAbove = HeightAbove.GROUND
    height_error_m: float = 0.0
    takeoff: Place | None = None


class HeightSpan(NamedTuple):
    """The least and the greatest of a height over an area, in meters."""

    low_m: float
    high_m: float


class Heights(NamedTuple):
    """A height over an area from all four, None from a takeoff point of unknown ground; what that above ground may be off."""

    ground: HeightSpan
    takeoff: HeightSpan | None
    sea: HeightSpan
    ellipsoid: HeightSpan
    ground_error_m: float


class TerrainAnswer(NamedTuple):
    """The ground, the heights where they can be told, the outcome against the limit of the day (None without a height)."""

    asked: TerrainAsked
    ground: Ground
    takeoff_ground_m: float | None
    undulation_m: float
    heights: Heights | None
    limit_ft: int | None
    outcome: Outcome | None

    @property
    def verdict(self) -> Verdict:
        """That of the limit; without a height, whether the ground is known."""
        if self.outcome is not None:
            return self.outcome.verdict
        is_known = self.asked.height_m is None and self.ground.lowest_m is not None
        return Verdict.MET if is_known else Verdict.UNKNOWN


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of the answer."""
    return tomllib.loads(Path(__file__).with_name("terrain.toml").read_text(encoding="utf-8"))


def terrain_of(folder: Path, asked: TerrainAsked) -> TerrainAnswer:
    """The answer by the tiles of a folder."""
    ground = ground_of(
        folder, footprint_typed(asked.places, asked.radius_m / M_PER_FT, is_area=asked.is_area)
    )
    takeoff = None if asked.takeoff is None else ground_at(folder, asked.takeoff)
    above = undulation_m(asked.places[0])
    heights = _heights(asked, ground, takeoff, above)
    try:
        limit: int | None = Law(asked.on)[HEIGHT_LIMIT]
    except Undecided:
        limit = None
    outcome = None
    if heights is not None and limit is not None:
        outcome = compared(greatest_ft(heights), Decimal(limit), "ft", limit_itself=True)
    return TerrainAnswer(asked, ground, takeoff, above, heights, limit, outcome)


def greatest_ft(heights: Heights) -> Measured:
    """The greatest height above ground in feet, with what it may be off."""
    best, off = heights.ground.high_m, heights.ground_error_m
    return Measured(*(feet(value) for value in (best, best - off, best + off)))


def feet(meters: float) -> Decimal:
    """Meters in feet, to a thousandth."""
    return (Decimal(str(meters)) / METERS["ft"]).quantize(Decimal("0.001"))


def _heights(asked: TerrainAsked, ground: Ground, takeoff_m: float | None, above_m: float) -> Heights | None:
    """The height from all four; None where the ground under it, or where it is told from, is unknown."""
    low, high = ground.lowest_m, ground.highest_m
    if asked.height_m is None or low is None or high is None:
        return None
    height, error = asked.height_m, asked.height_error_m
    if asked.above is HeightAbove.GROUND:
        return _from_sea(
            HeightSpan(low + height, high + height), HeightSpan(height, height), takeoff_m, above_m, error
        )
    if asked.above is HeightAbove.TAKEOFF:
        if takeoff_m is None:
            return None
        level, error = takeoff_m + height, error + DIFFERENCE_ERROR_M
    elif asked.above is HeightAbove.SEA:
        level, error = height, error + GROUND_ERROR_M
    else:
        level, error = height - above_m, error + GROUND_ERROR_M + GEOID_ERROR_M
    return _from_sea(
        HeightSpan(level, level), HeightSpan(level - high, level - low), takeoff_m, above_m, error
    )


def _from_sea(
    sea: HeightSpan, over: HeightSpan, takeoff_m: float | None, above_m: float, error_m: float
) -> Heights:
    takeoff = None if takeoff_m is None else HeightSpan(sea.low_m - takeoff_m, sea.high_m - takeoff_m)
    return Heights(over, takeoff, sea, HeightSpan(sea.low_m + above_m, sea.high_m + above_m), error_m)
