"""What is made from the entries so that questions are quick: words, sayings, answers, rectangles; it can be made anew.

`node` holds each by its level and place: level 1 is over two leaves, level 2 over four; place 0 is the first of a level.
Level 0 is `entry.leaf`. What lies at the right end and is not full yet is put together from these.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import suppress
from datetime import datetime
from itertools import groupby
from operator import itemgetter
from typing import NamedTuple

from airwrit.base.days import EARLIEST, When, parse_when
from airwrit.base.errors import LedgerFault
from airwrit.facts.statement import Statement
from airwrit.ledger.entry import BLANK, BadLine, Entry, entry_of, opening_of, parts_of, when_text
from airwrit.ledger.log.tree import EMPTY_ROOT, Frontier, node_hash
from airwrit.ledger.rectangles import (
    FAR_DAY,
    FAR_SEQ,
    FROM_THE_START,
    NOTHING,
    UNREADABLE,
    Claim,
    Rectangle,
    extended,
    kept_of,
    rectangles_of,
    replayed,
)

Node = tuple[int, int, bytes]
"""Level, place and hash of a full subtree."""


def nodes_made(frontier: Frontier, leaf: bytes) -> list[Node]:
    """Take a leaf into a frontier; the full subtrees that it completes."""
    made = frontier.add(leaf)
    return [(level, (frontier.size >> level) - 1, one) for level, one in enumerate(made, 1)]


def keep_nodes(db: sqlite3.Connection, nodes: list[Node]) -> None:
    """Keep full subtrees."""
    db.executemany("INSERT INTO node VALUES (?, ?, ?)", nodes)


def subtree(db: sqlite3.Connection, low: int, high: int) -> bytes:
    """The root over the leaves from `low` up to `high`, counted from 0. LedgerFault when a node is not there."""
    width = high - low
    if width == 0:
        return EMPTY_ROOT
    if width & (width - 1) == 0 and low % width == 0:
        level = width.bit_length() - 1
        row = (
            db.execute("SELECT hash FROM node WHERE level = ? AND place = ?", (level, low >> level))
            if level
            else db.execute("SELECT leaf FROM entry WHERE seq = ?", (low + 1,))
        ).fetchone()
        if row is None:
            raise LedgerFault("part of the ledger's hash tree is missing", do="run `airwrit check-records`")
        return bytes(row[0])
    middle = low + (1 << ((width - 1).bit_length() - 1))
    return node_hash(subtree(db, low, middle), subtree(db, middle, high))


class NodesSeen:
    """The nodes that a walk over all leaves makes, to be compared with those kept."""

    __slots__ = ("_frontier", "_levels")

    def __init__(self) -> None:
        """Before the first leaf."""
        self._frontier, self._levels = Frontier(), dict[int, bytearray]()

    @property
    def frontier(self) -> Frontier:
        """The tree so far."""
        return self._frontier

    def add(self, leaf: bytes) -> None:
        """Take in one more leaf."""
        for level, made in enumerate(self._frontier.add(leaf), 1):
            self._levels.setdefault(level, bytearray()).extend(made)

    def differing(self, db: sqlite3.Connection) -> Iterator[int]:
        """The entries up to which a kept node is another, is missing or is too much; the first of each level."""
        levels = [level for (level,) in db.execute("SELECT DISTINCT level FROM node")]
        for level in sorted({*levels, *self._levels}):
            wanted = self._levels.get(level, bytearray())
            rows = db.execute("SELECT place, hash FROM node WHERE level = ? ORDER BY place", (level,))
            at = 0
            for place, kept in rows:
                if place != at or kept != wanted[at * 32 : at * 32 + 32]:
                    break
                at += 1
            else:
                if at * 32 == len(wanted):
                    continue
            yield min(at + 1 << min(max(level, 0), 62), self._frontier.size)


_GROUP = """SELECT s.seq, s.kind, s.value, s.valid_from, s.valid_until, min(a.by_seq)
FROM said s LEFT JOIN answered a ON a.seq = s.seq AND a.place = s.place
"""
_BLANKS = "SELECT line FROM entry WHERE substr(line, 1, length(?1)) = ?1"
_END_HELD = (
    "UPDATE held SET known_until = ? WHERE subject = ? AND key = ? AND known_from = ? AND valid_from = ?"
)


class Words:
    """Subjects and names of keys by a small number each; kept for as long as a ledger is open."""

    __slots__ = ("_ids", "_texts")

    def __init__(self) -> None:
        """Nothing is known yet."""
        self._ids: dict[str, int] = {}
        self._texts: dict[int, str] = {}

    def id_of(self, db: sqlite3.Connection, text: str, *, make: bool = False) -> int:
        """The number of a text; 0 when it has none and none is to be made."""
        found = self._ids.get(text)
        if found is not None:
            return found
        row = db.execute("SELECT id FROM word WHERE text = ?", (text,)).fetchone()
        if row is None:
            if not make:
                return 0
            row = db.execute("INSERT INTO word (text) VALUES (?) RETURNING id", (text,)).fetchone()
        self._ids[text] = row[0]
        return int(row[0])

    def text_of(self, db: sqlite3.Connection, number: int) -> str:
        """The text of a number."""
        found = self._texts.get(number)
        if found is None:
            self._texts.update(db.execute("SELECT id, text FROM word"))
            found = self._texts[number]
        return found

    def texts(self, db: sqlite3.Connection) -> dict[int, str]:
        """All texts by their numbers."""
        if db.execute("SELECT max(id) FROM word").fetchone()[0] not in self._texts:
            self._texts.update(db.execute("SELECT id, text FROM word"))
        return self._texts

    def forget(self) -> None:
        """After a write that was taken back, numbers given in it are free again."""
        self._ids.clear()
        self._texts.clear()


class SaidRow(NamedTuple):
    """A row of `said` without its entry and place."""

    subject: int
    key: int
    kind: int
    value: str
    valid_from: str
    valid_until: str


def said_row(db: sqlite3.Connection, words: Words, statement: Statement) -> SaidRow:
    """The row of a statement."""
    kind, value = kept_of(statement.value)
    start, end = statement.valid_from, statement.valid_until
    return SaidRow(
        words.id_of(db, statement.subject, make=True),
        words.id_of(db, statement.key, make=True),
        kind,
        value,
        "" if start == EARLIEST else when_text(start),
        "" if end is None else when_text(end),
    )


class Touched(NamedTuple):
    """What an entry says of one subject and key: its sayings; whether it answers one of them, so that others count no more."""

    sayings: list[Claim]
    answers: bool


def keep_sayings(db: sqlite3.Connection, words: Words, entry: Entry) -> dict[tuple[int, int], Touched]:
    """Add an entry's statements and answers; what it says of each (subject, key) that it touches."""
    rows = [said_row(db, words, statement) for statement in entry.statements]
    db.executemany(
        "INSERT INTO said VALUES (?, ?, ?, ?, ?, ?, ?, ?)",
        [(entry.seq, place, *row) for place, row in enumerate(rows)],
    )
    touched: dict[tuple[int, int], Touched] = {}
    for row in rows:
        saying = _saying((entry.seq, *row[2:], None))[0]
        touched.setdefault((row.subject, row.key), Touched([], answers=False)).sayings.append(saying)
    for number in dict.fromkeys(entry.answers):
        seq, place = parts_of(number)
        db.execute("INSERT INTO answered VALUES (?, ?, ?)", (seq, place, entry.seq))
        for pair in db.execute("SELECT subject, key FROM said WHERE seq = ? AND place = ?", (seq, place)):
            touched[pair] = Touched(touched[pair].sayings if pair in touched else [], answers=True)
    return touched


