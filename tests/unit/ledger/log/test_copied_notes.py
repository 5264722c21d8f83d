"""Copying a checkpoint from its page loses lines and brings signs along; the same note is found again, and no other."""

from __future__ import annotations

from contextlib import suppress
from datetime import UTC, datetime

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadProof
from airwrit.ledger.entry import instant_text
from airwrit.ledger.log.copied_notes import checkpoint_note_in, copied_note
from airwrit.ledger.log.notes import (
    Checkpoint,
    checkpoint_of,
    checkpoint_text,
    new_key,
    note_of,
    origin_of,
    signed,
)

ORIGIN = origin_of("5f0c51f4a8d36bb9e4f5b7d1c1a5d9d2")
TOLD = Checkpoint(
    ORIGIN, 74, bytes(range(32)), bytes(range(32, 64)), instant_text(datetime(2026, 11, 25, 14, tzinfo=UTC))
)
TEXT = checkpoint_text(TOLD)
NOTE = signed(TEXT, new_key(ORIGIN))
BARE = checkpoint_text(Checkpoint(ORIGIN, 74, bytes(range(32))))


def without_empty_lines(note: str) -> str:
    return "\n".join(line for line in note.splitlines() if line)


def indented(note: str) -> str:
    return "".join(f"   {line}  \n" for line in note.splitlines())


def with_page_around(note: str) -> str:
    return f"Checkpoint\nledger\n{ORIGIN}\nentries\n74\n{note}\nHow to use it\n1. Scan\n\fpage 1 of 1\n"


def with_unseen_signs(note: str) -> str:
    return note.replace("/", "\u200b/\u00ad").replace(" ", "\u00a0")


def with_broken_signature(note: str) -> str:
    lines = note.splitlines()
    return "\n".join([*lines[:-1], lines[-1][:80], lines[-1][80:120], lines[-1][120:]])


def with_another_dash(note: str) -> str:
    return note.replace("\N{EM DASH}", "\N{EN DASH}")


@pytest.mark.parametrize("note", [NOTE, TEXT, BARE])
@pytest.mark.parametrize(
    "copy",
    [
        str,
        without_empty_lines,
        indented,
        with_page_around,
        with_unseen_signs,
        with_another_dash,
        lambda note: note.replace("\n", "\r\n"),
        lambda note: without_empty_lines(with_page_around(indented(with_unseen_signs(note)))),
    ],
)
def test_a_copied_note_is_the_note(note: str, copy: object) -> None:
    made = copy(note)  # type: ignore[operator]
    assert checkpoint_note_in(made.encode(), "copied.txt") == note_of(note)


def test_a_broken_signature_is_whole_again() -> None:
    assert checkpoint_note_in(with_broken_signature(NOTE).encode(), "copied.txt") == note_of(NOTE)


@pytest.mark.parametrize(
    "text",
    ["", "nothing\n", f"{ORIGIN}\n74\n", f"{ORIGIN}\nmany\n{TEXT.splitlines()[2]}\n", TEXT.replace("=", "")],
)
def test_what_holds_no_checkpoint_is_refused_with_its_name(text: str) -> None:
    with pytest.raises(BadProof, match=r"copied\.txt"):
        checkpoint_note_in(text.encode(), "copied.txt")


@given(st.binary(max_size=300) | st.text(max_size=300).map(str.encode))
def test_any_bytes_are_a_checkpoint_or_refused(data: bytes) -> None:
    with suppress(BadProof):
        checkpoint_of(checkpoint_note_in(data, "copied.txt").text)


def test_lines_of_another_log_are_left_as_they_are() -> None:
    text = "example.com/log\n7\n" + TEXT.splitlines()[2] + "\nits own line\n"
    assert checkpoint_note_in(text.encode(), "other.txt") == note_of(text)


@given(st.text(max_size=200), st.text(max_size=200))
def test_words_around_change_nothing(before: str, after: str) -> None:
    found = copied_note(f"{before}\n{NOTE}\n{after}")
    assert found == NOTE or ORIGIN in before
