"""Where each value was read: the three facts, what they may claim, and how faces say it."""

from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest

from airwrit.base.errors import BadLawFile
from airwrit.law.parameters import (
    LATE_AFTER_DAYS,
    Had,
    earliest,
    last_read,
    late_reading,
    oldest,
    provenance_of,
    read_words,
    readings,
    tables,
)

READ = date(2026, 11, 24)
PRIMARY_SECTION = re.compile(r"(\d+ CFR |\d+ USC |\d+ FR |Pub\. L\. |SFAR )")
OF_GOVERNMENTS_OR_COPIES = re.compile(r"https?://[^\s;]+$")


def entry(**other: Any) -> dict[str, Any]:
    """A value's provenance that keeps the form."""
    return {
        "source": "14 CFR 1",
        "text_of": date(2026, 4, 5),
        "had": "primary text",
        "read_on": READ,
        "confidence": "high",
        **other,
    }


@pytest.mark.parametrize(
    ("bad", "fault"),
    [
        (
            {"had": "somebody"},
            "p: Had is one of primary text, copy of the Code, agency page, secondary, memory.",
        ),
        (
            {"text_of": "last year"},
            "p: Text_of is a day, a year, a month, 'after ...', 'not dated' or 'no text'.",
        ),
        ({"text_of": ""}, "p: Text_of is a day, a year, a month, 'after ...', 'not dated' or 'no text'."),
        ({"confidence": "sure"}, "p: Confidence is one of high, medium, low."),
        ({"had": "memory"}, "p: Memory, and memory alone, has 'no text' for the day of its text."),
        ({"text_of": "no text"}, "p: Memory, and memory alone, has 'no text' for the day of its text."),
        ({"had": "memory", "text_of": "no text"}, "p: What is from memory has low confidence."),
        (
            {"had": "copy of the Code"},
            "p: High confidence needs the primary text or two independent copies.",
        ),
        ({"had": "secondary"}, "p: High confidence needs the primary text or two independent copies."),
    ],
)
def test_what_claims_too_much_is_refused(bad: dict[str, Any], fault: str) -> None:
    with pytest.raises(BadLawFile) as raised:
        provenance_of(entry(**bad), "p")
    assert str(raised.value) == fault


@pytest.mark.parametrize(
    "kept",
    [
        {},
        {"had": "copy of the Code", "also": ["another copy"]},
        {"had": "copy of the Code", "confidence": "medium"},
        {"had": "memory", "text_of": "no text", "confidence": "low"},
        *(
            {"text_of": text}
            for text in ("2024", "2024-05", "2024-05-06", "after 2021", "after 2021-04", "not dated")
        ),
    ],
)
def test_what_keeps_the_form_is_read(kept: dict[str, Any]) -> None:
    found = provenance_of(entry(**kept), "p")
    assert found.had in Had
    assert found.url == ""


@pytest.mark.parametrize(
    ("text", "day"),
    [
        (date(2024, 5, 6), date(2024, 5, 6)),
        ("2024", date(2024, 1, 1)),
        ("2024-05", date(2024, 5, 1)),
        ("after 2021-04-21", date(2021, 4, 21)),
        ("not dated", date.min),
        ("no text", date.min),
    ],
)
def test_the_earliest_day_a_text_may_be_of(text: date | str, day: date) -> None:
    assert earliest(text) == day


def test_the_oldest_text_is_the_one_least_known() -> None:
    assert oldest([date(2024, 5, 6), "2024", "not dated"]) == "not dated"
    assert oldest([date(2024, 5, 6), "2024"]) == "2024"


@pytest.mark.parametrize(
    ("text", "had", "words"),
    [
        (date(2026, 4, 5), Had.COPY, "text of 2026-04-05, read 2026-11-24"),
        ("2024", Had.SECONDARY, "text of 2024, read 2026-11-24, secondhand copy"),
        ("after 2021-04", Had.COPY, "text from after 2021-04, read 2026-11-24"),
        ("not dated", Had.AGENCY, "undated text, read 2026-11-24"),
        ("no text", Had.MEMORY, "written from memory on 2026-11-24, not checked against the text"),
    ],
)
def test_second_hand_and_memory_are_said_in_words(text: date | str, had: Had, words: str) -> None:
    assert read_words(text, had, READ) == words


def test_every_value_has_the_three_facts() -> None:
    found = readings()
    assert found.values == sum(len(table["values"]) for table in tables().values()) == sum(found.had.values())
    for name, table in tables().items():
        for value in table["values"]:
            assert type(value["read_on"]) is date, name
            assert value["read_on"] >= READ, name
            assert earliest(value["text_of"]) <= value["read_on"], name


def test_a_primary_section_stands_first() -> None:
    for name, table in tables().items():
        for value in table["values"]:
            assert PRIMARY_SECTION.match(value["cites"]), name


def test_addresses_are_whole_or_left_out() -> None:
    for name, table in tables().items():
        for value in table["values"]:
            url = value.get("url")
            assert url is None or (
                OF_GOVERNMENTS_OR_COPIES.match(url) and "…" not in url and "..." not in url
            ), name


def test_second_hand_copies_have_no_address_and_are_never_high_alone() -> None:
    for name, table in tables().items():
        for value in table["values"]:
            if value["had"] in ("secondary", "memory"):
                assert "url" not in value, name


@pytest.mark.parametrize("days", [LATE_AFTER_DAYS, 0, -4000])
def test_a_day_not_long_after_the_last_reading_says_nothing_first(days: int) -> None:
    assert late_reading(last_read() + timedelta(days=days)) == ""


def test_a_day_long_after_the_last_reading_says_so() -> None:
    day = last_read() + timedelta(days=LATE_AFTER_DAYS + 1)
    assert late_reading(day).startswith(f"We last read the law on {last_read()}, 184 days before this day.")


def test_the_last_reading_is_that_of_the_files() -> None:
    assert last_read() == readings().last_on
