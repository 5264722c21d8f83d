"""Whether a ledger is whole and unforged: every hash recomputed, every derived row compared, every fault named by entry.

What no check of a file alone can show is that somebody replaced all of it. For that a head noted elsewhere is needed: give
it, and the log has to hold it.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass, field
from hashlib import sha256
from itertools import zip_longest
from typing import Any, NamedTuple

from airwrit.facts.statement import Unreadable
from airwrit.ledger.derived import Words, all_rectangles, blanked_by, left_of
from airwrit.ledger.entry import (
    FIRST_PREV,
    UNREADABLE_MEMBER,
    VERSION,
    BadLine,
    instant_text,
    line_of,
    members_of,
    number_of,
)
from airwrit.ledger.heads import HeadsSeen
from airwrit.ledger.log import leaf_hash
from airwrit.ledger.opening import schema_kept, schema_wanted
from airwrit.ledger.rectangles import CONFLICT, FAR_SEQ, kept_of
from airwrit.ledger.store import Head, Ledger, Line
from airwrit.ledger.tree import NodesSeen

_MOST = 100


class Fault(NamedTuple):
    """Something that is not as it was written: at which entry (0 for the file as a whole), and what."""

    seq: int
    what: str


@dataclass(slots=True)
class Checked:
    """What a check found. `clashes` are facts that cannot be told as things are known now, in order."""

    head: Head
    faults: list[Fault] = field(default_factory=list)
    clashes: list[tuple[str, str]] = field(default_factory=list)
    blanked: list[int] = field(default_factory=list)

    @property
    def is_whole(self) -> bool:
        """Whether nothing is damaged or forged."""
        return not self.faults

    def fault(self, seq: int, what: str) -> None:
        """Note a fault; after the first hundred only that there are more."""
        if len(self.faults) < _MOST:
            self.faults.append(Fault(seq, what))


def check(ledger: Ledger, noted: Head | None = None) -> Checked:
    """Look at all of a ledger, in one state of it. `noted` is a head that was written down elsewhere."""
    db = ledger.database
    db.execute("BEGIN")
    try:
        found = Checked(ledger.head())
        _file(db, found)
        _log(ledger, found, noted)
        _derived(db, found)
        _clashes(ledger, found)
        return found
    except sqlite3.DatabaseError as fault:
        found.fault(0, f"the file cannot be read through: {fault}")
        return found
    finally:
        db.execute("ROLLBACK")


def _file(db: sqlite3.Connection, found: Checked) -> None:
    """The pages of the file, its tables and triggers, and the kept files."""
    for (text,) in db.execute("PRAGMA integrity_check(10)"):
        if text != "ok":
            found.fault(0, f"the file's own structure: {text}")
    kept, wanted = schema_kept(db), schema_wanted()
    for name in sorted(kept.keys() | wanted.keys()):
        if kept.get(name) != wanted.get(name):
            how = "is missing" if name not in kept else "was added" if name not in wanted else "was changed"
            found.fault(0, f"table, index or trigger {name} {how}")
    for digest, name, data in db.execute("SELECT sha256, name, bytes FROM file"):
        if data is not None and sha256(data).hexdigest() != digest:
            found.fault(0, f"the kept file {name} is not the one that was imported")


def _log(ledger: Ledger, found: Checked, noted: Head | None) -> None:
    """Every line against its hash, the one before, its columns and its statements; and the root over all."""
    db, words = ledger.database, Words()
    nodes, heads = NodesSeen(), HeadsSeen(ledger.name)
    frontier, prev, before, last = nodes.frontier, FIRST_PREV, None, 0
    sayings, answers = _Rows(db, "said", "seq, place"), _Rows(db, "answered", "by_seq, seq, place")
    reasons = blanked_by(db)
    for line in ledger.lines():
        if line.seq != last + 1:
            found.fault(line.seq, f"entry {last + 1} is missing")
        if before is not None and line.recorded_at <= before:
            found.fault(line.seq, "it is not later than the entry before")
        told = _line(ledger, line, prev, found)
        if line.text is None:
            found.blanked.append(line.seq)
            left = left_of(line.seq, line.recorded_at, reasons.get(line.seq))
            told = None if left is None else members_of(line_of(left))
            if left is None:
                found.fault(line.seq, "its line was blanked, and no entry says why")
        _copies(db, words, line.seq, told, (sayings.of(line.seq), answers.of(line.seq)), found)
        before, last, prev = line.recorded_at, line.seq, line.leaf.hex()
        nodes.add(line.leaf)
        heads.add(line.seq, _subjects(told), line.leaf)
        if noted is not None and frontier.size == noted.size and frontier.root != noted.root:
            found.fault(line.seq, "up to here the log is another than the one whose head was noted")
    if noted is not None and frontier.size < noted.size:
        found.fault(0, f"the log has {frontier.size} entries; the head that was noted had {noted.size}")
    if (frontier.size, frontier.root) != found.head:
        found.fault(0, "size and root of the log are not those that were kept")
    for rest in (*sayings.rest(), *answers.rest()):
        found.fault(rest, "statements are kept that no line holds")
    for seq in nodes.differing(db):
        found.fault(seq, "the tree over the entries up to it is kept otherwise")
    for seq, what in heads.differing(db):
        found.fault(seq, what)


def _subjects(told: dict[str, Any] | None) -> list[str]:
    """The subjects that a line mentions, as far as it can be read."""
    said = [] if told is None else told["statements"]
    if not isinstance(said, list):
        return []
    return [one["subject"] for one in said if isinstance(one, dict) and isinstance(one.get("subject"), str)]


class _Rows:
    """The rows of a table by their first column, walked along with the entries."""

    def __init__(self, db: sqlite3.Connection, table: str, order: str) -> None:
        self._rows = iter(db.execute(f"SELECT {order.partition(',')[0]}, * FROM {table} ORDER BY {order}"))
        self._next: Any = next(self._rows, None)

    def of(self, seq: int) -> list[tuple[Any, ...]]:
        """The rows of an entry; those of earlier ones that were passed over count as its own."""
        found = []
        while self._next is not None and self._next[0] <= seq:
            found.append(tuple(self._next[1:]))
            self._next = next(self._rows, None)
        return found

    def rest(self) -> Iterator[int]:
        """The entries of the rows that are left."""
        while self._next is not None:
            yield self._next[0]
            self._next = next(self._rows, None)


def _line(ledger: Ledger, line: Line, prev: str, found: Checked) -> dict[str, Any] | None:
    """The members of a line, its faults noted; None when it cannot be read or was blanked."""
    if line.text is None:
        return None
    if leaf_hash(line.text.encode("utf-8", "surrogatepass")) != line.leaf:
        found.fault(line.seq, "its line is not the one that was hashed")
    try:
        told = members_of(line.text)
    except BadLine as fault:
        found.fault(line.seq, str(fault))
        return None
    if told["prev"] != prev:
        found.fault(line.seq, "it does not follow the entry before it")
    wanted = (VERSION, line.seq, instant_text(line.recorded_at), ledger.name)
    if (told["v"], told["seq"], told["recorded_at"], told["ledger"]) != wanted:
        found.fault(line.seq, "its form, number, moment or ledger is not that of its line")
    return told


def _copies(
    db: sqlite3.Connection,
    words: Words,
    seq: int,
    told: dict[str, Any] | None,
    kept: tuple[list[tuple[Any, ...]], list[tuple[Any, ...]]],
    found: Checked,
) -> None:
    """The rows made from a line against the line."""
    if told is None:
        return
    rows, answered = kept
    try:
        wanted = [_row(db, words, seq, place, said) for place, said in enumerate(told["statements"])]
        answers = sorted(set(told["answers"]))
    except (TypeError, KeyError, AttributeError):
        found.fault(seq, "its statements are not in the form of statements")
        return
    if rows != wanted:
        found.fault(seq, "its statements are kept otherwise than its line has them")
    if (answered or answers) and sorted(number_of(at, place) for at, place, _ in answered) != answers:
        found.fault(seq, "what it answers is kept otherwise than its line has it")


def _row(
    db: sqlite3.Connection, words: Words, seq: int, place: int, said: dict[str, Any]
) -> tuple[int, int, int, int, int, str, str, str]:
    """The row of `said` that a statement of a line has to have."""
    value = said["value"]
    if isinstance(value, dict):
        value = Unreadable(value[UNREADABLE_MEMBER])
    subject, key = words.id_of(db, said["subject"]), words.id_of(db, said["key"])
    return (seq, place, subject, key, *kept_of(value), said["from"] or "", said["until"] or "")


def _derived(db: sqlite3.Connection, found: Checked) -> None:
    """The rectangles against new ones."""
    kept = db.execute("SELECT * FROM held ORDER BY subject, key, known_from, valid_from")
    for is_kept, wanted in zip_longest(kept, all_rectangles(db)):
        if is_kept != wanted:
            row = wanted or is_kept
            found.fault(row[2], "what it makes known is kept otherwise than the entries have it")
            return


def _clashes(ledger: Ledger, found: Checked) -> None:
    """The facts that cannot be told now, and those said to end before they begin."""
    rows = ledger.database.execute(
        "SELECT DISTINCT s.text, k.text FROM held h JOIN word s ON s.id = h.subject JOIN word k ON k.id = h.key "
        "WHERE h.kind = ? AND h.known_until = ? ORDER BY h.subject, h.key",
        (CONFLICT, FAR_SEQ),
    )
    backwards = ledger.database.execute(
        "SELECT DISTINCT s.text, k.text FROM said d JOIN word s ON s.id = d.subject JOIN word k ON k.id = d.key "
        "WHERE d.valid_until <> '' AND d.valid_from <> '' AND substr(d.valid_until, 1, 10) <= substr(d.valid_from, 1, 10) "
        "AND length(d.valid_from) = 10 AND length(d.valid_until) = 10 "
        "AND NOT EXISTS (SELECT 1 FROM answered a WHERE a.seq = d.seq AND a.place = d.place)"
    )
    found.clashes += dict.fromkeys([*rows, *backwards])
