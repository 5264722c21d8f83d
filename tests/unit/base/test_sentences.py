"""Sentences put together and days as people write them."""

from __future__ import annotations

import pytest

from airwrit.base.sentences import Share, clause, counted, parts_of_whole, sentence, with_days, with_section


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


GROUNDED, WORK = ("is grounded", "are grounded"), ("has papers OK for work", "have papers OK for work")


@pytest.mark.parametrize(
    ("grounded", "work", "open_ones", "says"),
    [
        (0, 0, 0, "No aircraft on record."),
        (1, 0, 0, "The only aircraft is grounded."),
        (0, 1, 0, "The only aircraft has papers OK for work."),
        (0, 0, 1, "We can't tell yet for the only aircraft."),
        (0, 2, 0, "None of 2 aircraft are grounded. 2 have papers OK for work."),
        (1, 1, 1, "1 of 3 aircraft is grounded. 1 has papers OK for work. We can't tell yet for 1."),
        (2, 0, 0, "2 of 2 aircraft are grounded."),
    ],
)
def test_a_whole_falls_into_parts(grounded: int, work: int, open_ones: int, says: str) -> None:
    parts = (Share(grounded, *GROUNDED), Share(work, *WORK))
    whole = grounded + work + open_ones
    assert parts_of_whole(whole, ("aircraft", "aircraft"), parts, open_ones) == says


def test_a_whole_of_one_in_no_part_is_told_otherwise() -> None:
    nothing = (Share(0, *GROUNDED),)
    assert (
        parts_of_whole(1, ("person", "people"), nothing, 0, "isn't grounded")
        == "The only person isn't grounded."
    )


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("Not on file: owner.", "not on file: owner"),
        ("Agricultural work under Part 137. We don't check it.", "agricultural work under Part 137"),
        ("Part 47 registration expires today.", "Part 47 registration expires today"),
        ("FAA acceptance isn't on file.", "FAA acceptance isn't on file"),
    ],
)
def test_a_sentence_within_another_has_a_small_letter_and_no_full_stop(text: str, says: str) -> None:
    assert clause(text) == says
