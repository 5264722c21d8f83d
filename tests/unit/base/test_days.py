"""Days and instants: parsing, comparing without pretending, calendar months."""

from __future__ import annotations

from datetime import UTC, date, datetime, timedelta, timezone

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import (
    Order,
    When,
    add_days,
    add_months,
    add_years,
    day_of,
    end_of_calendar_months,
    end_of_month,
    first_of_month_before,
    order_of,
    parse_day,
    parse_when,
    whole_years_between,
)

CENTRAL = timezone(timedelta(hours=-5))
DAYS = st.dates(date(1900, 1, 1), date(2200, 12, 31))


@pytest.mark.parametrize(
    ("text", "when"),
    [
        ("2026-05-31", date(2026, 5, 31)),
        ("2026-06-01T14:00-05:00", datetime(2026, 6, 1, 14, tzinfo=CENTRAL)),
        ("2026-06-01 14:00:30-0500", datetime(2026, 6, 1, 14, 0, 30, tzinfo=CENTRAL)),
        ("2026-06-01T19:00Z", datetime(2026, 6, 1, 19, tzinfo=UTC)),
        ("2026-06-01T19:00:00.25Z", datetime(2026, 6, 1, 19, 0, 0, 250_000, tzinfo=UTC)),
    ],
)
def test_parse_when(text: str, when: When) -> None:
    assert parse_when(text) == when
    assert type(parse_when(text)) is type(when)


@pytest.mark.parametrize(
    "text",
    [
        "",
        "2026-02-30",
        "2026-13-01",
        "20260531",
        "2026-W22-7",
        "31.05.2026",
        "2026-05-31 ",
        "2026-06-01T14:00",
        "2026-06-01T25:00Z",
        "2026-06-01T14Z",
        "2026-06-01T14:00-99:00",
        "٢٠٢٦-٠٥-٣١",  # noqa: RUF001 (digits of another script are the point)
    ],
)
def test_parse_when_refuses(text: str) -> None:
    with pytest.raises(ValueError, match=r"."):
        parse_when(text)


def test_parse_day_refuses_an_instant() -> None:
    with pytest.raises(ValueError, match="isn't a date like 2026-05-31"):
        parse_day("2026-06-01T14:00Z")
    assert parse_day("2024-02-29") == date(2024, 2, 29)


@given(st.text())
def test_any_text_is_a_time_or_a_value_error(text: str) -> None:
    try:
        when = parse_when(text)
    except ValueError:
        return
    assert isinstance(when, date)


@pytest.mark.parametrize(
    ("a", "b", "order"),
    [
        ("2026-05-31", "2026-06-01", Order.BEFORE),
        ("2026-06-01", "2026-06-01", Order.SAME),
        ("2026-06-02", "2026-06-01", Order.AFTER),
        ("2026-06-01T14:00-05:00", "2026-06-01", Order.DOUBT),
        ("2026-06-01", "2026-06-01T14:00-05:00", Order.DOUBT),
        ("2026-06-01T14:00-05:00", "2026-06-02", Order.BEFORE),
        ("2026-06-01T14:00-05:00", "2026-06-01T19:00Z", Order.SAME),
        ("2026-06-01T14:00-05:00", "2026-06-01T18:59Z", Order.AFTER),
        ("2026-06-01T23:30-05:00", "2026-06-02T04:00Z", Order.AFTER),
    ],
)
def test_order_of(a: str, b: str, order: Order) -> None:
    assert order_of(parse_when(a), parse_when(b)) is order


def test_the_day_of_an_instant_is_that_of_its_own_zone() -> None:
    assert day_of(parse_when("2026-06-01T23:30-05:00")) == date(2026, 6, 1)
    assert type(day_of(parse_when("2026-06-01T23:30-05:00"))) is date


@pytest.mark.parametrize(
    ("day", "months", "later"),
    [
        (date(2024, 1, 31), 1, date(2024, 2, 29)),
        (date(2023, 1, 31), 1, date(2023, 2, 28)),
        (date(2014, 12, 31), 3, date(2015, 3, 31)),
        (date(2024, 1, 31), -2, date(2023, 11, 30)),
        (date(2024, 12, 15), 1, date(2025, 1, 15)),
        (date(2024, 5, 5), 0, date(2024, 5, 5)),
    ],
)
def test_add_months(day: date, months: int, later: date) -> None:
    assert add_months(day, months) == later


@pytest.mark.parametrize(
    ("day", "days", "months", "end"),
    [
        (date(9999, 12, 30), 2, 1, date.max),
        (date(1, 1, 2), -2, -1, date.min),
        (date(9999, 12, 30), 1, 0, None),
        (date(1, 2, 2), -32, -1, None),
    ],
)
def test_what_is_past_the_calendar_is_its_end(day: date, days: int, months: int, end: date | None) -> None:
    if end is None:
        assert date.min <= add_days(day, days) <= date.max
        assert add_months(day, months) == (day if months == 0 else date(1, 1, 2))
    else:
        assert add_days(day, days) == add_months(day, months) == end
    assert add_days(day, 10**12) == date.max
    assert add_days(day, -(10**12)) == date.min


def test_chained_months_drift_so_add_once() -> None:
    start = date(2014, 12, 31)
    assert add_months(add_months(add_months(start, 1), 1), 1) == date(2015, 3, 28)
    assert add_months(start, 3) == date(2015, 3, 31)


def test_years_of_a_leap_day() -> None:
    assert add_years(date(2024, 2, 29), 3) == date(2027, 2, 28)
    assert add_years(date(2024, 2, 29), 4) == date(2028, 2, 29)


@given(DAYS, st.integers(-1200, 1200))
def test_added_months_move_the_month_by_as_many(day: date, months: int) -> None:
    later = add_months(day, months)
    assert (later.year * 12 + later.month) - (day.year * 12 + day.month) == months
    assert later.day == min(day.day, end_of_month(later).day)


@given(DAYS)
def test_the_end_of_a_month_is_the_day_before_the_next(day: date) -> None:
    end = end_of_month(day)
    assert (end.year, end.month) == (day.year, day.month)
    assert (end + timedelta(days=1)).day == 1


@pytest.mark.parametrize(
    ("day", "first"),
    [
        (date(2027, 2, 10), date(2026, 8, 1)),
        (date(2026, 8, 31), date(2026, 2, 1)),
        (date(2026, 1, 1), date(2025, 7, 1)),
    ],
)
def test_first_of_month_before(day: date, first: date) -> None:
    assert first_of_month_before(day, 6) == first


def test_calendar_months_and_days() -> None:
    assert end_of_calendar_months(date(2022, 2, 1), 24) == date(2024, 2, 29)
    assert add_days(date(2024, 2, 28), 2) == date(2024, 3, 1)


@pytest.mark.parametrize(
    ("born", "on", "years"),
    [
        (date(2010, 3, 11), date(2026, 3, 10), 15),
        (date(2010, 3, 11), date(2026, 3, 11), 16),
        (date(2012, 2, 29), date(2025, 2, 28), 12),
        (date(2012, 2, 29), date(2025, 3, 1), 13),
        (date(2012, 2, 29), date(2028, 2, 29), 16),
    ],
)
def test_whole_years_between(born: date, on: date, years: int) -> None:
    assert whole_years_between(born, on) == years
