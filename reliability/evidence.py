"""Take evidence out of a ledger behind the program's back, change it or plant some, at places drawn by chance: each is told.

python reliability/evidence.py [ROUNDS [SEED]]

Every forger takes off the triggers and puts them back. `check` has to name it, at its entry where a line tells of it; `backup`
has to refuse; nothing may be called taken out on request.
"""

from __future__ import annotations

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
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import LedgerFault
from airwrit.facts.keys.document import document_subject
from airwrit.facts.statement import Statement
from airwrit.ledger.checking.check import check
from airwrit.ledger.checking.evidence_check import FileIs, file_is
from airwrit.ledger.copies import copied
from airwrit.ledger.given_out import CopyMade, note_copy
from airwrit.ledger.log.checkpoints import issued
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.opening import schema_kept
from airwrit.ledger.sqlite.store import Ledger

ROUNDS = 100
_SHEETS = 12
_START = datetime(2026, 1, 1, tzinfo=UTC)
_NEVER = ("removed on request", "blanked")


class Result(NamedTuple):
    """Of one run: how often each kind was done and told, and seconds."""

    told: dict[str, int]
    seconds: float


class Kept(NamedTuple):
    """A file that is kept: its digest, and the first entry that names it."""

    digest: str
    seq: int


def made(path: Path, chance: random.Random) -> list[Kept]:
    """A ledger with sheets, documents, checkpoints and copies, some of it taken out; the files that are still kept."""
    found, moment = [], _START
    with Ledger.begin(path) as book:
        book.database.execute("PRAGMA synchronous = OFF")
        for number in range(_SHEETS):
            moment += timedelta(hours=1)
            data = chance.randbytes(chance.randrange(20, 6000))
            digest = sha256(data).hexdigest()
            is_document = number % 3 == 0
            subject = document_subject(digest, "aircraft/A") if is_document else f"aircraft/{number}"
            key, value = ("document_sha256", digest) if is_document else ("owner", f"o{number}")
            name = f"photo {number}.jpg" if is_document else f"sheet {number}.csv"
            draft = Draft("ada", "import", (Statement(subject, key, value),), (), f"{name} sha256:{digest}")
            (entry,) = book.append([draft], lambda at=moment: at, files=[KeptFile(name, data)])  # type: ignore[misc]
            if number % 4 == 1:
                issued(book, None)
                note_copy(book, CopyMade(moment, "backup", f"{number}.airwrit", entry.seq))
            found.append(Kept(digest, entry.seq))
        gone = found.pop(chance.randrange(len(found)))
        blank(book, [gone.seq], lambda: moment, "ada", "request 1")
    return found


# ---- what a forger does: each gives the entry at which it has to be told, None for whichever --------------------------


def a_file_removed(db: sqlite3.Connection, chance: random.Random, kept: list[Kept]) -> int | None:
    """A kept file is gone."""
    one = chance.choice(kept)
    db.execute("DELETE FROM file WHERE sha256 = ?", (one.digest,))
    return one.seq


def a_file_emptied(db: sqlite3.Connection, chance: random.Random, kept: list[Kept]) -> int | None:
    """The bytes of a kept file are gone, as if they had been taken out."""
    one = chance.choice(kept)
    db.execute("UPDATE file SET bytes = NULL WHERE sha256 = ?", (one.digest,))
    return one.seq


def a_file_changed(db: sqlite3.Connection, chance: random.Random, kept: list[Kept]) -> int | None:
    """A kept file has another byte, is cut short, or is another file."""
    one, other = chance.sample(kept, 2)
    query = "SELECT bytes FROM file WHERE sha256 = ?"
    data = bytearray(db.execute(query, (one.digest,)).fetchone()[0])
    how = chance.randrange(3)
    if how == 0:
        data[chance.randrange(len(data))] ^= 1 << chance.randrange(8)
    elif how == 1:
        del data[chance.randrange(len(data)) :]
    else:
        data = bytearray(db.execute(query, (other.digest,)).fetchone()[0])
    db.execute("UPDATE file SET bytes = ? WHERE sha256 = ?", (bytes(data), one.digest))
    return one.seq


