"""Damage a ledger at places drawn by chance and in every column: the commands meant to tell say so in words, no traceback.

python reliability/damage.py [PLACES [SEED]]

A byte of the file is changed at so many places; then every column of every table gets what cannot stand there: a moment far
off or before all time, a kind nobody knows, a day that is none, nothing at all; then rows go, words that others name among
them. After each, `airwrit check-records` has to find it, or nothing is other than before; and commands drawn by chance are run.
A fault of the program, more than one line of an error, or an exit code of no meaning ends the run.
"""

from __future__ import annotations

import contextlib
import io
import random
import shutil
import sqlite3
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path
from typing import NamedTuple
from unittest.mock import patch

from airwrit.cli.main import run as airwrit
from airwrit.facts.statement import Statement, Unreadable
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.opening import schema_kept
from airwrit.ledger.sqlite.store import Ledger

PLACES = 1000
EACH = 2
"""How many commands are run after each damage, beside `check`."""

_START = datetime(2026, 1, 1, tzinfo=UTC)
_SHEET = b"Aircraft,Use,Owner\nH-01,work,Tarn\n"
_INTS = (-1, 0, 99, 2**31, 10**15, 2**62, -(2**62), 2**63 - 1, -(2**63))
_TEXTS = (
    "",
    "x",
    "2026-02-30",
    "9999-99-99",
    "-1",
    "2026-01-01T25:00Z",
    "\u0663",
    "n" * 5000,
    "a\x00b",
    "{}",
    "1,,2",
)
_BLOBS = (b"", b"\x00" * 32, b"\xff" * 33)
_CHECKS: tuple[tuple[str, ...], ...] = (("check-records",), ("check-records", "--quick"))
_COMMANDS: tuple[tuple[str, ...], ...] = (
    ("history", "aircraft/H-01"),
    ("history", "person/Ivo Brask", "--private"),
    ("export-records",),
    ("export-records", "--json"),
    ("backup", "copy.airwrit"),
    ("seal-records",),
    ("seal-records", "--check", "kept.checkpoint"),
    ("attach-file", "--list", "aircraft/H-01"),
    ("today", "--on", "2026-11-25"),
    ("deadlines", "--on", "2026-11-25", "--json"),
    ("flight-hours",),
    ("check-scenario", "aircraft/H-01"),
    ("import", "fleet.csv"),
    ("record-change", "aircraft/H-01", "owner=Fell", "--by", "ada", "--yes", "--clock-is-right"),
    ("restore", "program.airwrit", "--to", "again.airwrit"),
)


class Result(NamedTuple):
    """Of one run: bytes changed, columns and rows damaged, how many were found by check, commands run, seconds."""

    places: int
    columns: int
    rows: int
    found: int
    commands: int
    seconds: float


def made(path: Path) -> None:
    """A ledger of all that there is: imports with unread rows, corrections, instants, private lines, a blank, a checkpoint."""
    with Ledger.begin(path) as book:
        moments = iter(_START + timedelta(days=day) for day in range(1000))
        for number, said in enumerate(_said()):
            answers = ("1.0",) if number == 5 else ()
            book.append([Draft("ada", "record", said, answers, "", "a word")], lambda: next(moments))
        file = KeptFile("fleet.csv", _SHEET)
        book.append([_imported()], lambda: next(moments), files=[file])


def _said() -> Iterator[tuple[Statement, ...]]:
    aircraft, person = "aircraft/H-01", "person/Ivo Brask"
    day = _START.date()
    yield (Statement(aircraft, "owner", "Tarn"), Statement(aircraft, "used_for", "work"))
    yield (Statement(person, "born_on", "1990-01-01"), Statement(person, "citizenship", "citizen"))
    yield (Statement(aircraft, "maker", "Quernby", day), Statement(aircraft, "maker", "Talvane", day))
    yield (Statement(aircraft, "model", Unreadable("?")), Statement(aircraft, "is_registered", True))
    yield (Statement("training/t", "completed_on", "2026-06-01T14:00-05:00", _START),)
    yield (Statement(aircraft, "owner", "Fell", day + timedelta(days=9), day + timedelta(days=99)),)


