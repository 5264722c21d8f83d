"""Whether a clock can be right that is far ahead of the last entry: asked before anything is written by it.

An entry with a moment in the future would stand in the way of every later one: these are never recorded before it.
"""

from __future__ import annotations

from datetime import datetime, timedelta
from typing import NamedTuple

from airwrit.answers.document import Json
from airwrit.base.errors import UsageError
from airwrit.facts.keys.program import STAMPED_AHEAD_FROM, log_subject
from airwrit.facts.statement import Statement
from airwrit.ledger.entry import CLOCK_BACK, Entry
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger

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
    now, last = ahead.now, ahead.last
    days = "1 day" if ahead.days == 1 else f"{ahead.days:,} days"
    return f"This computer's clock says {spoken(now)}. The last entry was recorded {days} earlier, on {spoken(last)}."


def spoken(moment: datetime) -> str:
    """A moment as people say it, by this computer's zone."""
    moment = moment.astimezone()
    return f"{moment:%b} {moment.day}, {moment.year}, {moment:%H:%M}"


class Stamped(NamedTuple):
    """Entries with a moment later than the clock: the first and last of them, and the moment of the last."""

    first: int
    last: int
    until: datetime


def stamped_ahead(ledger: Ledger, now: datetime) -> Stamped | None:
    """The entries that are stamped later than the clock; None where there are none."""
    size = ledger.head().size
    last = ledger.last_moment()
    return Stamped(ledger.seq_at(now) + 1, size, last) if size and last > now else None


def far_ahead(ledger: Ledger, now: datetime) -> Stamped | None:
    """The entries that are stamped later than the clock, where the last of them is by more than a day; else None."""
    found = stamped_ahead(ledger, now)
    return found if found is not None and found.until - now > MOST_AHEAD else None


def stamped_text(found: Stamped) -> str:
    """Which entries are stamped later than the clock, and up to when, in words."""
    one = found.first == found.last
    which = f"Entry {found.first} is" if one else f"Entries {found.first} to {found.last} are"
    return f"{which} dated later than this computer's clock, up to {spoken(found.until)}."


def clock_json(found: Stamped | None, now: datetime) -> Json:
    """What the clock says, and the entries that are stamped later."""
    told = None if found is None else {**found._asdict(), "until": found.until.isoformat()}
    return {"question": "clock", "now": now.isoformat(), "stamped_ahead": told}


def clock_put_back(ledger: Ledger, now: datetime, by: str, note: str) -> Entry:
    """Put on record from which entry on a clock ahead of time stamped; moments go on by the clock. UsageError without any."""
    found = stamped_ahead(ledger, now)
    if found is None:
        raise UsageError(
            "no entry is dated later than this computer's clock", where=ledger.path.name, do="nothing"
        )
    said = Statement(log_subject(ledger.name), STAMPED_AHEAD_FROM.name, found.first)
    number = [one.number for one in ledger.known(found.until, [log_subject(ledger.name)])]
    draft = Draft(by, CLOCK_BACK, (said,), tuple(number[-1:]), "", note)
    return ledger.append([draft], lambda: now, after=found.last)[0]
