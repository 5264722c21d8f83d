"""The Merkle tree of the log: hashes, root, proofs that an entry is in it and that one tree only grew from another.

Source: RFC 9162 (Certificate Transparency 2.0), section 2.1, with SHA-256. Leaves are the bytes of entry lines.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Callable, Iterable, Mapping, Sequence
from hashlib import sha256

Subtree = Callable[[int, int], bytes]
"""Gives the root over the leaves from the first number up to, but not with, the second."""

EMPTY_ROOT = sha256(b"").digest()
"""The root of a tree without leaves (RFC 9162, 2.1.1)."""


def leaf_hash(data: bytes) -> bytes:
    """SHA-256(0x00 || data)."""
    return sha256(b"\x00" + data).digest()


def node_hash(left: bytes, right: bytes) -> bytes:
    """SHA-256(0x01 || left || right)."""
    return sha256(b"\x01" + left + right).digest()


class Frontier:
    """A tree that grows at its right end: holds only the roots of its full subtrees, largest first."""

    __slots__ = ("peaks", "size")

    def __init__(self, size: int = 0, peaks: Iterable[bytes] = ()) -> None:
        """An empty tree, or one taken up again. ValueError when the peaks are not those of a tree of that size."""
        self.size, self.peaks = size, list(peaks)
        if size < 0 or size.bit_count() != len(self.peaks) or any(len(peak) != 32 for peak in self.peaks):
            raise ValueError(f"{len(self.peaks)} peaks do not make a tree of {size} leaves")

    def add(self, leaf: bytes) -> list[bytes]:
        """Take in the hash of one more leaf; the roots of the full subtrees that it completes, the smallest first."""
        size, made = self.size, []
        while size & 1:
            leaf = node_hash(self.peaks.pop(), leaf)
            made.append(leaf)
            size >>= 1
        self.peaks.append(leaf)
        self.size += 1
        return made

    @property
    def root(self) -> bytes:
        """The root of the tree so far."""
        if not self.peaks:
            return EMPTY_ROOT
        root = self.peaks[-1]
        for peak in reversed(self.peaks[:-1]):
            root = node_hash(peak, root)
        return root


def _split(size: int) -> int:
    """The largest power of two below `size`."""
    return 1 << ((size - 1).bit_length() - 1)


def covering(size: int, indices: Sequence[int], subtree: Subtree) -> tuple[bytes, ...]:
    """The roots of the largest subtrees that hold none of the leaves `indices` (rising), from left to right.

    With the hashes of those leaves they give the root: one proof that all of them are in the tree.
    """
    found: list[bytes] = []
    parts = [(0, size, indices)] if size else []
    while parts:
        low, high, inside = parts.pop()
        if not inside:
            found.append(subtree(low, high))
        elif high - low > 1:
            middle = low + _split(high - low)
            cut = bisect_left(inside, middle)
            parts += [(middle, high, inside[cut:]), (low, middle, inside[:cut])]
    return tuple(found)


def root_covered(size: int, leaves: Mapping[int, bytes], hashes: Sequence[bytes]) -> bytes | None:
    """The root to which leaf hashes by their places and the hashes of `covering` lead; None when these do not fit."""
    places, rest = sorted(leaves), iter(hashes)
    if not places or places[0] < 0 or places[-1] >= size:
        return None

    def root(low: int, high: int, inside: Sequence[int]) -> bytes:
        if not inside:
            return next(rest)
        if high - low == 1:
            return leaves[low]
        middle = low + _split(high - low)
        cut = bisect_left(inside, middle)
        left = root(low, middle, inside[:cut])
        return node_hash(left, root(middle, high, inside[cut:]))

    try:
        found = root(0, size, places)
    except StopIteration:
        return None
    return found if next(rest, None) is None else None


def growth_proof(size: int, first: int, subtree: Subtree) -> tuple[bytes, ...]:
    """The hashes that show the first `first` leaves to be the start of a tree of `size` (RFC 9162, 2.1.4.1)."""
    if not 0 < first <= size:
        raise ValueError(f"no tree of {first} leaves leads to one of {size}")
    path: list[bytes] = []
    low, high, whole = 0, size, True
    while first != high - low:
        middle = low + _split(high - low)
        if first <= middle - low:
            path.append(subtree(middle, high))
            high = middle
        else:
            path.append(subtree(low, middle))
            first, low, whole = first - (middle - low), middle, False
    if not whole:
        path.append(subtree(low, high))
    return tuple(reversed(path))


def is_consistent(
    first: int, first_root: bytes, second: int, second_root: bytes, proof: Sequence[bytes]
) -> bool:
    """Whether the proof shows the tree of `first` leaves to be the start of that of `second` (RFC 9162, 2.1.4.2)."""
    if not 0 < first <= second:
        return False
    if first == second:
        return not proof and first_root == second_root
    steps = list(proof)
    if first & (first - 1) == 0:
        steps.insert(0, first_root)
    if not steps:
        return False
    at, last = first - 1, second - 1
    while at & 1:
        at, last = at >> 1, last >> 1
    old = new = steps[0]
    for step in steps[1:]:
        if last == 0:
            return False
        if at & 1 or at == last:
            old, new = node_hash(step, old), node_hash(step, new)
            while not at & 1 and at:
                at, last = at >> 1, last >> 1
        else:
            new = node_hash(new, step)
        at, last = at >> 1, last >> 1
    return last == 0 and old == first_root and new == second_root
