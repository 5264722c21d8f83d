"""Ledgers for tests: a clock that can be set, and drafts in a line."""

from __future__ import annotations

import sqlite3
from collections.abc import Sequence
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.opening import APPLICATION_ID

FILE_TRIGGER_OF_FORM_2 = """CREATE TRIGGER file_is_never_changed BEFORE UPDATE ON file
WHEN NEW.bytes IS NOT NULL OR NEW.sha256 IS NOT OLD.sha256 OR NEW.name IS NOT OLD.name
BEGIN SELECT raise(ABORT, 'files are never changed'); END"""

START = datetime(2026, 1, 1, 12, tzinfo=UTC)


OLD = Path(__file__).parent / "old"
"""Ledgers that earlier versions of this program wrote, as SQL; `form_2.sql` by that of commit 14215e7."""


def old_ledger(path: Path, form: int = 2) -> Path:
    """A ledger as an earlier version of this program wrote it: files of two names, a blanked line, checkpoints, a document."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.executescript((OLD / f"form_{form}.sql").read_text(encoding="utf-8"))
        db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
        db.execute(f"PRAGMA user_version = {form}")
    return path


def as_form_2(path: Path) -> None:
    """Make a ledger's file what the second form was: without what was given out, its sums and gaps."""
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        db.execute("DROP TABLE given_out")
        db.execute("DROP TRIGGER file_is_never_changed")
        db.execute(FILE_TRIGGER_OF_FORM_2)
        db.execute("DELETE FROM about WHERE name NOT IN ('ledger', 'size', 'peaks')")
        db.execute("PRAGMA user_version = 2")


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
