"""A check by parts in several processes tells what one process tells; the log alone can be asked for."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from airwrit.ledger.checking import check as checking
from airwrit.ledger.checking.check import check
from airwrit.ledger.checking.parts import ENTRIES, SUBJECTS, LedgerDamage, Part
from airwrit.ledger.checking.workers import found_apart
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said
from tests.unit.ledger.checking.test_check import without_triggers


@pytest.fixture
def book(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Iterator[Ledger]:
    """A ledger of forty entries that is cut into small parts."""
    monkeypatch.setattr(checking, "_ENTRIES_A_PART", 7)
    with Ledger.begin(tmp_path / "l.airwrit") as made:
        made.append(
            [
                draft(said(f"aircraft/{n % 9}", "owner", f"o{n}", f"2026-01-{n % 28 + 1:02}"))
                for n in range(40)
            ],
            Clock(),
        )
        yield made


def test_several_processes_tell_what_one_tells(book: Ledger) -> None:
    without_triggers(book)
    told = list[tuple[int, int]]()
    for forged in (
        "UPDATE entry SET line = replace(line, 'o20', 'o99') WHERE seq = 21",
        "UPDATE held SET value = 'x' WHERE value = 'o30'",
        "UPDATE said SET value = 'x' WHERE seq = 3",
        "DELETE FROM entry WHERE seq = 34",
        "UPDATE word SET text = 'aircraft/99' WHERE text = 'aircraft/4'",
    ):
        book.database.execute(forged)
        told.clear()
        one = check(book, processes=1)
        two = check(book, processes=2, progress=lambda done, of: told.append((done, of)))
        assert one == two
        assert one.faults == sorted(one.faults, key=lambda fault: fault.seq)
        assert told == [(done + 1, len(told)) for done in range(len(told))]
        assert len(told) > 6
    assert {3, 5, 21, 31, 35} <= {fault.seq for fault in one.faults}


def test_the_log_alone_does_not_look_at_what_is_derived(book: Ledger) -> None:
    book.database.execute("UPDATE held SET value = 'x' WHERE value = 'o30'")
    book.database.execute("DELETE FROM said WHERE seq = 9")
    assert check(book, log_only=True).is_whole
    assert not check(book).is_whole
    without_triggers(book)
    book.database.execute("UPDATE entry SET line = replace(line, 'o20', 'o99') WHERE seq = 21")
    assert LedgerDamage(21, "its line isn't the one that was hashed") in check(book, log_only=True).faults


def test_a_byte_that_is_no_text_is_named_by_its_entry(book: Ledger) -> None:
    without_triggers(book)
    book.database.execute(
        "UPDATE entry SET line = CAST(replace(CAST(line AS BLOB), x'6f3230', x'6fff30') AS TEXT) WHERE seq = 21"
    )
    book.database.execute("UPDATE said SET value = CAST(x'ff' AS TEXT) WHERE seq = 30")
    for processes in (1, 2):
        faults = check(book, processes=processes).faults
        assert LedgerDamage(30, "its statements don't match its line") in faults
        assert any(fault.seq == 21 and "isn't text" in fault.what for fault in faults)


def test_a_child_has_nothing_to_say_of_a_ledger_that_grew_or_is_gone(book: Ledger, tmp_path: Path) -> None:
    parts = [Part(what, 1, 5, 39, book.name) for what in (ENTRIES, SUBJECTS)]
    with found_apart(book.path, parts, 2) as found:
        assert list(found) == [None, None]
    with found_apart(tmp_path / "none", parts, 2) as found:
        assert list(found) == [None, None]
    same = [part._replace(size=40) for part in parts]
    with found_apart(book.path, same, 2) as found:
        assert all(one is not None and not one.faults for one in found)


def test_a_pair_of_which_nothing_is_said_is_found(book: Ledger) -> None:
    with closing(sqlite3.connect(book.path)) as db, db:
        db.execute("INSERT INTO held VALUES (999, 999, 12, 1, 99, 99, 1, 'x', '12')")
    assert LedgerDamage(12, "the facts on file from it don't match the entries") in check(book).faults
