"""What the law allows at most when rules are broken, on a day: ranges to know, never a forecast."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from typing import Any, NamedTuple

from airwrit.answers.document import SCOPE_OF_LAW
from airwrit.answers.law_reading import reading_json
from airwrit.base.errors import UsageError
from airwrit.law.aircraft.penalties import ENFORCED, PENALTIES
from airwrit.law.parameters import FIRST_DAY, LawReading, Param, span_of
from airwrit.law.wording import shown

WARNING = (
    "The most the law allows, as far as we have read it. This is not a forecast. Any penalty depends on the case, on "
    "who it is and on the FAA. Several sources are secondary. Not legal advice."
)

UNKNOWN = "unknown"
"""What stands for an amount that was not read for the day: never an older and lower one."""


class Exposure(NamedTuple):
    """The readings of a day: what is allowed at most, and what the regulator says of enforcing."""

    day: date
    penalties: tuple[LawReading, ...]
    enforced: tuple[LawReading, ...]
    not_read: tuple[Param[Any], ...]


def exposure(day: date) -> Exposure:
    """The penalties of a day. UsageError before the first day of law that was read."""
    if day < FIRST_DAY:
        raise UsageError(
            f"{day} is too early. We check dates from {FIRST_DAY} on", where="--on", do="use a later date"
        )
    missing = tuple(param for param in PENALTIES if span_of(param, day) is None)
    return Exposure(day, _read(PENALTIES, day), _read(ENFORCED, day), missing)


def _read(params: Iterable[Param[Any]], day: date) -> tuple[LawReading, ...]:
    found = ((param, span_of(param, day)) for param in params)
    return tuple(LawReading(param, span) for param, span in found if span is not None)


def amount(reading: LawReading) -> str:
    """The amount as a face prints it: up to so much."""
    value, unit = reading.span.value, reading.param.unit
    if unit == "USD":
        return f"up to {int(value):,} USD"
    if unit == "year":
        return f"up to {value} year" + ("s" if value != 1 else "")
    return f"{shown(value)} {unit}".strip() + ("s" if unit == "day" and value != 1 else "")


def exposure_json(found: Exposure) -> dict[str, Any]:
    """The exposure as a document."""
    return {
        "question": "exposure",
        "scope": SCOPE_OF_LAW,
        "on": found.day.isoformat(),
        **reading_json(found.day),
        "penalties": [_reading_json(reading) for reading in found.penalties],
        "enforced": [_reading_json(reading) for reading in found.enforced],
        "not_read_for_that_day": [param.title for param in found.not_read],
        "unknown": [
            {"what": param.title, "value": UNKNOWN, "unit": param.unit, "look_up": param.spans[-1].cites}
            for param in found.not_read
        ],
        "warning": WARNING,
    }


def _reading_json(reading: LawReading) -> dict[str, Any]:
    span = reading.span
    return {
        "what": reading.param.title,
        "value": shown(span.value),
        "unit": reading.param.unit,
        "cites": span.cites,
        "source": span.source,
        "text_of": str(span.text_of),
        "had": span.had.value,
        "read_on": span.read_on.isoformat(),
        "confidence": span.confidence,
        "open_reading": span.open_edge,
    }
