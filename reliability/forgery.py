"""Forge a ledger behind the program's back, in every way and at places drawn by chance: each has to be found, with its place.

python reliability/forgery.py [ROUNDS [SEED]]

Every forger takes off the triggers and puts them back. The last of them makes all hashes anew after a change; that shows only
against a head noted elsewhere. Bytes of the file are changed too: where nothing is found, nothing may be other than before.
"""

from __future__ import annotations

import json
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import LedgerFault
from airwrit.facts.statement import Statement
from airwrit.ledger.checking.check import check
from airwrit.ledger.entry import canonical
from airwrit.ledger.log.tree import Frontier, leaf_hash
from airwrit.ledger.ports import Draft, Head
from airwrit.ledger.sqlite.opening import schema_kept
from airwrit.ledger.sqlite.store import Ledger

ROUNDS = 200
ENTRIES = 120
_START = datetime(2026, 1, 1, tzinfo=UTC)
_DERIVED = ("word", "said", "answered", "held", "node", "subject_head", "head_bucket", "about")


class Result(NamedTuple):
    """Of one run: how often each kind of forgery was done and found, bytes that changed nothing, seconds."""

    found: dict[str, int]
    idle_bytes: int
    seconds: float


def made(path: Path, chance: random.Random) -> Head:
    """A ledger with corrections, ends and contradictions; its head."""
    with Ledger.begin(path) as book:
        book.database.execute("PRAGMA synchronous = OFF")
        for number in range(ENTRIES):
            day = _START.date() + timedelta(days=chance.randrange(300))
            said = [
                Statement(f"aircraft/{chance.randrange(9)}", key, f"{number}", day)
                for key in ("owner", "maker", "model")
            ]
            answers: tuple[str, ...] = ()
            if number % 4 == 3:
                said[0] = put_right(book, number)
                answers = (f"{number}.0",)
            book.append([Draft("ada", "record", tuple(said), answers)], lambda: _START)
        return book.head()


def put_right(book: Ledger, seq: int) -> Statement:
    """A statement in the place of the first one of an entry."""
    entry = book.entry(seq)
    if entry is None:
        raise RuntimeError(f"entry {seq} is not there")
    return entry.statements[0]._replace(value=f"put right {seq}")


# ---- what a forger does: each gives the entry at which it has to be found -------------------------------------------


def a_byte_of_a_line(db: sqlite3.Connection, chance: random.Random) -> int:
    """One sign of a line is another."""
    seq = chance.randint(1, ENTRIES)
    line = str(db.execute("SELECT line FROM entry WHERE seq = ?", (seq,)).fetchone()[0])
    at = chance.randrange(len(line))
    sign = chr(ord(line[at]) ^ 1)
    db.execute("UPDATE entry SET line = ? WHERE seq = ?", (line[:at] + sign + line[at + 1 :], seq))
    return seq


def an_entry_removed(db: sqlite3.Connection, chance: random.Random) -> int:
    """An entry is gone; the one after it shows that."""
    seq = chance.randint(1, ENTRIES - 1)
    db.execute("DELETE FROM entry WHERE seq = ?", (seq,))
    return seq + 1


def the_end_removed(db: sqlite3.Connection, chance: random.Random) -> int:
    """The last entries are gone: the log as a whole shows that."""
    db.execute("DELETE FROM entry WHERE seq > ?", (ENTRIES - chance.randint(1, 9),))
    return 0


def two_entries_swapped(db: sqlite3.Connection, chance: random.Random) -> int:
    """Two entries change places, lines and hashes."""
    one, other = sorted(chance.sample(range(1, ENTRIES + 1), 2))
    rows = {seq: (line, leaf) for seq, line, leaf in db.execute("SELECT seq, line, leaf FROM entry")}
    for seq, source in ((one, other), (other, one)):
        db.execute("UPDATE entry SET line = ?, leaf = ? WHERE seq = ?", (*rows[source], seq))
    return one


def a_line_and_its_hash(db: sqlite3.Connection, chance: random.Random) -> int:
    """A line is changed and hashed anew, and no other."""
    seq = chance.randint(1, ENTRIES - 1)
    told = json.loads(db.execute("SELECT line FROM entry WHERE seq = ?", (seq,)).fetchone()[0])
    line = canonical({**told, "by": "eve"})
    db.execute("UPDATE entry SET line = ?, leaf = ? WHERE seq = ?", (line, leaf_hash(line.encode()), seq))
    return seq + 1


FORGERS: tuple[Callable[[sqlite3.Connection, random.Random], int], ...] = (
    a_byte_of_a_line,
    an_entry_removed,
    the_end_removed,
    two_entries_swapped,
    a_line_and_its_hash,
)


def a_derived_row(db: sqlite3.Connection, chance: random.Random) -> str:
    """A value of a row of something derived is another, or the row is gone; the table."""
    table = chance.choice(_DERIVED)
    columns = [(row[1], row[2]) for row in db.execute(f"PRAGMA table_info({table})")]
    rows = db.execute(f"SELECT * FROM {table}").fetchall()
    row = chance.choice(rows)
    where = " AND ".join(f"{name} = ?" for name, _ in columns)
    if chance.random() < 0.3:
        db.execute(f"DELETE FROM {table} WHERE {where}", row)
        return table
    at = chance.randrange(len(columns))
    was = row[at]
    new = (
        was + 1000
        if isinstance(was, int)
        else bytes([was[0] ^ 1]) + was[1:]
        if isinstance(was, bytes)
        else was + "0"
    )
    db.execute(f"UPDATE {table} SET {columns[at][0]} = ? WHERE {where}", (new, *row))
    return table


