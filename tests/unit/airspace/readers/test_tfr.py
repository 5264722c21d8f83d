"""Restrictions out of their XML: clocks, arcs, several shapes, schedules."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from airwrit.airspace.areas import AreaFacts
from airwrit.airspace.here import times_of
from airwrit.airspace.hours import ActiveState, TimeSpan
from airwrit.airspace.problems import FeatureFault
from airwrit.base.places import Place
from airwrit.geo.earth import place_from
from airwrit.geo.footprint import apart_m, depth_m, within_of
from tests.unit.airspace.test_readers import MIDDLE, RING, tfr


def test_times_in_another_zone_count_by_both_clocks(tmp_path: Path) -> None:
    """Readers of these files differ: one takes every time as UTC, whatever letters stand beside it."""
    (facts,) = tfr(tmp_path, zone="EDT").areas.facts
    assert facts.begins == datetime(2026, 11, 25, 10, tzinfo=UTC)
    assert facts.ends == datetime(2026, 11, 26, 0, tzinfo=UTC)


def avx(kind: str, place: Place, center: Place | None = None, radius_nm: float = 0.0) -> str:
    """A corner as the XML has it, of an arc where it has a center."""

    def half(degrees: float, letters: str) -> str:
        return f"{abs(degrees):.8f}{letters[degrees < 0]}"

    arc = (
        ""
        if center is None
        else (
            f"<geoLatArc>{half(center.latitude_deg, 'NS')}</geoLatArc>"
            f"<geoLongArc>{half(center.longitude_deg, 'EW')}</geoLongArc>"
            f"<valRadiusArc>{radius_nm}</valRadiusArc><uomRadiusArc>NM</uomRadiusArc>"
        )
    )
    return (
        f"<Avx><codeType>{kind}</codeType><geoLat>{half(place.latitude_deg, 'NS')}</geoLat>"
        f"<geoLong>{half(place.longitude_deg, 'EW')}</geoLong>{arc}</Avx>"
    )


@pytest.mark.parametrize(
    ("kind", "azimuths", "inside", "outside"),
    [
        ("CWA", (0, 90), (45,), (135, 225, 315)),
        ("CCA", (0, 90), (135, 225, 315), (45,)),
        ("CWA", (355, 5), (0,), (90, 180, 270)),
        ("CWA", (350, 340), (0, 90, 180, 270), (345,)),
        ("CCA", (2, 358), (0,), (90, 180, 270)),
    ],
)
def test_an_arc_is_followed_its_way_round(
    tmp_path: Path, kind: str, azimuths: tuple[int, int], inside: tuple[int, ...], outside: tuple[int, ...]
) -> None:
    """A slice of a disc of 10 nautical miles around the middle; arcs near north were lost elsewhere."""
    begin, end = (place_from(MIDDLE, azimuth, 10 * 1852) for azimuth in azimuths)
    shape = avx("GRC", MIDDLE) + avx(kind, begin, MIDDLE, 10) + avx("GRC", end)
    read = tfr(tmp_path, shape=shape)
    assert read.problems == ()
    footprint = read.areas.area(0).footprints[0]
    for azimuths_of, is_in in ((inside, True), (outside, False)):
        for azimuth in azimuths_of:
            for miles, holds in ((9.99, is_in), (10.01, False)):
                there = within_of([place_from(MIDDLE, azimuth, miles * 1852)], 0.0)
                assert (apart_m(footprint, there) == 0) is holds, (azimuth, miles)


def test_an_arc_of_one_corner_is_a_whole_circle(tmp_path: Path) -> None:
    read = tfr(tmp_path, shape=avx("CWA", place_from(MIDDLE, 0, 5 * 1852), MIDDLE, 5))
    assert depth_m(read.areas.area(0).footprints[0], MIDDLE) == pytest.approx(5 * 1852, rel=0.001)


@pytest.mark.parametrize(("radius_nm", "away_nm"), [(9, 10), (10, 11)])
def test_an_arc_whose_ends_miss_it_has_no_place(tmp_path: Path, radius_nm: int, away_nm: int) -> None:
    begin, end = place_from(MIDDLE, 0, 10 * 1852), place_from(MIDDLE, 90, away_nm * 1852)
    read = tfr(tmp_path, shape=avx("GRC", MIDDLE) + avx("CWA", begin, MIDDLE, radius_nm) + avx("GRC", end))
    assert read.has_gaps
    assert [problem.fault for problem in read.problems] == [FeatureFault.NOT_AN_AREA]


def test_each_of_several_shapes_counts(tmp_path: Path) -> None:
    circle = avx("CIR", MIDDLE).replace(
        "</Avx>", "<valRadiusArc>5</valRadiusArc><uomRadiusArc>NM</uomRadiusArc></Avx>"
    )
    read = tfr(tmp_path, shape=f"{circle}</Abd><Abd>{RING}")
    assert [read.areas.area(at).footprints[0].is_filled for at in range(len(read.areas))] == [False, True]


def schedule(first: str, last: str, start: str = "", end: str = "") -> str:
    """A schedule of an area: its days, and the times of each day where it has some."""
    times = f"<startTime>{start}</startTime><endTime>{end}</endTime>"
    return (
        f"<ScheduleGroup><isTimeSeparate>{'TRUE' if start else 'FALSE'}</isTimeSeparate>"
        f"<dateEffective>{first}</dateEffective><dateExpire>{last}</dateExpire>{times if start else ''}</ScheduleGroup>"
    )


def active(facts: AreaFacts, day: int, hour: int) -> ActiveState:
    """Whether an area is active for ten minutes of November 2026, UTC."""
    start = datetime(2026, 11, day, hour, tzinfo=UTC)
    span = TimeSpan(start, start + timedelta(minutes=10))
    return times_of(facts, span, (ZoneInfo("America/New_York"),)).state


def test_each_schedule_of_a_restriction_bounds_it(tmp_path: Path) -> None:
    """The names of the fields are published; the values are invented, no sample of a schedule was at hand."""
    two = schedule("2026-11-25T10:00:00", "2026-11-25T12:00:00") + schedule(
        "2026-11-25T16:00:00", "2026-11-25T18:00:00"
    )
    (facts,) = tfr(tmp_path, schedule=f"<isScheduledTfrArea>FALSE</isScheduledTfrArea>{two}").areas.facts
    states = {hour: active(facts, 25, hour) is not ActiveState.NOT for hour in (9, 10, 11, 13, 16, 17, 19)}
    assert states == {9: False, 10: True, 11: True, 13: False, 16: True, 17: True, 19: False}


def test_a_schedule_of_days_bounds_it_and_the_day_after_counts(tmp_path: Path) -> None:
    """Nov 25, 2026 is a Wednesday. By which clock a day is named isn't told, so Thursday counts, and Friday doesn't."""
    hours = schedule(
        "2026-11-20T00:00:00", "2026-11-30T00:00:00", "2026-11-20T14:00:00", "2026-11-20T16:00:00"
    )
    told = f"<isScheduledTfrArea>TRUE</isScheduledTfrArea><dayCode>Wednesday</dayCode>{hours}"
    (facts,) = tfr(
        tmp_path, schedule=told, begins="2026-11-20T00:00:00", ends="2026-11-30T00:00:00"
    ).areas.facts
    assert [active(facts, day, 15) is not ActiveState.NOT for day in (24, 25, 26, 27)] == [
        False,
        True,
        True,
        False,
    ]
    assert active(facts, 25, 17) is ActiveState.NOT
    assert facts.hours == ""


@pytest.mark.parametrize(
    "told",
    [
        "<isScheduledTfrArea>TRUE</isScheduledTfrArea>",
        "<dayCode>Someday</dayCode>" + schedule("", "", "2026-11-20T14:00:00", "2026-11-20T16:00:00"),
        schedule("soon", ""),
        schedule("", "", "noon", "2026-11-20T16:00:00"),
    ],
)
def test_a_schedule_that_cant_be_read_leaves_it_active(tmp_path: Path, told: str) -> None:
    (facts,) = tfr(tmp_path, schedule=told).areas.facts
    assert active(facts, 25, 15) is ActiveState.BY_TEXT