def a_file_renamed(db: sqlite3.Connection, chance: random.Random, kept: list[Kept]) -> int | None:
    """A kept file has another name, or none."""
    one = chance.choice(kept)
    db.execute("UPDATE file SET name = ? WHERE sha256 = ?", (chance.choice(["", "x.csv"]), one.digest))
    return one.seq


def a_file_planted(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A file is there that no line names."""
    data = chance.randbytes(40)
    row = (sha256(data).hexdigest(), "planted.csv", chance.choice([data, None]))
    db.execute("INSERT INTO file VALUES (?, ?, ?)", row)
    return 0


def a_file_put_back(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A file that was taken out has bytes again."""
    db.execute("UPDATE file SET bytes = ? WHERE bytes IS NULL", (chance.randbytes(9),))
    return None


def a_line_emptied(db: sqlite3.Connection, chance: random.Random, kept: list[Kept]) -> int | None:
    """The text of a line is gone, as if it had been taken out."""
    one = chance.choice(kept)
    db.execute("UPDATE entry SET line = NULL WHERE seq = ?", (one.seq,))
    return one.seq


def _row(db: sqlite3.Connection, chance: random.Random, table: str) -> tuple[int, str]:
    rows: list[tuple[int, str]] = db.execute(f"SELECT rowid, * FROM {table}").fetchall()
    row = chance.choice(rows)
    return row[0], str(row[-1])


def a_checkpoint_removed(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A checkpoint that was given out is gone."""
    db.execute("DELETE FROM checkpoint WHERE size = ?", (_row(db, chance, "checkpoint")[0],))
    return None


def a_checkpoint_changed(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A sign of a checkpoint is another, or its size."""
    size, note = _row(db, chance, "checkpoint")
    at = chance.randrange(len(note))
    new = note[:at] + chr(ord(note[at]) ^ 1) + note[at + 1 :]
    if chance.random() < 0.5:
        db.execute("UPDATE checkpoint SET note = ? WHERE size = ?", (new, size))
    else:
        db.execute("UPDATE checkpoint SET size = size + 1000 WHERE size = ?", (size,))
    return None


def a_checkpoint_planted(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A checkpoint is there that was never given out."""
    size, note = _row(db, chance, "checkpoint")
    other = chance.choice([size + 500, size + 1])
    told = note.replace(f"\n{size}\n", f"\n{other}\n")
    db.execute("INSERT INTO checkpoint VALUES (?, ?)", (other, told))
    return None


def a_note_of_a_copy(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A note of a copy that was given out is gone, or tells another name or day, or was put in."""
    number, _about = _row(db, chance, "given_out")
    sql = chance.choice(
        [
            "DELETE FROM given_out WHERE number = ?",
            "UPDATE given_out SET name = 'other' WHERE number = ?",
            "UPDATE given_out SET at = at + 1 WHERE number = ?",
            "INSERT INTO given_out SELECT number + 50, at, what, name, size, about FROM given_out WHERE number = ?",
        ]
    )
    db.execute(sql, (number,))
    return 0


def a_row_too_many(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """A row of a table is there once more, changed so that it fits in."""
    tables = ("word", "said", "answered", "held", "node", "subject_head", "head_bucket", "about")
    table = chance.choice(tables)
    columns = [row[2] for row in db.execute(f"PRAGMA table_info({table})")]
    rows = db.execute(f"SELECT * FROM {table}").fetchall()
    for _try in range(400):
        row = list(chance.choice(rows))
        for at in chance.sample(range(len(row)), chance.randint(1, 2)):
            row[at] = _other(columns[at], row[at], chance)
        try:
            db.execute(f"INSERT INTO {table} VALUES ({','.join('?' * len(row))})", row)
            return None
        except sqlite3.IntegrityError:
            continue
    raise RuntimeError(f"no row more fits into {table}")


def _other(kind: str, was: object, chance: random.Random) -> object:
    """Another value for a column."""
    if kind == "INTEGER":
        return chance.choice([-1, 1, 77, 2**62, 2**63 - 1])
    return chance.randbytes(32) if kind == "BLOB" else f"{was}{chance.randrange(99)}"


def a_lowered_form_number(db: sqlite3.Connection, chance: random.Random, _: list[Kept]) -> int | None:
    """The form number of the file is that of an earlier form, or of none."""
    db.execute(f"PRAGMA user_version = {chance.choice([2, 1, 0, -1])}")
    return 0


FORGERS: tuple[Callable[[sqlite3.Connection, random.Random, list[Kept]], int | None], ...] = (
    a_file_removed,
    a_file_emptied,
    a_file_changed,
    a_file_renamed,
    a_file_planted,
    a_file_put_back,
    a_line_emptied,
    a_checkpoint_removed,
    a_checkpoint_changed,
    a_checkpoint_planted,
    a_note_of_a_copy,
    a_row_too_many,
    a_lowered_form_number,
)


# ---- the run --------------------------------------------------------------------------------------------------------


def run(rounds: int, seed: int, folder: Path) -> Result:
    """Forge in every way `rounds` times. RuntimeError names what was not told, or not at its place."""
    begun, chance, path = time.monotonic(), random.Random(seed), folder / "true.airwrit"
    kept, forged, told = made(path, chance), folder / "forged.airwrit", Counter[str]()
    with Ledger(path) as book:
        if check(book).faults:
            raise RuntimeError("a ledger that nobody touched has faults: this run proves nothing")
    for _ in range(rounds):
        for forger in FORGERS:
            shutil.copyfile(path, forged)
            with closing(sqlite3.connect(forged, isolation_level=None)) as db:
                triggers = [sql for sql in schema_kept(db).values() if sql.startswith("CREATE TRIGGER")]
                for name in [name for name, sql in schema_kept(db).items() if sql in triggers]:
                    db.execute(f"DROP TRIGGER {name}")
                seq = forger(db, chance, kept)
                for trigger in triggers:
                    db.execute(trigger)
            _look(forged, folder / "copy.airwrit", forger.__name__, seq)
            told[forger.__name__.replace("_", " ")] += 1
        _attached(path, forged, chance, kept)
    return Result(dict(told), time.monotonic() - begun)


def _look(forged: Path, copy: Path, name: str, seq: int | None) -> None:
    """Check a forged ledger, and try to back it up."""
    try:
        book = Ledger(forged)
    except LedgerFault:
        return
    with book:
        found = check(book)
        if not found.faults or (seq is not None and seq not in {fault.seq for fault in found.faults}):
            raise RuntimeError(f"{name} at entry {seq} was not told there: {found.faults[:3]}")
        if any(word in fault.what for fault in found.faults for word in _NEVER):
            raise RuntimeError(f"{name} was called taken out: {found.faults[:3]}")
        try:
            copied(book, copy)
        except LedgerFault:
            return
    raise RuntimeError(f"{name}: a backup was made of it")


def _attached(path: Path, forged: Path, chance: random.Random, kept: list[Kept]) -> None:
    """A document whose bytes somebody emptied is not told as taken out."""
    shutil.copyfile(path, forged)
    one = chance.choice(kept)
    with Ledger(forged) as book:
        book.database.execute("DROP TRIGGER file_is_never_changed")
        book.database.execute("UPDATE file SET bytes = NULL WHERE sha256 = ?", (one.digest,))
        if file_is(book, one.digest) is not FileIs.GONE:
            raise RuntimeError(f"a file that somebody emptied is told as {file_is(book, one.digest)}")


def main() -> None:
    """Run as long as asked, and print what was told."""
    numbers = [int(text) for text in sys.argv[1:]]
    rounds, seed = (numbers + [ROUNDS, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        found = run(rounds, seed, Path(folder))
    kinds = ", ".join(f"{name} {count}" for name, count in found.told.items())
    sys.stdout.write(
        f"seed {seed}: told by check and refused by backup in {found.seconds:.0f} s, none called taken out: {kinds}\n"
    )


if __name__ == "__main__":
    main()
