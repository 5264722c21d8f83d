"""Terms and last days against published answers, and the month arithmetic against another way of counting.

Sources: calendar_months/SOURCE.toml; to the day.
"""

from __future__ import annotations

import calendar
import csv
from datetime import date, timedelta
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.days import add_months, add_years, end_of_calendar_months
from tests.unit.law.case import case, certificate, check, event, person, registered

TABLE = Path(__file__).parent / "calendar_months" / "last_days.csv"


def rows() -> list[tuple[date, date]]:
    """Day of test or training, and the last day it counts."""
    with TABLE.open(encoding="utf-8", newline="") as file:
        return [
            (date.fromisoformat(row["completed_on"]), date.fromisoformat(row["last_day"]))
            for row in csv.DictReader(file)
        ]


@pytest.mark.parametrize(("completed", "last"), rows(), ids=str)
def test_the_last_day_of_24_calendar_months(completed: date, last: date) -> None:
    assert end_of_calendar_months(completed, 24) == last


@pytest.mark.parametrize(("completed", "last"), rows(), ids=str)
def test_a_pilot_is_recent_to_that_day_and_no_longer(completed: date, last: date) -> None:
    pilot = person(has_certificate=True), event("initial test", completed.isoformat())
    after = last + timedelta(days=1)
    check(case("recency", "met", "recent", last.isoformat(), *pilot, value=last))
    check(case("recency", "not_met", "lapsed", after.isoformat(), *pilot, value=last))


def test_120_days_of_a_temporary_certificate() -> None:
    held = person(temporary_issued_on="2016-11-14")
    check(case("temporary_certificate", "met", "running", "2017-03-14", held, value=date(2017, 3, 14)))
    check(case("temporary_certificate", "not_met", "run_out", "2017-03-15", held))


def test_days_after_an_event_of_5_march_2026() -> None:
    changed = certificate(details_changed_on="2026-03-05")
    sold = registered(sold_on="2026-03-05"), certificate()
    moved = person(address_changed_on="2026-03-05")
    filing, address = date(2026, 3, 19), date(2026, 4, 4)
    check(case("update_registration", "unknown", "owed", "2026-03-19", changed, why="missing", value=filing))
    check(case("cancel_registration", "unknown", "owed", "2026-03-19", *sold, why="missing", value=filing))
    check(case("update_registration", "not_met", "overdue", "2026-03-20", changed, value=filing))
    check(case("address_told", "met", "within_30_days", "2026-04-04", moved, value=address))
    check(case("address_told", "not_met", "privileges_stopped", "2026-04-05", moved, value=address))


def test_months_are_added_at_once() -> None:
    assert add_months(date(2014, 12, 31), 3) == date(2015, 3, 31)
    assert add_months(add_months(add_months(date(2014, 12, 31), 1), 1), 1) == date(2015, 3, 28)


def counted(day: date, months: int) -> date:
    """Months added by walking a calendar of whole months, then the day or the month's last one."""
    year, month = day.year, day.month
    for _ in range(abs(months)):
        month += 1 if months > 0 else -1
        if month in (0, 13):
            year, month = (year - 1, 12) if month == 0 else (year + 1, 1)
    in_month = [d for d in calendar.Calendar().itermonthdates(year, month) if d.month == month]
    return in_month[min(day.day, len(in_month)) - 1]


@given(st.dates(date(1950, 1, 1), date(2150, 12, 31)), st.integers(-400, 400))
def test_months_are_added_as_one_counts_on_a_calendar(day: date, months: int) -> None:
    assert add_months(day, months) == counted(day, months)


@given(st.dates(date(1950, 1, 1), date(2150, 12, 31)), st.integers(0, 30))
def test_years_are_added_as_one_counts_on_a_calendar(day: date, years: int) -> None:
    assert add_years(day, years) == counted(day, 12 * years)
