"""Times as logs write them, as microseconds since 1970 in UTC: ISO 8601, GPS weeks, local clocks. No leap seconds are counted.

A leap second 23:59:60 is the second that follows it, as clocks of computers have it.
"""

from __future__ import annotations

import re
import tomllib
from datetime import UTC, date, datetime, timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import numpy as np
from numpy.typing import NDArray

from airwrit.base.errors import UsageError

SECOND_US = 1_000_000
DAY_US = 86_400 * SECOND_US
WEEK_US = 7 * DAY_US
WEEKS_LOST = 1024
"""A receiver counts weeks in ten bits: after 1,024 of them an old one begins at 0 again."""
FIRST_DAY = date(2008, 1, 1)
"""No log of a drone is older: common practice, no source. An earlier date is a clock that was never set."""

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)
_NAIVE_EPOCH = datetime(1970, 1, 1)  # noqa: DTZ001
_GPS_EPOCH = date(1980, 1, 6)
_MICROSECOND = timedelta(microseconds=1)
_SHORTEST = len("2026-01-01T00:00")
_LEAP = re.compile(r"(.*:\d\d:)60((?:\.\d+)?(?:Z|[+-]\d\d:?\d\d)?)")


class LeapSeconds(NamedTuple):
    """GPS time less UTC: microseconds of UTC at which each step begins, the seconds from then on, and when the table ends."""

    begins_us: NDArray[np.int64]
    seconds: NDArray[np.int64]
    expires: date


@cache
def leap_seconds() -> LeapSeconds:
    """The table of the steps, as far as they are announced."""
    told = tomllib.loads(Path(__file__).with_name("leap_seconds.toml").read_text(encoding="utf-8"))
    steps = told["steps"]
    return LeapSeconds(
        np.array([day_us(step["from"]) for step in steps], dtype=np.int64),
        np.array([step["seconds"] for step in steps], dtype=np.int64),
        told["expires"],
    )


def day_us(day: date) -> int:
    """The microseconds of UTC at which a day begins."""
    return (day - _EPOCH.date()).days * DAY_US


def utc_of_gps(week: NDArray[np.int64], of_week_us: NDArray[np.int64]) -> NDArray[np.int64]:
    """UTC of GPS weeks (counted from 1980-01-06, never cut to ten bits) and the microseconds in them.

    Behind the end of the table the last step is kept; LeapSeconds.expires says from when on that is a guess.
    """
    table = leap_seconds()
    gps_us = day_us(_GPS_EPOCH) + week * WEEK_US + of_week_us
    begins_in_gps = table.begins_us + table.seconds * SECOND_US
    step = np.clip(np.searchsorted(begins_in_gps, gps_us, side="right") - 1, 0, None)
    utc: NDArray[np.int64] = gps_us - table.seconds[step] * SECOND_US
    return utc


class Instant(NamedTuple):
    """Microseconds since 1970, and whether they are UTC: without a zone they are those of some local clock."""

    us: int
    is_utc: bool


def instant_of(text: str) -> Instant | None:
    """The instant that an ISO 8601 text with a time of day means; None where it is none."""
    text = text.strip()
    if len(text) < _SHORTEST:
        return None
    try:
        when = datetime.fromisoformat(text)
    except ValueError:
        leap = _LEAP.fullmatch(text)
        before = None if leap is None else instant_of(f"{leap[1]}59{leap[2]}")
        return None if before is None else before._replace(us=before.us + SECOND_US)
    try:
        if when.tzinfo is None:
            return Instant((when - _NAIVE_EPOCH) // _MICROSECOND, is_utc=False)
        return Instant((when - _EPOCH) // _MICROSECOND, is_utc=True)
    except OverflowError:
        return None


def zone_of(name: str) -> ZoneInfo:
    """A time zone by its name. UsageError where there is none."""
    try:
        return ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UsageError(
            f"there is no time zone {name}", where="--zone", do="use a name such as America/Chicago or UTC"
        ) from None


class LocalTimes(NamedTuple):
    """UTC of local times, and which of them the clock showed twice or never, so that they are in doubt."""

    utc_us: NDArray[np.int64]
    in_doubt: NDArray[np.bool_]


def utc_of_local(local_us: NDArray[np.int64], zone: ZoneInfo) -> LocalTimes:
    """UTC of times on a local clock of a zone. Where the clock is set back, the first passing is taken and marked."""
    hours, which = np.unique(local_us // (900 * SECOND_US), return_inverse=True)
    shifts = np.empty(len(hours), dtype=np.int64)
    doubts = np.zeros(len(hours), dtype=np.bool_)
    for at, quarter in enumerate(hours):
        local = _NAIVE_EPOCH + timedelta(minutes=15 * int(quarter))
        first, second = (local.replace(tzinfo=zone, fold=fold).utcoffset() for fold in (0, 1))
        shifts[at] = (first or timedelta()) // _MICROSECOND
        doubts[at] = first != second
    return LocalTimes(local_us - shifts[which], doubts[which])
