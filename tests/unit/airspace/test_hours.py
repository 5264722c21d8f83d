"""Hours of volumes: what a text says, both ends counted, over midnight, on days the clocks change, and what isn't read."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.airspace.areas import AreaFacts
from airwrit.airspace.here import times_of
from airwrit.airspace.hours import (
    ActiveState,
    SunBound,
    SunDay,
    TimeSpan,
    WeeklyHours,
    active_within,
    read_hours,
)

EAST = ZoneInfo("America/New_York")
SUNRISE, SUNSET = SunBound.SUNRISE, SunBound.SUNSET
EVERY = tuple(range(7))
WORK = tuple(range(5))


@pytest.mark.parametrize(
    ("text", "hours"),
    [
        ("0800 - 2200, DAILY", [WeeklyHours(EVERY, 480, 1320)]),
        ("CONTINUOUS", [WeeklyHours(EVERY, 0, 1440)]),
        ("H24", [WeeklyHours(EVERY, 0, 1440)]),
        ("0700-1800 MON-FRI", [WeeklyHours(WORK, 420, 1080)]),
        ("MON - FRI, 0700 - 1800", [WeeklyHours(WORK, 420, 1080)]),
        ("FRI-MON 2200-0200", [WeeklyHours((0, 4, 5, 6), 1320, 1560)]),
        ("1200-1500Z SAT", [WeeklyHours((5,), 720, 900, in_utc=True)]),
        ("0000-2359", [WeeklyHours(EVERY, 0, 1440)]),
        ("0600-0600 SUN", [WeeklyHours((6,), 360, 1800)]),
        ("1800-2400 DAILY", [WeeklyHours(EVERY, 1080, 1440)]),
        ("SUNRISE TO SUNSET", [WeeklyHours(EVERY, 360, 1080, start_by=SUNRISE, end_by=SUNSET)]),
        ("SS-SR, MON - FRI", [WeeklyHours(WORK, 1080, 1800, start_by=SUNSET, end_by=SUNRISE)]),
        ("0800 - SUNSET, DAILY", [WeeklyHours(EVERY, 480, 1080, end_by=SUNSET)]),
        ("INTERMITTENT BY NOTAM", []),
        ("BY NOTAM 24 HRS IN ADVANCE", []),
        ("0800-2200, OTHER TIMES BY NOTAM", [WeeklyHours(EVERY, 480, 1320)]),
        ("0700-1800 MON-FRI; OTHER TIMES BY NOTAM", [WeeklyHours(WORK, 420, 1080)]),
        ("0800-1200 MON,WED; 1300-1700 TUE", [WeeklyHours((0, 2), 480, 720), WeeklyHours((1,), 780, 1020)]),
    ],
)
def test_hours_are_read(text: str, hours: list[WeeklyHours]) -> None:
    assert read_hours(text) == tuple(hours)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "30 MIN BEFORE SUNRISE TO SUNSET",
        "SUNRISE-SUNSETZ",
        "1200Z-SUNSET",
        "1200Z-1500",
        "MON 0800-1200 TUE",
        "NOTAM; Legal description references NOTAM",
        "2400-0600",
        "0860-1200",
        "2500-2600",
        "0800-2200 EXCEPT HOLIDAYS",
        "0700-1800 MON-FRI 0800",
    ],
)
def test_hours_that_arent_understood_to_the_last_word_are_none(text: str) -> None:
    assert read_hours(text) is None


def local(day: int, hour: int, minute: int = 0, *, month: int = 11, fold: int = 0) -> datetime:
    """A moment of 2026 in local time there."""
    return datetime(2026, month, day, hour, minute, tzinfo=EAST, fold=fold)


def state(text: str, start: datetime, end: datetime) -> ActiveState:
    """How much of a span the hours of a text are active."""
    hours = read_hours(text)
    assert hours is not None
    return active_within(None, None, hours, TimeSpan(start, end), (EAST,)).state


@pytest.mark.parametrize(
    ("start", "end", "found"),
    [
        ((25, 8, 0), (25, 9, 0), ActiveState.ALWAYS),
        ((25, 7, 0), (25, 7, 59), ActiveState.NOT),
        ((25, 7, 0), (25, 8, 0), ActiveState.PART),
        ((25, 22, 0), (25, 23, 0), ActiveState.PART),
        ((25, 22, 1), (25, 23, 0), ActiveState.NOT),
        ((25, 7, 0), (25, 23, 0), ActiveState.PART),
    ],
)
def test_both_ends_of_hours_count(
    start: tuple[int, int, int], end: tuple[int, int, int], found: ActiveState
) -> None:
    assert state("0800-2200 DAILY", local(*start), local(*end)) is found


def test_the_last_minute_of_a_day_is_active() -> None:
    late = local(25, 23, 59) + timedelta(seconds=30)
    assert state("0000-2359 DAILY", late, late) is ActiveState.ALWAYS


def test_hours_over_midnight_reach_into_the_next_day_and_touching_ones_are_one() -> None:
    assert state("2200-0200 MON", local(24, 1), local(24, 1, 30)) is ActiveState.ALWAYS  # Nov 24 is a Tuesday
    assert state("2200-0200 MON", local(25, 1), local(25, 1, 30)) is ActiveState.NOT
    assert state("0000-1200 DAILY; 1200-2400 DAILY", local(25, 3), local(26, 3)) is ActiveState.ALWAYS


def test_local_hours_keep_the_clock_when_it_changes_and_utc_ones_do_not() -> None:
    """The clocks of 2026 go back on Nov 1 at 02:00 and forward on Mar 8 at 02:00 in the eastern States."""
    for month, day in ((11, 2), (3, 9), (3, 6)):
        assert (
            state("0800-0900 DAILY", local(day, 8, 30, month=month), local(day, 8, 30, month=month))
            is ActiveState.ALWAYS
        )
    before, after = (datetime(2026, *day, 13, 30, tzinfo=UTC) for day in ((10, 31), (11, 2)))
    assert state("0800-0900 DAILY", before, before) is ActiveState.NOT
    assert state("0800-0900 DAILY", after, after) is ActiveState.ALWAYS
    for instant in (before, after):
        assert state("1300-1400Z DAILY", instant, instant) is ActiveState.ALWAYS


def test_an_hour_that_comes_twice_counts_twice() -> None:
    for fold in (0, 1):
        once = local(1, 1, 30, fold=fold)
        assert state("0100-0145 SUN", once, once) is ActiveState.ALWAYS


def test_a_begin_and_an_end_bound_it_and_no_end_is_still_in_force() -> None:
    begins, ends = local(25, 10), local(25, 12)
    for start, end, found in ((9, 9, ActiveState.NOT), (9, 11, ActiveState.PART), (12, 13, ActiveState.PART)):
        span = TimeSpan(local(25, start), local(25, end))
        assert active_within(begins, ends, (), span, (EAST,)).state is found
    far = TimeSpan(local(25, 9, month=12), local(25, 9, month=12))
    assert active_within(begins, None, (), far, ()).state is ActiveState.ALWAYS
    assert active_within(begins, ends, (), far, ()).state is ActiveState.NOT


def test_near_a_zones_edge_the_hours_of_both_count() -> None:
    hours = read_hours("0800-0900 DAILY")
    assert hours is not None
    span = TimeSpan(local(25, 9, 30), local(25, 9, 30))
    assert active_within(None, None, hours, span, (EAST,)).state is ActiveState.NOT
    both = (EAST, ZoneInfo("America/Chicago"))
    assert active_within(None, None, hours, span, both).state is ActiveState.ALWAYS


@given(
    st.integers(0, 1439),
    st.integers(0, 1440),
    st.integers(0, 360 * 1440),
    st.integers(0, 3000),
)
def test_it_agrees_with_looking_at_every_minute(start: int, end: int, at: int, minutes: int) -> None:
    hours = read_hours(f"{start // 60:02}{start % 60:02}-{end // 60:02}{end % 60:02} MON-FRI")
    assert hours is not None
    first = datetime(2026, 1, 1, tzinfo=UTC) + timedelta(minutes=at)
    span = TimeSpan(first, first + timedelta(minutes=minutes))
    times = active_within(None, None, hours, span, (ZoneInfo("America/Phoenix"),))
    active = {
        first + timedelta(minutes=one)
        for one in range(minutes + 1)
        if _is_active(hours[0], (first + timedelta(minutes=one)).astimezone(ZoneInfo("America/Phoenix")))
    }
    found = {
        first + timedelta(minutes=one)
        for one in range(minutes + 1)
        if any(one_of.start <= first + timedelta(minutes=one) <= one_of.end for one_of in times.spans)
    }
    assert found == active


def _is_active(hours: WeeklyHours, moment: datetime) -> bool:
    """Whether a minute lies in the hours that began that day, or the day before."""
    minute = moment.hour * 60 + moment.minute
    return any(
        hours.start <= minute + 1440 * back <= hours.end and (moment.weekday() - back) % 7 in hours.days
        for back in (0, 1, 2)
    )


def test_hours_by_the_sun_are_those_of_the_place_with_ten_minutes_more() -> None:
    hours = read_hours("SUNRISE-SUNSET")
    assert hours
    day = date(2026, 11, 25)
    sun = (SunDay(day, local(25, 7), local(25, 17)),)
    span = TimeSpan(local(25, 0), local(26, 0))
    times = active_within(None, None, hours, TimeSpan(local(25, 1), local(25, 23)), (EAST,), sun)
    assert times.spans == ((local(25, 6, 50), local(25, 17, 10)),)
    night = TimeSpan(local(25, 18), local(25, 19))
    assert active_within(None, None, hours, night, (EAST,), sun).state is ActiveState.NOT
    for without in ((), (SunDay(day, None, local(25, 17)),)):
        found = active_within(None, None, hours, span, (EAST,), without)
        assert found.state is not ActiveState.NOT
        assert found.spans[0].start == local(25, 0)


def test_hours_from_sunset_to_sunrise_are_over_midnight() -> None:
    hours = read_hours("SUNSET TO SUNRISE")
    assert hours
    sun = (
        SunDay(date(2026, 11, 25), local(25, 7), local(25, 17)),
        SunDay(date(2026, 11, 26), local(26, 7), local(26, 17)),
    )
    span = TimeSpan(local(25, 12), local(26, 12))
    assert active_within(None, None, hours, span, (EAST,), sun).spans[0] == (
        local(25, 16, 50),
        local(26, 7, 10),
    )


def test_what_is_left_to_notams_counts_as_active_and_says_so() -> None:
    facts = AreaFacts(
        "INVENTED", hours="0800-1800; OTHER TIMES BY NOTAM", weekly=read_hours("0800-1800") or ()
    )
    inside = TimeSpan(local(25, 9), local(25, 10))
    assert times_of(facts, inside, (EAST,)).state is ActiveState.ALWAYS
    late = TimeSpan(local(25, 17), local(25, 20))
    assert times_of(facts, late, (EAST,)) == (ActiveState.BY_NOTAM, (late,))
    over = facts._replace(ends=local(24, 0))
    assert times_of(over, late, (EAST,)).state is ActiveState.NOT
    assert times_of(AreaFacts("X", hours="NOTAM"), late, (EAST,)).state is ActiveState.BY_NOTAM
    assert times_of(AreaFacts("X", hours="SOMETIMES"), late, (EAST,)).state is ActiveState.BY_TEXT


def test_hours_have_a_first_and_a_last_moment_of_their_own() -> None:
    hours = WeeklyHours(EVERY, 480, 540, first=local(24, 0), last=local(25, 8, 30))
    span = TimeSpan(local(20, 0), local(30, 0))
    assert active_within(None, None, (hours,), span, (EAST,)).spans == (
        (local(24, 8), local(24, 9)),
        (local(25, 8), local(25, 8, 30)),
    )
