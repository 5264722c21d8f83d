"""The trees that are kept: proofs over nodes against proofs over all leaves, heads of subjects against their definition."""

from __future__ import annotations

import sqlite3
from hashlib import sha256
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import LedgerFault
from airwrit.ledger.checking.check import check
from airwrit.ledger.log.heads import NO_HEAD, heads_proved, path_of, root_above, subject_leaf, subjects_root
from airwrit.ledger.log.tree import (
    Frontier,
    covering,
    growth_proof,
    leaf_hash,
    root_covered,
)
from airwrit.ledger.sqlite.derived import subtree
from airwrit.ledger.sqlite.opening import FORMAT, schema_kept, schema_wanted
from airwrit.ledger.sqlite.store import Ledger
from tests.plain_tree import consistency_proof, inclusion_proof, root_of
from tests.unit.ledger.books import Clock, as_form_2, draft, said

LEAVES = [leaf_hash(bytes([number])) for number in range(70)]


@given(st.integers(1, 70), st.data())
def test_one_proof_over_many_leaves_gives_the_root_and_no_other_does(size: int, data: st.DataObject) -> None:
    leaves = LEAVES[:size]
    indices = sorted(data.draw(st.sets(st.integers(0, size - 1), min_size=1)))
    proof = covering(size, indices, lambda low, high: root_of(leaves[low:high]))
    told = {index: leaves[index] for index in indices}
    assert root_covered(size, told, proof) == root_of(leaves)
    if len(indices) == 1:
        assert sorted(proof) == sorted(inclusion_proof(leaves, indices[0]))
    assert root_covered(size, told | {indices[0]: bytes(32)}, proof) != root_of(leaves)
    assert root_covered(size, told, (*proof, bytes(32))) is None
    if proof:
        assert root_covered(size, told, proof[:-1]) is None


def test_leaves_outside_the_tree_have_no_root() -> None:
    for told in ({}, {5: LEAVES[0]}, {-1: LEAVES[0]}):
        assert root_covered(5, told, ()) is None


def model_root(heads: dict[str, tuple[int, bytes]], ledger: str) -> bytes:
    """The root over heads as the module's docstring defines it, by strings of bits."""

    def below(leaves: dict[str, bytes]) -> bytes:
        if len(leaves) < 2:
            return next(iter(leaves.values()), bytes(32))
        halves = [{bits[1:]: leaf for bits, leaf in leaves.items() if bits[0] == side} for side in "01"]
        return sha256(b"\x04" + below(halves[0]) + below(halves[1])).digest()

    leaves = {}
    for subject, (entries, head) in heads.items():
        path = sha256(f"{ledger}\n{subject}".encode()).digest()
        bits = "".join(f"{byte:08b}" for byte in path)
        leaves[bits] = sha256(b"\x03" + path + entries.to_bytes(8, "big") + head).digest()
    return below(leaves)


@pytest.mark.parametrize("subjects", [1, 2, 40, 5000])
def test_heads_and_their_root_are_as_defined(tmp_path: Path, subjects: int) -> None:
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        clock, db = Clock(), book.database
        assert subjects_root(db) == NO_HEAD
        drafts = [
            draft(
                said(f"aircraft/{n % subjects}", "owner", "x"),
                said(f"aircraft/shared-{n % (subjects // 3 + 1)}", "maker", "y"),
            )
            for n in range(subjects + 5)
        ]
        book.append(drafts[:-5], clock)
        for one in drafts[-5:]:
            book.append([one], clock)
        heads: dict[str, tuple[int, bytes]] = {}
        for line in book.lines():
            for subject in (
                f"aircraft/{(line.seq - 1) % subjects}",
                f"aircraft/shared-{(line.seq - 1) % (subjects // 3 + 1)}",
            ):
                entries, head = heads.get(subject, (0, bytes(32)))
                heads[subject] = (entries + 1, sha256(b"\x02" + head + line.leaf).digest())
        root = subjects_root(db)
        assert root == model_root(heads, book.name)
        some = [*heads][:30]
        for name, told, beside in heads_proved(db, book.name, [*some, "aircraft/none"]):
            assert told == heads[name]
            path = path_of(book.name, name)
            assert root_above(subject_leaf(path, told), path, beside) == root
            lied = told._replace(entries=told.entries - 1)
            assert root_above(subject_leaf(path, lied), path, beside) != root
            some.remove(name)
        assert some == []


def test_nodes_give_every_subtree_and_growth(tmp_path: Path) -> None:
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        book.append([draft(said("aircraft/A", "owner", str(n))) for n in range(37)], Clock())
        leaves = [line.leaf for line in book.lines()]
        for size in range(38):
            assert subtree(book.database, 0, size) == root_of(leaves[:size])
        for first in range(1, 38):
            made = growth_proof(37, first, lambda low, high: subtree(book.database, low, high))
            assert made == consistency_proof(leaves, first)
        book.database.execute("DELETE FROM node WHERE level = 2 AND place = 1")
        with pytest.raises(LedgerFault, match="missing"):
            subtree(book.database, 4, 8)


def test_a_frontier_tells_the_subtrees_that_it_completes() -> None:
    frontier = Frontier()
    made = [len(frontier.add(leaf)) for leaf in LEAVES[:8]]
    assert made == [0, 1, 0, 2, 0, 1, 0, 3]


def as_form_1(path: Path) -> None:
    """Make a ledger's file what the first form was: without trees, checkpoints, and what was given out."""
    as_form_2(path)
    db = sqlite3.connect(path, isolation_level=None)
    for table in ("node", "subject_head", "head_bucket", "checkpoint"):
        db.execute(f"DROP TABLE {table}")
    db.execute("PRAGMA user_version = 1")
    db.close()


def test_a_file_of_form_1_is_taken_up(tmp_path: Path) -> None:
    path = tmp_path / "l.airwrit"
    with Ledger.begin(path) as book:
        for number in range(30):
            book.append([draft(said(f"aircraft/{number % 7}", "owner", str(number)))], Clock())
        head, root = book.head(), subjects_root(book.database)
    as_form_1(path)
    with Ledger(path) as book:
        assert (book.head(), subjects_root(book.database)) == (head, root)
        assert book.database.execute("PRAGMA user_version").fetchone() == (FORMAT,)
        assert schema_kept(book.database) == schema_wanted()
        assert check(book).faults == []
        book.append([draft(said("aircraft/1", "owner", "last"))], Clock())
        assert check(book).faults == []


DAMAGE = [
    ("UPDATE node SET hash = zeroblob(32) WHERE level = 2 AND place = 1", "tree"),
    ("DELETE FROM node WHERE level = 3", "tree"),
    ("INSERT INTO node VALUES (9, 0, zeroblob(32))", "tree"),
    ("UPDATE subject_head SET entries = 9", "head"),
    ("UPDATE subject_head SET head = zeroblob(32)", "head"),
    ("DELETE FROM subject_head", "head"),
    ("UPDATE head_bucket SET hash = zeroblob(32)", "heads"),
    ("UPDATE head_bucket SET subjects = subjects + 1", "heads"),
    ("DELETE FROM head_bucket", "heads"),
]


@pytest.mark.parametrize(("sql", "says"), DAMAGE)
def test_damage_to_what_is_kept_of_the_trees_is_found_and_mended(tmp_path: Path, sql: str, says: str) -> None:
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        book.append([draft(said(f"aircraft/{n % 4}", "owner", str(n))) for n in range(11)], Clock())
        assert check(book).faults == []
        book.database.execute(sql)
        assert any(says in fault.what for fault in check(book).faults)
        with book.writing():
            book.rebuild()
        assert check(book).faults == []
