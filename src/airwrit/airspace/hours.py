"""Hours of a volume: the days and times that a text says, by the clock there, UTC or the sun, and when they fall in a span.

What isn't understood to the last word is no schedule: the volume then counts as active all the time.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta, tzinfo
from enum import StrEnum
from typing import NamedTuple
from zoneinfo import ZoneInfo

from airwrit.base.days import add_days

DAY_MINUTES = 24 * 60


class SunBound(StrEnum):
    """What of the sun an hour may be told by."""

    SUNRISE = "sunrise"
    SUNSET = "sunset"


class SunDay(NamedTuple):
    """A civil day of a place with its sunrise and its sunset; None where there is none, or more than one."""

    day: date
    sunrise: datetime | None
    sunset: datetime | None


class WeeklyHours(NamedTuple):
    """Weekdays (0 is Monday), and minutes of the day from and until; until runs past 24 hours where it is over midnight.

    Told in UTC, or in local time there with daylight saving time. Where an end is told by the sun, its minutes count for
    nothing. `first` and `last` bound them, both included.
    """

    days: tuple[int, ...]
    start: int
    end: int
    in_utc: bool = False
    start_by: SunBound | None = None
    end_by: SunBound | None = None
    first: datetime | None = None
    last: datetime | None = None


class TimeSpan(NamedTuple):
    """Two instants; both ends count."""

    start: datetime
    end: datetime


class ActiveState(StrEnum):
    """How much of a span of time a volume is active."""

    ALWAYS = "always"
    PART = "part"
    NOT = "not"
    BY_TEXT = "by_text"
    """it has hours that can't be read, so it counts as active"""
    BY_NOTAM = "by_notam"
    """a NOTAM says when, so it counts as active"""


class ActiveTimes(NamedTuple):
    """When a volume is active within the span asked about; the spans are cut to it."""

    state: ActiveState
    spans: tuple[TimeSpan, ...]


SUN_MARGIN = timedelta(minutes=10)
"""An area is wide, so its sunrise and sunset may differ from those of the place asked about. Our own cautious figure."""

WEEKDAYS = ("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN")
ALL_WEEK = tuple(range(7))
_DAY = r"(?:MON|TUE|WED|THU|FRI|SAT|SUN)"
_DAYS_OF = rf"(?:DAILY|{_DAY}(?: ?- ?{_DAY})?)(?:[ ,]+{_DAY})*"
_BOUND = r"\d{2}:?\d{2}Z?|SUNRISE|SUNSET|SR|SS"
_PART = re.compile(
    rf"(?:(?P<before>{_DAYS_OF})[ ,]*)?"
    rf"(?P<start>{_BOUND}) ?(?:-|TO) ?(?P<end>{_BOUND})(?: ?(?P<zone>LOCAL|UTC))?"
    rf"(?:[ ,]*(?P<after>{_DAYS_OF}))?"
)
_BY_NOTAM = re.compile(
    r"(?:^|[;,. ]+)(?:(?:AND|OR) )?(?:(?:AT )?OTHER (?:TIMES|HOURS)|O/T|INTERMITTENT|AS ACTIVATED|AS SPECIFIED)?,? ?"
    r"BY NOTAM(?:,? (?:AT LEAST |WITH )?\d+ ?(?:HRS?|HOURS?|MIN(?:UTES)?)(?: IN)?(?: ADVANCE| PRIOR)?(?: NOTICE)?)?$"
)
_SUN = {
    "SUNRISE": SunBound.SUNRISE,
    "SR": SunBound.SUNRISE,
    "SUNSET": SunBound.SUNSET,
    "SS": SunBound.SUNSET,
}
_WHOLE = ("CONTINUOUS", "H24", "24 HOURS", "24 HOURS DAILY", "24 HRS")


def read_hours(text: str) -> tuple[WeeklyHours, ...] | None:
    """The hours a text says, none where it leaves all to NOTAMs; None where any of it isn't understood."""
    said = " ".join(text.upper().replace("–", "-").rstrip(".").split())
    if said in _WHOLE:
        return (WeeklyHours(ALL_WEEK, 0, DAY_MINUTES),)
    without = _BY_NOTAM.sub("", said)
    if said and not without:
        return ()
    found: list[WeeklyHours] = []
    for part in without.split(";"):
        match = _PART.fullmatch(part.strip(" ,"))
        hours = None if match is None else _hours_of(match)
        if hours is None:
            return None
        found.append(hours)
    return tuple(found)


def is_by_notam(text: str) -> bool:
    """Whether a text of hours leaves some of them to NOTAMs."""
    return "NOTAM" in text.upper()


def active_within(
    begins: datetime | None,
    ends: datetime | None,
    hours: Sequence[WeeklyHours],
    span: TimeSpan,
    zones: Sequence[ZoneInfo],
    sun: Sequence[SunDay] = (),
) -> ActiveTimes:
    """When a volume with a begin, an end and hours is active within a span; no begin, end or hours is no bound.

    Where several zones may be those of the place, all their times count. Hours without a known zone are no bound. `sun` is
    that of the place; of a day without its sunrise or sunset, hours by the sun are the whole day.
    """
    start = span.start if begins is None else max(span.start, begins)
    end = span.end if ends is None else min(span.end, ends)
    if start > end:
        return ActiveTimes(ActiveState.NOT, ())
    life = TimeSpan(start, end)
    if not hours or (not zones and not all(one.in_utc for one in hours)):
        return _told([life], span)
    return _told(_joined(_windows(hours, life, zones, sun)), span)


