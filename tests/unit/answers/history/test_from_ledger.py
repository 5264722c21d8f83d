"""What a ledger says in one read: the state, the unread rows, the head; and what is told for all over it."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import suppress
from datetime import date, timedelta
from pathlib import Path

import pytest

from airwrit.answers.history.defaults import told_for_all
from airwrit.answers.history.from_ledger import read_ledger, told_over
from airwrit.base.errors import LedgerFault
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.ledger.ports import Draft
from airwrit.ledger.rows_read import IMPORT, UNREAD
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import START, Clock, draft, said

ON = date(2026, 6, 1)
LATER = START + timedelta(days=1)


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Ledger]:
    """Aircraft of which a use or owner is said, was said once, was taken back, and never was; and people."""
    with Ledger.begin(tmp_path / "l.airwrit") as made:
        clock = Clock()
        one = draft(
            said("aircraft/A", "owner", "ann"),
            said("aircraft/A", "used_for", "recreation"),
            said("aircraft/B", "used_for", "work", "2026-01-01", "2026-02-01"),
            said("aircraft/C", "owner", "cyd"),
            said("aircraft/D", "maker", "m"),
            said("person/P", "has_certificate", True),
            said("person/Q", "flies_for", "recreation"),
        )
        made.append([one], clock)
        clock.on()
        made.append([draft(said("aircraft/C", "owner", None), answers=["1.3"])], clock)
        yield made


@pytest.mark.parametrize("use", [None, UsedFor.WORK, UsedFor.RECREATION])
@pytest.mark.parametrize("owner", [None, "Program"])
def test_told_over_a_state_is_told_over_the_statements(
    book: Ledger, use: UsedFor | None, owner: str | None
) -> None:
    for known_at in (START - timedelta(hours=1), START, LATER):
        known = [item for item in book.known(LATER) if item.recorded_at <= known_at]
        wanted = state_of(told_for_all(known, use, owner), ON, known_at)
        found = told_over(book, book.state(ON, known_at), use, owner)
        assert found.held == wanted.held


def test_a_read_names_the_head_and_what_is_missing(book: Ledger) -> None:
    imported = Draft("ada", IMPORT, (said("aircraft/E", "maker", "m"),), (), "f.csv sha256:00", f"{UNREAD}2")
    book.append([imported], lambda: LATER)
    strange = said("aircraft/E", "maker", "n")
    book.append([draft(strange)], lambda: LATER)
    book.database.execute("UPDATE word SET text = 'colour_of_the_sky' WHERE text = 'has_certificate'")
    read = read_ledger(book, ON, LATER + timedelta(days=1))
    assert read.state == book.state(ON, LATER + timedelta(days=1))
    assert [(source.name, source.sha256) for source in read.sources] == [
        ("l.airwrit (4 entries)", book.head().root.hex())
    ]
    assert [(problem.where, problem.unread) for problem in read.problems] == [
        ("f.csv", True),
        ("l.airwrit", True),
    ]
    assert "'colour_of_the_sky'" in read.problems[1].what
    earlier = read_ledger(book, ON, START)
    assert earlier.sources[0].name == "l.airwrit (1 entries)"
    assert earlier.sources[0].sha256 != read.sources[0].sha256


def test_a_read_sees_one_state_whoever_writes_meanwhile(book: Ledger) -> None:
    with book.reading():
        before = book.head()
        with (
            suppress(LedgerFault),
            Ledger(book.path) as other,
        ):  # with a rollback journal the writer has to wait
            other.database.execute("PRAGMA busy_timeout = 0")
            other.append([draft(said("aircraft/Z", "maker", "m"))], lambda: LATER)
        with book.reading():
            assert book.head() == before
        assert book.database.in_transaction
    assert not book.database.in_transaction
