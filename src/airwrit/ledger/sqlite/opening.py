"""Opening a ledger's file: made for its owner alone, its form checked, a journal that cannot lose what was promised."""

from __future__ import annotations

import os
import re
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from airwrit.base.errors import LedgerFault
from airwrit.ledger.entry import BadLine
from airwrit.ledger.sqlite.sums import NO_ROWS, SUMS

APPLICATION_ID = 0x61777274
"""`awrt` in ASCII, in the header of the file (SQLite file format, 1.3)."""

FORMAT = 3
"""The form of the file; a file of a later form is refused, one of an earlier form is taken up."""

WITH_TREES = 2
"""The form since which the trees are kept."""

_SINCE = {
    "node": WITH_TREES,
    "subject_head": WITH_TREES,
    "head_bucket": WITH_TREES,
    "checkpoint": 2,
    "checkpoint_is_never_changed": 2,
    "checkpoint_is_never_deleted": 2,
    "given_out": 3,
    "given_out_is_never_changed": 3,
    "given_out_is_never_deleted": 3,
}
"""The form since which a table or trigger has been there; those not named are of form 1."""

_BEFORE_3 = {
    "file_is_never_changed": """CREATE TRIGGER file_is_never_changed BEFORE UPDATE ON file
WHEN NEW.bytes IS NOT NULL OR NEW.sha256 IS NOT OLD.sha256 OR NEW.name IS NOT OLD.name
BEGIN SELECT raise(ABORT, 'files are never changed'); END""",
}
"""What was otherwise before form 3."""

_SCHEMA = Path(__file__).with_name("schema.sql")
_NAMED = re.compile(r"^CREATE (?:TABLE|INDEX|TRIGGER) (\w+)", re.MULTILINE)
_WAIT_S = 30.0
_WHERE_YOU_MAY_WRITE = "check the disk, and that you can write there"
_FIXED = ((3, 44, 6, 45), (3, 50, 7, 51), (3, 51, 3, 52))
_FIXED_FROM = (3, 53, 0)
PRAGMAS: tuple[str, ...] = (
    "synchronous = FULL",
    "secure_delete = ON",
    "trusted_schema = OFF",
    "cache_size = -65536",
    "mmap_size = 1073741824",  # pages are read where the system keeps them; they are written as ever
)


def wal_is_safe(version: tuple[int, int, int]) -> bool:
    """Whether this SQLite is free of the fault by which a write-ahead log with several writers loses commits.

    Source: the SQLite change log, which names 3.51.3 and 3.53.0 and the fixes carried back to 3.44.6 and 3.50.7.
    """
    return version >= _FIXED_FROM or any(
        (major, minor, patch) <= version < (major, before, 0) for major, minor, patch, before in _FIXED
    )


def make_file(path: Path) -> None:
    """An empty file that only its owner may read. LedgerFault when there is one already or none can be made."""
    try:
        os.close(os.open(path, os.O_CREAT | os.O_EXCL | os.O_RDWR, 0o600))
    except FileExistsError as fault:
        raise LedgerFault(
            "a file with this name already exists", where=path.name, do="choose another name"
        ) from fault
    except OSError as fault:
        raise LedgerFault(
            f"we can't create it ({fault.strerror})", where=path.name, do="choose a folder you can write to"
        ) from fault


def is_there(path: Path) -> bool:
    """Whether there is a file at `path`. LedgerFault when one may not look."""
    try:
        return path.is_file()
    except OSError as fault:
        raise LedgerFault(
            f"we can't use it ({fault.strerror})", where=path.name, do=_WHERE_YOU_MAY_WRITE
        ) from fault


def connected(path: Path) -> sqlite3.Connection:
    """A connection to a ledger's file, which has to be there. LedgerFault when it is missing or no ledger."""
    if not is_there(path):
        raise LedgerFault(
            "there is no ledger with that name", where=path.name, do="`airwrit import SHEET` starts one"
        )
    with made_out(path):
        db = sqlite3.connect(path, timeout=_WAIT_S, isolation_level=None)
        try:
            _set_up(db)
        except BaseException:
            db.close()
            raise
    return db


def _set_up(db: sqlite3.Connection) -> None:
    mode = "WAL" if wal_is_safe(sqlite3.sqlite_version_info) else "TRUNCATE"
    got = db.execute(f"PRAGMA journal_mode = {mode}").fetchone()[0]
    if got.upper() != mode:
        raise sqlite3.OperationalError(f"its journal mode is {got}, and we can't change it to {mode}")
    for pragma in PRAGMAS:
        db.execute(f"PRAGMA {pragma}")


def begin_ledger(db: sqlite3.Connection, name: str) -> bool:
    """The tables and the name of a new ledger, in one transaction; whether they were made, not there already."""
    if schema_kept(db):
        return False
    db.execute("BEGIN IMMEDIATE")
    if schema_kept(db):
        db.execute("ROLLBACK")
        return False
    for statement in statements_of(_SCHEMA.read_text(encoding="utf-8")):
        db.execute(statement)
    about = {"ledger": name, "size": "0", "peaks": "", **dict.fromkeys(SUMS, NO_ROWS)}
    db.executemany("INSERT INTO about VALUES (?, ?)", about.items())
    db.execute(f"PRAGMA application_id = {APPLICATION_ID}")
    db.execute(f"PRAGMA user_version = {FORMAT}")
    db.execute("COMMIT")
    return True


