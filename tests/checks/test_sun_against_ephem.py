"""The sun's place and its risings against ephem, all over the earth and from 1950 to 2053 (ephem/SOURCE.toml).

Altitudes to 0.006 degrees; risings and settings below 65 degrees of latitude to 5 s. ephem looks from the ground, we as
almanacs do from the earth's center: 0.0024 degrees of the difference.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import ephem
import pytest
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


def to_minute(at: datetime) -> datetime:
    """A moment as an almanac prints it."""
    return (at + timedelta(seconds=30)).replace(second=0, microsecond=0)


def their_year(place: Place, start: datetime, end: datetime) -> list[datetime]:
    """Every rising and setting of a span, by the other library."""
    found = []
    for find in ("next_rising", "next_setting"):
        at = start
        while True:
            theirs = observer(place, at)
            theirs.horizon = str(HORIZON_DEG)
            told = getattr(theirs, find)(ephem.Sun(), use_center=True).datetime().replace(tzinfo=UTC)
            if told >= end:
                break
            found.append(told)
            at = told + timedelta(minutes=10)
    return sorted(found)


@pytest.mark.parametrize(
    ("place", "year", "least"),
    [
        (Place(39.74, -104.99), 1997, 0.97),
        (Place(25.76, -80.19), 2031, 0.97),
        (Place(21.30, -157.86), 2026, 0.97),
        (Place(-33.87, 151.20), 2019, 0.97),
        (Place(-53.16, -70.90), 2026, 0.96),
        (Place(51.88, -176.65), 2012, 0.96),
        (Place(61.20, -149.90), 2026, 0.96),
        (Place(64.80, -147.70), 2026, 0.95),
    ],
)
def test_a_years_minutes_are_the_same(place: Place, year: int, least: float) -> None:
    """The share of printed minutes that both tell alike; at 65 degrees of latitude they are up to 7 s apart."""
    start, end = (datetime(one, 1, 1, 12, tzinfo=UTC) for one in (year, year + 1))
    ours = [event.at for event in events(place, start, end, HORIZON_DEG)]
    theirs = their_year(place, start, end)
    assert len(ours) == len(theirs)
    same = sum(to_minute(one) == to_minute(other) for one, other in zip(ours, theirs, strict=True))
    assert same / len(ours) >= least
