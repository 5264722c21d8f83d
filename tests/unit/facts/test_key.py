"""Raw text becomes the typed value of a key, or a bad fact that says what to write."""

from __future__ import annotations

from datetime import UTC, date, datetime
from decimal import Decimal
from enum import StrEnum
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.errors import BadFact
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import NEVER_BELOW_ZERO, Key, Raw, raw_of, value_of
from airwrit.facts.keys.aircraft import IS_REGISTERED, MAKER, TAKEOFF_WEIGHT, USED_FOR
from airwrit.facts.keys.person import COMPLETED_ON
from airwrit.facts.keys.registration import CITIZEN_VOTES, EXPIRES_ON
from airwrit.facts.vocabulary import ALL_KEYS, KEYS

RAWS = st.one_of(
    st.none(), st.booleans(), st.integers(), st.text(), st.decimals().map(str), st.dates().map(str)
)


@pytest.mark.parametrize(
    ("key", "raw", "value"),
    [
        (IS_REGISTERED, False, False),
        (EXPIRES_ON, "2027-02-10", date(2027, 2, 10)),
        (COMPLETED_ON, "2026-06-01", date(2026, 6, 1)),
        (COMPLETED_ON, "2026-06-01T19:00Z", datetime(2026, 6, 1, 19, tzinfo=UTC)),
        (TAKEOFF_WEIGHT, "249.50", Decimal("249.50")),
        (TAKEOFF_WEIGHT, 249, Decimal(249)),
        (MAKER, "anyone", "anyone"),
        (USED_FOR, "work and recreation", UsedFor.BOTH),
    ],
)
def test_value_of(key: Key[Any], raw: Raw, value: Any) -> None:
    assert value_of(key, raw) == value
    assert type(value_of(key, raw)) is type(value)


@pytest.mark.parametrize(
    ("key", "raw", "said"),
    [
        (IS_REGISTERED, "yes", "We can't use 'yes' for is_registered. Answer true or false."),
        (IS_REGISTERED, 1, "We can't use 1 for is_registered. Answer true or false."),
        (EXPIRES_ON, "2026-02-30", "We can't use '2026-02-30' for expires_on. Write a date like 2026-05-31."),
        (
            EXPIRES_ON,
            "2026-06-01T19:00Z",
            "We can't use '2026-06-01T19:00Z' for expires_on. Write a date like 2026-05-31.",
        ),
        (
            COMPLETED_ON,
            "2026-06-01T14:00",
            (
                "We can't use '2026-06-01T14:00' for completed_on. Write a date like 2026-05-31, or a time with its zone, "
                "like 2026-05-31T14:40-06:00."
            ),
        ),
        (TAKEOFF_WEIGHT, "249 g", "We can't use '249 g' for takeoff_weight_g. Write a plain number in g."),
        (TAKEOFF_WEIGHT, "NaN", "We can't use 'NaN' for takeoff_weight_g. Write a plain number in g."),
        (TAKEOFF_WEIGHT, True, "We can't use True for takeoff_weight_g. Write a plain number in g."),
        *(
            (TAKEOFF_WEIGHT, text, f"We can't use '{text}' for takeoff_weight_g. Write a plain number in g.")
            for text in ("1e999999999", "-1e100", "1e-101", "0e-999999999")
        ),
        (CITIZEN_VOTES, "most", "We can't use 'most' for citizen_votes_share. Write a plain number."),
        (MAKER, "", "We can't use '' for maker. Write it as text."),
        (MAKER, 7, "We can't use 7 for maker. Write it as text."),
        (
            USED_FOR,
            "fun",
            "We can't use 'fun' for used_for. Choose one of: work; recreation; work and recreation.",
        ),
        (
            USED_FOR,
            None,
            "We can't use None for used_for. Choose one of: work; recreation; work and recreation.",
        ),
    ],
)
def test_a_bad_fact_says_what_to_write(key: Key[Any], raw: Raw, said: str) -> None:
    with pytest.raises(BadFact) as raised:
        value_of(key, raw)
    assert str(raised.value) == said


@pytest.mark.parametrize("key", ["hours_read_h", "capacity_new_mah", "repair_cost_usd"])
def test_an_amount_below_zero_is_none(key: str) -> None:
    with pytest.raises(BadFact):
        value_of(KEYS[key], "-0.1")
    assert value_of(KEYS[key], "0") == 0
    assert value_of(KEYS["flight_south_deg"], "-33.5") == Decimal("-33.5")


@pytest.mark.parametrize("text", ["9e99", "-9e99", "1e-100", "0", "1388.5"])
def test_a_number_may_have_a_hundred_places(text: str) -> None:
    assert value_of(TAKEOFF_WEIGHT, text) == Decimal(text)


@given(st.sampled_from(ALL_KEYS), RAWS)
def test_any_raw_is_a_value_of_the_kind_or_a_bad_fact(key: Key[Any], raw: Raw) -> None:
    try:
        value = value_of(key, raw)
    except BadFact:
        return
    assert isinstance(value, key.kind)
    assert value_of(key, raw_of(value)) == value


@given(st.sampled_from(ALL_KEYS), st.data())
def test_a_value_is_kept_and_read_back_the_same(key: Key[Any], data: st.DataObject) -> None:
    value = data.draw(values(key))
    assert value_of(key, raw_of(value)) == value


def values(key: Key[Any]) -> st.SearchStrategy[Any]:
    """Values of the key's kind."""
    if issubclass(key.kind, StrEnum):
        return st.sampled_from(list(key.kind))
    if key.kind is date:
        return st.dates()
    if key.kind is Decimal:
        least = 0 if key.unit in NEVER_BELOW_ZERO else -(10**9)
        return st.decimals(allow_nan=False, allow_infinity=False, min_value=least, max_value=10**9)
    if key.kind is tuple:
        return st.text(min_size=1).map(lambda text: (text,))
    return st.booleans() if key.kind is bool else st.text(min_size=1)
