"""No crossing of an altitude is lost or made up, near the poles and where the sun only grazes it too."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.sky.crossings import Level, crossings, sine_of_altitude
from airwrit.sky.light import CIVIL, HORIZON
from airwrit.sky.sun import Array, SunTable, sun_at

DAYS = 9
MINUTE = 1 / 1440


def looked_at(latitude: float, longitude: float, first: float, level: Level) -> list[tuple[float, bool]]:
    """Every change of side seen by looking each minute."""
    moments = np.arange(first, first + DAYS, MINUTE)
    sun = sun_at(moments)
    above = sine_of_altitude(sun, np.array([latitude]), np.array([longitude])) >= level.sine(
        sun.over_distance
    )
    changed = np.nonzero(above[1:] != above[:-1])[0]
    return [(float(moments[at]), bool(above[at + 1])) for at in changed]


@given(
    st.floats(-90, 90) | st.floats(64, 69) | st.floats(71, 72) | st.floats(89, 90),
    st.floats(-180, 180),
    st.integers(-18000, 19000),
    st.sampled_from((HORIZON, CIVIL)),
)
def test_as_by_looking_each_minute(latitude: float, longitude: float, first: int, level: Level) -> None:
    found = crossings(np.array([latitude]), np.array([longitude]), first, first + DAYS, level)
    seen = looked_at(latitude, longitude, first, level)
    ours = list(zip(found.days.tolist(), found.rising.tolist(), strict=True))
    pairs = [
        near
        for near in ours
        if not any(near[1] is up and -MINUTE < near[0] - at < 3 * MINUTE for at, up in seen)
    ]
    lost = [
        at
        for at, up in seen
        if not any(up is rising and -MINUTE < day - at < 3 * MINUTE for day, rising in ours)
    ]
    assert grazes(pairs), (pairs, seen)
    assert grazes([(at, True) for at in lost]), (lost, ours)


def grazes(found: list[tuple[float, bool]]) -> bool:
    """Whether what differs is nothing, or a pair less than three minutes apart, or an end of the span."""
    return len(found) <= 2 and all(abs(one[0] - found[0][0]) < 3 * MINUTE for one in found)


def test_many_places_are_each_as_if_alone() -> None:
    latitudes, longitudes = np.array([-30.0, 40.0, 66.0, 71.3]), np.array([-100.0, -105.0, 25.0, -156.8])
    together = crossings(latitudes, longitudes, 4000, 4366, HORIZON)
    for place in range(4):
        alone = crossings(latitudes[[place]], longitudes[[place]], 4000, 4366, HORIZON)
        mine = together.place == place
        assert np.array_equal(together.days[mine], alone.days)
        assert np.array_equal(together.rising[mine], alone.rising)


def test_in_order_and_by_turns() -> None:
    found = crossings(np.array([59.0]), np.array([10.0]), 0, 3000, CIVIL)
    assert np.all(np.diff(found.days) > 0)
    assert np.all(found.rising[1:] != found.rising[:-1])


@pytest.mark.parametrize("latitude", [90.0, -90.0])
def test_a_pole_has_one_sunrise_a_year(latitude: float) -> None:
    found = crossings(np.array([latitude]), np.array([0.0]), 9131, 9131 + 365, HORIZON)
    assert found.rising.size == 2


def test_the_table_is_the_sun() -> None:
    days: Array = np.linspace(8000.2, 8100.7, 5000)
    straight, table = sun_at(days), SunTable(8000, 8101).at(days)
    assert np.abs(straight.sin_declination - table.sin_declination).max() < 1e-6
    turned = np.remainder(straight.greenwich_hour_angle_deg - table.greenwich_hour_angle_deg + 180, 360) - 180
    assert np.abs(turned).max() < 3e-5
