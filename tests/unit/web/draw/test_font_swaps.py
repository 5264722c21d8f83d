"""Glyphs that a feature puts in the place of others: read from tables made here, and found in the fonts that are served."""

from __future__ import annotations

import struct
from importlib.resources import files

import pytest

from airwrit.web.draw.font_swaps import swapped
from airwrit.web.draw.fonts import FACES, font_files, glyphs_of, tables_of


def gsub(lookups: list[bytes], tag: bytes = b"tnum") -> bytes:
    """A GSUB table with one feature over all of some lookups."""
    feature = struct.pack(">HH", 0, len(lookups)) + struct.pack(f">{len(lookups)}H", *range(len(lookups)))
    features = struct.pack(">H", 1) + tag + struct.pack(">H", 8) + feature
    places, body, at = [], b"", 2 + 2 * len(lookups)
    for lookup in lookups:
        places.append(at + len(body))
        body += lookup
    listed = struct.pack(f">H{len(lookups)}H", len(lookups), *places) + body
    return struct.pack(">HHHHH", 1, 0, 0, 10, 10 + len(features)) + features + listed


def lookup(kind: int, table: bytes) -> bytes:
    """A lookup of one subtable."""
    return struct.pack(">HHHH", kind, 0, 1, 8) + table


BY_LIST = struct.pack(">HH", 1, 2) + struct.pack(">HH", 5, 9)
BY_RANGE = struct.pack(">HHHHH", 2, 1, 5, 7, 0)
DELTA = struct.pack(">HHh", 1, 6, 100) + BY_LIST
BACKWARD = struct.pack(">HHh", 1, 6, -4) + BY_LIST
LISTED = struct.pack(">HHHHHH", 2, 12, 3, 50, 60, 70) + BY_RANGE


@pytest.mark.parametrize(
    ("table", "found"),
    [
        (lookup(1, DELTA), {105, 109}),
        (lookup(1, BACKWARD), {1, 5}),
        (lookup(1, LISTED), {50, 60, 70}),
        (lookup(7, struct.pack(">HHI", 1, 1, 8) + DELTA), {105, 109}),
        (lookup(7, struct.pack(">HHI", 1, 4, 8) + DELTA), set()),
        (lookup(4, DELTA), set()),
    ],
)
def test_both_forms_and_extensions(table: bytes, found: set[int]) -> None:
    assert swapped(gsub([table]), b"tnum", range(12)) == found


def test_only_what_is_asked_for() -> None:
    made = gsub([lookup(1, DELTA), lookup(1, LISTED)])
    assert swapped(made, b"tnum", [5]) == {105, 50}
    assert swapped(made, b"pnum", [5]) == set()


@pytest.mark.parametrize("name", ["text.ttf", "text-bold.ttf"])
def test_the_figures_of_one_width_are_drawn(name: str) -> None:
    """Each figure that columns are set in has an outline in the font that is served, and all have one width."""
    face = FACES[name]
    whole = tables_of((files(face.package) / "files" / face.file).read_bytes())
    cut = tables_of(font_files()[name])
    digits = [glyphs_of(whole[b"cmap"])[ord(sign)] for sign in "0123456789"]
    figures = swapped(whole[b"GSUB"], b"tnum", digits)
    assert len(figures) == 10
    loca = struct.unpack(f">{len(cut[b'loca']) // 4}I", cut[b"loca"])
    assert all(loca[glyph + 1] > loca[glyph] for glyph in figures)
    assert len({struct.unpack_from(">H", whole[b"hmtx"], 4 * glyph)[0] for glyph in figures}) == 1
