"""Civil days and aware instants: parsing, calendar months, and comparing the two without pretending.

A day is a civil day at the place of the flight; an instant carries its zone. Naive date-times are refused everywhere.
"""

from __future__ import annotations

import calendar
import re
from datetime import MAXYEAR, MINYEAR, date, datetime, timedelta
from enum import IntEnum
from functools import lru_cache

When = date | datetime

EARLIEST = date(1, 1, 1)
"""Start of a fact whose beginning nobody stated."""

_INSTANT = re.compile(r"\d{4}-\d{2}-\d{2}[T ]\d{2}:\d{2}(:\d{2}(\.\d+)?)?(Z|[+-]\d{2}:?\d{2})")
_CLOCK = re.compile(r"(?P<hour>\d{1,2})(?::?(?P<minute>[0-5]\d))?(?: ?(?P<half>[AP])\.?M\.?)?")
_DAY = re.compile(r"\d{4}-\d{2}-\d{2}")


class Order(IntEnum):
    """Where one moment lies against another; DOUBT when a day holds both."""

    BEFORE = -1
    SAME = 0
    AFTER = 1
    DOUBT = 2


def parse_when(text: str) -> When:
    """A civil day (`2026-05-31`) or an instant with its zone (`2026-06-01T14:00-05:00`). ValueError on anything else."""
    if _DAY.fullmatch(text):
        return date.fromisoformat(text)
    if _INSTANT.fullmatch(text):
        return datetime.fromisoformat(text)
    raise ValueError(
        f"{text!r} isn't a date like 2026-05-31, or a time with its zone like 2026-06-01T14:00-05:00"
    )


def parse_day(text: str) -> date:
    """A civil day written year-month-day. ValueError on anything else."""
    if not _DAY.fullmatch(text):
        raise ValueError(f"{text!r} isn't a date like 2026-05-31")
    return date.fromisoformat(text)


def parse_clock(text: str) -> int:
    """Minutes of the day of a clock time: 16:50, 1650 or 4:50 PM; 24:00 is its end. ValueError on anything else."""
    found = _CLOCK.fullmatch(text.strip().upper())
    if found is None:
        raise ValueError(text)
    hour, minute, half = int(found["hour"]), int(found["minute"] or 0), found["half"]
    if half and 1 <= hour <= 12:
        hour = hour % 12 + (12 if half == "P" else 0)
    elif half or found["minute"] is None or hour > 24 or (hour == 24 and minute):
        raise ValueError(text)
    return hour * 60 + minute


def day_of(when: When) -> date:
    """The civil day, in the instant's own zone."""
    return when.date() if isinstance(when, datetime) else when


def order_of(a: When, b: When) -> Order:
    """Where `a` lies against `b`. A day against a moment inside that day is DOUBT; two equal days are SAME."""
    if isinstance(a, datetime) and isinstance(b, datetime):
        return Order.SAME if a == b else Order.BEFORE if a < b else Order.AFTER
    day_a, day_b = day_of(a), day_of(b)
    if day_a == day_b:
        both_days = not isinstance(a, datetime) and not isinstance(b, datetime)
        return Order.SAME if both_days else Order.DOUBT
    return Order.BEFORE if day_a < day_b else Order.AFTER


@lru_cache(maxsize=1 << 14)
def add_months(day: date, months: int) -> date:
    """The same day of the month `months` later, or the last day of a shorter month. Never chain calls: add once.

    Past either end of the calendar it is the calendar's own first or last day.
    """
    total = day.year * 12 + (day.month - 1) + months
    year, month = divmod(total, 12)
    month += 1
    if not MINYEAR <= year <= MAXYEAR:
        return date.max if months > 0 else date.min
    return date(year, month, min(day.day, calendar.monthrange(year, month)[1]))


def add_years(day: date, years: int) -> date:
    """The same day and month `years` later; 29 February falls on 28 February in a common year."""
    return add_months(day, 12 * years)


def end_of_month(day: date) -> date:
    """The last day of the month that holds `day`."""
    return day.replace(day=calendar.monthrange(day.year, day.month)[1])


def end_of_calendar_months(day: date, months: int) -> date:
    """The last day of the calendar month `months` after the month of `day` (24: 14 CFR 107.65)."""
    return end_of_month(add_months(day.replace(day=1), months))


def add_days(day: date, days: int) -> date:
    """The civil day `days` later, counting every calendar day; past either end of the calendar its first or last."""
    try:
        return day + timedelta(days=days)
    except OverflowError:
        return date.max if days > 0 else date.min


def first_of_month_before(day: date, months: int) -> date:
    """The first day of the month `months` before the month of `day` (six: 14 CFR 48.100(c))."""
    return add_months(day.replace(day=1), -months)


def whole_years_between(earlier: date, later: date) -> int:
    """Completed years of age; someone born on 29 February turns on 1 March in a common year."""
    had = (later.month, later.day) >= (earlier.month, earlier.day)
    return later.year - earlier.year - (0 if had else 1)
