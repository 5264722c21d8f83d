"""Footprints: edges count as inside, holes, the antimeridian; what circles, corridors and areas touch, how far, how deep."""

from __future__ import annotations

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.places import Place
from airwrit.geo.earth import geodesic_m, place_from
from airwrit.geo.fixed import DEGREE, TURN, FixedPoint, point_of
from airwrit.geo.footprint import (
    Footprint,
    apart_m,
    box_of_footprint,
    deepest_m,
    depth_m,
    filled,
    holds_point,
    margin_m,
    within_of,
)
from airwrit.geo.shapes import box_of, box_ring
from tests.unit.geo.test_shapes import HOLE, SQUARE, ring

SLANTED = ring(("40", "-105"), ("40.3", "-104.1"), ("40.9", "-104.7"), ("40", "-105"))
DATE_LINE = ring(("51", "179.5"), ("51", "-179.5"), ("52", "-179.5"), ("52", "179.5"), ("51", "179.5"))


def touches(footprint: Footprint, place: Place, radius_m: float) -> bool:
    """Whether a circle touches it, asked both ways round."""
    circle = within_of([place], radius_m)
    found = apart_m(footprint, circle) == 0
    assert found == (apart_m(circle, footprint) == 0)
    return found


@pytest.mark.parametrize(
    ("latitude", "longitude", "inside"),
    [
        (40.5, -104.2, True),
        (40.0, -104.5, True),
        (41.0, -105.0, True),
        (40.5, -104.5, False),
        (40.4, -104.5, True),
        (39.999999999, -104.5, False),
        (40.5, -105.000000001, False),
        (40.5, 255.8, True),
    ],
)
def test_edges_count_as_inside_and_holes_do_not(latitude: float, longitude: float, inside: bool) -> None:
    assert holds_point(filled((SQUARE, HOLE)), Place(latitude, longitude)) is inside


@given(st.integers(0, 1000))
def test_a_point_on_a_slanted_edge_is_inside(part: int) -> None:
    """Its decimals are exact: the third part of the way from 40, -105 to 40.3, -104.1."""
    place = Place(float(40 + Decimal(part) * 3 / 10_000), float(-105 + Decimal(part) * 9 / 10_000))
    assert holds_point(filled((SLANTED,)), place)


def test_the_short_way_across_the_antimeridian() -> None:
    assert holds_point(filled((DATE_LINE,)), Place(51.5, 179.9))
    assert holds_point(filled((DATE_LINE,)), Place(51.5, -179.9))
    assert holds_point(filled((DATE_LINE,)), Place(51.5, 180.0))
    assert not holds_point(filled((DATE_LINE,)), Place(51.5, 0.0))
    assert touches(filled((DATE_LINE,)), Place(51.5, -179.49), 700.0)
    assert not touches(filled((DATE_LINE,)), Place(51.5, -179.49), 690.0)


places = st.builds(Place, st.floats(-78, 78), st.floats(-179, 179))


@given(places, st.floats(0, 360), st.floats(20, 15_000))
def test_a_circle_touches_a_square_at_its_geodesic_distance(
    place: Place, azimuth: float, far_m: float
) -> None:
    """A tiny square so far away is reached by a radius a little longer than the distance, and by none a little shorter."""
    there = point_of(place_from(place, azimuth, far_m))
    half = DEGREE // 10**7
    square = box_ring(
        box_of([FixedPoint(there[0] - half, there[1] - half), FixedPoint(there[0] + half, there[1] + half)])
    )
    assert touches(filled((square,)), place, far_m + 0.05)
    assert not touches(filled((square,)), place, far_m - 0.05)


@given(places, st.floats(0, 360), st.floats(0, 15_000))
def test_the_box_of_a_circle_holds_it(place: Place, azimuth: float, radius_m: float) -> None:
    box = box_of_footprint(within_of([place], radius_m))
    rim = point_of(place_from(place, azimuth, radius_m))
    assert box.south - 1000 <= rim.latitude <= box.north + 1000
    assert any(box.west - 1000 <= rim.longitude + turn <= box.east + 1000 for turn in (-TURN, 0, TURN))


@given(st.floats(0.001, 0.2), st.floats(0.05, 0.95))
def test_a_circle_touches_a_long_edge(off_deg: float, share: float) -> None:
    """South of a square's lower edge the nearest point lies on that edge, seldom straight north; found by trying many."""
    place = Place(40 - off_deg, -105 + share)
    tried = min(geodesic_m(place, Place(40.0, place.longitude_deg + step / 2000)) for step in range(-40, 41))
    if tried < 15_000:
        assert touches(filled((SQUARE,)), place, tried + 0.01)
        assert not touches(filled((SQUARE,)), place, tried * 0.9999 - 0.5)


