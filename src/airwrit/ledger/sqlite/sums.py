"""How many rows a table has that is only added to, and a sum over them: tells that one was removed, changed or put in.

The sum is that of the SHA-256 of each row, as one large number, without regard to order. Whoever knows how it is made can make
it anew, as with everything in a file: it tells of hands that do not, and of what was lost.
"""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable
from hashlib import sha256

Row = tuple[str | int, ...]

SUMS = {"checkpoints": "SELECT * FROM checkpoint", "given_out": "SELECT * FROM given_out"}
"""The names in `about` under which sums are kept, and what they are over."""

NO_ROWS = f"0:{0:064x}"
"""The sum over no row: how many, and the sum in hex."""

_LIMIT = 1 << 256


def sum_over(rows: Iterable[Row]) -> str:
    """The sum over rows."""
    found = NO_ROWS
    for row in rows:
        found = grown(found, row)
    return found


def grown(before: str, row: Row) -> str:
    """A sum with one more row. ValueError when the one before is none."""
    count, _, total = before.partition(":")
    text = json.dumps(row, separators=(",", ":"))
    hashed = int.from_bytes(sha256(text.encode()).digest(), "big")
    return f"{int(count) + 1}:{(int(total, 16) + hashed) % _LIMIT:064x}"


def keep_sums(db: sqlite3.Connection) -> None:
    """Make the sums from the rows as they are. Only inside a transaction."""
    made = {name: sum_over(db.execute(query)) for name, query in SUMS.items()}
    db.executemany("INSERT OR REPLACE INTO about VALUES (?, ?)", made.items())


def differing(db: sqlite3.Connection) -> dict[str, str]:
    """For each sum that does not fit its rows: what happened to these, as far as the numbers tell."""
    kept = dict(db.execute("SELECT name, value FROM about"))
    found = {}
    for name, query in SUMS.items():
        made = sum_over(db.execute(query))
        was = str(kept.get(name, ""))
        if made != was:
            count, now = was.partition(":")[0], int(made.partition(":")[0])
            found[name] = (
                _what(int(count), now)
                if count.isascii() and count.isdigit()
                else "can't tell, because its sum is gone"
            )
    return found


def _what(was: int, now: int) -> str:
    if now < was:
        return f"{was - now} of {was} removed"
    return f"{now - was} added to {was}" if now > was else f"1 or more of {was} changed"
