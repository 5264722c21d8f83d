"""A height over the ground from all four, both sides of the limit, and what stays unknown."""

from __future__ import annotations

from datetime import date
from pathlib import Path

import numpy as np
import pytest

from airwrit.answers.site.terrain import HeightAbove, TerrainAnswer, TerrainAsked, terrain_of
from airwrit.answers.site.terrain_json import facts_of, terrain_json
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict

HILL, VALLEY, DAY = Place(40.5, -105.5), Place(40.7, -105.5), date(2026, 12, 1)
MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN
FOOT = 0.3048


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A tile at 1,600 m with a hill of 1,700 m at 40.5 N."""
    made = tmp_path_factory.mktemp("terrain")
    posts = np.full((1201, 1201), 1600, dtype=">i2")
    posts[590:611, 590:611] = 1700
    (made / "N40W106.hgt").write_bytes(posts.tobytes())
    return made


def asked(folder: Path, **more: object) -> TerrainAnswer:
    return terrain_of(folder, TerrainAsked(**{"places": (HILL,), "on": DAY, **more}))  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("feet", "error_ft", "expected"),
    [
        (400, 0, MET),
        (400.01, 0, NOT_MET),
        (390, 10, MET),
        (391, 10, UNKNOWN),
        (410, 10, UNKNOWN),
        (411, 10, NOT_MET),
    ],
)
def test_above_ground_both_sides_of_the_limit(
    folder: Path, feet: float, error_ft: float, expected: Verdict
) -> None:
    answer = asked(folder, height_m=feet * FOOT, height_error_m=error_ft * FOOT)
    assert answer.verdict is expected
    assert answer.heights is not None
    assert answer.heights.sea.low_m == pytest.approx(1700 + feet * FOOT)


def test_above_takeoff_counts_the_lower_ground(folder: Path) -> None:
    over_valley = asked(folder, places=(VALLEY,), takeoff=HILL, height_m=100.0, above=HeightAbove.TAKEOFF)
    assert over_valley.heights is not None
    assert over_valley.heights.ground.high_m == 200
    assert over_valley.verdict is NOT_MET
    # 400 ft are 121.92 m; the difference of two grounds may be off by 10 m.
    for height, expected in ((11.9, MET), (12.0, UNKNOWN), (31.9, UNKNOWN), (32.0, NOT_MET)):
        found = asked(folder, places=(VALLEY,), takeoff=HILL, height_m=height, above=HeightAbove.TAKEOFF)
        assert found.verdict is expected


def test_above_sea_and_ellipsoid_differ_by_the_geoid(folder: Path) -> None:
    sea = asked(folder, height_m=1750.0, above=HeightAbove.SEA)
    ellipsoid = asked(folder, height_m=1750.0 + sea.undulation_m, above=HeightAbove.ELLIPSOID)
    assert sea.heights is not None
    assert ellipsoid.heights is not None
    assert sea.undulation_m == pytest.approx(-16, abs=3)
    assert ellipsoid.heights.ground.high_m == pytest.approx(sea.heights.ground.high_m) == pytest.approx(50)
    assert ellipsoid.heights.ground_error_m > sea.heights.ground_error_m


def test_a_line_and_an_area_count_all_the_ground_under_them(folder: Path) -> None:
    line = asked(folder, places=(HILL, VALLEY), radius_m=100.0, height_m=30.0)
    assert line.heights is not None
    assert (line.ground.lowest_m, line.ground.highest_m) == (1600, 1700)
    assert (line.heights.sea.low_m, line.heights.sea.high_m) == (1630, 1730)
    corners = (Place(40.6, -105.6), Place(40.7, -105.6), Place(40.7, -105.4))
    area = asked(folder, places=corners, is_area=True)
    assert (area.ground.lowest_m, area.ground.highest_m) == (1600, 1600)
    document = terrain_json(line)
    assert len(document["places"]) == 2
    assert not document["is_area"]


def test_the_ground_above_the_height_is_said(folder: Path) -> None:
    answer = asked(folder, height_m=1650.0, above=HeightAbove.SEA, radius_m=3000.0)
    assert "The ground rises above that height." in " ".join(terrain_json(answer)["says"])


def test_what_cant_be_told(folder: Path) -> None:
    assert asked(folder).verdict is MET
    elsewhere = asked(folder, places=(Place(41.5, -105.5),), height_m=30.0)
    assert (elsewhere.verdict, elsewhere.heights) == (UNKNOWN, None)
    assert facts_of(elsewhere) == "# Can't tell yet. These terrain tiles aren't on file: N41W106.\n"
    no_takeoff = asked(folder, takeoff=Place(41.5, -105.5), height_m=30.0, above=HeightAbove.TAKEOFF)
    assert (no_takeoff.verdict, no_takeoff.heights) == (UNKNOWN, None)
    before = asked(folder, height_m=30.0, on=date(2016, 8, 28))
    assert before.verdict is UNKNOWN
    assert "We haven't read the height limit for this day." in terrain_json(before)["says"]


def test_the_facts_of_a_flight(folder: Path) -> None:
    answer = asked(folder, height_m=1750.0, above=HeightAbove.SEA)
    assert facts_of(answer) == '[flight]\nheight_agl_ft = "164.0"\nheight_error_ft = "52.5"\n'
