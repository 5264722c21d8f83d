"""Both trees of a ledger made anew: the one over its entries and the one over the heads of its subjects."""

from __future__ import annotations

import sqlite3
from itertools import groupby
from operator import itemgetter

from airwrit.ledger.log.heads import HeadsGrowing
from airwrit.ledger.log.tree import Frontier
from airwrit.ledger.sqlite.derived import keep_nodes, nodes_made


def grow_trees(db: sqlite3.Connection, ledger: str) -> Frontier:
    """Make the trees anew from the hashes and from what is said; the right end of the one over the entries."""
    for table in ("node", "subject_head", "head_bucket"):
        db.execute(f"DELETE FROM {table}")
    frontier, heads = Frontier(), HeadsGrowing(db, ledger)
    rows = db.execute(
        "SELECT e.seq, e.leaf, w.text FROM entry e LEFT JOIN said s ON s.seq = e.seq "
        "LEFT JOIN word w ON w.id = s.subject ORDER BY e.seq"
    )
    for (_, leaf), group in groupby(rows, key=itemgetter(0, 1)):
        keep_nodes(db, nodes_made(frontier, leaf))
        heads.add([text for _, _, text in group if text is not None], leaf)
    heads.keep()
    return frontier
