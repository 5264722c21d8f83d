"""When the law was last read, and which of its values an answer used, as documents say it."""

from __future__ import annotations

from collections.abc import Iterable

from airwrit.answers.document import Json
from airwrit.base.days import When, day_of
from airwrit.law.parameters import LawReading, last_read, late_reading


def law_json(readings: Iterable[LawReading]) -> list[Json]:
    """Each value once, with its section, the day its text is of and the day it was read."""
    spans = {reading.param.name: reading for reading in readings}
    return [
        {
            "parameter": name,
            "title": reading.param.title,
            "value": reading.span.value,
            "unit": reading.param.unit,
            "cites": reading.span.cites,
            "law_text_of": str(reading.span.text_of),
            "law_read_on": reading.span.read_on.isoformat(),
            "confidence": reading.span.confidence,
        }
        for name, reading in spans.items()
    ]


def reading_json(on: When) -> Json:
    """When the law was last read, and what has to be said first where `on` lies long after it (else None)."""
    return {
        "law_last_read_on": last_read().isoformat(),
        "late_reading": late_reading(day_of(on)) or None,
    }