def all_hashed_anew(book: Ledger, chance: random.Random) -> None:
    """An entry is changed and everything after it made anew, root and all, as somebody could who has the program."""
    db, changed = book.database, chance.randint(1, ENTRIES)
    frontier, prev = Frontier(), ""
    for line in list(book.lines()):
        told = json.loads(line.text or "")
        text = canonical({**told, "prev": prev, "by": "eve" if line.seq == changed else told["by"]})
        leaf = leaf_hash(text.encode())
        db.execute("UPDATE entry SET line = ?, leaf = ? WHERE seq = ?", (text, leaf, line.seq))
        frontier.add(leaf)
        prev = leaf.hex()
    with book.writing():
        book.rebuild()


# ---- the run --------------------------------------------------------------------------------------------------------


def run(rounds: int, seed: int, folder: Path) -> Result:
    """Forge in every way `rounds` times. RuntimeError names what was not found, or not at its place."""
    begun, chance, path = time.monotonic(), random.Random(seed), folder / "true.airwrit"
    noted, forged = made(path, chance), folder / "forged.airwrit"
    found: Counter[str] = Counter()
    for _ in range(rounds):
        for forger in FORGERS:
            _forge(path, forged, lambda db, forger=forger: forger(db, chance), forger.__name__)  # type: ignore[misc]
            found[forger.__name__.replace("_", " ")] += 1
        _forge(path, forged, lambda db: (a_derived_row(db, chance), None)[1], "a derived row")
        found["a derived row"] += 1
    for _ in range(max(rounds // 10, 1)):
        _rehash(path, forged, noted, chance)
        found["all hashed anew after a head was noted"] += 1
    idle = sum(_flip(path, forged, chance) for _ in range(rounds))
    found["a byte of the file"] = rounds - idle
    return Result(dict(found), idle, time.monotonic() - begun)


def _without_triggers(db: sqlite3.Connection) -> list[str]:
    triggers = {name: sql for name, sql in schema_kept(db).items() if sql.startswith("CREATE TRIGGER")}
    for name in triggers:
        db.execute(f"DROP TRIGGER {name}")
    return list(triggers.values())


def _forge(path: Path, forged: Path, forge: Callable[[sqlite3.Connection], int | None], name: str) -> None:
    """Forge a copy and look for it; `forge` gives the entry at which it has to be found, None for whichever."""
    shutil.copyfile(path, forged)
    with closing(sqlite3.connect(forged, isolation_level=None)) as db:
        triggers = _without_triggers(db)
        seq = forge(db)
        for trigger in triggers:
            db.execute(trigger)
    try:
        with Ledger(forged) as book:
            faults = check(book).faults
    except LedgerFault:
        faults = []
        if seq is not None:
            raise
        return
    if not faults or (seq is not None and seq not in {fault.seq for fault in faults}):
        raise RuntimeError(f"{name} at entry {seq} was not found there: {faults[:3]}")


def _rehash(path: Path, forged: Path, noted: Head, chance: random.Random) -> None:
    shutil.copyfile(path, forged)
    with Ledger(forged) as book:
        triggers = _without_triggers(book.database)
        all_hashed_anew(book, chance)
        for trigger in triggers:
            book.database.execute(trigger)
        if not check(book).is_whole:
            raise RuntimeError(
                "a log that was made anew throughout shows without a noted head: this run proves nothing"
            )
        seqs = [fault.seq for fault in check(book, noted).faults]
    if seqs != [noted.size]:
        raise RuntimeError(
            f"a log that was made anew was not found by the head noted at {noted.size}: {seqs}"
        )


def _dump(path: Path) -> list[object]:
    with closing(sqlite3.connect(path)) as db:
        tables = [
            name
            for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        ]
        return [schema_kept(db), *(db.execute(f"SELECT * FROM {table}").fetchall() for table in tables)]


def _flip(path: Path, forged: Path, chance: random.Random) -> bool:
    """Change a byte of the file; whether it was one that nothing hangs on."""
    data = bytearray(path.read_bytes())
    at = chance.randrange(len(data))
    data[at] ^= 1 << chance.randrange(8)
    forged.write_bytes(data)
    try:
        with Ledger(forged) as book:
            if check(book).faults:
                return False
    except LedgerFault:
        return False
    if _dump(forged) != _dump(path):
        raise RuntimeError(f"a change of byte {at} of the file was not found")
    return True


def main() -> None:
    """Run as long as asked, and print what was found."""
    numbers = [int(text) for text in sys.argv[1:]]
    rounds, seed = (numbers + [ROUNDS, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        found = run(rounds, seed, Path(folder))
    kinds = ", ".join(f"{name} {count}" for name, count in found.found.items())
    sys.stdout.write(
        f"seed {seed}: found in {found.seconds:.0f} s, each at its entry: {kinds}; "
        f"{found.idle_bytes} bytes of the file were of no use and changed nothing\n"
    )


if __name__ == "__main__":
    main()
