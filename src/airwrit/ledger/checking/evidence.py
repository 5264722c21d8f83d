"""The evidence beside the log: which files the lines name, which were taken out, and which gaps are noted.

A line names a file as `NAME sha256:DIGEST`, several with `; ` between, and its bytes are kept; `not kept` behind that says
that they never were. An entry of act `take_out` names the files whose bytes were taken out on request. What a ledger lacked
when it was taken up from an earlier form, or made from exported lines, is noted in it as gaps: of these nobody can tell what
happened.
"""

from __future__ import annotations

import json
import sqlite3
from typing import NamedTuple

from airwrit.facts.keys.program import FILE_CALLED, FILE_TAKEN_OUT, digest_of
from airwrit.ledger.entry import TAKE_OUT, BadLine, canonical, entry_of, files_in, opening_of

CLEANING = "cleaning"
"""The name in `about` of a note that something was taken out and the free pages of the file were not cleared since."""

NOT_KEPT = " not kept"
"""Stands behind a file in the source of an entry where its bytes were not kept, since they hold what was taken out."""

LINES = "lines"
"""How a ledger came to have gaps: it was made from exported lines. Else `form N`, the form it was taken up from."""

GAPS = "gaps"
"""The name in `about` under which gaps are noted."""

_SOURCES = "SELECT DISTINCT CASE WHEN json_valid(line) THEN line ->> '$.source' END FROM entry WHERE line IS NOT NULL"
_TAKINGS = "SELECT line FROM entry WHERE substr(line, 1, length(?1)) = ?1 ORDER BY seq"


class TakenOut(NamedTuple):
    """What an entry that takes out says of a file: which entry, what the file was called, whether its bytes went.

    The name is empty where it went too. A file whose bytes stay is named there since the lines that named it went.
    """

    seq: int
    name: str
    is_gone: bool


class Gaps(NamedTuple):
    """What was missing when a ledger came to be as it is, and how that was: digests of files, and entries there were.

    `missing` are named by a line and not here, `unnamed` here and named by no line, `emptied` here without their bytes.
    """

    how: str = ""
    size: int = 0
    missing: tuple[str, ...] = ()
    unnamed: tuple[str, ...] = ()
    emptied: tuple[str, ...] = ()


def taken_out(db: sqlite3.Connection) -> dict[str, TakenOut]:
    """What the entries that take out say of files, by their digests."""
    found: dict[str, TakenOut] = {}
    for (line,) in db.execute(_TAKINGS, (opening_of(TAKE_OUT),)):
        try:
            entry = entry_of(line)
        except BadLine:
            continue
        for said in entry.statements:
            if said.key not in (FILE_CALLED.name, FILE_TAKEN_OUT.name):
                continue
            digest = digest_of(said.subject)
            before = found.get(digest, TakenOut(entry.seq, "", False))
            is_name = said.key == FILE_CALLED.name
            name = str(said.value) if is_name else before.name
            found[digest] = TakenOut(entry.seq, name, before.is_gone or not is_name)
    return found


def gaps_in(db: sqlite3.Connection) -> Gaps:
    """The gaps that are noted in a ledger; none where the note is missing or cannot be read."""
    row = db.execute("SELECT value FROM about WHERE name = ?", (GAPS,)).fetchone()
    try:
        said = json.loads(row[0]) if row else {}
        lists = [tuple(map(str, said[name])) for name in ("missing", "unnamed", "emptied")] if said else []
        return Gaps(str(said["how"]), int(said["size"]), *lists) if said else Gaps()
    except (ValueError, TypeError, LookupError):
        return Gaps()


def note_gaps(db: sqlite3.Connection, how: str) -> None:
    """Note what the ledger lacks as it is. Only inside a transaction."""
    named = dict[str, bool]()
    for (source,) in db.execute(_SOURCES):
        for one in files_in(source or ""):
            named[one.digest] = named.get(one.digest, False) or one.is_kept
    taken = taken_out(db)
    kept = dict(db.execute("SELECT sha256, bytes IS NULL FROM file"))
    size = db.execute("SELECT coalesce(max(seq), 0) FROM entry").fetchone()[0]
    gaps = Gaps(
        how,
        size,
        tuple(sorted(digest for digest, is_kept in named.items() if is_kept and digest not in kept)),
        tuple(sorted(digest for digest in kept if digest not in named and digest not in taken)),
        tuple(
            sorted(
                digest
                for digest, empty in kept.items()
                if empty and not (digest in taken and taken[digest].is_gone)
            )
        ),
    )
    if gaps.missing or gaps.unnamed or gaps.emptied:
        text = canonical({k: list(v) if isinstance(v, tuple) else v for k, v in gaps._asdict().items()})
        db.execute("INSERT OR REPLACE INTO about VALUES (?, ?)", (GAPS, text))
