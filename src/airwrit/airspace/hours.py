"""Hours of a volume: the days and times that a text says, and when they fall within a span, in local time there or UTC.

What isn't understood to the last word is no schedule: the volume then counts as active all the time.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime, time, tzinfo
from enum import StrEnum
from typing import NamedTuple
from zoneinfo import ZoneInfo

from airwrit.base.days import add_days

DAY_MINUTES = 24 * 60


class WeeklyHours(NamedTuple):
    """Weekdays (0 is Monday), and minutes of the day from and until; until runs past 24 hours where it is over midnight.

    Told in UTC, or in local time there with daylight saving time.
    """

    days: tuple[int, ...]
    start: int
    end: int
    in_utc: bool = False


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


class ActiveTimes(NamedTuple):
    """When a volume is active within the span asked about; the spans are cut to it."""

    state: ActiveState
    spans: tuple[TimeSpan, ...]


_DAYS = ("MON", "TUE", "WED", "THU", "FRI", "SAT", "SUN")
_DAY = r"(?:MON|TUE|WED|THU|FRI|SAT|SUN)"
_DAYS_OF = rf"(?:DAILY|{_DAY}(?: ?- ?{_DAY})?)"
_TIMES = r"(?P<start>\d{2}:?\d{2})Z? ?(?:-|TO) ?(?P<end>\d{2}:?\d{2})(?P<zulu>Z)?(?: ?(?P<zone>LOCAL|UTC))?"
_PART = re.compile(
    rf"(?:{_TIMES}[ ,]*(?P<after>{_DAYS_OF}(?:[ ,]+{_DAY})*)?|(?P<before>{_DAYS_OF}(?:[ ,]+{_DAY})*)[ ,]*"
    + _TIMES.replace("start", "start2")
    .replace("end", "end2")
    .replace("zulu", "zulu2")
    .replace("zone", "zone2")
    + ")"
)
_ALL_WEEK = tuple(range(7))
_WHOLE = ("CONTINUOUS", "H24", "24 HOURS", "24 HOURS DAILY", "24 HRS")


def read_hours(text: str) -> tuple[WeeklyHours, ...] | None:
    """The hours a text says; None where any of it isn't understood."""
    said = " ".join(text.upper().replace("–", "-").rstrip(".").split())
    if said in _WHOLE:
        return (WeeklyHours(_ALL_WEEK, 0, DAY_MINUTES),)
    found: list[WeeklyHours] = []
    for part in said.split(";"):
        match = _PART.fullmatch(part.strip(" ,"))
        hours = None if match is None else _hours_of(match)
        if hours is None:
            return None
        found.append(hours)
    return tuple(found)


def active_within(
    begins: datetime | None,
    ends: datetime | None,
    hours: Sequence[WeeklyHours],
    span: TimeSpan,
    zones: Sequence[ZoneInfo],
) -> ActiveTimes:
    """When a volume with a begin, an end and hours is active within a span; no begin, end or hours is no bound.

    Where several zones may be those of the place, all their times count. Hours without a known zone are no bound.
    """
    start = span.start if begins is None else max(span.start, begins)
    end = span.end if ends is None else min(span.end, ends)
    if start > end:
        return ActiveTimes(ActiveState.NOT, ())
    life = TimeSpan(start, end)
    if not hours or (not zones and not all(one.in_utc for one in hours)):
        return _told([life], span)
    return _told(_joined(_windows(hours, life, zones)), span)


def _told(spans: list[TimeSpan], asked: TimeSpan) -> ActiveTimes:
    if not spans:
        return ActiveTimes(ActiveState.NOT, ())
    return ActiveTimes(ActiveState.ALWAYS if spans == [asked] else ActiveState.PART, tuple(spans))


def _windows(hours: Iterable[WeeklyHours], life: TimeSpan, zones: Sequence[ZoneInfo]) -> Iterator[TimeSpan]:
    """The hours of every day that can reach into a span, cut to it."""
    for one in hours:
        clocks: Sequence[tzinfo] = (UTC,) if one.in_utc else zones
        for zone in clocks:
            day = add_days(life.start.astimezone(zone).date(), -2)
            last = add_days(life.end.astimezone(zone).date(), 1)
            while day <= last:
                if day.weekday() in one.days:
                    window = TimeSpan(
                        _instant(day, one.start, zone, fold=0), _instant(day, one.end, zone, fold=1)
                    )
                    if window.start <= life.end and window.end >= life.start:
                        yield TimeSpan(max(window.start, life.start), min(window.end, life.end))
                day = add_days(day, 1)


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
    start, end = (_minutes(match[name] or match[f"{name}2"]) for name in ("start", "end"))
    if start is None or end is None or start == DAY_MINUTES:
        return None
    if end == DAY_MINUTES - 1:
        end = DAY_MINUTES  # 23:59 is how a day's end is often written
    if end <= start:
        end += DAY_MINUTES
    in_utc = bool(match["zulu"] or match["zulu2"] or "UTC" in (match["zone"], match["zone2"]))
    days = _days_of(match["after"] or match["before"] or "DAILY")
    return WeeklyHours(days, start, end, in_utc)


def _minutes(text: str) -> int | None:
    hour, minute = int(text[:2]), int(text[-2:])
    if hour > 24 or minute > 59 or (hour == 24 and minute):
        return None
    return hour * 60 + minute


def _days_of(text: str) -> tuple[int, ...]:
    """The weekdays of a text of names, spans of names, or DAILY."""
    if "DAILY" in text:
        return _ALL_WEEK
    found: set[int] = set()
    for part in re.sub(r" ?- ?", "-", text).replace(",", " ").split():
        first, _, last = part.partition("-")
        one, other = _DAYS.index(first), _DAYS.index(last or first)
        found |= {at % 7 for at in range(one, other + 1 + (7 if other < one else 0))}
    return tuple(sorted(found))
