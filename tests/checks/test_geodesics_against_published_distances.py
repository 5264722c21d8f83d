"""Distances and directions on the ellipsoid against published ones (geodesics/SOURCE.toml)."""

from __future__ import annotations

import pytest

from airwrit.base.places import Place
from airwrit.geo.earth import geodesic_m, m_per_degree, place_from


def degrees(whole: int, minutes: int, seconds: float) -> float:
    """Degrees of degrees, minutes and seconds."""
    return whole + minutes / 60 + seconds / 3600


def test_nearly_opposite_places() -> None:
    assert geodesic_m(Place(-41.32, 174.81), Place(40.96, -5.50)) == pytest.approx(19_959_679.267, abs=0.001)


def test_a_way_past_half_the_earth() -> None:
    found = place_from(Place(-32.06, 115.74), 225, 20_000_000)
    assert found == pytest.approx((32.11195529, -63.95925278), abs=1e-8)


def test_a_surveyed_line() -> None:
    flinders = Place(-degrees(37, 57, 3.72030), degrees(144, 25, 29.52440))
    buninyong = Place(-degrees(37, 39, 10.15610), degrees(143, 55, 35.38390))
    assert geodesic_m(flinders, buninyong) == pytest.approx(54_972.271, abs=0.001)
    assert place_from(flinders, degrees(306, 52, 5.37), 54_972.271) == pytest.approx(buninyong, abs=3e-8)


@pytest.mark.parametrize(("latitude", "minute_m"), [(0.0, 1842.9), (90.0, 1861.6)])
def test_a_minute_of_latitude(latitude: float, minute_m: float) -> None:
    assert m_per_degree(latitude)[0] / 60 == pytest.approx(minute_m, abs=0.1)


@pytest.mark.parametrize(
    ("one", "other", "published_m"),
    [
        (Place(36.12, -86.67), Place(33.94, -118.40), 2_887_260.0),
        (
            Place(degrees(33, 57, 0), -degrees(118, 24, 0)),
            Place(degrees(40, 38, 0), -degrees(73, 47, 0)),
            2144 * 1852.0,
        ),
    ],
)
def test_distances_on_a_sphere_differ_by_less_than_the_earth_is_flattened(
    one: Place, other: Place, published_m: float
) -> None:
    assert geodesic_m(one, other) == pytest.approx(published_m, rel=0.0035)
