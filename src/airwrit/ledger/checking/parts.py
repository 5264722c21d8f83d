"""The parts of a check that can be done apart, in any order: a range of entries, and a range of subjects.

Each reads the file in one state of it and tells its faults by entry; `check` cuts the ledger up and puts them together.
"""

from __future__ import annotations

import json
import re
import sqlite3
from collections.abc import Iterator, Mapping
from hashlib import sha256
from itertools import groupby, zip_longest
from operator import itemgetter
from typing import Any, NamedTuple

from airwrit.ledger.entry import (
    FIRST_PREV,
    VERSION,
    BadLine,
    Entry,
    canonical,
    entry_of,
    line_of,
    members_of,
    number_of,
)
from airwrit.ledger.line_form import LINE, moment_text, quoted, statements_text
from airwrit.ledger.log.heads import NO_HEAD, rolled
from airwrit.ledger.sqlite.as_of import moment_of
from airwrit.ledger.sqlite.derived import Span, blanked_by, bounds, left_of, rectangle_rows, sayings_by_pair
from airwrit.ledger.sqlite.opening import NO_SENSE

_OF_ENTRIES = (("entry", "seq"), ("said", "seq"), ("answered", "by_seq"))

LINES, ENTRIES, SUBJECTS = "lines", "entries", "subjects"
"""What is looked at in a part: lines of entries, lines and the rows made from them, or what is made of subjects."""


class LedgerDamage(NamedTuple):
    """Something that is not as it was written: at which entry (0 for the file as a whole), and what."""

    seq: int
    what: str


class Part(NamedTuple):
    """Entries or subjects from one number up to, but not with, another; `size` and `ledger` are those of the whole log."""

    what: str
    low: int
    high: int
    size: int
    ledger: str


class SubjectSeen(NamedTuple):
    """A subject, how many entries mention it, the rolling hash over them in hex, and the last of them."""

    subject: str
    entries: int
    head: str
    seq: int


class PartReport(NamedTuple):
    """What was found in a part: its faults, the entries that were blanked, the heads of its subjects, the files it names.

    `sources` are the sources of its lines, each with the first entry that has it.
    """

    faults: list[LedgerDamage]
    blanked: list[int]
    heads: list[SubjectSeen]
    sources: dict[str, int]


def looked_at(db: sqlite3.Connection, part: Part) -> PartReport:
    """What is found in a part. Bytes that are no text are looked at again one by one, so that they are named."""
    try:
        return _looked_at(db, part)
    except sqlite3.OperationalError:
        db.text_factory = lambda data: data.decode(errors="backslashreplace")
        return _looked_at(db, part)
    finally:
        db.text_factory = str


def _looked_at(db: sqlite3.Connection, part: Part) -> PartReport:
    """What is found in a part; of one in which something makes no sense the halves, down to the row that does not."""
    call = subjects_checked if part.what == SUBJECTS else entries_checked
    try:
        return call(db, part)
    except NO_SENSE as fault:
        low, high = _there(db, part)
        if high - low < 2:
            what = f"we can't make sense of it ({type(fault).__name__})"
            return PartReport([LedgerDamage(0 if part.what == SUBJECTS else max(low, 0), what)], [], [], {})
        middle = (low + high) // 2
        one, other = _looked_at(db, part._replace(high=middle)), _looked_at(db, part._replace(low=middle))
        return PartReport(
            one.faults + other.faults,
            one.blanked + other.blanked,
            one.heads + other.heads,
            {**other.sources, **one.sources},
        )


def _there(db: sqlite3.Connection, part: Part) -> tuple[int, int]:
    """The entries or subjects of a part that are there, from the first to behind the last."""
    tables = (("said", "subject"), ("held", "subject")) if part.what == SUBJECTS else _OF_ENTRIES
    ends = [
        db.execute(
            f"SELECT min({name}), max({name}) FROM {table} WHERE {name} >= ? AND {name} < ?",
            bounds((part.low, part.high)),
        ).fetchone()
        for table, name in tables
    ]
    whole = [one for one in ends if isinstance(one[0], int) and isinstance(one[1], int)]
    if not whole:
        return part.low, part.low
    return min(low for low, _ in whole), max(high for _, high in whole) + 1


# ---- entries --------------------------------------------------------------------------------------------------------


