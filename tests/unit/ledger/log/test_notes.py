"""Keys, notes and checkpoints of our own: what is written is read again, whatever else is refused with a typed error."""

from __future__ import annotations

import contextlib

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadProof
from airwrit.ledger.log.notes import (
    Checkpoint,
    Signed,
    checkpoint_of,
    checkpoint_text,
    how_signed,
    new_key,
    note_of,
    origin_of,
    public_key_of,
    signed,
    signing_key_of,
)

TOLD = Checkpoint(origin_of("ab12"), 7, bytes(range(32)), bytes(32), "2026-11-25T14:00:00.000000Z")


def test_a_key_is_read_again_from_its_file_and_hides_its_secret() -> None:
    key = new_key("airwrit/ab12")
    assert signing_key_of(key.file_text) == key
    assert public_key_of(key.public.text) == key.public
    assert key.file_text.strip().split("+", 4)[4] not in repr(key)


def test_a_signature_holds_for_its_text_and_key_alone() -> None:
    key, other = new_key("a"), new_key("a")
    note = note_of(signed(checkpoint_text(TOLD), key))
    assert how_signed(note, [key.public]) is Signed.GOOD
    assert how_signed(note, [other.public]) is Signed.UNKNOWN
    assert how_signed(note._replace(text=note.text.replace("7", "8", 1)), [key.public]) is Signed.BAD
    assert how_signed(note_of(checkpoint_text(TOLD)), [key.public]) is Signed.NONE


@pytest.mark.parametrize("size", [0, 1, 2**53 - 1])
def test_a_checkpoint_is_read_again(size: int) -> None:
    for told in (TOLD, TOLD._replace(subjects=b"", last="")):
        assert checkpoint_of(checkpoint_text(told._replace(size=size))) == told._replace(size=size)


@pytest.mark.parametrize(
    ("was", "made"),
    [
        ("\n7\n", "\n07\n"),
        ("\n7\n", "\n-7\n"),
        ("\n7\n", "\n9007199254740992\n"),
        ("\n7\n", "\n\N{ARABIC-INDIC DIGIT SEVEN}\n"),
        ("AAEC", "AAE"),
        ("subjects A", "subjects "),
        ("airwrit/ab12\n", ""),
        ("\n7\n", "\n\n7\n"),
    ],
)
def test_what_is_no_checkpoint_is_refused(was: str, made: str) -> None:
    text = checkpoint_text(TOLD)
    assert was in text
    with pytest.raises(BadProof):
        checkpoint_of(text.replace(was, made, 1))


def test_lines_of_other_logs_are_passed_over() -> None:
    assert checkpoint_of(checkpoint_text(TOLD) + "Timestamp: 5\n") == TOLD


@pytest.mark.parametrize("name", ["", "a b", "a\nb", "x" * 65, "a+b"])
def test_a_ledgers_name_that_cannot_stand_in_a_checkpoint_is_refused(name: str) -> None:
    with pytest.raises(BadProof):
        origin_of(name)


@given(st.one_of(st.text(), st.binary().map(lambda data: data.decode("latin-1"))))
def test_any_text_gives_a_value_or_a_typed_error(text: str) -> None:
    for read in (note_of, checkpoint_of, public_key_of, signing_key_of):
        with contextlib.suppress(BadProof):
            read(text)
