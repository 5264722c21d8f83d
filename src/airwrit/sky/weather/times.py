"""Days of the month with hours, as reports have them, and the instants they mean near another instant."""

from __future__ import annotations

import re
from datetime import UTC, datetime, timedelta
from typing import NamedTuple

from airwrit.base.days import add_months

_DIGITS = re.compile(r"\d{4}(?:\d{2})?")


class DayTime(NamedTuple):
    """Day of the month, hour and minute in UTC; hour 24 is the end of the day. Neither month nor year is named."""

    day: int
    hour: int
    minute: int


def day_time(digits: str) -> DayTime | None:
    """Day and hour of four digits, with the minute of six; None where there is no such time."""
    if not _DIGITS.fullmatch(digits):
        return None
    day, hour, minute = int(digits[:2]), int(digits[2:4]), int(digits[4:] or 0)
    possible = 1 <= day <= 31 and minute <= 59 and (hour <= 23 or (hour, minute) == (24, 0))
    return DayTime(day, hour, minute) if possible else None


def instant_near(time: DayTime, near: datetime) -> datetime | None:
    """The instant of that day and time nearest to another one, in the month of it or the one before or after.

    None where no such month has the day, which can't be for a day up to 28.
    """
    found = []
    for months in (-1, 0, 1):
        month = add_months(near.astimezone(UTC).date().replace(day=1), months)
        day = month + timedelta(days=time.day - 1)
        if day.month == month.month:
            start = datetime(day.year, day.month, day.day, tzinfo=UTC)
            found.append(start + timedelta(hours=time.hour, minutes=time.minute))
    return min(found, key=lambda moment: abs(moment - near), default=None)
