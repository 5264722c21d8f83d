"""Sentences put together and days as people write them."""

from __future__ import annotations

import pytest

from airwrit.base.sentences import counted, sentence, with_days, with_section


@pytest.mark.parametrize(
    ("text", "shown"), [("", ""), ("look it up", "Look it up."), ("Which is it?", "Which is it?")]
)
def test_a_sentence_begins_and_ends(text: str, shown: str) -> None:
    assert sentence(text) == shown


def test_a_section_stands_before_the_full_stop() -> None:
    assert with_section("Ran out.", "Manual 6.2") == "Ran out (Manual 6.2)."
    assert with_section("Ran out.", "") == "Ran out."


@pytest.mark.parametrize(
    ("text", "shown"),
    [
        ("Expired 2026-11-30.", "Expired Nov 30, 2026."),
        ("from 2026-02-01 to 2027-01-31", "from Feb 1, 2026 to Jan 31, 2027"),
        ("no day: 2026-13-45", "no day: 2026-13-45"),
        (
            "rules-2026-11-30.toml, 2026-11-30.csv, 2026-11-30T20:15Z",
            "rules-2026-11-30.toml, 2026-11-30.csv, 2026-11-30T20:15Z",
        ),
    ],
)
def test_days(text: str, shown: str) -> None:
    assert with_days(text) == shown


@pytest.mark.parametrize(
    ("many", "words"), [(0, "0 people"), (1, "1 person"), (2, "2 people"), (1200, "1,200 people")]
)
def test_one_is_one_and_many_are_many(many: int, words: str) -> None:
    assert counted(many, "person", "people") == words


def test_a_plain_plural_takes_an_s() -> None:
    assert [counted(many, "note") for many in (1, 2)] == ["1 note", "2 notes"]
