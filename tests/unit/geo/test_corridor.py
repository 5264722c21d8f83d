"""Corridors of several legs: what surely lies in them, what surely doesn't, and what is too close to call."""

from __future__ import annotations

import pytest

from airwrit.base.places import Place
from airwrit.geo.corridor import corridor_holds
from airwrit.geo.earth import place_from
from airwrit.geo.footprint import within_of

BEND = Place(36.05, -79.95)
LEGS = [place_from(BEND, 225, 4000), BEND, place_from(BEND, 90, 4000)]


@pytest.mark.parametrize(
    ("away_m", "radius_m", "held"),
    [
        (0, 990, True),
        (300, 690, True),
        (300, 702, None),
        (300, 720, False),
        (990, 0, True),
        (1001, 0, None),
        (1010, 0, False),
    ],
)
def test_a_circle_beside_a_leg(away_m: float, radius_m: float, held: bool | None) -> None:
    """North of a place two kilometers along the leg that runs east."""
    place = place_from(place_from(BEND, 90, 2000), 0, away_m)
    assert corridor_holds(within_of(LEGS, 1000.0), within_of([place], radius_m)) is held


def test_a_line_is_held_along_its_whole_way() -> None:
    corridor = within_of(LEGS, 1000.0)
    assert corridor_holds(corridor, within_of(LEGS, 900.0)) is True
    assert corridor_holds(corridor, within_of([LEGS[0], LEGS[2]], 100.0)) is False
