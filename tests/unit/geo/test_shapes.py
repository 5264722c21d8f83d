"""Rings as they are written, and what is wrong with damaged ones."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.base.places import Place
from airwrit.geo.fixed import FixedPoint, fixed
from airwrit.geo.footprint import filled, holds_point
from airwrit.geo.shapes import (
    Ring,
    RingFault,
    doubled_area,
    polygon_faults,
    ring_faults,
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
    assert holds_point(filled(whole_box((SQUARE, OUTSIDE))), Place(42.5, -104.5))


@pytest.mark.parametrize("longitude", [-180.0, -150.0, 0.0, 179.0])
def test_the_box_of_a_ring_around_a_pole_reaches_the_pole(longitude: float) -> None:
    assert holds_point(filled(whole_box((POLAR,))), Place(89.9, longitude))
    assert not holds_point(filled(whole_box((POLAR,))), Place(79.9, longitude))


@pytest.mark.parametrize("good", [SQUARE, HOLE, SLANTED, DATE_LINE, SQUARE[::-1]])
def test_a_good_ring_has_no_fault_either_way_round(good: Ring) -> None:
    assert ring_faults(good) == []
    assert doubled_area(good) == -doubled_area(good[::-1]) != 0
