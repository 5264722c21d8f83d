"""Proofs over a whole list of leaves as RFC 9162 writes them down, for those made of subtrees to be held against."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from airwrit.ledger.log.tree import Frontier, growth_proof, node_hash


def root_of(leaves: Iterable[bytes]) -> bytes:
    """The root of the tree over leaf hashes."""
    frontier = Frontier()
    for leaf in leaves:
        frontier.add(leaf)
    return frontier.root


def _split(size: int) -> int:
    """The largest power of two below a size."""
    return 1 << ((size - 1).bit_length() - 1)


def inclusion_proof(leaves: Sequence[bytes], index: int) -> tuple[bytes, ...]:
    """The hashes that lead from leaf `index` to the root (RFC 9162, 2.1.3.1). IndexError outside the tree."""
    if not 0 <= index < len(leaves):
        raise IndexError(f"leaf {index} is not in a tree of {len(leaves)}")
    path: list[bytes] = []
    low, high = 0, len(leaves)
    while high - low > 1:
        middle = low + _split(high - low)
        if index < middle:
            path.append(root_of(leaves[middle:high]))
            high = middle
        else:
            path.append(root_of(leaves[low:middle]))
            low = middle
    return tuple(reversed(path))


def is_included(leaf: bytes, index: int, size: int, proof: Sequence[bytes], root: bytes) -> bool:
    """Whether the proof leads from the leaf's hash to the root (RFC 9162, 2.1.3.2)."""
    if not 0 <= index < size:
        return False
    at, last, found = index, size - 1, leaf
    for step in proof:
        if last == 0:
            return False
        if at & 1 or at == last:
            found = node_hash(step, found)
            while not at & 1 and at:
                at, last = at >> 1, last >> 1
        else:
            found = node_hash(found, step)
        at, last = at >> 1, last >> 1
    return last == 0 and found == root


def consistency_proof(leaves: Sequence[bytes], size: int) -> tuple[bytes, ...]:
    """The hashes that show the first `size` leaves to be the start of all (RFC 9162, 2.1.4.1). ValueError for other sizes."""
    return growth_proof(len(leaves), size, lambda low, high: root_of(leaves[low:high]))
