"""The log's tree against published vectors, and against the recursive definitions of RFC 9162 (merkle/SOURCE.toml)."""

from __future__ import annotations

import tomllib
from hashlib import sha256
from pathlib import Path
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.ledger.log.tree import (
    EMPTY_ROOT,
    Frontier,
    is_consistent,
    leaf_hash,
)
from tests.plain_tree import consistency_proof, inclusion_proof, is_included, root_of

VECTORS: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "merkle" / "vectors.toml").read_text(encoding="utf-8")
)
DATA = [bytes.fromhex(leaf) for leaf in VECTORS["leaves"]]
LEAVES = [leaf_hash(data) for data in DATA]
ROOTS = [bytes.fromhex(root) for root in VECTORS["roots"]]


def hashes(texts: list[str]) -> tuple[bytes, ...]:
    return tuple(bytes.fromhex(text) for text in texts)


def split(n: int) -> int:
    k = 1
    while k * 2 < n:
        k *= 2
    return k


def mth(d: list[bytes]) -> bytes:
    """MTH of 2.1.1."""
    if not d:
        return sha256(b"").digest()
    if len(d) == 1:
        return sha256(b"\x00" + d[0]).digest()
    k = split(len(d))
    return sha256(b"\x01" + mth(d[:k]) + mth(d[k:])).digest()


def path(m: int, d: list[bytes]) -> list[bytes]:
    """PATH of 2.1.3.1."""
    if len(d) <= 1:
        return []
    k = split(len(d))
    return [*path(m, d[:k]), mth(d[k:])] if m < k else [*path(m - k, d[k:]), mth(d[:k])]


def subproof(m: int, d: list[bytes], whole: bool) -> list[bytes]:
    """SUBPROOF of 2.1.4.1."""
    if m == len(d):
        return [] if whole else [mth(d)]
    k = split(len(d))
    if m <= k:
        return [*subproof(m, d[:k], whole), mth(d[k:])]
    return [*subproof(m - k, d[k:], False), mth(d[:k])]


def test_the_empty_tree() -> None:
    assert mth([]) == EMPTY_ROOT == Frontier().root == root_of([])


@pytest.mark.parametrize("size", range(1, 9))
def test_the_published_roots(size: int) -> None:
    assert root_of(LEAVES[:size]) == ROOTS[size - 1] == mth(DATA[:size])


@pytest.mark.parametrize("case", VECTORS["inclusion"], ids=lambda c: f"{c['index']}-{c['size']}")
def test_the_published_inclusion_proofs(case: dict[str, Any]) -> None:
    index, size, proof = case["index"], case["size"], hashes(case["proof"])
    assert inclusion_proof(LEAVES[:size], index) == proof
    assert is_included(LEAVES[index], index, size, proof, ROOTS[size - 1])


@pytest.mark.parametrize("case", VECTORS["consistency"], ids=lambda c: f"{c['first']}-{c['second']}")
def test_the_published_consistency_proofs(case: dict[str, Any]) -> None:
    first, second, proof = case["first"], case["second"], hashes(case["proof"])
    assert consistency_proof(LEAVES[:second], first) == proof
    assert is_consistent(first, ROOTS[first - 1], second, ROOTS[second - 1], proof)


@pytest.mark.parametrize("size", [*range(1, 34), 63, 64, 65])
def test_every_proof_is_that_of_the_definition(size: int) -> None:
    data = [bytes([n]) for n in range(size)]
    leaves = [leaf_hash(one) for one in data]
    root = mth(data)
    for at in range(size):
        proof = inclusion_proof(leaves, at)
        assert list(proof) == path(at, data)
        assert is_included(leaves[at], at, size, proof, root)
        earlier = consistency_proof(leaves, at + 1)
        assert list(earlier) == subproof(at + 1, data, True)
        assert is_consistent(at + 1, mth(data[: at + 1]), size, root, earlier)


def spoiled(proof: tuple[bytes, ...], root: bytes) -> list[tuple[bytes, ...]]:
    """Proofs that prove nothing: with a step changed, lost or too many."""
    found = [(*proof, b""), (*proof, root), (b"", *proof), (root, *proof), proof[:-1], proof[1:]]
    for at, step in enumerate(proof):
        found.append((*proof[:at], bytes([step[0] ^ 8]) + step[1:], *proof[at + 1 :]))
    return [one for one in found if one != proof]


@given(st.integers(2, 40), st.data())
def test_a_spoiled_proof_proves_nothing(size: int, data: st.DataObject) -> None:
    leaves = [leaf_hash(bytes([n])) for n in range(size)]
    root = root_of(leaves)
    index = data.draw(st.integers(0, size - 1))
    proof = inclusion_proof(leaves, index)
    for wrong in spoiled(proof, root):
        assert not is_included(leaves[index], index, size, wrong, root)
    for at, total in ((index - 1, size), (index + 1, size), (index ^ 2, size), (index, size * 2)):
        assert not is_included(leaves[index], at, total, proof, root)
    assert not is_included(leaves[index], index, size, proof, leaves[0])
    first = data.draw(st.integers(1, size - 1))
    earlier, proof = root_of(leaves[:first]), consistency_proof(leaves, first)
    for wrong in spoiled(proof, root):
        assert not is_consistent(first, earlier, size, root, wrong)
    assert not is_consistent(first, leaves[-1], size, root, proof)
    assert not is_consistent(first, earlier, size, leaves[-1], proof)
    assert not is_consistent(size, root, first, earlier, proof)


@given(st.integers(0, 70), st.integers(0, 70))
def test_a_tree_taken_up_again_grows_the_same(first: int, more: int) -> None:
    leaves = [leaf_hash(bytes([n])) for n in range(first + more)]
    begun = Frontier()
    for leaf in leaves[:first]:
        begun.add(leaf)
    again = Frontier(begun.size, begun.peaks)
    for leaf in leaves[first:]:
        again.add(leaf)
    assert again.root == root_of(leaves)


def test_peaks_of_another_size_and_leaves_outside_are_refused() -> None:
    with pytest.raises(ValueError, match="peaks"):
        Frontier(3, [LEAVES[0]])
    with pytest.raises(IndexError):
        inclusion_proof(LEAVES, 8)
    with pytest.raises(ValueError, match="leads"):
        consistency_proof(LEAVES, 9)