class _Wanted(NamedTuple):
    """What the line of an entry has to hold: its answers and statements as they are kept, and what its row says."""

    answers: str
    ledger: str
    prev: str
    recorded_at: str
    seq: str
    statements: str


def entries_checked(db: sqlite3.Connection, part: Part) -> PartReport:
    """Every line of a range against its hash, the one before, its columns and its form; with ENTRIES, its rows too."""
    found, rows = PartReport([], [], [], {}), part.what == ENTRIES
    statements, answers = (_statements_kept(db, part), _answers_kept(db, part)) if rows else ({}, {})
    ledger, prev, reasons = quoted(part.ledger), _leaf_before(db, part.low).hex(), None
    for seq, micros, line, leaf in db.execute(
        "SELECT seq, recorded_at, CAST(line AS BLOB), leaf FROM entry WHERE seq >= ? AND seq <= ? ORDER BY seq",
        bounds((part.low, part.high)),
    ):
        kept = [answers.pop(seq, ""), ledger, prev, moment_text(micros), str(seq), statements.pop(seq, "")]
        prev = leaf.hex()
        if line is None:
            reasons = blanked_by(db) if reasons is None else reasons
            left = left_of(seq, moment_of(micros), reasons.get(seq))
            if left is not None:
                found.blanked.append(seq)
            found.faults.extend(
                LedgerDamage(seq, what) for what in _blanked_faults(left, kept if rows else None)
            )
            continue
        if sha256(b"\x00" + line).digest() != leaf:
            found.faults.append(LedgerDamage(seq, "its line isn't the one that was hashed"))
        cut = _cut(line)
        if cut is None or [cut[1] if rows else "", *cut.groups()[1:5], cut[7] if rows else ""] != kept:
            found.faults.extend(
                LedgerDamage(seq, what) for what in _line_faults(line, _Wanted(*kept), rows=rows)
            )
        source = cut[6] if cut is not None else _source(line)
        if source not in found.sources:
            found.sources[source] = seq
    rest = sorted({*statements, *answers})
    found.faults.extend(LedgerDamage(seq, "it has statements that no line contains") for seq in rest)
    return found


def _source(line: bytes) -> str:
    """The source of a line that is not at first sight what it has to be, with its quotes; empty where it is no line."""
    try:
        return quoted(str(members_of(line.decode())["source"]))
    except (UnicodeDecodeError, BadLine):
        return ""


def _leaf_before(db: sqlite3.Connection, seq: int) -> bytes:
    """The hash of the last entry before a number; nothing when there is none."""
    row = db.execute("SELECT leaf FROM entry WHERE seq < ? ORDER BY seq DESC LIMIT 1", (seq,)).fetchone()
    return FIRST_PREV.encode() if row is None else bytes(row[0])


def _cut(line: bytes) -> re.Match[str] | None:
    try:
        return LINE.fullmatch(line.decode())
    except UnicodeDecodeError:
        return None


def _statements_kept(db: sqlite3.Connection, part: Part) -> dict[int, str]:
    """The statements of each entry of a range, as its rows have them."""
    words = {number: quoted(text) for number, text in db.execute("SELECT id, text FROM word")}
    rows = db.execute(
        "SELECT seq, place, subject, key, kind, value, valid_from, valid_until FROM said "
        "WHERE seq >= ? AND seq <= ? ORDER BY seq, place",
        bounds((part.low, part.high)),
    )
    return {seq: statements_text(group, words) for seq, group in groupby(rows, itemgetter(0))}


def _answers_kept(db: sqlite3.Connection, part: Part) -> dict[int, str]:
    """What each entry of a range answers, as it is kept."""
    rows = db.execute(
        "SELECT by_seq, seq, place FROM answered WHERE by_seq >= ? AND by_seq <= ? ORDER BY by_seq, seq, place",
        bounds((part.low, part.high)),
    )
    return {
        by_seq: ",".join(f'"{number_of(seq, place)}"' for _, seq, place in group)
        for by_seq, group in groupby(rows, itemgetter(0))
    }


def _blanked_faults(left: Entry | None, kept: list[str] | None) -> Iterator[str]:
    """What is wrong with a blanked entry; `kept` is what is kept of it, None when that is not looked at."""
    if left is None:
        yield "its line is gone, and no entry says it was removed"
    elif kept is not None:
        yield from _copy_faults(members_of(line_of(left)), _Wanted(*kept))


