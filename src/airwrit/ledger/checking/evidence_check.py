"""Whether the evidence beside the log is whole: kept files against lines, checkpoints against the log, rows by sums."""

from __future__ import annotations

import json
import sqlite3
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from enum import StrEnum
from hashlib import sha256
from typing import NamedTuple

from airwrit.base.errors import AirwritError, BadProof
from airwrit.facts.keys.program import file_subject
from airwrit.ledger.checking.evidence import (
    CLEANING,
    GAPS,
    LINES,
    Gaps,
    TakenOut,
    gaps_in,
    taken_out,
)
from airwrit.ledger.checking.parts import LedgerDamage
from airwrit.ledger.entry import TAKE_OUT, files_in, instant_text, opening_of
from airwrit.ledger.log.notes import Checkpoint, checkpoint_of, note_of, origin_of
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.as_of import moment_of
from airwrit.ledger.sqlite.derived import subtree
from airwrit.ledger.sqlite.opening import told
from airwrit.ledger.sqlite.store import Ledger
from airwrit.ledger.sqlite.sums import SUMS, differing

_ABOUT = frozenset(("ledger", "size", "peaks", CLEANING, GAPS, *SUMS))


class EvidenceGap(NamedTuple):
    """Something of which nobody can tell what happened, in words; whether the ledger was made without a file it names."""

    what: str
    is_missing: bool


class FileIs(StrEnum):
    """What became of a file that a line names."""

    KEPT = "kept"
    NOT_KEPT = "never kept"
    TAKEN_OUT = "removed on request"
    CHANGED = "changed"
    RENAMED = "renamed"
    GONE = "gone"
    NOT_TOLD = "gone, and we can't tell what happened to it"


class _Lines(NamedTuple):
    """What the lines say of a file: the names it has in them, the first entry that names it, whether it was ever kept."""

    names: set[str]
    seq: int
    is_kept: bool


def _files_named(sources: Mapping[str, int]) -> dict[str, _Lines]:
    """The files that sources name, by digest."""
    found: dict[str, _Lines] = {}
    for source, seq in sorted(sources.items(), key=lambda item: item[1]):
        for one in files_in(source):
            before = found.get(one.digest, _Lines(set(), seq, False))
            found[one.digest] = _Lines({*before.names, one.name}, before.seq, before.is_kept or one.is_kept)
    return found


def files_checked(db: sqlite3.Connection, sources: Mapping[str, int]) -> Iterator[LedgerDamage | EvidenceGap]:
    """Every kept file against the lines, given by their sources with the first entry of each; and these against the files."""
    named, taken, gaps = _files_named(sources), taken_out(db), gaps_in(db)
    here = set[str]()
    for digest, name, data in db.execute("SELECT sha256, name, bytes FROM file"):
        here.add(digest)
        says, taking = named.get(digest), taken.get(digest)
        seq = says.seq if says is not None else taking.seq if taking is not None else 0
        if data is not None and sha256(data).hexdigest() != digest:
            yield LedgerDamage(seq, f"the kept file {name} was changed after it was put on record")
        elif data is not None and taking is not None and taking.is_gone:
            yield LedgerDamage(taking.seq, f"the file {name} was removed, but its contents are back")
        elif data is None and not (taking is not None and taking.is_gone):
            if digest in gaps.emptied:
                yield EvidenceGap(f"the contents of {name} ({_since(gaps)})", False)
            else:
                what = f"the contents of the kept file {name} are gone, and no entry says they were removed"
                yield LedgerDamage(seq, what)
        yield from _name_checked(digest, name, says, taking, gaps)
    for digest, says in named.items():
        if says.is_kept and digest not in here:
            called = min(says.names)
            if digest in gaps.missing and digest in taken and taken[digest].is_gone:
                continue
            if digest in gaps.missing:
                yield EvidenceGap(
                    f"{called}, which entry {says.seq} names ({_since(gaps)})", gaps.how == LINES
                )
            else:
                yield LedgerDamage(says.seq, f"the kept file {called} that it names is gone")


def _name_checked(
    digest: str, name: str, says: _Lines | None, taking: TakenOut | None, gaps: Gaps
) -> Iterator[LedgerDamage | EvidenceGap]:
    """The name of a kept file against those on record."""
    known = set() if says is None else set(says.names)
    known |= set() if taking is None else {taking.name}
    if not known:
        if digest in gaps.unnamed:
            yield EvidenceGap(f"a line that names the kept file {name} ({_since(gaps)})", False)
        else:
            yield LedgerDamage(0, f"no line names the kept file {name}. Somebody put it there")
    elif name not in known:
        seq = says.seq if says is not None else 0
        yield LedgerDamage(seq, f"it names the kept file {max(known)}, which was renamed to {name}")


