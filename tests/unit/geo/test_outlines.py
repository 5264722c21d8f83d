"""Outlines of States and counties: a place in the middle of one lies in it, one near a line says so, one at sea is in none."""

from __future__ import annotations

import re

import pytest

from airwrit.answers.drawings.locator import locator_of
from airwrit.base.places import Place
from airwrit.geo.outlines import counties_of, where_in_states


@pytest.mark.parametrize(
    ("place", "state", "number"),
    [
        # State numbers are those of ANSI INCITS 38, from memory; the places are State capitols and islands, from memory
        (Place(39.739, -104.985), "Colorado", "08"),
        (Place(41.140, -104.820), "Wyoming", "56"),
        (Place(58.302, -134.410), "Alaska", "02"),
        (Place(52.9, 172.9), "Alaska", "02"),
        (Place(21.307, -157.857), "Hawaii", "15"),
        (Place(38.890, -77.009), "District of Columbia", "11"),
    ],
)
def test_a_place_lies_in_its_state(place: Place, state: str, number: str) -> None:
    found = where_in_states(place)
    assert found is not None
    assert (found.state.name, found.state.number) == (state, number)
    assert found.county.number.startswith(number)


def test_places_at_sea_and_abroad_lie_in_none() -> None:
    assert where_in_states(Place(40.0, -60.0)) is None
    assert where_in_states(Place(48.86, 2.35)) is None


def test_a_place_near_a_line_says_so() -> None:
    # Wyoming and Colorado meet at 41 degrees north (their enabling acts)
    near, far = where_in_states(Place(41.01, -107.0)), where_in_states(Place(42.5, -107.0))
    assert near is not None
    assert far is not None
    assert near.near_line
    assert not far.near_line


def test_a_state_is_drawn_with_its_counties_inside_the_frame() -> None:
    place = Place(52.9, 172.9)
    found = where_in_states(place)
    assert found is not None
    drawn = str(locator_of(place, found))
    paths = re.findall(r'<path class="(?:hair|county|state)" d="([^"]+)"', drawn)
    numbers = [float(one) for path in paths for one in re.findall(r"-?[0-9.]+", path)]
    assert min(numbers) >= 0
    assert max(numbers) <= 380
    assert len(counties_of(found.state)) > 20
