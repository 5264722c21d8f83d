"""The faces of the page, out of their installed packages, cut to the signs of Latin text so that a page stays light.

A font of the TrueType kind is a set of tables. Cutting keeps the numbers of its glyphs: outlines of glyphs that no kept
sign needs become empty, the character map is written anew with the kept signs, and tables that a face does without are
left out. A variable font without its variation tables is its default style.
Source: OpenType specification 1.9: the font file, cmap (format 4), glyf, head, hmtx, loca, maxp, post (version 3).
"""

from __future__ import annotations

import struct
from collections.abc import Iterable, Mapping
from functools import cache
from importlib.resources import files
from itertools import pairwise
from typing import NamedTuple

from airwrit.web.draw.font_swaps import swapped

KEPT_SIGNS = frozenset(
    (*range(0x20, 0x7F), *range(0xA0, 0x180), *range(0x2010, 0x2027), 0x2032, 0x2033, 0x20AC, 0x2212)
)
"""ASCII, Latin-1, Latin Extended-A, and the dashes, quotes and primes of running text; others come from the system's fonts."""

_ALWAYS_DROPPED = frozenset((b"DSIG", b"post", b"cmap", b"glyf", b"loca"))
_VARIATION = frozenset((b"fvar", b"gvar", b"avar", b"HVAR", b"VVAR", b"MVAR", b"STAT", b"vhea", b"vmtx"))
_LAYOUT = frozenset((b"GPOS", b"GSUB", b"GDEF"))

_SUM = 0xB1B0AFBA
_COMPOSITE_WORDS, _COMPOSITE_SCALE, _COMPOSITE_MORE = 0x0001, 0x0008, 0x0020
_COMPOSITE_TWO_SCALES, _COMPOSITE_MATRIX = 0x0040, 0x0080

Tables = dict[bytes, bytes]


class Face(NamedTuple):
    """A face: the package it comes in, its file, and which tables it does without."""

    package: str
    file: str
    without: frozenset[bytes] = frozenset()


FACES: Mapping[str, Face] = {
    "text.ttf": Face("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Regular.ttf"),
    "text-bold.ttf": Face("fontpkg_atkinson_hyperlegible", "AtkinsonHyperlegible-Bold.ttf"),
    "title.ttf": Face("fontpkg_literata", "Literata[opsz,wght].ttf", _VARIATION | _LAYOUT),
}
"""The faces by the names under which they are served."""


@cache
def font_files() -> Mapping[str, bytes]:
    """The fonts by the names under which they are served."""
    return {
        name: cut((files(face.package) / "files" / face.file).read_bytes(), face.without)
        for name, face in FACES.items()
    }


def cut(font: bytes, without: Iterable[bytes] = (), signs: frozenset[int] = KEPT_SIGNS) -> bytes:
    """The font with the outlines of `signs` alone, less the tables in `without`."""
    tables = tables_of(font)
    glyphs = {sign: glyph for sign, glyph in glyphs_of(tables[b"cmap"]).items() if sign in signs}
    outlines = _outlines(tables)
    gsub = b"" if b"GSUB" in set(without) else tables.get(b"GSUB", b"")
    figures = swapped(gsub, b"tnum", glyphs.values()) if gsub else set()
    wanted = _with_parts({0, *glyphs.values(), *figures}, outlines)
    kept = [outline if number in wanted else b"" for number, outline in enumerate(outlines)]
    dropped = _ALWAYS_DROPPED | set(without)
    made = {tag: data for tag, data in tables.items() if tag not in dropped}
    made[b"glyf"], made[b"loca"] = _placed(kept)
    made[b"head"] = tables[b"head"][:50] + struct.pack(">h", 1) + tables[b"head"][52:]
    made[b"cmap"] = _character_map(glyphs)
    made[b"post"] = struct.pack(">I", 0x00030000) + tables[b"post"][4:32]
    return _assembled(font[:4], made)


def tables_of(font: bytes) -> Tables:
    """The tables of a font by their tags."""
    found = {}
    for number in range(struct.unpack_from(">H", font, 4)[0]):
        tag, _, start, length = struct.unpack_from(">4sIII", font, 12 + 16 * number)
        found[tag] = font[start : start + length]
    return found


def glyphs_of(cmap: bytes) -> dict[int, int]:
    """The glyph of each sign, from the format 4 table of a character map. ValueError without one."""
    for number in range(struct.unpack_from(">H", cmap, 2)[0]):
        _, _, at = struct.unpack_from(">HHI", cmap, 4 + 8 * number)
        if struct.unpack_from(">H", cmap, at)[0] == 4:
            return _format_4(cmap, at)
    raise ValueError("no format 4 character map")


