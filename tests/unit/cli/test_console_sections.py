"""Columns of a printed answer: nothing is cut, nothing is wider than its column."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from rich.cells import cell_len
from rich.console import Console
from rich.text import Text

from airwrit.cli.console import longest_word, print_rows, wrapped


@pytest.mark.parametrize(
    ("text", "room", "lines"),
    [
        ("", 5, [""]),
        ("one two", 7, ["one two"]),
        ("one two", 6, ["one", "two"]),
        ("one\ntwo", 20, ["one", "two"]),
        ("one twothree", 5, ["one", "twoth", "ree"]),
        ("東京 駅", 5, ["東京", "駅"]),
        ("東京駅前", 4, ["東京", "駅前"]),
    ],
)
def test_a_text_is_wrapped_between_words(text: str, room: int, lines: list[str]) -> None:
    assert wrapped(text, room) == lines


@given(st.text("ab 東é\n", max_size=40), st.integers(2, 12))
def test_no_line_is_wider_than_its_room_and_no_letter_is_lost(text: str, room: int) -> None:
    lines = wrapped(text, room)
    assert all(cell_len(line) <= room for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


def printed(width: int, *rows: tuple[str | Text, ...], terminal: bool = False) -> str:
    out = Console(file=io.StringIO(), width=width, force_terminal=terminal, _environ={"TERM": "xterm"})
    print_rows(rows, (-4, (1, 6), 2), out, titles=("", "NAME", "SAYS"))
    assert isinstance(out.file, io.StringIO)
    return out.file.getvalue()


def test_columns_share_the_room() -> None:
    assert printed(26, ("|--|", "UAS-1", "one two three")) == (
        "      NAME    SAYS\n|--|  UAS-1   one two\n              three\n"
    )


def test_a_style_wraps_its_own_text_and_not_the_blanks() -> None:
    text = printed(26, ("|--|", Text("UAS-1", style="bold"), "one"), terminal=True)
    assert "|--|  \x1b[1mUAS-1\x1b[0m   one\n" in text


def test_the_longest_word_counts_within_reason() -> None:
    assert (longest_word(["a bcd", "ef"]), longest_word([]), longest_word(["x" * 99])) == (3, 0, 24)
