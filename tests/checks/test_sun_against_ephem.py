"""The sun's place and its risings against ephem, all over the earth and from 1950 to 2053 (ephem/SOURCE.toml).

Both see it from the ground without air: altitudes to 0.001 degrees; risings and settings below 65 degrees of latitude to 1 s;
of a year's minutes 99 of 100 are printed alike, up to 71 degrees.
"""

from __future__ import annotations

import math
from datetime import UTC, datetime, timedelta

import ephem
import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.places import Place
from airwrit.sky.crossings import Level, crossings
from airwrit.sky.light import CIVIL, HORIZON, altitude_deg, days_of, events
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
    assert abs(math.degrees(sun.alt) - altitude_deg(place, at)) < 0.001


@given(st.floats(-65, 65), LONGITUDES, MOMENTS, st.sampled_from((HORIZON, CIVIL)), st.booleans())
def test_next_crossing(latitude: float, longitude: float, at: datetime, level: Level, rising: bool) -> None:
    place = Place(latitude, longitude)
    theirs = observer(place, at)
    theirs.horizon = str(level.seen_deg)
    find = theirs.next_rising if rising else theirs.next_setting
    try:
        told = find(ephem.Sun(), use_center=not level.is_of_the_edge).datetime().replace(tzinfo=UTC)
    except (ephem.AlwaysUpError, ephem.NeverUpError):
        return
    ours = [event for event in events(place, at, at + NEXT, level) if event.rising is rising]
    near = [event for event in ours if abs(event.at - told) < timedelta(seconds=event.error_s)]
    assert near or told > at + NEXT
    assert all(abs(event.at - told) < timedelta(seconds=2) for event in near if event.error_s == 60)


def to_minute(at: datetime) -> datetime:
    """A moment as an almanac prints it."""
    return (at + timedelta(seconds=30)).replace(second=0, microsecond=0)


def their_year(place: Place, start: datetime, end: datetime) -> list[datetime]:
    """Every rising and setting of a span, by the other library, asked from the noon and the midnight of each solar day."""
    found = []
    for day in range((end - start).days + 1):
        noon = start + timedelta(days=day) - timedelta(days=place.longitude_deg / 360)
        for find, at in (("previous_rising", noon), ("next_setting", noon)):
            theirs = observer(place, at)
            theirs.horizon = str(HORIZON.seen_deg)
            try:
                told = getattr(theirs, find)(ephem.Sun()).datetime().replace(tzinfo=UTC)
            except (ephem.AlwaysUpError, ephem.NeverUpError):
                continue
            if start <= told < end:
                found.append(told)
    return sorted(set(found))


def our_year(place: Place, start: datetime, end: datetime) -> list[datetime]:
    """Every rising and setting of a span, by us, before it is rounded to the second."""
    span = days_of(start), days_of(end)
    found = crossings(np.array([place.latitude_deg]), np.array([place.longitude_deg]), *span, HORIZON)
    return [EPOCH + timedelta(days=day) for day in found.days.tolist()]


@pytest.mark.parametrize(
    ("place", "year"),
    [
        (Place(39.74, -104.99), 1997),
        (Place(25.76, -80.19), 2031),
        (Place(21.30, -157.86), 2026),
        (Place(-33.87, 151.20), 2019),
        (Place(-53.16, -70.90), 2026),
        (Place(51.88, -176.65), 2012),
        (Place(61.20, -149.90), 2026),
        (Place(64.80, -147.70), 2026),
        (Place(71.29, -156.79), 2026),
    ],
)
def test_a_years_minutes_are_the_same(place: Place, year: int) -> None:
    """The share of printed minutes that both tell alike, where they tell the same events."""
    start, end = (datetime(one, 1, 1, 12, tzinfo=UTC) for one in (year, year + 1))
    ours, theirs = our_year(place, start, end), their_year(place, start, end)
    near = [min(theirs, key=lambda other: abs(other - one)) for one in ours]
    met = [
        (one, other) for one, other in zip(ours, near, strict=True) if abs(one - other) < timedelta(minutes=9)
    ]
    assert len(ours) - len(met) <= 4
    assert len(ours) - len(theirs) <= 4
    same = sum(to_minute(one) == to_minute(other) for one, other in met)
    assert same / len(ours) >= 0.99
