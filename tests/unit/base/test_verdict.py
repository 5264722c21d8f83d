"""Verdicts of a whole, margins in days, and what an error says."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import AirwritError, BadFact, BadLawFile, UnreadableFile, UsageError
from airwrit.base.verdict import Undecided, Verdict, Why, days_left, worst_of

MET, NOT, OPEN, NONE = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.NOT_APPLICABLE


@pytest.mark.parametrize(
    ("verdicts", "whole"),
    [
        (set(), OPEN),
        ({NONE}, OPEN),
        ({MET}, MET),
        ({MET, NONE}, MET),
        ({MET, OPEN}, OPEN),
        ({OPEN, NONE}, OPEN),
        ({MET, NOT}, NOT),
        ({NOT, OPEN}, NOT),
        ({MET, NOT, OPEN, NONE}, NOT),
    ],
)
def test_worst_of(verdicts: set[Verdict], whole: Verdict) -> None:
    assert worst_of(verdicts) is whole


@given(st.sets(st.sampled_from(Verdict)))
def test_a_whole_is_met_only_with_something_met_and_nothing_against_it(verdicts: set[Verdict]) -> None:
    assert (worst_of(verdicts) is MET) == (MET in verdicts and not verdicts & {NOT, OPEN})


@pytest.mark.parametrize(
    ("on", "days"), [(date(2026, 11, 23), 1), (date(2026, 11, 24), 0), (date(2026, 11, 25), -1)]
)
def test_days_left(on: date, days: int) -> None:
    margin = days_left(date(2026, 11, 24), on)
    assert margin == (Decimal(days), "day", Decimal(days), Decimal(days))


def test_words_of_json_are_the_values() -> None:
    assert [verdict.value for verdict in Verdict] == ["met", "not_met", "unknown", "not_applicable"]
    assert Why.OUTSIDE_THIS_TOOL.value == "outside_this_tool"


def test_undecided_says_why_and_about_what() -> None:
    gap = Undecided(Why.MISSING, "expires_on")
    assert (gap.why, gap.about, str(gap)) == (Why.MISSING, "expires_on", "missing: expires_on")


def test_an_error_is_one_line() -> None:
    assert str(UsageError("no such rule")) == "No such rule."
    assert (
        str(BadFact("it is no day", where="a.toml", do="write a day")) == "a.toml: It is no day. Write a day."
    )
    assert str(BadLawFile("no values", where="p")) == "p: No values."
    assert issubclass(UnreadableFile, AirwritError)
