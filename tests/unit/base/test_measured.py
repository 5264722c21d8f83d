"""Numbers with doubt against a limit: inside only when every value in doubt is, outside only when none is."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.measured import (
    GRAMS_PER_POUND,
    WEIGHT_UNITS_G,
    Measured,
    compared,
    exact,
    grams_from_pounds,
    scaled,
    total,
    weighed,
    with_error,
)
from airwrit.base.verdict import Verdict, Why

AMOUNTS = st.decimals("-1e6", "1e6", places=4)
ERRORS = st.decimals("0", "1e3", places=4)
D = Decimal


@pytest.mark.parametrize(
    ("value", "limit_itself", "verdict"),
    [
        (exact(D("9.9")), True, Verdict.MET),
        (exact(D(10)), True, Verdict.MET),
        (exact(D(10)), False, Verdict.NOT_MET),
        (exact(D("10.1")), True, Verdict.NOT_MET),
        (exact(D("9.9")), False, Verdict.MET),
        (with_error(D("9.9"), D("0.1")), True, Verdict.MET),
        (with_error(D("9.9"), D("0.1")), False, Verdict.UNKNOWN),
        (with_error(D("9.9"), D("0.2")), True, Verdict.UNKNOWN),
        (with_error(D("10.1"), D("0.1")), True, Verdict.UNKNOWN),
        (with_error(D("10.1"), D("0.1")), False, Verdict.NOT_MET),
        (with_error(D("10.2"), D("0.1")), True, Verdict.NOT_MET),
    ],
)
def test_compared(value: Measured, limit_itself: bool, verdict: Verdict) -> None:
    outcome = compared(value, D(10), "lb", limit_itself=limit_itself)
    assert outcome.verdict is verdict
    assert outcome.why is (Why.WITHIN_DOUBT if verdict is Verdict.UNKNOWN else None)


def test_the_margin_is_the_room_left() -> None:
    margin = compared(with_error(D(8), D(1)), D(10), "lb", limit_itself=True).margin
    assert margin is not None
    assert tuple(margin) == (2, "lb", 1, 3)


@given(AMOUNTS, ERRORS, AMOUNTS, st.booleans())
def test_a_larger_error_never_makes_up_a_verdict(
    value: Decimal, error: Decimal, limit: Decimal, limit_itself: bool
) -> None:
    narrow = compared(exact(value), limit, "g", limit_itself=limit_itself).verdict
    wide = compared(with_error(value, error), limit, "g", limit_itself=limit_itself).verdict
    assert wide in (narrow, Verdict.UNKNOWN)


@given(AMOUNTS, AMOUNTS, st.booleans())
def test_an_exact_value_is_never_in_doubt(value: Decimal, limit: Decimal, limit_itself: bool) -> None:
    kept = value <= limit if limit_itself else value < limit
    verdict = compared(exact(value), limit, "g", limit_itself=limit_itself).verdict
    assert verdict is (Verdict.MET if kept else Verdict.NOT_MET)


@pytest.mark.parametrize(
    ("grams", "error", "low", "high"),
    [
        ("249", None, "246.51", "251.49"),
        ("6", None, "5.5", "6.5"),
        ("6.0", None, "5.94", "6.06"),
        ("249", "0", "249", "249"),
        ("249.5", "0.1", "249.4", "249.6"),
        ("249.5", "-0.1", "249.4", "249.6"),
        ("2e1", None, "15", "25"),
    ],
)
def test_a_weighing_without_stated_error_is_doubted(
    grams: str, error: str | None, low: str, high: str
) -> None:
    reading = weighed(D(grams), None if error is None else D(error))
    assert (reading.low, reading.high) == (D(low), D(high))


def test_an_error_is_a_size() -> None:
    with pytest.raises(ValueError, match="cannot be negative"):
        with_error(D(1), D("-0.1"))


def test_errors_of_parts_add_up() -> None:
    assert total([with_error(D(240), D(1)), with_error(D(6), D("0.5"))]) == Measured(
        D(246), D("244.5"), D("247.5")
    )
    assert total([]) == exact(D(0))
    assert scaled(with_error(D(10), D(1)), D(2)) == Measured(D(5), D("4.5"), D("5.5"))


def test_pounds_are_exact() -> None:
    assert grams_from_pounds(D("0.55")) == D("249.4758035")
    assert WEIGHT_UNITS_G["oz"] * 16 == GRAMS_PER_POUND
    assert "gr" not in WEIGHT_UNITS_G