_Ended = tuple[int, int, int, int, int]


def keep_rectangles(db: sqlite3.Connection, seq: int, touched: Mapping[tuple[int, int], Touched]) -> None:
    """Bring the rectangles of the touched pairs up to date after entry `seq`."""
    ended, begun = list[_Ended](), list[HeldRow]()
    for (subject, key), (sayings, answers) in touched.items():
        last = None if answers or len(sayings) > 1 else _last_held(db, subject, key)
        grown = None if last is None else extended(last[0], sayings[0])
        if last is None or grown is None:
            over, now = _held_anew(db, subject, key)
        else:
            over, now = [last] if last[1] else [], grown
        ended += [(seq, subject, key, since, one.valid_from) for one, since in over]
        begun += [held_row(subject, key, seq, FAR_SEQ, one) for one in now]
    db.executemany(_END_HELD, ended)
    _keep_held(db, begun)


def _last_held(db: sqlite3.Connection, subject: int, key: int) -> tuple[Rectangle, int]:
    """The last rectangle of a pair as it is known now, and the entry that made it known; 0 where nothing was said yet."""
    row = db.execute(
        "SELECT valid_from, valid_until, kind, value, seqs, known_from FROM held "
        "WHERE subject = ? AND key = ? AND known_until = ? AND valid_until = ?",
        (subject, key, FAR_SEQ, FAR_DAY),
    ).fetchone()
    return (FROM_THE_START, 0) if row is None else (Rectangle(*row[:5]), row[5])


def _held_anew(
    db: sqlite3.Connection, subject: int, key: int
) -> tuple[Sequence[tuple[Rectangle, int]], Sequence[Rectangle]]:
    """By all that is said of a pair: the rectangles that are known no more, with what made them known; and the new ones."""
    alive = [saying for saying, gone in _sayings(db, subject, key) if gone == FAR_SEQ]
    now = rectangles_of(alive)
    before = {
        Rectangle(*row[:5]): row[5]
        for row in db.execute(
            "SELECT valid_from, valid_until, kind, value, seqs, known_from FROM held "
            "WHERE subject = ? AND key = ? AND known_until = ?",
            (subject, key, FAR_SEQ),
        )
    }
    kept = set(now)
    over = [(one, since) for one, since in before.items() if one not in kept]
    return over, [one for one in now if one not in before]


