"""Glyphs that a font puts in the place of others when a feature is asked for, such as figures of one width for columns.

Source: OpenType specification 1.9, chapter GSUB: feature list, lookup types 1 (single) and 7 (extension); coverage tables.
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Iterator

_SINGLE, _EXTENSION = 1, 7


def swapped(gsub: bytes, tag: bytes, glyphs: Iterable[int]) -> set[int]:
    """The glyphs that a feature puts in the place of some glyphs, one for one; other kinds of lookups are passed over."""
    wanted = set(glyphs)
    return {new for lookup in _lookups_of(gsub, tag) for old, new in _singles(gsub, lookup) if old in wanted}


def _u16(data: bytes, at: int) -> int:
    value: int = struct.unpack_from(">H", data, at)[0]
    return value


def _many(data: bytes, at: int) -> tuple[int, ...]:
    """The numbers after their count."""
    return struct.unpack_from(f">{_u16(data, at)}H", data, at + 2)


def _lookups_of(gsub: bytes, tag: bytes) -> Iterator[int]:
    """Where the lookups of a feature begin."""
    features, lookups = _u16(gsub, 6), _u16(gsub, 8)
    places = _many(gsub, lookups)
    numbers: set[int] = set()
    for number in range(_u16(gsub, features)):
        record = features + 2 + 6 * number
        if gsub[record : record + 4] == tag:
            numbers.update(_many(gsub, features + _u16(gsub, record + 4) + 2))
    yield from (lookups + places[number] for number in sorted(numbers))


def _singles(gsub: bytes, lookup: int) -> Iterator[tuple[int, int]]:
    """The pairs of a lookup: a glyph, and the one in its place."""
    kind = _u16(gsub, lookup)
    for offset in _many(gsub, lookup + 4):
        table = lookup + offset
        if kind == _EXTENSION:
            _, inner, further = struct.unpack_from(">HHI", gsub, table)
            if inner == _SINGLE:
                yield from _pairs(gsub, table + further)
        elif kind == _SINGLE:
            yield from _pairs(gsub, table)


def _pairs(gsub: bytes, table: int) -> Iterator[tuple[int, int]]:
    covered = _covered(gsub, table + _u16(gsub, table + 2))
    if _u16(gsub, table) == 1:
        (delta,) = struct.unpack_from(">h", gsub, table + 4)
        yield from ((glyph, (glyph + delta) % 0x10000) for glyph in covered)
    else:
        yield from zip(covered, _many(gsub, table + 4), strict=False)


def _covered(gsub: bytes, coverage: int) -> list[int]:
    """The glyphs of a coverage table, in order."""
    if _u16(gsub, coverage) == 1:
        return list(_many(gsub, coverage + 2))
    found: list[int] = []
    for number in range(_u16(gsub, coverage + 2)):
        first, last, _ = struct.unpack_from(">HHH", gsub, coverage + 4 + 6 * number)
        found += range(first, last + 1)
    return found
