"""When the law was last read, as documents say it."""

from __future__ import annotations

from airwrit.answers.document import Json
from airwrit.base.days import When, day_of
from airwrit.law.parameters import last_read, late_reading


def reading_json(on: When) -> Json:
    """When the law was last read, and what has to be said first where `on` lies long after it (else None)."""
    return {
        "law_last_read_on": last_read().isoformat(),
        "late_reading": late_reading(day_of(on)) or None,
    }
