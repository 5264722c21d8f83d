"""Rows that this program cannot have written are told as damage, at their entry, and no value of theirs is repeated."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from contextlib import suppress
from datetime import UTC, date, datetime
from pathlib import Path
from typing import Any

import pytest

from airwrit.base.errors import LedgerFault
from airwrit.ledger.checking.check import check
from airwrit.ledger.copies import exported
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.opening import schema_kept
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said

EVER = datetime.max.replace(tzinfo=UTC)
DAY = date(2026, 6, 1)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Ledger]:
    """A ledger of which a line was taken out, without the triggers that would stop a forger."""
    with Ledger.begin(tmp_path / "l.airwrit") as made:
        clock = Clock()
        made.append([draft(said("aircraft/A", "owner", "Zoltan", "2026-01-01"))], clock)
        clock.on()
        made.append([draft(said("person/P", "born_on", "1990-01-01"))], clock)
        clock.on()
        made.append([draft(said("aircraft/B", "owner", "bob"))], clock)
        clock.on()
        blank(made, [2], clock, "ada", "a request")
        for name, sql in schema_kept(made.database).items():
            if sql.startswith("CREATE TRIGGER"):
                made.database.execute(f"DROP TRIGGER {name}")
        yield made


DAMAGE = {
    "a huge moment": "UPDATE entry SET recorded_at = 9223372036854775807 WHERE seq = 4",
    "a moment before all time": "UPDATE entry SET recorded_at = -9223372036854775808 WHERE seq = 1",
    "an unknown kind": "UPDATE said SET kind = 99 WHERE seq = 1",
    "a whole number that is none": "UPDATE said SET kind = 2 WHERE seq = 1",
    "a bad date": "UPDATE said SET valid_from = '2026-02-30' WHERE seq = 1",
    "a missing word": "DELETE FROM word WHERE text = 'aircraft/A'",
    "a name that is no text": "UPDATE word SET text = CAST(x'616972ff' AS TEXT) WHERE text = 'aircraft/A'",
    "the line of a taking out": "UPDATE entry SET line = replace(line, 'blank', 'blamk') WHERE seq = 4",
    "an answer to a place that is none": "UPDATE answered SET place = -1",
    "a size that is none": "UPDATE about SET value = 'many' WHERE name = 'size'",
    "peaks that are none": "UPDATE about SET value = 'zz' WHERE name = 'peaks'",
}
READS: tuple[Callable[[Ledger], Any], ...] = (
    lambda book: book.head(),
    lambda book: book.known(EVER),
    lambda book: book.state(DAY, EVER),
    lambda book: book.entries("aircraft/A"),
    lambda book: book.entry(4),
    lambda book: book.acts(),
    lambda book: book.subjects(),
    lambda book: book.last_moment(),
    lambda book: book.speaking("owner", EVER),
    lambda book: book.strange_keys(),
    lambda book: list(book.lines()),
    lambda book: list(exported(book)),
    lambda book: book.append(
        [draft(said("aircraft/A", "maker", "m"))], Clock(datetime(2027, 1, 1, tzinfo=UTC))
    ),
)


@pytest.mark.parametrize("damage", DAMAGE.values(), ids=DAMAGE.keys())
def test_damage_is_told_in_words(book: Ledger, damage: str) -> None:
    book.database.execute(damage)
    found = check(book)
    assert not found.is_whole
    assert not any("Zoltan" in fault.what or "Traceback" in fault.what for fault in found.faults)
    assert not check(book, log_only=True).faults or found.faults
    with Ledger(book.path) as again:
        for read in READS:
            with suppress(LedgerFault):
                read(again)


@pytest.mark.parametrize(
    ("damage", "seq"),
    [
        ("a huge moment", 4),
        ("a moment before all time", 1),
        ("an unknown kind", 1),
        ("the line of a taking out", 4),
    ],
)
def test_damage_is_told_at_its_entry(book: Ledger, damage: str, seq: int) -> None:
    book.database.execute(DAMAGE[damage])
    assert seq in {fault.seq for fault in check(book).faults}
