"""Whether a clock can be right that is far ahead of the last entry: asked before anything is written by it.

An entry with a moment in the future would stand in the way of every later one: these are never recorded before it.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from airwrit.ledger.store import Ledger

MOST_AHEAD = timedelta(days=1)
"""By how much a clock may be ahead of the last entry before it is asked about."""


class Ahead(NamedTuple):
    """A clock that is far ahead of the last entry: what it says, and when that entry was recorded."""

    now: datetime
    last: datetime

    @property
    def days(self) -> int:
        """By how many whole days."""
        return (self.now - self.last).days


def ahead_of_last(ledger: Ledger, now: datetime) -> Ahead | None:
    """The clock beside the last entry where it is more than a day ahead of that; None where it is not, or there is no entry."""
    if ledger.head().size == 0:
        return None
    last = ledger.last_moment()
    return Ahead(now, last) if now - last > MOST_AHEAD else None


def ahead_text(ahead: Ahead) -> str:
    """What the clock says, and how far that is from the last entry, in words."""
    now, last = ahead.now.astimezone(), ahead.last.astimezone()
    days = "1 day" if ahead.days == 1 else f"{ahead.days:,} days"
    return f"This computer's clock says {_spoken(now)}. The last entry was recorded {days} earlier, on {_spoken(last)}."


def _spoken(moment: datetime) -> str:
    return f"{moment:%b} {moment.day}, {moment.year}, {moment:%H:%M}"
