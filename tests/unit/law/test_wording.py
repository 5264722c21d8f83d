"""What words are made of: the fact that is missing, and the looks where silence was read as "nothing on file"."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from fractions import Fraction

import pytest

from airwrit.base.verdict import Why
from airwrit.facts.choices import UsedFor
from airwrit.law.rule import judge
from airwrit.law.wording import Teller, missing_fact, provenance, shown, silences, worded
from tests.unit.law.case import TODAY, Case, aircraft, case, judged

LEGIBLE, PLACE = "mark_legible", "mark_place"
HEAVY = {"takeoff_weight_g": "900", "scale_error_g": "0", "used_for": "work"}


def mark(verdict: str, code: str, why: str = "", **facts: bool | str) -> Case:
    """Whether an aircraft is marked."""
    return case("marked_outside", verdict, code, TODAY, aircraft("A", **HEAVY, **facts), why=why)


def test_a_silence_is_a_look_at_what_nobody_said() -> None:
    finding, state = judged(mark("met", "outside", mark_place="outside"))
    assert LEGIBLE in [one.key.name for one in silences(finding, state)]
    finding, state = judged(mark("met", "outside", mark_place="outside", mark_legible=True))
    assert LEGIBLE not in [one.key.name for one in silences(finding, state)]
    assert PLACE not in [one.key.name for one in silences(finding, state)]


def test_what_is_missing_is_the_fact_that_left_it_open() -> None:
    finding, state = judged(mark("unknown", PLACE, "missing"))
    found = missing_fact(finding, state)
    assert found is not None
    assert (found.subject, found.key.name) == ("aircraft/A", PLACE)
    finding, state = judged(mark("not_met", "not_marked", mark_place="not marked"))
    assert missing_fact(finding, state) is None


def test_values_are_shown_as_they_are_read() -> None:
    assert [shown(value) for value in (None, True, False, date(2026, 1, 2), "a")] == [
        "?",
        "yes",
        "no",
        "2026-01-02",
        "a",
    ]


def test_what_a_finding_was_read_from_is_told_where_law_was_read() -> None:
    finding, _ = judged(mark("met", "outside", mark_place="outside"))
    assert provenance(finding)
    assert provenance(finding._replace(law=())) == ""


@pytest.mark.parametrize(
    ("value", "text"),
    [
        (Decimal("0.0625"), "0.0625"),
        (Decimal("0.06254"), "0.0625"),
        (Decimal("0.06256"), "0.0626"),
        (Decimal("1.50"), "1.5"),
        (Decimal(100), "100"),
        (Decimal("1E+2"), "100"),
        (Fraction(2, 3), "2/3"),
        (("a", "b"), "a, b"),
    ],
)
def test_numbers_are_shown_to_four_decimals_without_zeros(value: object, text: str) -> None:
    assert shown(value) == text


def test_many_are_worded_as_one_by_one() -> None:
    """A teller of many findings fills once what hangs on no fact, and says the same of each, its own facts included."""
    lines = [
        mark("met", "outside", mark_place="outside"),
        mark("not_met", "not_marked", mark_place="not marked"),
    ]
    for line in lines:
        finding, state = judged(line)
        teller = Teller(state)
        assert teller.worded(finding) == worded(finding, state) == teller.worded(finding)


@pytest.mark.parametrize("grams", ["248", "400"])
def test_a_teller_keeps_no_words_that_hold_a_fact(grams: str) -> None:
    """Two aircraft of one state that weigh otherwise are told each by its own weight."""
    finding, state = judged(
        case(
            "weight_exemption",
            "met",
            "light",
            TODAY,
            aircraft("A", takeoff_weight_g=grams, scale_error_g="0", used_for="recreation"),
            aircraft("B", takeoff_weight_g="240", scale_error_g="0", used_for="recreation"),
        )
    )
    other = judge(finding.rule, state, "aircraft/B", UsedFor.RECREATION, date(2026, 11, 24))
    teller = Teller(state)
    assert [teller.worded(one) for one in (finding, other)] == [
        worded(one, state) for one in (finding, other)
    ]


def test_a_weighing_in_doubt_is_not_a_day_in_doubt() -> None:
    finding, state = judged(
        case(
            "weight_exemption",
            "unknown",
            "within_doubt",
            TODAY,
            aircraft("A", takeoff_weight_g="249", scale_error_g="5", used_for="recreation"),
        )
    )
    assert finding.outcome.why is Why.WITHIN_DOUBT
    assert "scale" in worded(finding, state).says
