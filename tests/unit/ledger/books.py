"""Ledgers for tests: a clock that can be set, and drafts in a line."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import UTC, datetime, timedelta

from airwrit.base.times import EARLIEST, When, parse_when
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.store import Draft

START = datetime(2026, 1, 1, 12, tzinfo=UTC)


class Clock:
    """A clock that stands still until it is moved."""

    def __init__(self, at: datetime = START) -> None:
        self.at = at

    def __call__(self) -> datetime:
        return self.at

    def on(self, hours: float = 1) -> datetime:
        """Move it, and tell the new moment."""
        self.at += timedelta(hours=hours)
        return self.at


def said(subject: str, key: str, value: Raw, start: str = "", until: str = "") -> Statement:
    """A statement with its span as text."""
    begin: When = parse_when(start) if start else EARLIEST
    return Statement(subject, key, value, begin, parse_when(until) if until else None)


def draft(*statements: Statement, answers: Sequence[str] = (), act: str = "record") -> Draft:
    """What one Ada puts on record."""
    return Draft("ada", act, statements, tuple(answers))
