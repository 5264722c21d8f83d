"""A head for every subject: how many entries mention it, and a rolling hash over them; all heads under one root.

    head of no entry        32 zero bytes
    head after one more     SHA-256(0x02 || head before || leaf hash of the entry)
    path of a subject       SHA-256(name of the ledger || 0x0A || subject)
    leaf of a subject       SHA-256(0x03 || path || count, 8 bytes, the high one first || head)
    subtree of no subject   32 zero bytes
    subtree of one          its leaf
    subtree of more         SHA-256(0x04 || subtree of bit 0 || subtree of bit 1)

The tree branches by the bits of the path, the highest first. So a subject can stand at one place only, and a root vouches
for one count and one head of it: whoever leaves out an entry about it cannot come to that root. The hashes beside a path do
not tell other subjects: each is over a head, and that over salted lines.

Source of the idea: sparse Merkle trees with a lone leaf moved up; the bytes are this program's own.
"""

from __future__ import annotations

import sqlite3
from bisect import bisect_left
from collections.abc import Iterable, Iterator, Sequence
from hashlib import sha256
from typing import NamedTuple

NO_HEAD = bytes(32)
"""The head of a subject that no entry mentions, and the root over no subjects."""

DEEPEST = 256
"""How many bits a path has: no subject lies deeper."""

_BUCKET_BITS = 12


class SubjectHead(NamedTuple):
    """How many entries mention a subject, and the rolling hash over them."""

    entries: int
    head: bytes


_NONE = SubjectHead(0, NO_HEAD)


class _Item(NamedTuple):
    path: bytes
    leaf: bytes


def rolled(head: bytes, leaf: bytes) -> bytes:
    """The head after one more entry."""
    return sha256(b"\x02" + head + leaf).digest()


def path_of(ledger: str, subject: str) -> bytes:
    """The place of a subject among the heads."""
    return sha256(f"{ledger}\n{subject}".encode()).digest()


def subject_leaf(path: bytes, told: SubjectHead) -> bytes:
    """The leaf of a subject."""
    return sha256(b"\x03" + path + told.entries.to_bytes(8, "big") + told.head).digest()


def root_above(leaf: bytes, path: bytes, beside: Sequence[bytes]) -> bytes:
    """The root to which a subject's leaf leads by the hashes beside its path, the lowest last."""
    found = leaf
    for depth in range(len(beside) - 1, -1, -1):
        pair = (beside[depth], found) if _bit(path, depth) else (found, beside[depth])
        found = _node(*pair)
    return found


def _node(left: bytes, right: bytes) -> bytes:
    return sha256(b"\x04" + left + right).digest()


def _bit(path: bytes, depth: int) -> int:
    return path[depth >> 3] >> (7 - (depth & 7)) & 1


def _fold(items: Sequence[_Item], depth: int) -> bytes:
    """The root over subjects in order of their paths, which share `depth` bits."""
    if len(items) < 2:
        return items[0].leaf if items else NO_HEAD
    left, right = _halves(items, depth)
    return _node(_fold(left, depth + 1), _fold(right, depth + 1))


def _halves(items: Sequence[_Item], depth: int) -> tuple[Sequence[_Item], Sequence[_Item]]:
    cut = bisect_left(items, 1, key=lambda item: _bit(item.path, depth))
    return items[:cut], items[cut:]


def _beside(items: Sequence[_Item], path: bytes, depth: int) -> list[bytes]:
    """The hashes beside a path among subjects that share `depth` bits with it, down to where it is alone."""
    found = []
    while len(items) > 1:
        halves, mine = _halves(items, depth), _bit(path, depth)
        found.append(_fold(halves[1 - mine], depth + 1))
        items, depth = halves[mine], depth + 1
    return found


# ---- kept in the ledger's file --------------------------------------------------------------------------------------


class HeadsGrowing:
    """The heads while entries are added: read once, kept at the end, inside one transaction."""

    __slots__ = ("_db", "_ledger", "_seen")

    def __init__(self, db: sqlite3.Connection, ledger: str) -> None:
        """For the ledger of that name."""
        self._db, self._ledger = db, ledger
        self._seen: dict[bytes, SubjectHead] = {}

    def add(self, subjects: Iterable[str], leaf: bytes) -> None:
        """Take in an entry by the subjects that it mentions and its hash."""
        for subject in set(subjects):
            path = path_of(self._ledger, subject)
            before = self._seen.get(path)
            if before is None:
                before = _kept(self._db, path)
            self._seen[path] = SubjectHead(before.entries + 1, rolled(before.head, leaf))

    def keep(self) -> None:
        """Write down what has changed."""
        self._db.executemany(
            "INSERT INTO subject_head VALUES (?1, ?2, ?3) "
            "ON CONFLICT (path) DO UPDATE SET entries = excluded.entries, head = excluded.head",
            [(path, *told) for path, told in self._seen.items()],
        )
        places = sorted({_place(path) for path in self._seen})
        self._db.executemany(
            "INSERT INTO head_bucket VALUES (?1, ?2, ?3) "
            "ON CONFLICT (place) DO UPDATE SET subjects = excluded.subjects, hash = excluded.hash",
            [_bucket(place, _items(self._db, place)) for place in places],
        )


def _kept(db: sqlite3.Connection, path: bytes) -> SubjectHead:
    row = db.execute("SELECT entries, head FROM subject_head WHERE path = ?", (path,)).fetchone()
    return _NONE if row is None else SubjectHead(*row)


