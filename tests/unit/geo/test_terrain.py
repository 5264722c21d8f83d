"""Tiles of the ground: what they tell, what they don't, edges between tiles, the date line, and what is refused."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import numpy as np
import pytest

from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.places import Place
from airwrit.geo.fixed import point_of
from airwrit.geo.footprint import Footprint, depth_m, filled, within_of
from airwrit.geo.geoid import undulation_m
from airwrit.geo.terrain import corner_name, ground_of, tiles_on_file
from airwrit.geo.tiles_kept import keep_tiles

SIDE = 1201


def tile(folder: Path, name: str, meters: int = 100, **posts: int) -> Path:
    """A tile of one height, with some posts of another: r0c0 is the northwest one."""
    made = np.full((SIDE, SIDE), meters, dtype=">i2")
    for place, value in posts.items():
        row, _, column = place[1:].partition("c")
        made[int(row), int(column)] = value
    path = folder / name
    path.write_bytes(made.tobytes())
    return path


def test_lowest_highest_and_middle(tmp_path: Path) -> None:
    tile(tmp_path, "N40W106.hgt", 1600, r600c600=1700, r601c600=1500)
    ground = ground_of(tmp_path, within_of((Place(40.5, -105.5),), 100))
    assert (ground.lowest_m, ground.highest_m, ground.middle_m) == (1500, 1700, 1700)
    half = ground_of(tmp_path, within_of((Place(40.5 - 0.5 / 1200, -105.5),), 0))
    assert half.middle_m == pytest.approx(1600)


def test_what_no_tile_holds_is_unknown_and_never_zero(tmp_path: Path) -> None:
    nothing = ground_of(tmp_path, within_of((Place(40.5, -105.5),), 100))
    assert (nothing.lowest_m, nothing.highest_m, nothing.middle_m) == (None, None, None)
    assert nothing.missing == ("N40W106",)
    tile(tmp_path, "N40W106.hgt", 1600)
    edge = ground_of(tmp_path, within_of((Place(40.5, -105.001),), 500))
    assert edge.missing == ("N40W105",)
    assert (edge.lowest_m, edge.middle_m) == (None, 1600)


def test_a_void_is_unknown(tmp_path: Path) -> None:
    tile(tmp_path, "N40W106.hgt", 0, r600c600=-32768)
    void = ground_of(tmp_path, within_of((Place(40.5, -105.5),), 100))
    assert (void.lowest_m, void.middle_m, void.voids) == (None, None, 1)
    beside = ground_of(tmp_path, within_of((Place(40.6, -105.5),), 100))
    assert (beside.lowest_m, beside.middle_m, beside.voids) == (0, 0, 0)


def test_a_corner_of_four_tiles(tmp_path: Path) -> None:
    for name, meters in (("N40W106", 1), ("N40W105", 2), ("N39W106", 3), ("N39W105", 4)):
        tile(tmp_path, f"{name}.hgt", meters)
    ground = ground_of(tmp_path, within_of((Place(40.0, -105.0),), 200))
    assert (ground.lowest_m, ground.highest_m) == (1, 4)
    assert len(ground.tiles) == 4


def test_the_date_line_and_the_south(tmp_path: Path) -> None:
    tile(tmp_path, "S01E179.hgt", 5)
    tile(tmp_path, "S01W180.hgt", 7)
    ground = ground_of(tmp_path, within_of((Place(-0.5, 179.9999),), 100))
    assert (ground.lowest_m, ground.highest_m) == (5, 7)
    assert ground_of(tmp_path, within_of((Place(-0.5, -180.0),), 0)).middle_m == 7
    assert ground_of(tmp_path, within_of((Place(-0.5, 180.0),), 0)).middle_m == 7
    assert (corner_name(-1, -180), corner_name(0, 0)) == ("S01W180", "N00E000")


def test_a_place_too_close_to_a_pole(tmp_path: Path) -> None:
    with pytest.raises(UsageError, match="close to the North or South Pole"):
        ground_of(tmp_path, within_of((Place(85.0, 0.0),), 0))


def test_a_tile_goes_on_file_once_and_never_changes(tmp_path: Path) -> None:
    source, folder = tile(tmp_path, "n40w106.HGT", 1600), tmp_path / "terrain"
    ((kept, is_new),) = keep_tiles(folder, source)
    assert (kept.name, is_new) == ("N40W106", True)
    assert keep_tiles(folder, source)[0][1] is False
    tile(tmp_path, "n40w106.HGT", 1601)
    with pytest.raises(UsageError, match="n elevation tile for that area is already on file"):
        keep_tiles(folder, source)
    assert [one.name for one in tiles_on_file(folder)] == ["N40W106"]


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("hills.hgt", b"\0" * (2 * SIDE * SIDE), "doesn't say which tile"),
        ("N91W106.hgt", b"\0" * (2 * SIDE * SIDE), "doesn't say which tile"),
        ("N40E180.hgt", b"\0" * (2 * SIDE * SIDE), "doesn't say which tile"),
        ("N40W106.hgt", b"\0" * 100, "doesn't have the size of a tile"),
        # 1,600 m with its two bytes turned round is 16,390 m.
        ("N40W106.hgt", np.full(SIDE * SIDE, 1600, "<i2").tobytes(), "which is impossible"),
    ],
    ids=["name", "latitude", "longitude", "size", "byte-order"],
)
def test_what_is_no_tile_is_refused(tmp_path: Path, name: str, data: bytes, says: str) -> None:
    (tmp_path / name).write_bytes(data)
    with pytest.raises(UnreadableFile, match=says):
        keep_tiles(tmp_path / "terrain", tmp_path / name)


def test_sea_level_is_the_same_all_around_a_pole_and_at_the_date_line() -> None:
    assert undulation_m(Place(90.0, 0.0)) == pytest.approx(undulation_m(Place(90.0, 123.4)), abs=0.02)
    assert undulation_m(Place(-90.0, -180.0)) == pytest.approx(-29.53, abs=0.01)
    assert undulation_m(Place(10.0, 179.999)) == pytest.approx(undulation_m(Place(10.0, -179.999)), abs=0.05)


def corridor(*places: Place, radius_m: float) -> Footprint:
    return within_of(places, radius_m)


def test_a_corridor_counts_the_ground_along_it_and_not_the_box_around_it(tmp_path: Path) -> None:
    tile(tmp_path, "N40W106.hgt", 1600, r240c960=2500, r600c600=1700)
    ends = Place(40.2, -105.8), Place(40.8, -105.2)
    along = ground_of(tmp_path, corridor(*ends, radius_m=200))
    assert (along.lowest_m, along.highest_m) == (1600, 2500)
    beside = ground_of(tmp_path, corridor(Place(40.2, -105.2), Place(40.8, -105.8), radius_m=200))
    assert (beside.lowest_m, beside.highest_m) == (1600, 1700)


def polygon(*corners: tuple[float, float], holes: Sequence[Sequence[tuple[float, float]]] = ()) -> Footprint:
    rings = (tuple(point_of(Place(*one)) for one in (*ring, ring[0])) for ring in (corners, *holes))
    return filled(tuple(rings))


TRIANGLE = ((40.1, -105.9), (40.6, -105.9), (40.6, -105.1))
"""Its long side runs over the post in row 780, column 600, and crosses no other within 100 m."""


@pytest.mark.parametrize(
    ("post", "counts"),
    [
        ("r600c400", True),  # well inside
        ("r780c600", True),  # on the edge
        ("r775c600", True),  # a few posts inside of it
        ("r900c900", False),  # in the box around it, not under it
        ("r840c600", False),  # 5.5 km outside of the edge, in the box
        ("r480c480", True),  # the north edge itself
        ("r478c480", False),  # two posts north of it
        ("r600c120", True),  # the west edge itself
        ("r600c118", False),
    ],
)
def test_a_polygon_counts_the_ground_under_it_on_both_sides_of_its_edge(
    tmp_path: Path, post: str, counts: bool
) -> None:
    tile(tmp_path, "N40W106.hgt", 1600, **{post: 2500})
    ground = ground_of(tmp_path, polygon(*TRIANGLE))
    assert (ground.lowest_m, ground.highest_m) == (1600, 2500 if counts else 1600)


def test_a_hole_of_a_polygon_does_not_count_and_its_edge_does(tmp_path: Path) -> None:
    tile(tmp_path, "N40W106.hgt", 1600, r600c600=2500, r500c600=1500)
    square = ((40.1, -105.9), (40.1, -105.1), (40.9, -105.1), (40.9, -105.9))
    hole = ((40.6 - 1 / 60, -105.6), (40.4, -105.6), (40.4, -105.4), (40.6 - 1 / 60, -105.4))
    ground = ground_of(tmp_path, polygon(*square, holes=[hole]))
    assert (ground.lowest_m, ground.highest_m) == (1500, 1600)


@pytest.mark.parametrize("seed", range(12))
def test_no_post_under_a_polygon_or_a_circle_is_left_out(tmp_path: Path, seed: int) -> None:
    # brute force: whether each post of the tile is under the area, one by one
    draw = np.random.default_rng(seed)
    middle, radius = draw.uniform((40.3, -105.7), (40.7, -105.3)), draw.uniform(0.01, 0.25)
    turns = np.sort(draw.uniform(0, 2 * np.pi, 7))
    away = radius * draw.uniform(0.2, 1, 7)
    corners = np.stack([middle[0] + away * np.sin(turns), middle[1] + away * np.cos(turns)], axis=1)
    area = polygon(*((float(one[0]), float(one[1])) for one in corners))
    circle = within_of((Place(*map(float, middle)),), radius * 111_000)
    posts = draw.integers(0, SIDE, (60, 2))
    for row, column in posts.tolist():
        where = Place(41 - row / 1200, -106 + column / 1200)
        for footprint in (area, circle):
            if depth_m(footprint, where) >= 0:
                tile(tmp_path, "N40W106.hgt", 100, **{f"r{row}c{column}": 900})
                assert ground_of(tmp_path, footprint).highest_m == 900


def test_a_void_under_two_pieces_of_a_corridor_counts_once(tmp_path: Path) -> None:
    tile(tmp_path, "N40W106.hgt", 100, r600c600=-32768)
    line = corridor(Place(40.5, -105.51), Place(40.5, -105.5), Place(40.51, -105.5), radius_m=300)
    ground = ground_of(tmp_path, line)
    assert (ground.lowest_m, ground.voids) == (None, 1)


def test_a_line_over_the_date_line_and_one_that_is_too_long(tmp_path: Path) -> None:
    tile(tmp_path, "S01E179.hgt", 5)
    tile(tmp_path, "S01W180.hgt", 7)
    ground = ground_of(tmp_path, corridor(Place(-0.5, 179.99), Place(-0.5, -179.99), radius_m=100))
    assert (ground.lowest_m, ground.highest_m) == (5, 7)
    with pytest.raises(UsageError, match="more than 1 degrees wide"):
        ground_of(tmp_path, corridor(Place(40.0, -105.0), Place(41.5, -105.0), radius_m=100))