def statements_of(script: str) -> Iterator[str]:
    """The statements of an SQL script, one at a time, so that they stay inside one transaction."""
    part = ""
    for line in script.splitlines(keepends=True):
        part += line
        if sqlite3.complete_statement(part):
            yield part.strip()
            part = ""


def schema_kept(db: sqlite3.Connection) -> dict[str, str]:
    """The tables, indexes and triggers by name, as their SQL."""
    rows = db.execute("SELECT name, sql FROM sqlite_master WHERE sql IS NOT NULL")
    return dict(rows.fetchall())


def schema_wanted() -> dict[str, str]:
    """The tables, indexes and triggers that a ledger of this form has."""
    db = sqlite3.connect(":memory:", isolation_level=None)
    try:
        begin_ledger(db, "")
        return schema_kept(db)
    finally:
        db.close()


def look_at_form(db: sqlite3.Connection, path: Path) -> bool:
    """Whether the file may be used as it is, not taken up from an earlier form first.

    LedgerFault when it is no ledger, or one of a later form. A file whose form number was lowered is used as it is: to take
    it up would put in order what `check` has to tell.
    """
    with made_out(path):
        mark = db.execute("PRAGMA application_id").fetchone()[0]
        form = form_of(db)
        if mark != APPLICATION_ID:
            raise LedgerFault("this isn't an airwrit ledger", where=path.name, do="check the name")
        if form > FORMAT:
            raise LedgerFault(
                f"the ledger has format {form}, and this version reads formats up to {FORMAT}",
                where=path.name,
                do="use the newer version that wrote it",
            )
        return form == FORMAT or _is_lowered(schema_kept(db), form)


def form_of(db: sqlite3.Connection) -> int:
    """The form number in the file's header."""
    return int(db.execute("PRAGMA user_version").fetchone()[0])


def _is_lowered(kept: dict[str, str], form: int) -> bool:
    """Whether a form number is lower than that of the tables beside it."""
    later = schema_wanted()
    return (
        form < 1
        or any(_SINCE.get(name, 1) > form for name in kept)
        or any(kept.get(name) == later[name] for name in _BEFORE_3)
    )


def add_tables(db: sqlite3.Connection, form: int) -> None:
    """What came after a form, the tables still empty, and the mark of this form. Only inside a transaction.

    What is missing or changed otherwise stays so, for `check` to tell.
    """
    kept = schema_kept(db)
    for statement in statements_of(_SCHEMA.read_text(encoding="utf-8")):
        named = _NAMED.search(statement)
        name = named[1] if named else ""
        if kept.get(name) is not None and kept[name] == _BEFORE_3.get(name):
            db.execute(f"DROP TRIGGER {name}")
            db.execute(statement)
        elif name not in kept and _SINCE.get(name, 1) > form:
            db.execute(statement)
    db.execute(f"PRAGMA user_version = {FORMAT}")


NO_SENSE = (ValueError, TypeError, LookupError, ArithmeticError, AttributeError, RecursionError, BadLine)
"""What reading rows raises that this program cannot have written: a huge moment, an unknown kind, a missing word."""


class NoZone(ValueError):
    """A moment without a zone was asked about: no fault of the file's."""


@contextmanager
def made_out(path: Path) -> Iterator[None]:
    """What SQLite cannot do, and rows that make no sense, as a LedgerFault that says what to do; values are not repeated.

    Only around what reads rows: a fault of the program in there would be told as damage.
    """
    with told(path):
        try:
            yield
        except NoZone:
            raise
        except NO_SENSE as fault:
            raise LedgerFault(
                f"the ledger is damaged ({type(fault).__name__})",
                where=path.name,
                do="run `airwrit check-records`, then restore a backup to a new file",
            ) from fault


@contextmanager
def told(path: Path) -> Iterator[None]:
    """What SQLite cannot do, as a LedgerFault that says what to do."""
    try:
        yield
    except sqlite3.OperationalError as fault:
        if "decode" in str(fault):  # the message repeats the text, which may be private
            raise LedgerFault(
                "the ledger is damaged. Something in it should be text and isn't",
                where=path.name,
                do="run `airwrit check-records`",
            ) from fault
        busy = "locked" in str(fault)
        do = "try again when the other program is finished" if busy else _WHERE_YOU_MAY_WRITE
        raise LedgerFault(f"we can't use it ({fault})", where=path.name, do=do) from fault
    except sqlite3.DatabaseError as fault:
        raise LedgerFault(
            f"the file is damaged, or isn't a ledger ({fault})",
            where=path.name,
            do="restore a backup to a new file",
        ) from fault
