"""Line of sight by geometry: it is never a yes; hills, visibility and size speak against it or leave it open."""

from __future__ import annotations

import math
from pathlib import Path

import numpy as np
import pytest

from airwrit.answers.site.area import read_area
from airwrit.answers.site.sight import (
    GroundBetween,
    SightAnswer,
    SightAsked,
    distance_m,
    minutes_of_arc,
    sight_json,
    sight_of,
)
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict

PILOT = Place(40.5, -105.5)
NEAR, BEHIND = "40.52, -105.5 within 50 m", "40.56, -105.5 within 50 m"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tile at 1,600 m with a ridge of 1,800 m from east to west at 40.53 N."""
    made = tmp_path_factory.mktemp("terrain")
    posts = np.full((1201, 1201), 1600, dtype=">i2")
    posts[560:568, :] = 1800
    (made / "N40W106.hgt").write_bytes(posts.tobytes())
    return made


def asked(folder: Path, area: str, height_m: float, **more: float) -> SightAnswer:
    return sight_of(folder, SightAsked(PILOT, read_area(area), height_m, **more))


@pytest.mark.parametrize(
    ("area", "height_m", "ground", "verdict"),
    [
        (NEAR, 100.0, GroundBetween.CLEAR, Verdict.UNKNOWN),
        (BEHIND, 100.0, GroundBetween.BLOCKED, Verdict.NOT_MET),
        (BEHIND, 500.0, GroundBetween.CLEAR, Verdict.UNKNOWN),
        ("41.2, -105.5 within 50 m", 100.0, GroundBetween.UNKNOWN, Verdict.UNKNOWN),
    ],
)
def test_ground_in_the_way(
    folder: Path, area: str, height_m: float, ground: GroundBetween, verdict: Verdict
) -> None:
    answer = asked(folder, area, height_m)
    assert (answer.ground, answer.verdict) == (ground, verdict)
    assert sight_json(answer)["says"]


def test_no_tile_is_unknown(tmp_path: Path) -> None:
    assert asked(tmp_path, NEAR, 100.0).ground is GroundBetween.UNKNOWN


def test_visibility_both_sides(folder: Path) -> None:
    far = asked(folder, NEAR, 100.0).far_m
    assert far == pytest.approx(math.hypot(2221 + 50, 100), abs=3)
    assert asked(folder, NEAR, 100.0, visibility_m=far).verdict is Verdict.UNKNOWN
    beyond = asked(folder, NEAR, 100.0, visibility_m=far - 0.01)
    assert (beyond.verdict, beyond.code) == (Verdict.NOT_MET, "too_far")


@pytest.mark.parametrize(
    ("size_m", "says"),
    [
        (0.3, "Don't count on seeing the aircraft."),
        (1.0, "You may see only a dot"),
        (4.0, "You should be able to see which way the aircraft flies."),
    ],
)
def test_how_large_it_looks_is_told_and_decides_nothing(folder: Path, size_m: float, says: str) -> None:
    answer = asked(folder, NEAR, 100.0, size_m=size_m)
    assert says in " ".join(sight_json(answer)["says"])
    assert answer.verdict is Verdict.UNKNOWN
    assert "20/20" in " ".join(sight_json(answer)["notes"])


def test_a_minute_of_arc() -> None:
    # The smallest letter of the 20/20 line is 5 minutes of arc at 20 ft: 8.87 mm high (definition of the chart, from memory).
    assert minutes_of_arc(0.00887, 6.096) == pytest.approx(5.0, abs=0.01)
    assert distance_m(0.00887, 5.0) == pytest.approx(6.1, abs=0.01)
