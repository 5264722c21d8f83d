"""Which day the whole site is turned to, and as known at which moment: read from an address, carried through every link."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import UTC, date, datetime, time, timedelta
from urllib.parse import urlencode

from airwrit.base.days import add_months, parse_day, parse_when
from airwrit.base.errors import UsageError
from airwrit.law.parameters import FIRST_DAY

CARRIED = ("on", "known")
"""The parts of an address that every link takes along."""

_LAST_DAY = date(2999, 12, 31)


@dataclass(frozen=True, slots=True)
class DayAsked:
    """The day shown and the moment whose knowledge counts; `known` is what the address said of it, empty for now.

    `knows_all` tells that the moment is not before now, so that every entry counts.
    """

    on: date
    known_at: datetime
    known: str
    today: date
    knows_all: bool = True

    @property
    def question(self) -> tuple[date, datetime | None]:
        """What is asked: the day, and the moment whose knowledge counts where that is not now."""
        return self.on, None if self.knows_all else self.known_at

    @property
    def is_today(self) -> bool:
        """Whether the site shows today as known now; only then may anything be written."""
        return self.on == self.today and not self.known

    def carried(self, on: date | None = None) -> dict[str, str]:
        """What links take along: the day where it is not today, the moment where one was told."""
        day = on or self.on
        told = {"on": "" if day == self.today else day.isoformat(), "known": self.known}
        return {name: value for name, value in told.items() if value}

    def link(self, path: str, on: date | None = None, **more: str) -> str:
        """An address of this site with the day and moment carried along; `on` turns it to another day."""
        head, mark, anchor = path.partition("#")
        query = urlencode({**self.carried(on), **more})
        return (f"{head}?{query}" if query else head) + mark + anchor

    def steps(self) -> tuple[tuple[str, tuple[tuple[str, date], ...]], ...]:
        """Days a reader may turn to from here: a day, a month and a year earlier, and later."""
        told = []
        for words, sign in (("Earlier", -1), ("Later", 1)):
            days = (
                ("a day", self.on + timedelta(days=sign)),
                ("a month", add_months(self.on, sign)),
                ("a year", add_months(self.on, 12 * sign)),
            )
            inside = tuple((word, day) for word, day in days if FIRST_DAY <= day <= _LAST_DAY)
            told += [(words, inside)] if inside else []
        return tuple(told)


def asked_of(query: Mapping[str, str], now: datetime) -> DayAsked:
    """The day and moment that an address asks for; today and now where it is silent. UsageError on what is neither.

    `now` stands in the zone of the program's place, so that its day is today there.
    """
    on, known = query.get("on", "").strip(), query.get("known", "").strip()
    moment = min(_moment(known), now) if known else now
    return DayAsked(_day(on) if on else now.date(), moment, known, now.date(), moment >= now)


def _day(text: str) -> date:
    try:
        day = parse_day(text)
    except ValueError as fault:
        raise UsageError(f"{text!r} isn't a date", where="on", do="write it like 2026-05-31") from fault
    if not FIRST_DAY <= day <= _LAST_DAY:
        raise UsageError(f"{day} is outside the dates we check", where="on", do=f"use {FIRST_DAY} or later")
    return day


def _moment(text: str) -> datetime:
    """The moment of a text: the end of a day here, or an instant with its zone."""
    try:
        # a plus in an address that was typed by hand arrives as a space
        when = parse_when(text.replace(" ", "+", 1) if "T" in text else text)
    except ValueError as fault:
        raise UsageError(
            f"{text!r} isn't a date, or a time with its zone",
            where="known",
            do="write it like 2026-05-31 or 2026-05-31T14:00-05:00",
        ) from fault
    try:
        if isinstance(when, datetime):
            return when.astimezone(UTC)
        end = datetime.combine(when + timedelta(days=1), time()).astimezone() - timedelta(microseconds=1)
        return end.astimezone(UTC)
    except (OverflowError, ValueError, OSError) as fault:
        raise UsageError(
            f"{text!r} is too far back or too far ahead for us to use", where="known", do="use another date"
        ) from fault
