"""Where a value of the law comes from: the day its text is of, how that text was had, the day it was read for this project.

The three are kept apart: a reprint of today's section that was made in 2024 is a text of 2024, read on the day it was read.
"""

from __future__ import annotations

import re
import tomllib
from collections.abc import Mapping
from datetime import date
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.errors import BadLawFile

CONFIDENCES = ("high", "medium", "low")
LATE_AFTER_DAYS = 183
"""How long after the last reading of the law an answer says first how old its law is; common practice, no source."""
NO_TEXT = "no text"
"""What stands for the day of a text where nothing was read."""
NOT_DATED = "not dated"
_WORDS_OF_A_DAY = re.compile(rf"(after )?\d{{4}}(-\d\d){{0,2}}|{NOT_DATED}|{NO_TEXT}")


class Had(StrEnum):
    """How a text was had, the surest first."""

    PRIMARY = "primary text"
    """the document that made the law, or its official edition"""
    COPY = "copy of the Code"
    """the whole section in somebody's copy of the Code"""
    AGENCY = "agency page"
    """a page of the agency, in a stored copy"""
    SECONDARY = "secondary"
    """somebody who quotes, reprints or tells it"""
    MEMORY = "memory"
    """no text was read"""


class Provenance(NamedTuple):
    """Where a value was read: its text, the address of it ("" where none is whole), the three facts, further texts."""

    source: str
    url: str
    text_of: date | str
    had: Had
    also: tuple[str, ...]
    read_on: date
    confidence: str


def provenance_of(entry: Mapping[str, Any], name: str) -> Provenance:
    """The provenance written in a value's table. BadLawFile where a field is of another form or claims too much."""
    had, text_of = entry["had"], entry["text_of"]
    if had not in tuple(Had):
        raise BadLawFile(f"had is one of {', '.join(Had)}", where=name)
    if type(text_of) is not date and not _WORDS_OF_A_DAY.fullmatch(str(text_of)):
        raise BadLawFile(
            f"text_of is a day, a year, a month, 'after ...', {NOT_DATED!r} or {NO_TEXT!r}", where=name
        )
    if entry["confidence"] not in CONFIDENCES:
        raise BadLawFile(f"confidence is one of {', '.join(CONFIDENCES)}", where=name)
    found = Provenance(
        entry["source"],
        entry.get("url", ""),
        text_of,
        Had(had),
        tuple(entry.get("also", ())),
        entry["read_on"],
        entry["confidence"],
    )
    _not_too_sure(found, name)
    return found


def _not_too_sure(found: Provenance, name: str) -> None:
    """High confidence needs the primary text or two copies; memory has no text and is never more than low."""
    if (found.had is Had.MEMORY) != (found.text_of == NO_TEXT):
        raise BadLawFile(f"memory, and memory alone, has {NO_TEXT!r} for the day of its text", where=name)
    if found.had is Had.MEMORY and found.confidence != "low":
        raise BadLawFile("what is from memory has low confidence", where=name)
    if found.confidence == "high" and found.had is not Had.PRIMARY and not found.also:
        raise BadLawFile("high confidence needs the primary text or two independent copies", where=name)


def earliest(text_of: date | str) -> date:
    """The earliest day that a text may be of: the first of a year or month; of a text without a day, the first there is."""
    if isinstance(text_of, date):
        return text_of
    digits = text_of.removeprefix("after ")
    if not digits[0].isdigit():
        return date.min
    return date.fromisoformat(digits + "-01-01"[len(digits) - 4 :])


def oldest(texts: list[date | str]) -> date | str:
    """The oldest of several texts by the earliest day each may be of."""
    return min(texts, key=lambda one: (earliest(one), str(one)))


@cache
def _words() -> Mapping[str, Any]:
    return tomllib.loads(Path(__file__).with_name("reading.toml").read_text(encoding="utf-8"))


def read_words(text_of: date | str, had: Had, read_on: date) -> str:
    """A text in words: of which day, read when, and whether it is second hand or from memory."""
    if had is Had.MEMORY:
        memory: str = _words()["memory"].format(read=read_on)
        return memory
    kind = "not_dated" if text_of == NOT_DATED else "after" if str(text_of).startswith("after ") else "dated"
    told: str = _words()[kind].format(text=str(text_of).removeprefix("after "), read=read_on)
    return f"{told}, {hearsay(had)}" if hearsay(had) else told


def hearsay(had: str) -> str:
    """Second hand or from memory, in words; "" for a text that was read itself."""
    words: Mapping[str, str] = _words()["hearsay"]
    return words.get(had, "")


def late_words(day: date, last_read: date) -> str:
    """What an answer for `day` says first where the law was last read long before; "" where it was not."""
    days = (day - last_read).days
    late: str = _words()["late"].format(read=last_read, days=days)
    return late if days > LATE_AFTER_DAYS else ""
