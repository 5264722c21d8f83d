"""The drawing from the side: ground from the tiles, the airspace wall at its edge, the lowest cell, clouds as reported."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from pathlib import Path

import numpy as np
import pytest

from airwrit.airspace.reading import read_edition
from airwrit.airspace.shelf import shelve
from airwrit.answers.before_flight.check import FlightCheck, flight_check
from airwrit.answers.before_flight.plan import FlightPlan, middle_of
from airwrit.answers.before_flight.surroundings import look_around
from airwrit.answers.before_flight.view import side_text
from airwrit.answers.drawings.side import side_of
from airwrit.answers.drawings.side_view import SideView, side_view
from airwrit.answers.drawings.site_map import site_map
from airwrit.base.places import Place
from airwrit.sky.zones import zone_of
from tests.unit.airspace.features import cell, feature, square, volume, written
from tests.unit.answers.before_flight.planning import plan, program

AREA = "36.004, -79.999 within 1000 ft"
CLOUDY = "KXXX 101452Z 24012KT 10SM OVC012 20/10 A3002"


def planned(**changes: object) -> FlightPlan:
    place = middle_of(AREA)
    return plan(area=AREA, place=place, zone=zone_of(place), **changes)


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """Class D east of 79.999 W, cells of 100 and 300 ft, and ground that is 500 m high and 520 m from a row of posts on."""
    shelf = tmp_path / "airspace"
    told = {**volume()["properties"], "UPPER_VAL": "9000", "NAME": "WALL <D>"}
    ring = square(35.9, -79.999, 0.3)
    shelve(
        shelf,
        read_edition((written(tmp_path / "c.geojson", feature(told, ring)),), None, None, date(2026, 5, 14)),
    )
    cells = (cell(300, 0, -1), cell(100, 0, 0))
    for one in cells:
        one["properties"]["MAP_EFF"] = "5/14/2026"
    shelve(shelf, read_edition((written(tmp_path / "g.geojson", *cells),), None, None, date(2026, 5, 14)))
    (tmp_path / "terrain").mkdir()
    ground = np.full((1201, 1201), 500, dtype=">i2")
    for name in ("N36W080", "N36W081"):
        (tmp_path / "terrain" / f"{name}.hgt").write_bytes(ground.tobytes())
    return shelf


def seen(found: FlightPlan, folder: Path | None, report: str | None = None) -> tuple[FlightCheck, SideView]:
    check = flight_check(found, program({"airspace_class": None}), look_around(found, folder, report))
    return check, side_view(check, site_map(found, folder), folder)


def test_the_line_runs_over_the_ground_of_the_tiles(folder: Path) -> None:
    _, view = seen(planned(), folder)
    assert view.has_ground
    assert {round(one.ground_ft or 0, 1) for one in view.points} == {1640.4}  # 500 m / 0.3048
    flown = [one.along_ft for one in view.points if one.is_flown]
    # 2,000 ft wide; each end is at most one of 95 steps of 3,000 ft too short
    assert 2000 - 2 * 3000 / 95 <= flown[-1] - flown[0] <= 2000


def test_the_wall_stands_at_the_edge_and_the_cells_change_at_theirs(folder: Path) -> None:
    _, view = seen(planned(), folder)
    outside = [one for one in view.points if not one.airspace]
    inside = [one for one in view.points if one.airspace == ("WALL <D>",)]
    assert len(outside) + len(inside) == len(view.points)
    assert outside[-1].along_ft < inside[0].along_ft <= outside[-1].along_ft + 3000 / 95 + 1
    assert {one.cell_ft for one in view.points} == {100, 300}
    drawn = str(side_of(view))
    assert "WALL &lt;D&gt;" in drawn
    assert "<D>" not in drawn


def test_clouds_stand_as_reported_with_the_distance_the_law_asks(folder: Path) -> None:
    check, view = seen(planned(), folder, CLOUDY)
    # 14 CFR 107.51(d)(1): 500 ft below the clouds; a layer of 1,200 ft may lie 50 ft lower, as it is rounded to 100 ft
    assert (view.clouds_ft, view.clear_ft, view.limit_ft) == (1150.0, 500, 400)
    assert "500 ft below the clouds" in str(side_of(view))
    assert "Clouds are reported from 1,150 ft" in side_text(view)
    assert check.around.ground is not None


def test_without_terrain_the_ground_is_level_and_said_to_be_unknown() -> None:
    _, view = seen(planned(), None)
    assert not view.has_ground
    assert "No terrain data is on file here" in side_text(view)
    assert "ft above ground" in str(side_of(view))
    _, typed = seen(planned(ground_ft=Decimal(700)), None)
    assert typed.has_ground


def test_the_takeoff_point_stands_where_it_is(folder: Path) -> None:
    _, view = seen(planned(takeoff=Place(36.004, -79.999)), folder)
    assert view.takeoff_ft == pytest.approx(view.points[-1].along_ft / 2, abs=2)
    assert "takeoff</text>" in str(side_of(view))


_PLACED = re.compile(r'<text class="([a-z-]*)"(?: text-anchor="end")? x="([0-9.]+)" y="([0-9.]+)">([^<]*)<')


@pytest.mark.parametrize("height", ["100", "380", "399", "400", "430"])
def test_no_two_labels_lie_on_one_another(height: str, folder: Path) -> None:
    """Names of airspace, the limit, the planned height: each has a line of its own, or ends before the next begins."""
    drawn = str(side_of(seen(planned(height_ft=Decimal(height)), folder)[1]))
    spans = []
    for kind, x, y, said in _PLACED.findall(drawn):
        if kind in ("name", "limit-name"):
            wide, at = 6.5 * len(said), float(x)
            spans.append((float(y), at - wide if kind == "limit-name" else at, said))
    assert any("planned" in said for _, _, said in spans)
    for number, (y, left, said) in enumerate(spans):
        for other_y, other_left, other in spans[number + 1 :]:
            apart = left + 6.5 * len(said) <= other_left or other_left + 6.5 * len(other) <= left
            assert apart or abs(y - other_y) >= 10, (said, other)
