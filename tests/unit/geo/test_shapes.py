"""Polygons: edges count as inside, holes, the antimeridian, circles, damaged rings."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.places import Place
from airwrit.geo.earth import geodesic_m, place_from
from airwrit.geo.fixed import DEGREE, TURN, FixedPoint, fixed, point_of
from airwrit.geo.shapes import (
    Ring,
    RingFault,
    around,
    box_of,
    box_ring,
    doubled_area,
    is_in,
    polygon_faults,
    ring_faults,
    touches,
    unwrapped,
    whole_box,
)


def ring(*degrees: tuple[str, str]) -> Ring:
    """A ring of latitudes and longitudes in decimals."""
    return unwrapped([FixedPoint(fixed(Decimal(one)), fixed(Decimal(other))) for one, other in degrees])


SQUARE = ring(("40", "-105"), ("40", "-104"), ("41", "-104"), ("41", "-105"), ("40", "-105"))
HOLE = ring(
    ("40.4", "-104.6"), ("40.4", "-104.4"), ("40.6", "-104.4"), ("40.6", "-104.6"), ("40.4", "-104.6")
)
SLANTED = ring(("40", "-105"), ("40.3", "-104.1"), ("40.9", "-104.7"), ("40", "-105"))
DATE_LINE = ring(("51", "179.5"), ("51", "-179.5"), ("52", "-179.5"), ("52", "179.5"), ("51", "179.5"))


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
    assert is_in((SQUARE, HOLE), point_of(Place(latitude, longitude))) is inside


@given(st.integers(0, 1000))
def test_a_point_on_a_slanted_edge_is_inside(part: int) -> None:
    """Its decimals are exact: the third part of the way from 40, -105 to 40.3, -104.1."""
    place = Place(float(40 + Decimal(part) * 3 / 10_000), float(-105 + Decimal(part) * 9 / 10_000))
    assert is_in((SLANTED,), point_of(place))


def test_the_short_way_across_the_antimeridian() -> None:
    assert is_in((DATE_LINE,), point_of(Place(51.5, 179.9)))
    assert is_in((DATE_LINE,), point_of(Place(51.5, -179.9)))
    assert is_in((DATE_LINE,), point_of(Place(51.5, 180.0)))
    assert not is_in((DATE_LINE,), point_of(Place(51.5, 0.0)))
    assert touches((DATE_LINE,), Place(51.5, -179.49), 700.0)
    assert not touches((DATE_LINE,), Place(51.5, -179.49), 690.0)


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
    assert touches((square,), place, far_m + 0.05)
    assert not touches((square,), place, far_m - 0.05)


@given(places, st.floats(0, 360), st.floats(0, 15_000))
def test_the_box_of_a_circle_holds_it(place: Place, azimuth: float, radius_m: float) -> None:
    box = around(place, radius_m)
    rim = point_of(place_from(place, azimuth, radius_m))
    assert box.south - 1000 <= rim.latitude <= box.north + 1000
    assert any(box.west - 1000 <= rim.longitude + turn <= box.east + 1000 for turn in (-TURN, 0, TURN))


@given(st.floats(0.001, 0.2), st.floats(0.05, 0.95))
def test_a_circle_touches_a_long_edge(off_deg: float, share: float) -> None:
    """South of a square's lower edge the nearest point lies on that edge, seldom straight north; found by trying many."""
    place = Place(40 - off_deg, -105 + share)
    tried = min(geodesic_m(place, Place(40.0, place.longitude_deg + step / 2000)) for step in range(-40, 41))
    if tried < 15_000:
        assert touches((SQUARE,), place, tried + 0.01)
        assert not touches((SQUARE,), place, tried * 0.9999 - 0.5)


@pytest.mark.parametrize(
    ("given_ring", "fault"),
    [
        (ring(("40", "-105"), ("40", "-104"), ("41", "-104"), ("41", "-105")), RingFault.UNCLOSED),
        (ring(("40", "-105"), ("40", "-104"), ("40", "-105")), RingFault.TOO_FEW),
        (ring(("40", "-105"), ("40", "-104"), ("40", "-103"), ("40", "-105")), RingFault.NO_AREA),
        (
            ring(("40", "-105"), ("41", "-103.9"), ("41", "-105"), ("40", "-104"), ("40", "-105")),
            RingFault.CROSSES_ITSELF,
        ),
        (
            ring(("40", "-105"), ("40", "-103"), ("40", "-104"), ("41", "-104"), ("40", "-105")),
            RingFault.CROSSES_ITSELF,
        ),
        (
            ring(("80", "0"), ("80", "120"), ("80", "-120"), ("80", "0")),
            RingFault.AROUND_A_POLE,
        ),
    ],
)
def test_a_damaged_ring_is_told(given_ring: Ring, fault: RingFault) -> None:
    assert ring_faults(given_ring) == [fault]


OUTSIDE = ring(("42", "-105"), ("42", "-104"), ("43", "-104"), ("42", "-105"))
POLAR = ring(("80", "0"), ("81", "120"), ("80", "-120"), ("80", "0"))


def test_a_second_outer_ring_written_as_a_hole_is_damage_and_its_box_counts() -> None:
    assert polygon_faults((SQUARE, HOLE)) == []
    assert polygon_faults((SQUARE, OUTSIDE)) == [RingFault.HOLE_OUTSIDE]
    assert polygon_faults((HOLE, SQUARE)) == [RingFault.HOLE_OUTSIDE]
    assert is_in(whole_box((SQUARE, OUTSIDE)), point_of(Place(42.5, -104.5)))


@pytest.mark.parametrize("longitude", [-180.0, -150.0, 0.0, 179.0])
def test_the_box_of_a_ring_around_a_pole_reaches_the_pole(longitude: float) -> None:
    assert is_in(whole_box((POLAR,)), point_of(Place(89.9, longitude)))
    assert not is_in(whole_box((POLAR,)), point_of(Place(79.9, longitude)))


@pytest.mark.parametrize("good", [SQUARE, HOLE, SLANTED, DATE_LINE, SQUARE[::-1]])
def test_a_good_ring_has_no_fault_either_way_round(good: Ring) -> None:
    assert ring_faults(good) == []
    assert doubled_area(good) == -doubled_area(good[::-1]) != 0
