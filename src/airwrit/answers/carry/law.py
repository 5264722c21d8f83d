"""What the law of a day asks a pilot to have at hand and to do when something happens, in sentences with their sections."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from datetime import date
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.days import add_days
from airwrit.base.verdict import Undecided
from airwrit.law.flight.at_hand import AT_HAND, IDENTIFICATION, IN_POSSESSION
from airwrit.law.flight.broadcast import LAND
from airwrit.law.flight.incident import (
    FAA_DAMAGE,
    FAA_DAYS,
    FAA_INJURY,
    NTSB_DAYS,
    NTSB_LIST,
    NTSB_PRESERVATION,
)
from airwrit.law.holder.pilot import SAFETY_TEST_CONDITION
from airwrit.law.parameters import Law, Param, read_as

_ASKED: Mapping[str, Param[Any]] = {
    "certificate": IN_POSSESSION,
    "identification": IDENTIFICATION,
    "registration": AT_HAND,
    "test": SAFETY_TEST_CONDITION,
}
_HAPPENS: Mapping[str, Param[Any]] = {
    "faa": FAA_DAYS,
    "injury": FAA_INJURY,
    "damage": FAA_DAMAGE,
    "notify": NTSB_LIST,
    "report": NTSB_DAYS,
    "keep": NTSB_PRESERVATION,
    "fails": LAND,
}


class Sentence(NamedTuple):
    """What is to be done, with its sections and where they were read; `known` is False where that law was not read.

    What is common practice names no section, and says so in `cites`.
    """

    title: str
    says: str
    cites: str
    read: str
    known: bool
    is_law: bool = True

    @property
    def dated(self) -> str:
        """The sections, and where they were read."""
        return f"{self.cites}, {self.read}" if self.is_law and self.known else self.cites


Asked = Sentence


@cache
def pack_words() -> Mapping[str, Any]:
    """The words of the pack."""
    return tomllib.loads(Path(__file__).with_name("law.toml").read_text(encoding="utf-8"))


def asked_of_a_pilot(day: date) -> tuple[Asked, ...]:
    """What has to be at hand on a flight of that day, and for whom."""
    return tuple(_said(day, pack_words()["asked"][name], param) for name, param in _ASKED.items())


def if_something_happens(day: date, whom: str | None = None) -> tuple[Sentence, ...]:
    """What to do when something happens: people and the battery first, then who is told by when, for a flight of that day."""
    words = pack_words()
    practice = str(words["practice"]["cites"])
    first = [(one["title"], one["says"]) for one in words["first"]]
    if whom:
        first.append((words["call"]["title"], whom))
    law = (_said(day, words["law"][name], param) for name, param in _HAPPENS.items())
    return (*(Sentence(*one, practice, "", known=True, is_law=False) for one in first), *law)


def _said(day: date, words: Mapping[str, str], param: Param[Any]) -> Sentence:
    """The sentence that a parameter of the law of that day gives; that the law was not read, where it was not."""
    law = Law(day)
    try:
        span = law.span(param)
    except Undecided:
        return Sentence(words["title"], pack_words()["not_read"]["says"], "", "", known=False)
    value = span.value
    says = words["unless"] if value is False else words["says"]
    last = add_days(day, value) if isinstance(value, int) else day
    if isinstance(value, tuple):
        value = f"{', '.join(value[:-1])} and {value[-1]}"
    says = says.format(value=value, day=day, last=last)
    return Sentence(words["title"], says, span.cites, read_as(span), known=True)
