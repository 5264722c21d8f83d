"""Several that begin one ledger at once: all of them come to the same one. And one state for whoever reads long."""

from __future__ import annotations

import sqlite3
import threading
from contextlib import suppress
from pathlib import Path

import pytest

from airwrit.base.errors import LedgerFault
from airwrit.ledger.checking.check import check
from airwrit.ledger.copies import exported, head_line
from airwrit.ledger.sqlite.opening import connected, make_file
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said


def test_all_that_begin_it_at_once_write_to_one_ledger(tmp_path: Path) -> None:
    path, names = tmp_path / "l.airwrit", list[str]()
    ready = threading.Barrier(6)

    def begin(number: int) -> None:
        ready.wait()
        with Ledger.at(path) as book:
            book.append([draft(said(f"aircraft/{number}", "maker", "m"))], Clock())
            names.append(book.name)

    threads = [threading.Thread(target=begin, args=(number,)) for number in range(6)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    with Ledger(path) as book:
        assert names == [book.name] * 6
        assert book.head().size == 6
        assert check(book).is_whole


def test_a_file_left_empty_by_one_that_was_killed_is_begun(tmp_path: Path) -> None:
    path = tmp_path / "l.airwrit"
    make_file(path)
    connected(path).close()
    with Ledger.at(path) as book:
        assert book.head().size == 0
        assert path.stat().st_mode & 0o077 == 0


def test_another_file_is_not_made_a_ledger(tmp_path: Path) -> None:
    other = tmp_path / "other.db"
    with sqlite3.connect(other) as db:
        db.execute("CREATE TABLE t (a)")
    db.close()
    with pytest.raises(LedgerFault, match="This isn't an airwrit ledger"):
        Ledger.at(other)
    text = tmp_path / "text"
    text.write_text("a text that is long enough to be looked at as pages " * 40, encoding="utf-8")
    with pytest.raises(LedgerFault, match="damaged, or isn't a ledger"):
        Ledger.at(text)
    with pytest.raises(LedgerFault, match="We can't create it"):
        Ledger.at(tmp_path / "no folder" / "l.airwrit")


def test_an_export_is_of_one_state_whoever_writes_meanwhile(tmp_path: Path) -> None:
    path = tmp_path / "l.airwrit"
    with Ledger.begin(path) as book, Ledger(path) as other:
        other.database.execute("PRAGMA busy_timeout = 0")
        book.append([draft(said(f"aircraft/{number}", "maker", "m")) for number in range(3)], Clock())
        head, lines = book.head(), exported(book)
        found = [next(lines)]
        with suppress(LedgerFault):  # with a rollback journal the writer has to wait
            other.append([draft(said("aircraft/9", "maker", "m"))], Clock())
        found += lines
        assert len(found) == 4
        assert found[-1] == head_line(head)
        assert not book.database.in_transaction
