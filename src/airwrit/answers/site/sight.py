"""Line of sight by geometry: how far the farthest point of a flight is, how large the aircraft looks there, ground between.

None of it is a yes: the pilot's own eyes decide. What it takes for granted is told with it: normal sight tells one minute of
arc apart, and the smallest letter it reads is five high. Source: the definition of 20/20 sight, from memory; common practice.
"""

from __future__ import annotations

import math
import tomllib
from collections.abc import Iterator, Mapping
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.document import CAUTION, SCOPE_OF_SIGHT, Json
from airwrit.answers.site.area import corners, farthest_m
from airwrit.answers.site.terrain_json import both
from airwrit.base.measured import METERS
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.geo.earth import EQUATOR_M, azimuth_deg, geodesic_m, place_from
from airwrit.geo.footprint import Footprint
from airwrit.geo.terrain import DIFFERENCE_ERROR_M, ground_at
from airwrit.tracks.sight import EYE_M

TELLS_APART, READS = 1.0, 5.0
"""Minutes of arc that normal sight tells apart, and of the smallest letter it reads."""
_RIM, _STEP_M, _FARTHEST_M = 16, 45.0, 20_000.0
_SM = float(METERS["sm"])


class GroundBetween(StrEnum):
    """Whether the ground stands in the way."""

    BLOCKED = "blocked"
    CLEAR = "clear"
    UNKNOWN = "unknown"


class SightAsked(NamedTuple):
    """Where the pilot stands, the area, the height above ground, the aircraft's width and how far one sees; in meters."""

    pilot: Place
    area: Footprint
    height_m: float
    size_m: float | None = None
    visibility_m: float | None = None


class SightAnswer(NamedTuple):
    """The straight distance to the farthest point, the minutes of arc of the aircraft there, and the ground between."""

    asked: SightAsked
    far_m: float
    minutes: float | None
    ground: GroundBetween

    @property
    def verdict(self) -> Verdict:
        """Not met where the ground is in the way or it is farther than one sees; else unknown, never met."""
        return Verdict.UNKNOWN if self.code == "open" else Verdict.NOT_MET

    @property
    def code(self) -> str:
        """What stands in the way, if anything."""
        if self.ground is GroundBetween.BLOCKED:
            return "blocked"
        visibility = self.asked.visibility_m
        return "too_far" if visibility is not None and self.far_m > visibility else "open"


@cache
def sentences() -> Mapping[str, Mapping[str, str]]:
    """The words of the answer."""
    return tomllib.loads(Path(__file__).with_name("sight.toml").read_text(encoding="utf-8"))


def sight_of(folder: Path, asked: SightAsked) -> SightAnswer:
    """The answer, with the ground of the tiles in a folder."""
    far = math.hypot(farthest_m(asked.pilot, asked.area), asked.height_m)
    minutes = None if asked.size_m is None else minutes_of_arc(asked.size_m, far)
    return SightAnswer(asked, far, minutes, _ground_between(folder, asked))


def minutes_of_arc(size_m: float, distance_m: float) -> float:
    """How wide something looks across the line of sight."""
    return math.degrees(2 * math.atan2(size_m / 2, distance_m)) * 60


def distance_m(size_m: float, minutes: float) -> float:
    """How far away something looks so many minutes of arc wide."""
    return size_m / 2 / math.tan(math.radians(minutes / 60) / 2)


def _ground_between(folder: Path, asked: SightAsked) -> GroundBetween:
    """Blocked where the ground surely hides any corner or point of the rim; unknown where a tile is missing on the way."""
    stands_on = ground_at(folder, asked.pilot)
    if stands_on is None or farthest_m(asked.pilot, asked.area) > _FARTHEST_M:
        return GroundBetween.UNKNOWN
    found = {_toward(folder, asked, stands_on + EYE_M, target) for target in _targets(asked)}
    for state in (GroundBetween.BLOCKED, GroundBetween.UNKNOWN):
        if state in found:
            return state
    return GroundBetween.CLEAR


def _targets(asked: SightAsked) -> Iterator[Place]:
    """The corners of the area, and points of the rim around each where it has a radius."""
    for corner in corners(asked.area):
        yield corner
        if asked.area.radius_m:
            for number in range(_RIM):
                yield place_from(corner, 360 * number / _RIM, asked.area.radius_m)


def _toward(folder: Path, asked: SightAsked, eye_m: float, target: Place) -> GroundBetween:
    """The line from the eye to the aircraft over one place, against the ground below it and the bend of the earth."""
    below = ground_at(folder, target)
    if below is None:
        return GroundBetween.UNKNOWN
    whole = geodesic_m(asked.pilot, target)
    azimuth = azimuth_deg(asked.pilot, target)
    seen = GroundBetween.CLEAR
    for number in range(1, int(whole / _STEP_M) + 1):
        way = number * _STEP_M
        ground = ground_at(folder, place_from(asked.pilot, azimuth, way))
        if ground is None:
            seen = GroundBetween.UNKNOWN
            continue
        line = eye_m + (below + asked.height_m - eye_m) * way / whole
        if ground + way * (whole - way) / (2 * EQUATOR_M) - DIFFERENCE_ERROR_M > line:
            return GroundBetween.BLOCKED
    return seen


def sight_sentences(answer: SightAnswer) -> list[str]:
    """The verdict first, then what it rests on, and what was taken for granted."""
    said, asked = sentences(), answer.asked
    seen = "" if asked.visibility_m is None else _miles(asked.visibility_m)
    found = [said["verdict"][answer.code].format(far=_far(answer.far_m), visibility=seen)]
    found.append(said["far"]["known"].format(far=_far(answer.far_m)))
    if answer.minutes is None or asked.size_m is None:
        found.append(said["size"]["ask"])
    else:
        found.append(
            said["size"]["told"].format(size=f"{asked.size_m:.2f} m", minutes=f"{answer.minutes:.1f}")
        )
        code = "reads" if answer.minutes >= READS else "dot" if answer.minutes >= TELLS_APART else "too_small"
        found.append(said["size"][code])
        found.append(said["size"]["stays"].format(near=both(distance_m(asked.size_m, READS))))
    if answer.ground is not GroundBetween.BLOCKED:
        found.append(said["ground"][answer.ground.value])
    return found


def assumptions() -> list[str]:
    """What was taken for granted, and what the rule asks."""
    said = sentences()
    eye = said["assumed"]["eye"].format(eye=f"{EYE_M} m")
    return [said["rule"]["says"], said["assumed"]["sight"], said["assumed"]["source"], eye]


def sight_json(answer: SightAnswer) -> Json:
    """The document."""
    asked = answer.asked
    return {
        "question": "line_of_sight",
        "scope": SCOPE_OF_SIGHT,
        "pilot": {"latitude_deg": asked.pilot.latitude_deg, "longitude_deg": asked.pilot.longitude_deg},
        "verdict": answer.verdict.value,
        "code": answer.code,
        "farthest_m": round(answer.far_m, 1),
        "minutes_of_arc": None if answer.minutes is None else round(answer.minutes, 2),
        "ground": answer.ground.value,
        "assumed": {"tells_apart_minutes": TELLS_APART, "reads_minutes": READS, "eye_m": EYE_M},
        "says": sight_sentences(answer),
        "notes": assumptions(),
        "cites": "14 CFR 107.31",
        "caution": CAUTION,
    }


def _far(meters: float) -> str:
    """A distance: feet up to a mile, then miles."""
    return both(meters) if meters < _SM else f"{_miles(meters)} ({meters / 1000:,.1f} km)"


def _miles(meters: float) -> str:
    return f"{meters / _SM:,.1f} statute miles"
