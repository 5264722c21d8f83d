"""The grid by arithmetic against every cell's own outline: points, circles, edges, the antimeridian, south of the equator."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.airspace.grid import COLUMNS, MOST_OFF, GridCell, cell_footprint, cell_of, grid_of, told_twice
from airwrit.base.places import Place
from airwrit.geo.fixed import DEGREE, FixedBox
from airwrit.geo.footprint import Footprint, apart_m, holds_point, within_of
from airwrit.geo.shapes import box_ring

AROUND = [(36 * 120, -80 * 120), (51 * 120, 180 * 120), (-14 * 120, -171 * 120), (0, 0)]
SIDE = 1 / 120


def cells_at(row: int, column: int) -> list[GridCell]:
    """Five by five cells around a corner, each with a number of its own."""
    return [
        GridCell(row + up, (column + right) % COLUMNS, 5 * (up + 2) + right + 2, 0)
        for up in range(-2, 3)
        for right in range(-2, 3)
    ]


@pytest.mark.parametrize(("row", "column"), AROUND)
@given(up=st.floats(-2, 3), right=st.floats(-2, 3), radius_m=st.sampled_from([0.0, 30.0, 400.0, 1500.0]))
def test_it_finds_the_cells_whose_outline_is_touched(
    row: int, column: int, up: float, right: float, radius_m: float
) -> None:
    longitude = (column + right) * SIDE
    place = Place((row + up) * SIDE, longitude - 360 if longitude > 180 else longitude)
    cells = cells_at(row, column)
    wanted = [
        cell.number_ft
        for cell in cells
        if _touches(cell_footprint(cell.row * COLUMNS + cell.column, 0), place, radius_m)
    ]
    assert set(wanted) <= set(found := grid_of(cells).touched(within_of([place], radius_m)))
    if not {up % 1, right % 1} & {0.0} and radius_m:
        assert sorted(found) == sorted(wanted)


def _touches(cell: Footprint, place: Place, radius_m: float) -> bool:
    return apart_m(cell, within_of([place], radius_m)) == 0 if radius_m else holds_point(cell, place)


@pytest.mark.parametrize(("row", "column"), AROUND)
def test_a_corner_belongs_to_four_cells(row: int, column: int) -> None:
    for longitude in {column / 120, column / 120 - 360 if column >= 180 * 120 else column / 120}:
        assert len(grid_of(cells_at(row, column)).touched(within_of([Place(row / 120, longitude)], 0.0))) == 4


@pytest.mark.parametrize(
    ("off", "is_cell"), [(0, True), (MOST_OFF // 120 - 1, True), (MOST_OFF // 120 + 2, False)]
)
def test_a_corner_off_the_grid_makes_no_cell(off: int, is_cell: bool) -> None:
    south, west, side = 36 * DEGREE, -80 * DEGREE + off, DEGREE // 120
    found = cell_of((box_ring(FixedBox(south, south + side, west, west + side)),), 100)
    assert (found is not None) is is_cell


def test_of_two_numbers_the_lower_counts_and_both_are_told() -> None:
    cells = [GridCell(4320, COLUMNS - 9600, number, 0) for number in (300, 100, 200, 100)]
    assert grid_of(cells).touched(within_of([Place(36.001, -79.999)], 0.0)) == [100]
    assert told_twice(cells) == [(Place(36.0, -80.0), 100, 200)]
