"""The height of sea level over the ellipsoid against published test points of EGM96 (egm96/SOURCE.toml), to 0.1 m."""

from __future__ import annotations

import pytest

from airwrit.base.places import Place
from airwrit.geo.geoid import undulation_m


@pytest.mark.parametrize(
    ("latitude", "longitude", "meters"),
    [
        (38.628155, 269.779155, -31.628),
        (-14.621217, 305.021114, -2.969),
        (46.874319, 102.448729, -43.575),
        (-23.617446, 133.874712, 15.871),
        (38.625473, 359.9995, 50.066),
        (-0.466744, 0.0023, 17.329),
    ],
)
def test_published_points(latitude: float, longitude: float, meters: float) -> None:
    assert undulation_m(Place(latitude, longitude)) == pytest.approx(meters, abs=0.1)
    assert undulation_m(Place(latitude, longitude - 360)) == pytest.approx(meters, abs=0.1)
