"""The full subtrees of the log's Merkle tree, kept as it grows, so that a proof reads a few dozen hashes and not all.

`node` holds each by its level and place: level 1 is over two leaves, level 2 over four; place 0 is the first of a level.
Level 0 is `entry.leaf`. What lies at the right end and is not full yet is put together from these.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator

from airwrit.base.errors import LedgerFault
from airwrit.ledger.log.tree import EMPTY_ROOT, Frontier, node_hash

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