def _since(gaps: Gaps) -> str:
    if gaps.how == LINES:
        return "this ledger was made from an export, which has no files"
    return f"already missing when this ledger was made from {gaps.how}. We can't tell why"


def file_is(ledger: Ledger, digest: str, document: str = "") -> FileIs:
    """What became of a file, by its digest; `document` is a subject whose lines name it, if it is known."""
    with told(ledger.path):
        db = ledger.database
        row = db.execute("SELECT name, bytes FROM file WHERE sha256 = ?", (digest,)).fetchone()
        names = _names_of(db, digest, document)
        if row is not None and row[1] is not None:
            if sha256(row[1]).hexdigest() != digest:
                return FileIs.CHANGED
            return FileIs.RENAMED if names and row[0] not in names else FileIs.KEPT
        if _is_taken_out(db, digest):
            return FileIs.TAKEN_OUT
        gaps = gaps_in(db)
        if digest in (*gaps.missing, *gaps.emptied):
            return FileIs.NOT_TOLD
        return FileIs.GONE if row is not None or names else FileIs.NOT_KEPT


def _is_taken_out(db: sqlite3.Connection, digest: str) -> bool:
    found = db.execute(
        "SELECT 1 FROM word w JOIN said s ON s.subject = w.id JOIN entry e ON e.seq = s.seq "
        "WHERE w.text = ?1 AND substr(e.line, 1, length(?2)) = ?2 LIMIT 1",
        (file_subject(digest), opening_of(TAKE_OUT)),
    ).fetchone()
    return found is not None


def _names_of(db: sqlite3.Connection, digest: str, document: str) -> set[str]:
    """The names that the lines of a subject give a file whose bytes they keep."""
    rows = db.execute(
        "SELECT DISTINCT CASE WHEN json_valid(line) THEN line ->> '$.source' END FROM entry WHERE seq IN "
        "(SELECT seq FROM said WHERE subject = (SELECT id FROM word WHERE text = ?))",
        (document,),
    )
    named = [one for (source,) in rows for one in files_in(source or "")]
    return {one.name for one in named if one.is_kept and one.digest == digest}


# ---- what was given out ---------------------------------------------------------------------------------------------

_WORDS = {"checkpoints": "checkpoints that were given out", "given_out": "copies noted as given out"}


def rows_checked(ledger: Ledger, head: Head) -> Iterator[LedgerDamage]:
    """Checkpoints, notes of copies given out, and what is noted of the ledger itself: none removed, changed or put in."""
    db = ledger.database
    for name, what in differing(db).items():
        yield LedgerDamage(0, f"of the {_WORDS[name]}, {what}")
    for size, text in db.execute("SELECT size, note FROM checkpoint ORDER BY size"):
        wrong = _wrong_checkpoint(ledger, head, size, text)
        if wrong:
            yield LedgerDamage(
                size if 0 < size <= head.size else 0, f"the checkpoint kept for {size} entries {wrong}"
            )
    for (name,) in db.execute("SELECT name FROM about"):
        if name not in _ABOUT:
            yield LedgerDamage(0, f"the table about has a row {name!r} that doesn't belong there")
    unused = "id NOT IN (SELECT subject FROM said) AND id NOT IN (SELECT key FROM said)"
    for (count,) in db.execute(f"SELECT count(*) FROM word WHERE {unused} HAVING count(*)"):
        yield LedgerDamage(0, f"{count} stored words aren't used by any statement")


def _wrong_checkpoint(ledger: Ledger, head: Head, size: int, text: str) -> str:
    """What is wrong with a kept checkpoint; empty for nothing."""
    try:
        kept = checkpoint_of(note_of(text).text)
        origin = origin_of(ledger.name)
    except BadProof as fault:
        return f"isn't a checkpoint: {fault.what}"
    if kept.origin != origin:
        return "is for a different ledger"
    if kept.size != size or size > head.size:
        return "has a different size"
    try:
        if kept.root != subtree(ledger.database, 0, size):
            return "is for a different log"
    except AirwritError:
        return ""  # of a tree that lacks a node the check of the tree tells
    return "gives a different time" if _tells_another_moment(ledger.database, kept) else ""


def _tells_another_moment(db: sqlite3.Connection, kept: Checkpoint) -> bool:
    row = db.execute("SELECT recorded_at FROM entry WHERE seq = ?", (kept.size,)).fetchone()
    try:
        return bool(kept.last) and row is not None and instant_text(moment_of(row[0])) != kept.last
    except (OverflowError, ValueError):
        return True


def sources_decoded(quoted: Iterable[tuple[str, int]]) -> dict[str, int]:
    """Sources as they stand in lines, with their quotes, each with its first entry; as plain texts."""
    found: dict[str, int] = defaultdict(lambda: 1 << 63)
    for text, seq in quoted:
        if text:
            source = json.loads(text)
            found[source] = min(found[source], seq)
    return dict(found)