def _place(path: bytes) -> int:
    return int.from_bytes(path[:2], "big") >> (16 - _BUCKET_BITS)


def _start(place: int) -> bytes:
    """The lowest path of a bucket; behind the last one what is above every path."""
    return (place << (16 - _BUCKET_BITS)).to_bytes(2, "big") if place < 1 << _BUCKET_BITS else b"\xff" * 33


def _items(db: sqlite3.Connection, place: int) -> list[_Item]:
    """The subjects of a bucket, by their paths."""
    rows = db.execute(
        "SELECT path, entries, head FROM subject_head WHERE path >= ? AND path < ? ORDER BY path",
        (_start(place), _start(place + 1)),
    )
    return [_item(*row) for row in rows]


def _item(path: bytes, count: int, head: bytes) -> _Item:
    return _Item(path, subject_leaf(path, SubjectHead(count, head)))


def _bucket(place: int, items: Sequence[_Item]) -> tuple[int, int, bytes]:
    return place, len(items), _fold(items, _BUCKET_BITS)


class _Top:
    """The tree above the buckets: for each depth, by the first bits of the path, how many subjects and their root."""

    __slots__ = ("_levels",)

    def __init__(self, db: sqlite3.Connection) -> None:
        rows = db.execute("SELECT place, subjects, hash FROM head_bucket")
        level: dict[int, tuple[int, bytes]] = {place: (subjects, kept) for place, subjects, kept in rows}
        self._levels = [level]
        for _ in range(_BUCKET_BITS):
            level = {place: _joined(level, place) for place in {below >> 1 for below in level}}
            self._levels.insert(0, level)

    @property
    def root(self) -> bytes:
        return self._levels[0].get(0, (0, NO_HEAD))[1]

    def beside(self, path: bytes) -> list[bytes]:
        """The hashes beside a path that is in the tree, down to where it is alone or to its bucket."""
        place, found = _place(path), []
        for depth in range(_BUCKET_BITS):
            if self._levels[depth][place >> (_BUCKET_BITS - depth)][0] == 1:
                break
            other = place >> (_BUCKET_BITS - depth - 1) ^ 1
            found.append(self._levels[depth + 1].get(other, (0, NO_HEAD))[1])
        return found


def _joined(below: dict[int, tuple[int, bytes]], place: int) -> tuple[int, bytes]:
    """Two subtrees as one; a subject that is alone moves up."""
    left, right = (below.get(2 * place + side, (0, NO_HEAD)) for side in (0, 1))
    subjects = left[0] + right[0]
    if subjects == 1:
        return left if left[0] else right
    return subjects, _node(left[1], right[1])


def subjects_root(db: sqlite3.Connection) -> bytes:
    """The root over the heads of all subjects."""
    return _Top(db).root


def heads_proved(
    db: sqlite3.Connection, ledger: str, subjects: Iterable[str]
) -> Iterator[tuple[str, SubjectHead, tuple[bytes, ...]]]:
    """Each subject with its head and the hashes that lead from it to the root; one not mentioned is left out."""
    top = _Top(db)
    for subject in subjects:
        path = path_of(ledger, subject)
        told = _kept(db, path)
        if told.entries:
            bucket = _beside(_items(db, _place(path)), path, _BUCKET_BITS)
            yield subject, told, (*top.beside(path), *bucket)


class HeadsSeen:
    """The heads that a walk over all entries makes, to be compared with those kept."""

    __slots__ = ("_ledger", "_seen")

    def __init__(self, ledger: str) -> None:
        """Before the first entry."""
        self._ledger = ledger
        self._seen: dict[str, tuple[int, bytes, int]] = {}

    def add(self, seq: int, subjects: Iterable[str], leaf: bytes) -> None:
        """Take in an entry by its number, the subjects that it mentions and its hash."""
        for subject in set(subjects):
            count, head, _ = self._seen.get(subject, (0, NO_HEAD, 0))
            self._seen[subject] = (count + 1, rolled(head, leaf), seq)

    @property
    def root(self) -> bytes:
        """The root over the heads so far."""
        heads = {path_of(self._ledger, subject): told for subject, told in self._seen.items()}
        return _fold([_item(path, told[0], told[1]) for path, told in sorted(heads.items())], 0)

    def take(self, subject: str, count: int, head: bytes, seq: int) -> None:
        """Take in a subject that was walked apart: how many entries mention it, its head, the last of them."""
        self._seen[subject] = (count, head, seq)

    def differing(self, db: sqlite3.Connection) -> Iterator[tuple[int, str]]:
        """What is kept otherwise: at which entry, and what."""
        wanted = {path_of(self._ledger, subject): told for subject, told in self._seen.items()}
        for path, count, head in db.execute("SELECT path, entries, head FROM subject_head"):
            told = wanted.pop(path, None)
            if told is None or told[:2] != (count, head):
                yield 0 if told is None else told[2], "the head of a record it mentions doesn't match"
        for _, _, seq in wanted.values():
            yield seq, "the head of a record it mentions is missing"
        rows = {
            place: (subjects, kept)
            for place, subjects, kept in db.execute("SELECT place, subjects, hash FROM head_bucket")
        }
        for place in sorted({_place(path_of(self._ledger, subject)) for subject in self._seen}):
            if rows.pop(place, None) != _bucket(place, _items(db, place))[1:]:
                yield 0, "the hashes over the heads of its records don't match"
        if rows:
            yield 0, "it has hashes over heads that belong to no record"
