"""The four verdicts, why a verdict is unknown, and what a rule hands back. No prose: sentences are made when shown."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple


class Verdict(StrEnum):
    """How one clause stands."""

    MET = "met"
    NOT_MET = "not_met"
    UNKNOWN = "unknown"
    NOT_APPLICABLE = "not_applicable"


class Why(StrEnum):
    """Why a verdict is unknown."""

    MISSING = "missing"
    CONFLICT = "conflict"
    DAMAGED = "damaged"
    WITHIN_DOUBT = "within_doubt"
    OPEN_READING = "open_reading"
    LAW_NOT_READ = "law_not_read"
    OUTSIDE_THIS_TOOL = "outside_this_tool"


class Margin(NamedTuple):
    """Room left to a limit: above zero is inside. `worst` and `best` differ when the value has doubt."""

    value: Decimal
    unit: str
    worst: Decimal
    best: Decimal


class Outcome(NamedTuple):
    """What a rule concludes. `code` picks the sentence; `due_on` is the last day to act, `holds_until` the last good day."""

    verdict: Verdict
    code: str
    why: Why | None = None
    margin: Margin | None = None
    value: date | Decimal | str | None = None
    due_on: date | None = None
    holds_until: date | None = None


class Undecided(Exception):
    """Raised where a fact or the law of a day is not there to be read; becomes a verdict, never reaches a face."""

    def __init__(self, why: Why, about: str) -> None:
        """`about` names the fact or the parameter of the law."""
        self.why, self.about = why, about
        super().__init__(f"{why}: {about}")


def days_left(last_day: date, on: date) -> Margin:
    """Days from `on` to `last_day` as a margin: 0 on the last good day, below zero after it."""
    days = Decimal((last_day - on).days)
    return Margin(days, "day", days, days)


def worst_of(verdicts: set[Verdict]) -> Verdict:
    """The verdict of a whole: not met beats unknown beats met; nothing asked or nothing applicable is unknown."""
    if Verdict.NOT_MET in verdicts:
        return Verdict.NOT_MET
    if Verdict.UNKNOWN in verdicts or Verdict.MET not in verdicts:
        return Verdict.UNKNOWN
    return Verdict.MET
