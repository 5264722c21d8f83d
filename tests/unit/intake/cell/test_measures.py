"""Heights, distances and speeds with their units: exact where the units are alike, to a millionth where they are turned."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadFact
from airwrit.facts.key import Raw
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.cell.measures import read_measure
from airwrit.intake.typed.facts_file import read_facts
from airwrit.intake.typed.reply import read_reply


@pytest.mark.parametrize(
    ("text", "unit", "number"),
    [
        ("400", "ft", "400"),
        ("400 ft", "ft", "400"),
        ("400ft", "ft", "400"),
        ("400 feet", "ft", "400"),
        ("1400 ft AGL", "ft", "1400"),
        ("90.5", "ft", "90.5"),
        ("121.92 m", "ft", "400"),
        ("120 m", "ft", "393.700787"),
        ("100 mph", "kt", "86.897624"),
        ("87 knots", "kt", "87"),
        ("3 miles", "sm", "3"),
        ("3 nm", "mi", "3.452338"),
        ("5 km", "sm", "3.106856"),
        ("2 3/4", "sm", "2.75"),  # visibility is told in halves, quarters and eighths (FMH-1)
        ("1-1/2 miles", "sm", "1.5"),
        ("1/4", "sm", "0.25"),
        ("$500", "usd", "500"),
        ("1200 dollars", "usd", "1200"),
        ("40", "", "40"),
    ],
)
def test_measures(text: str, unit: str, number: str) -> None:
    """The foot is 0.3048 m and the nautical mile 1852 m, exactly (NIST SP 811, appendix B; from memory)."""
    assert read_measure(text, unit) == number


@pytest.mark.parametrize(
    ("text", "unit"),
    [
        *(("high", "ft"), ("", "ft"), ("400 kg", "ft"), ("87 ft", "kt"), ("3 hours", ""), ("1,388 ft", "ft")),
        *(("nan", "ft"), ("4e9", "ft"), ("~400", "ft")),
    ],
)
def test_what_is_no_measure(text: str, unit: str) -> None:
    with pytest.raises(BadFact) as bad:
        read_measure(text, unit)
    assert bad.value.do


@given(st.text(max_size=30), st.sampled_from(["ft", "kt", "sm", "usd", ""]))
def test_no_text_gives_anything_but_a_number_or_bad_fact(text: str, unit: str) -> None:
    try:
        told = read_measure(text, unit)
    except BadFact:
        return
    assert set(told) <= set("-0123456789.")


@pytest.mark.parametrize(
    ("key", "said", "raw"),
    [
        ("height_agl_ft", "120 m", "393.700787"),
        ("ground_speed_kt", "20", "20"),
        ("hours_since_drink", "12", "12"),
        ("stadium_seats", "3,000", None),
        ("citizen_votes_share", "75 %", "0.75"),
    ],
)
def test_replies(key: str, said: str, raw: Raw) -> None:
    if raw is None:
        with pytest.raises(BadFact):
            read_reply(KEYS[key], said)
    else:
        assert read_reply(KEYS[key], said) == raw


def test_a_file_of_facts_takes_units_too() -> None:
    known = read_facts('[flight]\nheight_agl = "120 m"\nground_speed = "20 mph"\n', "facts.toml").known
    assert [item.statement[1:3] for item in known] == [
        ("height_agl_ft", "393.700787"),
        ("ground_speed_kt", "17.379525"),
    ]
    for text in ("height_agl = 120", 'height_agl = "120 kg"', 'height_agl = "120 m"\nheight_agl_ft = 3'):
        with pytest.raises(BadFact, match="height_agl"):
            read_facts(f"[flight]\n{text}\n", "facts.toml")
