"""Texts are made clean of what cannot be seen, and it is said."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.intake.cell.value import HARD_SPACE_NOTE, UNSEEN_NOTE, clean, joined


@pytest.mark.parametrize(
    ("text", "seen", "note"),
    [
        ("H-01", "H-01", ""),
        ("  H  01 ", "H 01", ""),
        ("two\nlines", "two lines", ""),
        ("FA00\u200bTEST01", "FA00TEST01", UNSEEN_NOTE),
        ("\ufeffH-01", "H-01", UNSEEN_NOTE),
        ("H-\u00ad01", "H-01", UNSEEN_NOTE),
        ("\x1b[31mH-01\x1b[0m", "H-01", UNSEEN_NOTE),
        ("\x1b]0;title\x07H-01", "H-01", UNSEEN_NOTE),
        ("H\x0001", "H01", UNSEEN_NOTE),
        ("H\u202e01", "H01", UNSEEN_NOTE),
        ("1\u00a0388 g", "1 388 g", HARD_SPACE_NOTE),
        ("1\u202f388 g", "1 388 g", HARD_SPACE_NOTE),
        ("Søren Åberg", "Søren Åberg", ""),
        ("\ud800x", "x", UNSEEN_NOTE),
        ("", "", ""),
    ],
)
def test_a_text_is_cleaned(text: str, seen: str, note: str) -> None:
    assert clean(text) == (seen, note)


@given(st.text())
def test_what_is_left_can_be_printed_and_is_clean(text: str) -> None:
    seen = clean(text).text
    assert clean(seen).text == seen
    assert "\x1b" not in seen
    assert not any(ord(sign) < 32 for sign in seen)


def test_remarks_are_joined() -> None:
    assert joined("", "a", "", "b") == "a; b"
