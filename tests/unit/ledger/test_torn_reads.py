"""A head that is read while others write is one that the log really had."""

from __future__ import annotations

import threading
from pathlib import Path

from airwrit.ledger.sqlite.store import Ledger
from tests.unit.ledger.books import Clock, draft, said


def test_the_head_is_never_of_two_states(tmp_path: Path) -> None:
    path, heads = tmp_path / "l.airwrit", list[tuple[int, bytes]]()
    Ledger.begin(path).close()
    done = threading.Event()

    def write() -> None:
        with Ledger(path) as book:
            book.database.execute("PRAGMA synchronous = OFF")
            for number in range(150):
                book.append([draft(said("aircraft/A", "maker", str(number)))], Clock())
        done.set()

    writer = threading.Thread(target=write)
    writer.start()
    with Ledger(path) as book:
        while not done.is_set():
            heads.append(book.head())
        writer.join()
        moments = {line.seq: line.recorded_at for line in book.lines()}
        for size, root in dict(heads).items():
            if size:
                assert book.head_at(moments[size]).root == root