def _told(spans: list[TimeSpan], asked: TimeSpan) -> ActiveTimes:
    if not spans:
        return ActiveTimes(ActiveState.NOT, ())
    return ActiveTimes(ActiveState.ALWAYS if spans == [asked] else ActiveState.PART, tuple(spans))


def _windows(
    hours: Iterable[WeeklyHours], life: TimeSpan, zones: Sequence[ZoneInfo], sun: Sequence[SunDay]
) -> Iterator[TimeSpan]:
    """The hours of every day that can reach into a span, cut to it."""
    by_day = {one.day: one for one in sun}
    for one in hours:
        start = life.start if one.first is None else max(life.start, one.first)
        end = life.end if one.last is None else min(life.end, one.last)
        clocks: Sequence[tzinfo] = (UTC,) if one.in_utc else zones
        for zone in clocks if start <= end else ():
            day = add_days(start.astimezone(zone).date(), -2)
            last = add_days(end.astimezone(zone).date(), 1)
            while day <= last:
                if day.weekday() in one.days:
                    window = _window(one, day, zone, by_day)
                    if window.start <= end and window.end >= start:
                        yield TimeSpan(max(window.start, start), min(window.end, end))
                day = add_days(day, 1)


def _window(hours: WeeklyHours, day: date, zone: tzinfo, sun: Mapping[date, SunDay]) -> TimeSpan:
    """The hours that begin on a day: by the clock, or by the sun with a margin."""
    start = _instant(day, hours.start, zone, fold=0)
    end = _instant(day, hours.end, zone, fold=1)
    if hours.start_by is not None:
        start = _by_sun(sun.get(day), hours.start_by, -SUN_MARGIN) or _instant(day, 0, zone, fold=0)
    if hours.end_by is not None:
        over = 1 if hours.end > DAY_MINUTES else 0
        last = add_days(day, over)
        end = _by_sun(sun.get(last), hours.end_by, SUN_MARGIN) or _instant(last, DAY_MINUTES, zone, fold=1)
    if start > end:  # a clock time that the sun has overtaken that day
        return TimeSpan(_instant(day, 0, zone, fold=0), _instant(day, DAY_MINUTES, zone, fold=1))
    return TimeSpan(start, end)


def _by_sun(day: SunDay | None, event: SunBound, margin: timedelta) -> datetime | None:
    moment = None if day is None else day.sunrise if event is SunBound.SUNRISE else day.sunset
    return None if moment is None else moment + margin


def _instant(day: date, minutes: int, zone: tzinfo, *, fold: int) -> datetime:
    """A time of a day's clock in UTC. An hour that comes twice counts from its first to its last."""
    days, rest = divmod(minutes, DAY_MINUTES)
    clock = time(rest // 60, rest % 60, tzinfo=zone, fold=fold)
    return datetime.combine(add_days(day, days), clock).astimezone(UTC)


def _joined(spans: Iterable[TimeSpan]) -> list[TimeSpan]:
    """Spans in order, those that touch made one."""
    found: list[TimeSpan] = []
    for span in sorted(spans):
        if found and span.start <= found[-1].end:
            found[-1] = TimeSpan(found[-1].start, max(found[-1].end, span.end))
        else:
            found.append(span)
    return found


def _hours_of(match: re.Match[str]) -> WeeklyHours | None:
    if match["before"] and match["after"]:
        return None
    written = match["start"], match["end"]
    start_by, end_by = (_SUN.get(one) for one in written)
    start, end = (_minutes(one) for one in written)
    in_utc = "Z" in match["end"] or match["zone"] == "UTC"
    if start is None or end is None or (start == DAY_MINUTES) or ("Z" in match["start"] and not in_utc):
        return None
    if in_utc and (start_by or end_by):
        return None
    if end == DAY_MINUTES - 1:
        end = DAY_MINUTES  # 23:59 is how a day's end is often written
    if end <= start:
        end += DAY_MINUTES
    days = _days_of(match["after"] or match["before"] or "DAILY")
    return WeeklyHours(days, start, end, in_utc, start_by, end_by)


def _minutes(text: str) -> int | None:
    """Minutes of the day; of the sun's hours about those of the year's middle, which tell only what is over midnight."""
    if text in _SUN:
        return 6 * 60 if _SUN[text] is SunBound.SUNRISE else 18 * 60
    digits = text.replace(":", "").rstrip("Z")
    hour, minute = int(digits[:2]), int(digits[2:])
    if hour > 24 or minute > 59 or (hour == 24 and minute):
        return None
    return hour * 60 + minute


def _days_of(text: str) -> tuple[int, ...]:
    """The weekdays of a text of names, spans of names, or DAILY."""
    if "DAILY" in text:
        return ALL_WEEK
    found: set[int] = set()
    for part in re.sub(r" ?- ?", "-", text).replace(",", " ").split():
        first, _, last = part.partition("-")
        one, other = WEEKDAYS.index(first), WEEKDAYS.index(last or first)
        found |= {at % 7 for at in range(one, other + 1 + (7 if other < one else 0))}
    return tuple(sorted(found))
