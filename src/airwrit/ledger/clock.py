"""The way back from a clock that was ahead: an entry says from which entry on it stamped, and moments go on rightly.

Entries are never recorded before the one before them, so that one entry with a moment of 2066 has all later ones wait for
that year. The entry of act `clock_back` alone may step back. It is on record like any other; what the wrong clock stamped keeps
its own moment in its line and counts as on record from the step back on, which is the earliest moment that is sure.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from datetime import datetime
from typing import NamedTuple

from airwrit.facts.keys.program import STAMPED_AHEAD_FROM, log_subject
from airwrit.ledger.entry import CLOCK_BACK
from airwrit.ledger.sqlite.opening import schema_kept

_LATER_THAN_THE_LAST = "entry_is_added_at_the_end"
_STEPS = """SELECT s.seq, e.recorded_at, s.value FROM said s JOIN entry e ON e.seq = s.seq
WHERE s.subject = (SELECT id FROM word WHERE text = ?) AND s.key = (SELECT id FROM word WHERE text = ?) ORDER BY s.seq"""


class ClockStep(NamedTuple):
    """A step back: its entry, the moment it was recorded at in microseconds, the first entry stamped ahead of time."""

    seq: int
    micros: int
    first: int


def steps_back(db: sqlite3.Connection) -> list[ClockStep]:
    """The steps back of a log, in order; most have none."""
    name = db.execute("SELECT value FROM about WHERE name = 'ledger'").fetchone()[0]
    rows = db.execute(_STEPS, (log_subject(name), STAMPED_AHEAD_FROM.name)).fetchall()
    return [ClockStep(seq, micros, int(first)) for seq, micros, first in rows]


def sure_micros(seq: int, micros: int, steps: Sequence[ClockStep]) -> int:
    """From when on an entry is sure to have been on record: its own moment, or that of a step back behind it."""
    return min([micros, *(step.micros for step in steps if step.seq > seq)])


def sure_moment(seq: int, moment: datetime, steps: Sequence[tuple[int, datetime]]) -> datetime:
    """The same with moments, of steps back as entry and moment."""
    return min([moment, *(one for step, one in steps if step > seq)])


@contextmanager
def may_step_back(db: sqlite3.Connection, act: str) -> Iterator[None]:
    """Let an entry of that act stand before the last one in time; for any other the file itself refuses it."""
    if act != CLOCK_BACK:
        yield
        return
    trigger = schema_kept(db)[_LATER_THAN_THE_LAST]
    db.execute(f"DROP TRIGGER {_LATER_THAN_THE_LAST}")
    yield
    db.execute(trigger)