def _imported() -> Draft:
    said = Statement("aircraft/H-01", "takeoff_weight_g", "900")
    return Draft(
        "ada", "import", (said,), (), f"fleet.csv sha256:{sha256(_SHEET).hexdigest()}", "rows not read: 2"
    )


# ---- damage ---------------------------------------------------------------------------------------------------------


def a_byte(path: Path, chance: random.Random) -> str:
    """One byte of the file is another; where."""
    data = bytearray(path.read_bytes())
    at = chance.randrange(len(data))
    data[at] = (data[at] + chance.randrange(1, 256)) % 256
    path.write_bytes(data)
    return f"byte {at}"


def columns(path: Path) -> list[tuple[str, str, str]]:
    """Every column: its table, name and type."""
    with closing(sqlite3.connect(path)) as db:
        tables = [name for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table'")]
        return [
            (table, row[1], row[2]) for table in tables for row in db.execute(f"PRAGMA table_info({table})")
        ]


def a_column(path: Path, column: tuple[str, str, str], value: object, chance: random.Random) -> str:
    """A row, or every row, has another value in a column; which."""
    table, name, _ = column
    with _without_triggers(path) as db:
        rows = db.execute(f"SELECT {name} FROM {table}").fetchall()
        if not rows:
            return ""
        one = chance.choice(rows)[0]
        where = "" if chance.random() < 0.2 else f" WHERE {name} IS ?"
        with contextlib.suppress(sqlite3.IntegrityError):
            db.execute(f"UPDATE OR IGNORE {table} SET {name} = ?{where}", (value, one) if where else (value,))
    return f"{table}.{name} = {str(value)[:20]!r}"


def a_row(path: Path, chance: random.Random) -> str:
    """A row is gone; of which table."""
    table = chance.choice(sorted({column[0] for column in columns(path)}))
    with _without_triggers(path) as db:
        rows = db.execute(f"SELECT count(*) FROM {table}").fetchone()[0]
        if rows:
            keys = ", ".join(row[1] for row in db.execute(f"PRAGMA table_info({table})") if row[5])
            picked = f"SELECT {keys} FROM {table} LIMIT 1 OFFSET {chance.randrange(rows)}"
            db.execute(f"DELETE FROM {table} WHERE ({keys}) IN ({picked})")
    return f"a row of {table}"


@contextlib.contextmanager
def _without_triggers(path: Path) -> Iterator[sqlite3.Connection]:
    with closing(sqlite3.connect(path, isolation_level=None)) as db:
        triggers = {name: sql for name, sql in schema_kept(db).items() if sql.startswith("CREATE TRIGGER")}
        db.execute("PRAGMA ignore_check_constraints = ON")
        for name in triggers:
            db.execute(f"DROP TRIGGER {name}")
        yield db
        for sql in triggers.values():
            db.execute(sql)


# ---- the run --------------------------------------------------------------------------------------------------------


class _Told(NamedTuple):
    code: int
    out: str
    err: str


def told(arguments: tuple[str, ...]) -> _Told:
    """What a command says, in this process. RuntimeError when it meets a fault of its own."""
    out, err = io.TextIOWrapper(io.BytesIO(), "utf-8"), io.StringIO()
    faults: list[BaseException] = []

    def noted(error: BaseException) -> str:
        faults.append(error)
        return "a fault of the program"

    with (
        patch("airwrit.cli.main.own_fault", noted),
        patch.object(sys, "stdin", io.StringIO()),
        contextlib.redirect_stdout(out),
        contextlib.redirect_stderr(err),
    ):
        code = airwrit(arguments)
    out.seek(0)
    found = _Told(code, out.read(), err.getvalue())
    if faults:
        raise RuntimeError(f"{' '.join(arguments)} met {faults[0]!r}") from faults[0]
    if code not in (0, 1, 2, 3) or (code == 2 and found.err.count("\n") != 1):
        raise RuntimeError(f"{' '.join(arguments)} ended with {code}: {found.err}")
    return found


def _look(folder: Path, true: Path, what: str, chance: random.Random, each: int) -> tuple[bool, int]:
    """Run commands over the damaged ledger; whether check found the damage, and how many commands were run."""
    path = folder / "program.airwrit"
    damaged = path.read_bytes()
    try:
        full, _ = told(_CHECKS[0]), told(_CHECKS[1])
        if full.code == 0 and _dump(path) != _dump(true):
            raise RuntimeError("check calls it whole")
        for command in chance.sample(_COMMANDS, each):
            for name in ("copy.airwrit", "again.airwrit"):
                (folder / name).unlink(missing_ok=True)
            path.write_bytes(damaged)
            told(command)
    except RuntimeError as fault:
        raise RuntimeError(f"{what}: {fault}") from fault
    return full.code != 0, 2 + each


def _dump(path: Path) -> list[object]:
    with closing(sqlite3.connect(path)) as db:
        names = [
            name
            for (name,) in db.execute("SELECT name FROM sqlite_master WHERE type = 'table' ORDER BY name")
        ]
        return [schema_kept(db), *(db.execute(f"SELECT * FROM {name}").fetchall() for name in names)]


def run(places: int, seed: int, folder: Path, each: int = EACH) -> Result:
    """Damage a ledger at so many places and in every column. RuntimeError names what was not told in words."""
    begun, chance = time.monotonic(), random.Random(seed)
    true, path = folder / "true.airwrit", folder / "program.airwrit"
    with contextlib.chdir(folder):
        _prepared(true, path)
        counts: Counter[str] = Counter()
        for kind, what in _damages(places, true, path, chance):
            found, commands = _look(folder, true, what, chance, each)
            counts[kind] += 1
            counts["found"] += found
            counts["commands"] += commands
    seconds = time.monotonic() - begun
    return Result(
        counts["places"], counts["columns"], counts["rows"], counts["found"], counts["commands"], seconds
    )


def _prepared(true: Path, path: Path) -> None:
    made(path)
    Path("fleet.csv").write_bytes(_SHEET)
    for command in (
        ("seal-records", "kept.checkpoint"),
        ("erase-personal-data", "2", "--why", "a request", "--yes", "--by", "ada", "--clock-is-right"),
    ):
        if told(command).code != 0:
            raise RuntimeError(f"{command[0]} does not work on a whole ledger: {told(command)}")
    if told(("check-records",)).code == 1:
        raise RuntimeError(f"the ledger is not whole to begin with: {told(('check',)).out}")
    shutil.copyfile(path, true)


def _damages(places: int, true: Path, path: Path, chance: random.Random) -> Iterator[tuple[str, str]]:
    """Damage the ledger again and again, each time anew; the kind of damage, and what it is."""
    for _ in range(places):
        shutil.copyfile(true, path)
        yield "places", a_byte(path, chance)
    values = {"INTEGER": _INTS, "TEXT": _TEXTS, "BLOB": _BLOBS}
    every = [(column, value) for column in columns(true) for value in values[column[2]]]
    for column, value in every if places >= PLACES else chance.sample(every, min(places, len(every))):
        shutil.copyfile(true, path)
        if what := a_column(path, column, value, chance):
            yield "columns", what
    for _ in range(places // 5):
        shutil.copyfile(true, path)
        yield "rows", a_row(path, chance)


def main() -> None:
    """Run as long as asked, and print what was found."""
    numbers = [int(text) for text in sys.argv[1:]]
    places, seed = (numbers + [PLACES, 1][len(numbers) :])[:2]
    with tempfile.TemporaryDirectory() as folder:
        found = run(places, seed, Path(folder))
    sys.stdout.write(
        f"seed {seed}: a byte changed at {found.places} places, {found.columns} values that cannot stand in their column, "
        f"{found.rows} rows gone; {found.commands} commands in {found.seconds:.0f} s, no traceback, each error one line; "
        f"check found {found.found}, in the others nothing was other than before\n"
    )


if __name__ == "__main__":
    main()
