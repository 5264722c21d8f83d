"""Very many points at once against one at a time: cells with their edges, polygons, holes, circles, lines, the antimeridian."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.airspace.areas import Area, AreaFacts, Areas, packed
from airwrit.airspace.grid import COLUMNS, GridCell, grid_of
from airwrit.airspace.holding import index_of
from airwrit.airspace.pages import NO_CELL, pages_of
from airwrit.base.places import Place
from airwrit.geo.earth import place_from
from airwrit.geo.fixed import DEGREE, FixedPoint, point_of
from airwrit.geo.footprint import Footprint, apart_m, filled, holds_point, within_of
from airwrit.geo.shapes import unwrapped

GRID = grid_of(
    [
        GridCell(row + up, (column + right) % COLUMNS, 50 * ((3 * up + right) % 9), 0)
        for row, column in ((36 * 120, -80 * 120), (51 * 120, 180 * 120), (-14 * 120, -171 * 120), (0, 0))
        for up in range(-3, 3)
        for right in range(-3, 3)
        if (up, right) != (1, 1)
    ]
)
PAGES = pages_of(GRID)
steps = st.one_of(st.integers(-4, 4), st.floats(-4, 4), st.integers(-4, 4).map(lambda one: one + 1e-10))


@given(
    st.lists(
        st.tuples(st.sampled_from([(36, -80), (51, 180), (-14, -171), (0, 0)]), steps, steps), min_size=1
    )
)
def test_the_pages_tell_the_lowest_number_of_all_cells_touched(
    told: list[tuple[tuple[int, int], float, float]],
) -> None:
    latitudes = np.array([corner[0] + up / 120 for corner, up, _ in told])
    longitudes = np.array([corner[1] + right / 120 for corner, _, right in told])
    longitudes[longitudes > 180] -= 360
    found = PAGES.lowest_ft(latitudes, longitudes)
    for at, place in enumerate(zip(latitudes.tolist(), longitudes.tolist(), strict=True)):
        assert found[at] == min(GRID.touched(within_of([Place(*place)], 0.0)), default=NO_CELL)


@pytest.mark.parametrize("place", [(90.0, 180.0), (-90.0, -180.0), (90.0, -180.0), (0.0, 179.99999)])
def test_the_ends_of_the_earth_have_no_cell_or_theirs(place: tuple[float, float]) -> None:
    found = PAGES.lowest_ft(np.array([place[0]]), np.array([place[1]]))
    assert found[0] == min(GRID.touched(within_of([Place(*place)], 0.0)), default=NO_CELL)


@pytest.mark.parametrize("place", [(91.0, 0.0), (0.0, 181.0), (float("nan"), 0.0), (0.0, float("nan"))])
def test_places_that_dont_exist_are_refused(place: tuple[float, float]) -> None:
    latitude, longitude = np.array([place[0]]), np.array([place[1]])
    with pytest.raises(ValueError, match="does not exist"):
        PAGES.lowest_ft(latitude, longitude)
    with pytest.raises(ValueError, match="does not exist"):
        INDEX.holding(latitude, longitude)


def polygon(*rings: list[tuple[float, float]]) -> Footprint:
    """A polygon of rings in degrees."""
    made = [[FixedPoint(*(round(one * 10**6) * 10**9 for one in place)) for place in ring] for ring in rings]
    return filled(tuple(unwrapped([*ring, ring[0]]) for ring in made))


SQUARE = [(36.0, -80.0), (36.0, -79.0), (37.0, -79.0), (37.0, -80.0)]
HOLE = [(36.4, -79.6), (36.4, -79.4), (36.6, -79.4), (36.6, -79.6)]
STAR = [
    (36.5, -81.0),
    (36.6, -80.1),
    (37.5, -80.0),
    (36.6, -79.9),
    (36.5, -79.0),
    (36.4, -79.9),
    (35.5, -80.0),
    (36.4, -80.1),
]
ACROSS = [(51.0, 179.5), (51.0, -179.5), (52.0, -179.5), (52.0, 179.5)]
ROUND = [(*place_from(Place(36.5, -79.5), at * 3.0, 30_000),) for at in range(120)]
PIECES: list[tuple[Footprint, ...]] = [
    (polygon(SQUARE, HOLE),),
    (polygon(STAR),),
    (polygon(ACROSS),),
    (polygon(ROUND),),
    (within_of([Place(36.5, -79.5)], 20_000),),
    (within_of([Place(51.5, 179.9)], 40_000),),
    (within_of([Place(36.2, -79.8), Place(36.3, -79.5), Place(36.6, -79.5)], 3_000),),
    (polygon(HOLE), within_of([Place(36.4, -79.6)], 5_000), polygon(STAR)),
]
AREAS: Areas = packed([Area(AreaFacts(str(at)), pieces) for at, pieces in enumerate(PIECES)])
INDEX = index_of(AREAS)
near_square = st.tuples(
    st.one_of(st.floats(35.4, 37.6), st.sampled_from([36.0, 36.4, 36.5, 36.6, 37.0])),
    st.one_of(st.floats(-81.1, -78.9), st.sampled_from([-80.0, -79.6, -79.5, -79.4, -79.0])),
)
near_line = st.tuples(st.floats(50.8, 52.2), st.one_of(st.floats(179.2, 180), st.floats(-180, -179.2)))


@given(
    st.lists(
        st.one_of(near_square, near_line, st.tuples(st.floats(-90, 90), st.floats(-180, 180))), min_size=1
    )
)
def test_the_index_holds_what_each_area_holds(places: list[tuple[float, float]]) -> None:
    latitudes, longitudes = np.array(places).T
    held = INDEX.holding(latitudes, longitudes)
    found = set(zip(held.points.tolist(), held.areas.tolist(), strict=True))
    assert len(found) == len(held.points)
    wanted = {
        (at, area)
        for at, place in enumerate(places)
        for area, pieces in enumerate(PIECES)
        if any(_holds(piece, Place(*place)) for piece in pieces)
    }
    assert found == wanted


def _holds(piece: Footprint, place: Place) -> bool:
    return holds_point(piece, place) if piece.is_filled else apart_m(piece, within_of([place], 0.0)) == 0


def test_corners_and_points_of_slanted_edges_are_held() -> None:
    index = INDEX
    corners = [(one / DEGREE, other / DEGREE) for one, other in (point_of(Place(*place)) for place in STAR)]
    tenths = [(36.5 + 0.01 * part, -81.0 + 0.09 * part) for part in range(11)]
    latitudes, longitudes = np.array(corners + tenths).round(6).T
    held = index.holding(latitudes, longitudes)
    assert set(held.points[held.areas == 1].tolist()) == set(range(len(corners) + len(tenths)))


def test_no_areas_hold_nothing() -> None:
    assert len(index_of(packed([])).holding(np.array([36.0]), np.array([-80.0])).points) == 0
    assert len(INDEX.holding(np.zeros(0), np.zeros(0)).points) == 0
