"""What was given out of a ledger, kept track of in it: checkpoints, and copies of what it holds.

Rows are only ever added, each with a sum over all of them, so that `check` can tell when one was removed, changed or put in.
"""

from __future__ import annotations

import json
from collections.abc import Callable, Iterable
from datetime import datetime
from typing import NamedTuple

from airwrit.base.errors import LedgerFault
from airwrit.ledger.sqlite.as_of import micros_of, moment_of
from airwrit.ledger.sqlite.opening import told
from airwrit.ledger.sqlite.store import Ledger
from airwrit.ledger.sqlite.sums import Row, grown


class CopyMade(NamedTuple):
    """A copy given out: when, what kind, the file's name, entries on record then, the subjects it is about; none for all."""

    at: datetime
    what: str
    name: str
    size: int
    about: tuple[str, ...] = ()


def keep_checkpoint(ledger: Ledger, size: int, note: str) -> None:
    """Keep a checkpoint that was given out for that size; the first for a size stays. On disk when this returns."""
    with ledger.writing():
        query = "INSERT INTO checkpoint VALUES (?, ?) ON CONFLICT DO NOTHING RETURNING *"
        for row in ledger.database.execute(query, (size, note)).fetchall():
            _sum_up(ledger, "checkpoints", row)


def checkpoints_kept(ledger: Ledger) -> list[tuple[int, str]]:
    """The sizes for which checkpoints were given out, rising, and these."""
    with told(ledger.path):
        return ledger.database.execute("SELECT size, note FROM checkpoint ORDER BY size").fetchall()


def note_copy(ledger: Ledger, copy: CopyMade) -> None:
    """Note that a copy of something in the ledger was given out. On disk when this returns."""
    with ledger.writing():
        row = ledger.database.execute(
            "INSERT INTO given_out (at, what, name, size, about) VALUES (?, ?, ?, ?, ?) RETURNING *",
            (micros_of(copy.at), copy.what, copy.name, copy.size, json.dumps(list(copy.about))),
        ).fetchone()
        _sum_up(ledger, "given_out", row)


def noted(
    ledger: Ledger, what: str, name: str, clock: Callable[[], datetime], about: Iterable[str] = ()
) -> str:
    """Note a copy that was given out just now; why it could not be noted, empty where it was."""
    try:
        note_copy(ledger, CopyMade(clock(), what, name, ledger.head().size, tuple(about)))
    except LedgerFault as fault:
        return str(fault)
    return ""


def copies_made(ledger: Ledger) -> list[CopyMade]:
    """The copies that were noted as given out, in order."""
    with told(ledger.path):
        rows = ledger.database.execute("SELECT at, what, name, size, about FROM given_out ORDER BY number")
        return [
            CopyMade(moment_of(at), what, name, size, tuple(json.loads(about)))
            for at, what, name, size, about in rows
        ]


def _sum_up(ledger: Ledger, name: str, row: Row) -> None:
    """Take a new row into the sum over its table."""
    found = ledger.database.execute("SELECT value FROM about WHERE name = ?", (name,)).fetchone()
    try:
        made = grown("" if found is None else str(found[0]), row)
    except ValueError as fault:
        what = f"it is damaged: we can't read its note of {name.replace('_', ' ')}"
        raise LedgerFault(what, where=ledger.path.name, do="run `airwrit check-records`") from fault
    ledger.database.execute("UPDATE about SET value = ? WHERE name = ?", (made, name))