HeldRow = tuple[int, int, int, int, int, int, int, str, str]


def held_row(subject: int, key: int, since: int, until: int, one: Rectangle) -> HeldRow:
    """The row of a rectangle."""
    return (subject, key, since, one.valid_from, until, one.valid_until, one.kind, one.value, one.seqs)


def _sayings(db: sqlite3.Connection, subject: int, key: int) -> list[tuple[Claim, int]]:
    rows = db.execute(
        _GROUP + "WHERE s.subject = ? AND s.key = ? GROUP BY s.seq, s.place ORDER BY s.seq, s.place",
        (subject, key),
    )
    return [_saying(row) for row in rows]


def _saying(row: tuple[int, int, str, str, str, int | None]) -> tuple[Claim, int]:
    seq, kind, value, start, end, gone = row
    return Claim(seq, kind, value, _ordinal(start, 1), _ordinal(end, FAR_DAY)), gone or FAR_SEQ


_days: dict[str, int | None] = {}


def _ordinal(text: str, empty: int) -> int | None:
    """The number of a day; None for an instant."""
    if not text:
        return empty
    if text not in _days:
        if len(_days) > 1 << 16:
            _days.clear()
        _days[text] = None if len(text) > 10 else when_of(text, EARLIEST).toordinal()
    return _days[text]


def when_of(text: str, empty: When) -> When:
    """The day or instant of a kept text; `empty` for none."""
    return parse_when(text) if text else empty


Span = tuple[int, int]
"""Numbers of subjects, from one up to, but not with, another."""

ALL = (-(2**63), 2**63)
"""Every subject."""


def bounds(span: Span) -> Span:
    """The first and the last number of a span: the number behind the last may be too large for SQLite."""
    return span[0], span[1] - 1


def sayings_by_pair(
    db: sqlite3.Connection, span: Span = ALL
) -> Iterator[tuple[tuple[int, int], list[tuple[Claim, int]]]]:
    """All that is said of each subject and key, in order, with the entries that answered it."""
    rows = db.execute(
        "SELECT s.subject, s.key, s.seq, s.kind, s.value, s.valid_from, s.valid_until, "
        "(SELECT min(a.by_seq) FROM answered a WHERE a.seq = s.seq AND a.place = s.place) "
        "FROM said s WHERE s.subject >= ? AND s.subject <= ? ORDER BY s.subject, s.key, s.seq, s.place",
        bounds(span),
    )
    for pair, group in groupby(rows, key=itemgetter(0, 1)):
        yield pair, [_saying(row[2:]) for row in group]


def rectangle_rows(subject: int, key: int, sayings: Sequence[tuple[Claim, int]]) -> list[HeldRow]:
    """Every rectangle of a subject and key, made anew from what is said, in the order of the table."""
    made = [held_row(subject, key, since, until, one) for since, until, one in replayed(sayings)]
    made.sort(key=itemgetter(2, 3))
    return made


def rebuild_rectangles(db: sqlite3.Connection) -> None:
    """Make all rectangles anew."""
    db.execute("DELETE FROM held")
    for (subject, key), sayings in sayings_by_pair(db):
        _keep_held(db, rectangle_rows(subject, key, sayings))


def _keep_held(db: sqlite3.Connection, rows: Iterable[HeldRow]) -> None:
    db.executemany("INSERT INTO held VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)", rows)


def blanked_by(db: sqlite3.Connection) -> dict[int, Entry]:
    """For each entry that a later one says was blanked: that later one."""
    found: dict[int, Entry] = {}
    for (line,) in db.execute(_BLANKS, (opening_of(BLANK),)):
        with suppress(BadLine):  # a damaged line says nothing; that it is damaged is told with its entry
            entry = entry_of(line)
            if entry.answers:
                found[parts_of(entry.answers[0])[0]] = entry
    return found


def left_of(seq: int, recorded_at: datetime, reason: Entry | None) -> Entry | None:
    """What still counts of a blanked entry: its statements without their values, and what it answered."""
    if reason is None:
        return None
    answers = tuple(number for number in reason.answers if parts_of(number)[0] != seq)
    return reason._replace(seq=seq, recorded_at=recorded_at, answers=answers)


def empty_sayings(db: sqlite3.Connection, places: Mapping[int, Iterable[int]]) -> None:
    """Take values of blanked entries out of all that is derived: of each entry those at some places."""
    for seq, gone in places.items():
        pairs = db.execute("SELECT DISTINCT subject, key FROM said WHERE seq = ?", (seq,)).fetchall()
        db.executemany(
            "UPDATE said SET kind = ?, value = '' WHERE seq = ? AND place = ? AND kind <> ?",
            [(UNREADABLE, seq, place, NOTHING) for place in gone],
        )
        for subject, key in pairs:
            made = rectangle_rows(subject, key, _sayings(db, subject, key))
            db.execute("DELETE FROM held WHERE subject = ? AND key = ?", (subject, key))
            _keep_held(db, made)
