"""The sun's place and its risings against ephem, all over the earth and from 1950 to 2053 (ephem/SOURCE.toml).

Altitudes to 0.006 degrees; risings and settings below 65 degrees of latitude to 5 s. ephem looks from the ground, we as
almanacs do from the earth's center: 0.0024 degrees of the difference.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import ephem
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.places import Place
from airwrit.sky.light import CIVIL_DEG, HORIZON_DEG, altitude_deg, events
from airwrit.sky.sun import EPOCH

MOMENTS = st.integers(-18262, 19359).flatmap(
    lambda day: st.floats(0, 86400).map(lambda second: EPOCH + timedelta(days=day, seconds=second))
)
LONGITUDES = st.floats(-180, 180)
NEXT = timedelta(hours=25)


def observer(place: Place, at: datetime) -> ephem.Observer:
    """An observer of the other library, without air."""
    made = ephem.Observer()
    made.lat, made.lon = str(place.latitude_deg), str(place.longitude_deg)
    made.pressure = 0
    made.date = at.replace(tzinfo=None)
    return made


@given(st.floats(-90, 90), LONGITUDES, MOMENTS)
def test_altitude(latitude: float, longitude: float, at: datetime) -> None:
    place = Place(latitude, longitude)
    sun = ephem.Sun(observer(place, at))
    assert abs(math.degrees(sun.alt) - altitude_deg(place, at)) < 0.006


@given(st.floats(-65, 65), LONGITUDES, MOMENTS, st.sampled_from((HORIZON_DEG, CIVIL_DEG)), st.booleans())
def test_next_crossing(
    latitude: float, longitude: float, at: datetime, altitude: float, rising: bool
) -> None:
    place = Place(latitude, longitude)
    theirs = observer(place, at)
    theirs.horizon = str(altitude)
    find = theirs.next_rising if rising else theirs.next_setting
    try:
        told = find(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC)
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return
    ours = [event for event in events(place, at, at + NEXT, altitude) if event.rising is rising]
    near = [event for event in ours if abs(event.at - told) < timedelta(seconds=event.error_s)]
    assert near or told > at + NEXT
    assert all(abs(event.at - told) < timedelta(seconds=5) for event in near if event.error_s == 60)
