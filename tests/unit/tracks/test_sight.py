"""The ground between a pilot and a flown aircraft, in closed form: a wall of ground, a plain, and ground that isn't known."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from airwrit.answers.after_flight.question import FlownFolders
from airwrit.base.verdict import Verdict
from airwrit.geo.earth import m_per_degree
from airwrit.geo.terrain import GroundAlong
from airwrit.tracks.heights import heights_of
from airwrit.tracks.path import path_of
from airwrit.tracks.sight import EYE_M, sight_along
from tests.unit.answers.after_flight.asking import ASKED, answered, clause
from tests.unit.geo.test_terrain import SIDE, tile
from tests.unit.tracks.made import HOME, Way, bump, made

POST_M = m_per_degree(HOME.latitude_deg)[1] / (SIDE - 1)
MIDDLE = (SIDE - 1) // 2


def walled(folder: Path, rise_m: int) -> GroundAlong:
    """Ground at 500 m, with a wall of one post three posts east of the takeoff."""
    wall = {f"r{row}c{MIDDLE + 3}": 500 + rise_m for row in range(MIDDLE - 4, MIDDLE + 5)}
    tile(folder, "N38W099.hgt", 500, **wall)
    return GroundAlong(folder)


def out_and_back(height_m: float, east_m: float) -> tuple[Way, Way]:
    return bump(60, 500, height_m, 60), bump(150, 400, east_m, 40)


@pytest.mark.parametrize(
    ("rise_m", "hidden", "clear"),
    [(0, False, True), (12, False, True), (20, False, False), (60, True, False)],
)
def test_a_wall_hides_what_is_behind_and_below_it(
    tmp_path: Path, rise_m: int, hidden: bool, clear: bool
) -> None:
    """30 m up and 600 m off, the line is 15.8 m high at the wall, halfway; the data may be off by some 10 m."""
    high, east = out_and_back(30.0, 6 * POST_M)
    path = path_of(made(high, east_m=east))
    ground = walled(tmp_path, rise_m)
    sight = sight_along(path, heights_of(path, ground), HOME, ground)
    assert bool(sight.blocked.any()) is hidden
    assert sight.is_clear is clear
    at = int(np.searchsorted(path.t_us[sight.samples], 250_000_000))
    halfway = EYE_M + (30.0 - EYE_M) / 2
    if rise_m:
        assert sight.clear_m[at] == pytest.approx(halfway - rise_m, abs=1.5)


def test_unknown_ground_is_neither_clear_nor_in_the_way(tmp_path: Path) -> None:
    high, east = out_and_back(30.0, 6 * POST_M)
    path = path_of(made(high, east_m=east))
    ground = GroundAlong(tmp_path)
    sight = sight_along(path, heights_of(path, ground), HOME, ground)
    assert not sight.blocked.any()
    assert not sight.is_clear


def test_the_ground_in_the_way_is_past_the_rule_only_where_the_pilot_stood_there(tmp_path: Path) -> None:
    walled(tmp_path, 60)
    high, east = out_and_back(30.0, 6 * POST_M)
    track, folders = made(high, east_m=east), FlownFolders(None, tmp_path)
    assumed = clause(answered(track, folders=folders), "line_of_sight")
    assert (assumed.verdict, assumed.code) == (Verdict.UNKNOWN, "ground_between_takeoff")
    told = clause(answered(track, ASKED._replace(pilot_at=HOME), folders=folders), "line_of_sight")
    assert (told.verdict, told.code) == (Verdict.NOT_MET, "ground_between")
    assert len(told.past) == 1
    tile(tmp_path, "N38W099.hgt", 500)
    clear = answered(track, folders=FlownFolders(None, tmp_path))
    assert "line_of_sight" not in {one.name for one in clear.clauses}
    assert "sight_clear" in {one.code for one in clear.cant_show}
