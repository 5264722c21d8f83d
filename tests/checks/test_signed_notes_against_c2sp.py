"""Signed notes and checkpoints against published keys, signatures and examples (signed_notes/SOURCE.toml)."""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from airwrit.base.errors import BadProof
from airwrit.ledger.log.notes import (
    Signed,
    checkpoint_of,
    checkpoint_text,
    how_signed,
    note_of,
    public_key_of,
    signed,
    signing_key_of,
)

KNOWN: dict[str, Any] = tomllib.loads(
    (Path(__file__).parent / "signed_notes" / "vectors.toml").read_text(encoding="utf-8")
)
TEXT, FIRST, SECOND = KNOWN["text"], KNOWN["signature"], KNOWN["second_signature"]
KEY, SECOND_KEY = public_key_of(KNOWN["key"]), public_key_of(KNOWN["second_key"])


def test_the_published_key_signs_the_published_note() -> None:
    key = signing_key_of(KNOWN["secret"] + "\n")
    assert key.public == KEY
    assert key.file_text == KNOWN["secret"] + "\n"
    assert signed(TEXT, key) == f"{TEXT}\n{FIRST}"
    assert KEY.text == KNOWN["key"]


@pytest.mark.parametrize(
    ("signatures", "keys", "comes_to"),
    [
        (FIRST, [KEY], Signed.GOOD),
        (FIRST + SECOND, [KEY], Signed.GOOD),
        (FIRST + SECOND, [KEY, SECOND_KEY], Signed.GOOD),
        (FIRST + SECOND, [], Signed.UNKNOWN),
        (FIRST, [SECOND_KEY], Signed.UNKNOWN),
        (FIRST[:60] + "ABCD" + FIRST[60:], [KEY], Signed.BAD),
        (FIRST + SECOND[:60] + "ABCD" + SECOND[60:], [KEY], Signed.GOOD),
        (FIRST + SECOND[:60] + "ABCD" + SECOND[60:], [KEY, SECOND_KEY], Signed.BAD),
    ],
)
def test_signatures_come_to_what_is_published(signatures: str, keys: list[Any], comes_to: Signed) -> None:
    note = note_of(f"{TEXT}\n{signatures}")
    assert note.text == TEXT
    assert how_signed(note, keys) is comes_to


@pytest.mark.parametrize(
    "text",
    [
        TEXT + "\n",
        f"{TEXT}\n{FIRST[:-1]}",
        f"\x01{TEXT}\n{FIRST}",
        TEXT + "\n" + FIRST.replace("PeterNeumann", "Bad Name"),
        f"{TEXT}\n{FIRST}Unexpected line.\n",
        TEXT + "\n" + FIRST * 101,
    ],
)
def test_texts_that_are_no_notes_are_refused(text: str) -> None:
    with pytest.raises(BadProof):
        note_of(text)


def test_a_key_with_anything_changed_is_refused() -> None:
    for told in (KNOWN["key"], KNOWN["secret"]):
        read = public_key_of if told is KNOWN["key"] else signing_key_of
        for low in range(len(told)):
            for high in range(low + 1, len(told) + 1):
                if high - low < len(told):
                    with pytest.raises(BadProof):
                        read(told[low:high])
        for at in range(len(told)):
            with pytest.raises(BadProof):
                read(told[:at] + chr(ord(told[at]) + 1) + told[at + 1 :])
    for text in KNOWN["refused"]:
        with pytest.raises(BadProof):
            public_key_of(text)


def test_the_example_of_a_checkpoint_is_read_and_written_again() -> None:
    note = note_of(KNOWN["checkpoint"])
    told = checkpoint_of(note.text)
    assert (told.origin, told.size, told.root[:2].hex()) == ("example.com/behind-the-sofa", 20852163, "0ac5")
    assert checkpoint_text(told) == note.text
    assert how_signed(note, [KEY]) is Signed.UNKNOWN