@given(places, st.floats(0, 360), st.floats(10, 15_000), st.floats(0, 5_000), st.floats(0, 360))
def test_a_corridor_is_as_far_as_the_nearest_place_of_its_line(
    place: Place, azimuth: float, far_m: float, half_width_m: float, bearing: float
) -> None:
    """The line is straight in latitude and longitude; the distance is the least of geodesics to places tried along it."""
    start = place_from(place, azimuth, far_m)
    end = place_from(start, bearing, 12_000)
    if (
        abs(end.longitude_deg - start.longitude_deg) > 180
        or abs(start.longitude_deg - place.longitude_deg) > 180
    ):
        return
    tried = [
        Place(*(one + (other - one) * part / 400 for one, other in zip(start, end, strict=True)))
        for part in range(401)
    ]
    least = min(geodesic_m(place, one) for one in tried)
    found = apart_m(within_of([start, end], half_width_m), within_of([place], 0), 40_000)
    assert found == pytest.approx(max(0.0, least - half_width_m), abs=15.5)
    # the ends and the place are kept to 1e-7 degree, up to 0.8 cm each
    assert found <= max(0.0, least - half_width_m) + 0.016


@pytest.mark.parametrize("radius_m", [0.0, 900.0])
def test_a_line_across_a_square_meets_it_though_no_corner_is_inside(radius_m: float) -> None:
    across = within_of([Place(40.5, -106), Place(40.5, -103)], radius_m)
    assert apart_m(filled((SQUARE,)), across) == 0
    assert deepest_m(filled((SQUARE,)), across) == pytest.approx(42_300 + radius_m, rel=0.02)
    assert margin_m(filled((SQUARE,)), across) is None


def test_an_area_that_holds_a_volume_touches_it() -> None:
    small = box_ring(box_of([point_of(Place(40.45, -104.55)), point_of(Place(40.5, -104.5))]))
    assert apart_m(filled((SQUARE,)), filled((small,))) == 0
    assert apart_m(filled((small,)), filled((SQUARE,))) == 0
    assert apart_m(filled((SQUARE, HOLE)), filled((small,)), 50_000) == pytest.approx(
        geodesic_m(Place(40.45, -104.55), Place(40.4, -104.55)), rel=0.3
    )
    assert margin_m(filled((SQUARE,)), filled((small,))) == pytest.approx(38_000, rel=0.03)
    assert margin_m(filled((small,)), filled((SQUARE,))) is None


def test_what_surely_lies_farther_is_not_measured() -> None:
    assert apart_m(filled((SQUARE,)), within_of([Place(20, -90)], 10)) == float("inf")


@given(places, st.floats(0, 360), st.floats(0, 12_000), st.floats(0, 3_000))
def test_a_circle_in_a_circle_keeps_its_margin(
    place: Place, azimuth: float, away_m: float, radius_m: float
) -> None:
    outer = within_of([place], 9_260)
    inner = within_of([place_from(place, azimuth, away_m)], radius_m)
    margin = 9_260 - away_m - radius_m
    found = margin_m(outer, inner)
    if margin > 0.01:
        assert found == pytest.approx(margin, abs=0.002)
    elif margin < -0.01:
        assert found is None
        assert (apart_m(outer, inner) == 0) == (away_m <= 9_260 + radius_m)


def test_the_depth_in_a_circle_of_six_thousand_corners() -> None:
    middle = Place(40.0, -105.0)
    corners = [point_of(place_from(middle, 360 * at / 6000, 18_520)) for at in range(6000)]
    circle = filled(((*corners, corners[0]),))
    assert depth_m(circle, middle) == pytest.approx(18_520, abs=0.02)
    for away in (5_000, 18_000, 19_000, 40_000):
        assert depth_m(circle, place_from(middle, 77, away)) == pytest.approx(18_520 - away, abs=0.05)


@given(st.lists(st.tuples(st.integers(-30, 30), st.integers(-30, 30)), min_size=3, max_size=12, unique=True))
def test_a_point_is_inside_as_counting_crossings_one_by_one_says(corners: list[tuple[int, int]]) -> None:
    """Brute force over whole numbers, where nothing is rounded; what runs across itself counts by the same rule."""
    points = [FixedPoint(one * DEGREE, other * DEGREE) for one, other in (*corners, corners[0])]
    footprint = filled((tuple(points),))
    for latitude in range(-31, 32, 7):
        for longitude in range(-31, 32, 6):
            assert holds_point(footprint, Place(latitude, longitude)) == _by_hand(
                corners, latitude, longitude
            )


def _by_hand(corners: list[tuple[int, int]], latitude: int, longitude: int) -> bool:
    inside = False
    for (south, west), (north, east) in pairwise([*corners, corners[0]]):
        side = (latitude - south) * (east - west) - (longitude - west) * (north - south)
        if (
            side == 0
            and min(south, north) <= latitude <= max(south, north)
            and min(west, east) <= longitude <= max(west, east)
        ):
            return True
        if (south > latitude) != (north > latitude):
            inside ^= (side < 0) == (north > south)
    return inside
