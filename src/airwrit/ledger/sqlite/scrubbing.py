"""What is left in the file's bytes of what was taken out: free pages cleared, and a search that shows it.

A line that goes is overwritten as it goes. Here the whole file is written anew on top of that, so that no page, free or half
used, holds what stood there before, and the journals beside it are emptied.
"""

from __future__ import annotations

from collections.abc import Iterable
from pathlib import Path

from airwrit.ledger.checking.evidence import CLEANING
from airwrit.ledger.sqlite.opening import told
from airwrit.ledger.sqlite.store import Ledger

_PART = 1 << 24
_ENCODINGS = ("utf-8", "utf-16-le", "utf-16-be")


def is_unfinished(ledger: Ledger) -> bool:
    """Whether something was taken out and the file was not cleared since."""
    with told(ledger.path):
        query = "SELECT 1 FROM about WHERE name = ?"
        return ledger.database.execute(query, (CLEANING,)).fetchone() is not None


def scrub(ledger: Ledger) -> None:
    """Write the file anew without free pages and empty its journals. LedgerFault when others use it or no room is left."""
    db = ledger.database
    with told(ledger.path):
        db.execute("VACUUM")
        with ledger.writing():
            db.execute("DELETE FROM about WHERE name = ?", (CLEANING,))
        db.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()


def found_in_bytes(path: Path, texts: Iterable[str]) -> bool:
    """Whether one of the texts stands in the bytes of a ledger's file or of the journals beside it."""
    wanted = {text.encode(encoding) for text in texts for encoding in _ENCODINGS}
    longest = max(map(len, wanted), default=0)
    for name in (path.name, f"{path.name}-wal", f"{path.name}-journal"):
        one = path.with_name(name)
        if not wanted or not one.is_file():
            continue
        with one.open("rb") as stream:
            end = b""
            while part := stream.read(_PART):
                if any(text in end + part for text in wanted):
                    return True
                end = part[-longest:]
    return False
