"""Times that logs write as texts: each read, then all of them made one clock, whose zone is known or is not."""

from __future__ import annotations

import re
from collections.abc import Callable
from datetime import date
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.samples import noted
from airwrit.tracks.readers.utc import DAY_US, Instant, day_us, instant_of, utc_of_local, zone_of
from airwrit.tracks.track import TimeSource, TrackProblem

HALF_DAY_US = DAY_US // 2
_ORDERED = re.compile(r"\s*(\d{1,4})\D(\d{1,2})\D(\d{1,4})(?:[T\s,]+(.*))?")
_OF_DAY = re.compile(
    r"\s*(\d{1,2}):(\d{2})(?::(\d{2})(?:[.,](\d{1,9}))?)?\s*([AaPp]\.?[Mm]\.?)?\s*(Z|UTC|GMT)?\s*"
)
_MONTH_NAME = re.compile(
    r"\s*(?:(\d{1,2})[-\s]([A-Za-z]{3,9})[-,\s]+|([A-Za-z]{3,9})[-\s](\d{1,2})[-,\s]+)(\d{4})[T,\s]+(\d.*)"
)
_MONTHS = ("jan", "feb", "mar", "apr", "may", "jun", "jul", "aug", "sep", "oct", "nov", "dec")
_ZONE_WORD = re.compile(r"\s*(?:UTC|GMT)\s*$")


class ReadTimes(NamedTuple):
    """Microseconds, of UTC or of a local clock; rows with neither were empty or unreadable."""

    us: NDArray[np.int64]
    utc: NDArray[np.bool_]
    local: NDArray[np.bool_]
    unread: NDArray[np.bool_]


class TextTimes(NamedTuple):
    """A clock for all rows: where it counts, what it is, what to add for UTC, and problems."""

    clock_us: NDArray[np.int64]
    timed: NDArray[np.bool_]
    time_from: TimeSource
    utc_less_clock_us: int | None
    problems: tuple[TrackProblem, ...]


def read_times(texts: list[str], read: Callable[[str], Instant | None] = instant_of) -> ReadTimes:
    """What each text means."""
    found = [read(text) if text else None for text in texts]
    us = np.array([0 if one is None else one.us for one in found], dtype=np.int64)
    utc = np.array([one is not None and one.is_utc for one in found], dtype=np.bool_)
    known = np.array([one is not None for one in found], dtype=np.bool_)
    said = np.array([bool(text.strip()) for text in texts], dtype=np.bool_)
    return ReadTimes(us, utc, known & ~utc, said & ~known)


def clock_of(times: ReadTimes, row: NDArray[np.int64], zone: str | None) -> TextTimes:
    """One clock for all of them. Where some are UTC, those without a zone have no time: they can't be set beside them.

    Times without a zone are UTC only by the zone that a person gave. In an hour that the clock shows twice they are not.
    """
    unread = noted(TrackFault.NUMBER, times.unread, row, "time")
    said = () if unread is None else (unread,)
    naive = bool(times.local.any())
    if times.utc.any() or not naive:
        return TextTimes(times.us, times.utc, TimeSource.FILE_UTC, 0, said)
    doubt = noted(TrackFault.NO_ZONE, times.local, row)
    if zone is not None:
        told = utc_of_local(times.us, zone_of(zone))
        doubt = noted(TrackFault.HOUR_TWICE, told.in_doubt & times.local, row, zone)
        if doubt is None:
            return TextTimes(told.utc_us, times.local, TimeSource.LOCAL_CLOCK, 0, said)
    problems = said if doubt is None else (*said, doubt)
    return TextTimes(times.us, times.local, TimeSource.LOCAL_CLOCK, None, problems)


def past_midnight(of_day_us: NDArray[np.int64]) -> NDArray[np.int64]:
    """Times of day as one clock: a day more from each fall of over 12 hours on, where the next row agrees with it."""
    days = np.zeros(len(of_day_us), dtype=np.int64)
    for at in np.flatnonzero(np.diff(of_day_us) < -HALF_DAY_US) + 1:
        if at + 1 < len(of_day_us) and 0 <= of_day_us[at + 1] - of_day_us[at] < HALF_DAY_US:
            days[at] = 1
    return of_day_us + np.cumsum(days) * DAY_US


def ordered_instant(text: str, order: str) -> Instant | None:
    """The instant of a text such as 3/14/2026 2:05:33 PM, its day written in this order: mdy, dmy or ymd."""
    found = _ORDERED.fullmatch(text)
    if found is None:
        return None
    parts = dict(zip(order, found.groups()[:3], strict=True))
    year = int(parts["y"]) + (2000 if len(parts["y"]) == 2 else 0)
    try:
        day = date(year, int(parts["m"]), int(parts["d"]))
    except ValueError:
        return None
    of_day = Instant(0, is_utc=False) if found[4] is None else instant_of_day(found[4])
    return None if of_day is None else of_day._replace(us=day_us(day) + of_day.us)


def instant_of_day(text: str) -> Instant | None:
    """The microseconds into a day of a text such as 14:05:33.5 or 2:05 PM, and whether it says UTC."""
    found = _OF_DAY.fullmatch(text)
    if found is None:
        return None
    hour, minute, second, fraction, half, zone = found.groups()
    hours, minutes, seconds = int(hour), int(minute), int(second or 0)
    if half is not None:
        if not 1 <= hours <= 12:
            return None
        hours = hours % 12 + (12 if half[0] in "Pp" else 0)
    if hours > 23 or minutes > 59 or seconds > 60:
        return None
    us = ((hours * 60 + minutes) * 60 + seconds) * 1_000_000 + int((fraction or "").ljust(6, "0")[:6])
    return Instant(us, is_utc=zone is not None)


def iso_instant(text: str) -> Instant | None:
    """As `instant_of`, also with UTC or GMT written behind it, or with the month by its name."""
    plain = _ZONE_WORD.sub("", text)
    found = instant_of(plain) or _with_month_name(plain)
    if found is None or plain == text:
        return found
    return found._replace(is_utc=True)


def _with_month_name(text: str) -> Instant | None:
    """The instant of a text such as 10-Jun-2026 15:00:00 or June 10, 2026 3:00 PM."""
    found = _MONTH_NAME.fullmatch(text)
    if found is None:
        return None
    day, month, other_month, other_day, year, of_day = found.groups()
    name = (month or other_month)[:3].lower()
    if name not in _MONTHS:
        return None
    return ordered_instant(f"{year}-{_MONTHS.index(name) + 1}-{day or other_day} {of_day}", "ymd")