def _format_4(cmap: bytes, at: int) -> dict[int, int]:
    count = struct.unpack_from(">H", cmap, at + 6)[0] // 2
    ends = struct.unpack_from(f">{count}H", cmap, at + 14)
    starts = struct.unpack_from(f">{count}H", cmap, at + 16 + 2 * count)
    deltas = struct.unpack_from(f">{count}H", cmap, at + 16 + 4 * count)
    place = at + 16 + 6 * count
    found = {}
    for number, (start, end, delta) in enumerate(zip(starts, ends, deltas, strict=True)):
        offset = struct.unpack_from(">H", cmap, place + 2 * number)[0]
        for sign in range(start, min(end, 0xFFFE) + 1):
            glyph = sign
            if offset:
                glyph = struct.unpack_from(">H", cmap, place + 2 * number + offset + 2 * (sign - start))[0]
            if not offset or glyph:
                found[sign] = (glyph + delta) & 0xFFFF
    return {sign: glyph for sign, glyph in found.items() if glyph}


def _outlines(tables: Tables) -> list[bytes]:
    """The outline of each glyph, in order."""
    count = struct.unpack_from(">H", tables[b"maxp"], 4)[0]
    if struct.unpack_from(">h", tables[b"head"], 50)[0]:
        places = struct.unpack_from(f">{count + 1}I", tables[b"loca"])
    else:
        places = tuple(2 * half for half in struct.unpack_from(f">{count + 1}H", tables[b"loca"]))
    return [tables[b"glyf"][start:end] for start, end in pairwise(places)]


def _with_parts(wanted: set[int], outlines: list[bytes]) -> set[int]:
    """The glyphs, with those that they are put together from."""
    found, ahead = set(wanted), list(wanted)
    while ahead:
        fresh = set(_parts(outlines[ahead.pop()])) - found
        found |= fresh
        ahead += fresh
    return found


def _parts(outline: bytes) -> Iterable[int]:
    """The glyphs that a composite glyph is put together from; nothing for a simple one."""
    if not outline or struct.unpack_from(">h", outline)[0] >= 0:
        return
    at, more = 10, True
    while more:
        flags, glyph = struct.unpack_from(">HH", outline, at)
        yield glyph
        at += 8 if flags & _COMPOSITE_WORDS else 6
        if flags & _COMPOSITE_SCALE:
            at += 2
        elif flags & _COMPOSITE_TWO_SCALES:
            at += 4
        elif flags & _COMPOSITE_MATRIX:
            at += 8
        more = bool(flags & _COMPOSITE_MORE)


def _placed(outlines: Iterable[bytes]) -> tuple[bytes, bytes]:
    """The table of outlines, and that of their places."""
    data, places = bytearray(), [0]
    for outline in outlines:
        data += outline + bytes(-len(outline) % 4)
        places.append(len(data))
    return bytes(data), struct.pack(f">{len(places)}I", *places)


def _character_map(glyphs: Mapping[int, int]) -> bytes:
    """A character map of format 4, a segment for each run of signs whose glyphs follow one another."""
    runs: list[list[int]] = []
    for sign in sorted(glyphs):
        if runs and sign == runs[-1][1] + 1 and glyphs[sign] == glyphs[sign - 1] + 1:
            runs[-1][1] = sign
        else:
            runs.append([sign, sign])
    starts = [run[0] for run in runs] + [0xFFFF]
    ends = [run[1] for run in runs] + [0xFFFF]
    deltas = [(glyphs[start] - start) & 0xFFFF for start in starts[:-1]] + [1]
    count = len(starts)
    step = 1 << (count.bit_length() - 1)
    head = (4, 16 + 8 * count, 0, 2 * count, 2 * step, step.bit_length() - 1, 2 * (count - step))
    table = struct.pack(">7H", *head) + struct.pack(f">{count}HH", *ends, 0)
    table += struct.pack(f">{3 * count}H", *starts, *deltas, *([0] * count))
    return struct.pack(">HHHHI", 0, 1, 3, 1, 12) + table


def _assembled(kind: bytes, tables: Tables) -> bytes:
    """A font file of these tables, with their sums."""
    count = len(tables)
    step = 1 << (count.bit_length() - 1)
    head = kind + struct.pack(">4H", count, 16 * step, step.bit_length() - 1, 16 * (count - step))
    at, directory, body = 12 + 16 * count, b"", b""
    for tag in sorted(tables):
        data = tables[tag] if tag != b"head" else tables[tag][:8] + bytes(4) + tables[tag][12:]
        directory += struct.pack(">4sIII", tag, _sum(data), at + len(body), len(data))
        body += data + bytes(-len(data) % 4)
    whole = bytearray(head + directory + body)
    place = at + sum(len(tables[tag]) + -len(tables[tag]) % 4 for tag in sorted(tables) if tag < b"head")
    struct.pack_into(">I", whole, place + 8, (_SUM - _sum(bytes(whole))) & 0xFFFFFFFF)
    return bytes(whole)


def _sum(data: bytes) -> int:
    padded = data + bytes(-len(data) % 4)
    words: tuple[int, ...] = struct.unpack(f">{len(padded) // 4}I", padded)
    return sum(words) & 0xFFFFFFFF
