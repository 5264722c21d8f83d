"""The signs our papers can print, and what becomes of the others."""

from __future__ import annotations

import json
import unicodedata
from pathlib import Path

import pytest
import typst
from hypothesis import given
from hypothesis import strategies as st

from airwrit.papers.typeset import _PRINTED, fonts, printable


def test_every_sign_promised_has_a_glyph(tmp_path: Path) -> None:
    """PDF/A refuses a sign without a glyph, so a build of all of them tells."""
    signs = [chr(code) for first, last in _PRINTED for code in range(first, last + 1)]
    paper = tmp_path / "signs.typ"
    paper.write_text(
        '#set document(title: "signs")\n'
        '#set text(font: ("Atkinson Hyperlegible", "DejaVu Sans Mono"))\n'
        "#for sign in json(bytes(sys.inputs.signs)) [#sign ]\n",
        encoding="utf-8",
    )
    shown = [sign for sign in signs if not unicodedata.combining(sign)]
    made = typst.compile(
        paper,
        font_paths=fonts(),
        ignore_system_fonts=True,
        sys_inputs={"signs": json.dumps(shown)},
        pdf_standards="a-2b",
    )
    assert made.startswith(b"%PDF")


@pytest.mark.parametrize(
    ("text", "printed"),
    [
        ("Alder 1", "Alder 1"),
        ("  two\n lines\t", "two lines"),
        ("a\x00b\x1b[31mc", "a b [31mc"),
        ("e\u0301", "é"),
        ("\u202eabc\u200b", "abc"),
        ("\u4e2d\u6587", "<U+4E2D><U+6587>"),
        ("\U0001f6f8", "<U+1F6F8>"),
        ("\ud800", "<U+D800>"),
        ("", ""),
    ],
)
def test_printable(text: str, printed: str) -> None:
    assert printable(text) == printed


def test_a_long_text_keeps_both_ends() -> None:
    short = printable("a" * 500 + "z" * 500, 60)
    assert len(short) == 60
    assert short.startswith("aaa")
    assert short.endswith("zzz")
    assert " … " in short


@given(st.text(max_size=80))
def test_any_text_is_printable_and_stays_so(text: str) -> None:
    once = printable(text)
    assert printable(once) == once
    assert once.isprintable()