def _line_faults(line: bytes, wanted: _Wanted, *, rows: bool) -> Iterator[str]:
    """What is wrong with a line that is not at first sight what it has to be; nothing when it is after all."""
    try:
        told = members_of(line.decode())
    except (UnicodeDecodeError, BadLine) as fault:
        yield f"it isn't text: {fault.reason}" if isinstance(fault, UnicodeDecodeError) else str(fault)
        return
    if told["prev"] != wanted.prev:
        yield "it doesn't follow the entry before it"
    mine = (told["v"], str(told["seq"]), told["recorded_at"], told["ledger"])
    if mine != (VERSION, wanted.seq, wanted.recorded_at, json.loads(wanted.ledger)):
        yield "its format, number, time or ledger doesn't match its line"
    try:
        entry_of(line.decode())
    except BadLine as fault:
        yield str(fault)
        return
    if rows:
        yield from _copy_faults(told, wanted)


def _copy_faults(told: Mapping[str, Any], wanted: _Wanted) -> Iterator[str]:
    """The rows made from a line against the line."""
    if ",".join(canonical(one) for one in told["statements"]) != wanted.statements:
        yield "its statements don't match its line"
    if sorted({f'"{number}"' for number in told["answers"]}) != sorted(
        filter(None, wanted.answers.split(","))
    ):
        yield "what it replaces doesn't match its line"


# ---- subjects -------------------------------------------------------------------------------------------------------

_HELD = "SELECT * FROM held WHERE subject >= ? AND subject <= ? ORDER BY subject, key, known_from, valid_from"
_HELD_OF_NONE = """SELECT min(known_from) FROM held h WHERE subject >= ? AND subject <= ?
AND NOT EXISTS (SELECT 1 FROM said s WHERE s.subject = h.subject AND s.key = h.key) GROUP BY subject, key"""
_HELD_OTHERWISE = "the facts on file from it don't match the entries"


def subjects_checked(db: sqlite3.Connection, part: Part) -> PartReport:
    """The rectangles of a range of subjects against new ones; and the heads of these subjects, made anew."""
    span = (part.low, part.high)
    held, is_same = db.execute(_HELD, bounds(span)), True
    mentions: dict[int, set[int]] = {}
    try:
        for (subject, key), sayings in sayings_by_pair(db, span):
            mentions.setdefault(subject, set()).update([saying.seq for saying, _ in sayings])
            if is_same and (made := rectangle_rows(subject, key, sayings)):
                is_same = held.fetchmany(len(made)) == made
        faults = [] if is_same and held.fetchone() is None else list(_held_faults(db, span))
    except ValueError as fault:
        faults = [LedgerDamage(0, f"we can't read what it says about its records: {fault}")]
    return PartReport(faults, [], list(_heads(db, mentions)), {})


def _held_faults(db: sqlite3.Connection, span: Span) -> Iterator[LedgerDamage]:
    """The first rectangle of each subject and key that is not as it has to be, at the entry that made it known."""
    for pair, sayings in sayings_by_pair(db, span):
        kept = db.execute(
            "SELECT * FROM held WHERE subject = ? AND key = ? ORDER BY known_from, valid_from", pair
        )
        for is_kept, wanted in zip_longest(kept, rectangle_rows(*pair, sayings)):
            if is_kept != wanted:
                yield LedgerDamage((wanted or is_kept)[2], _HELD_OTHERWISE)
                break
    for (seq,) in db.execute(_HELD_OF_NONE, bounds(span)):
        yield LedgerDamage(seq, _HELD_OTHERWISE)


def _heads(db: sqlite3.Connection, mentions: Mapping[int, set[int]]) -> Iterator[SubjectSeen]:
    """The heads of subjects by the entries that mention them."""
    leaves = dict(db.execute("SELECT seq, leaf FROM entry"))
    texts = dict(db.execute("SELECT id, text FROM word"))
    for subject, seqs in mentions.items():
        head, order = NO_HEAD, sorted(seqs & leaves.keys())
        for seq in order:
            head = rolled(head, leaves[seq])
        if subject in texts and order:
            yield SubjectSeen(texts[subject], len(order), head.hex(), order[-1])
