"""The values of the law that an answer about light or weather used, for its document."""

from __future__ import annotations

from collections.abc import Iterable

from airwrit.answers.document import Json
from airwrit.law.parameters import LawReading


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
