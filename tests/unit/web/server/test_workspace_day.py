"""The day and moment of an address."""

from __future__ import annotations

import time
from datetime import UTC, date, datetime, timedelta, timezone

import pytest

from airwrit.base.errors import UsageError
from airwrit.web.server.workspace import asked_of

NOW = datetime(2026, 11, 25, 18, tzinfo=UTC)


@pytest.fixture
def in_denver(monkeypatch: pytest.MonkeyPatch) -> None:
    """A machine whose clock hangs in Denver."""
    monkeypatch.setenv("TZ", "America/Denver")
    time.tzset()


def test_a_silent_address_asks_about_today_as_known_now() -> None:
    asked = asked_of({}, NOW)
    assert (asked.on, asked.known_at, asked.today) == (date(2026, 11, 25), NOW, date(2026, 11, 25))
    assert asked.is_today
    assert asked.knows_all
    assert asked.link("/rules") == "/rules"


def test_today_is_the_day_in_the_clocks_own_zone() -> None:
    late = datetime(2026, 11, 25, 3, tzinfo=UTC).astimezone(timezone(timedelta(hours=-7)))
    assert asked_of({}, late).today == date(2026, 11, 24)


def test_a_day_and_a_moment_are_carried() -> None:
    asked = asked_of({"on": "2025-03-14", "known": "2025-04-01T10:00:00-05:00"}, NOW)
    assert asked.on == date(2025, 3, 14)
    assert asked.known_at == datetime(2025, 4, 1, 15, tzinfo=UTC)
    assert not asked.is_today
    assert not asked.knows_all
    assert (
        asked.link("/rules#p", sort="name")
        == "/rules?on=2025-03-14&known=2025-04-01T10%3A00%3A00-05%3A00&sort=name#p"
    )
    assert asked.link("/rules", date(2026, 11, 25)) == "/rules?known=2025-04-01T10%3A00%3A00-05%3A00"


def test_a_plus_that_became_a_space_is_a_plus() -> None:
    assert asked_of({"known": "2025-04-01T10:00 02:00"}, NOW).known_at == datetime(2025, 4, 1, 8, tzinfo=UTC)


@pytest.mark.usefixtures("in_denver")
@pytest.mark.parametrize(
    ("day", "end"),
    [
        ("2026-07-01", datetime(2026, 7, 2, 6, tzinfo=UTC)),
        ("2026-01-15", datetime(2026, 1, 16, 7, tzinfo=UTC)),
    ],
)
def test_a_known_day_lasts_to_its_end_here(day: str, end: datetime) -> None:
    """In summer and in winter."""
    assert asked_of({"known": day}, NOW).known_at == end - timedelta(microseconds=1)


def test_a_moment_to_come_is_now() -> None:
    for text in ("2030-01-01", "2026-11-25T18:00:01Z"):
        asked = asked_of({"known": text}, NOW)
        assert asked.known_at == NOW
        assert asked.knows_all
        assert not asked.is_today


@pytest.mark.parametrize(
    "query",
    [
        {"on": "2015-12-31"},
        {"on": "3000-01-01"},
        {"on": "2026-2-1"},
        {"on": "x"},
        {"known": "2026-11-25T10:00"},
        {"known": "x"},
        {"known": "9999-12-31"},
        {"known": "0001-01-01T00:00+14:00"},
    ],
)
def test_what_is_no_day_is_refused(query: dict[str, str]) -> None:
    with pytest.raises(UsageError):
        asked_of(query, NOW)


def test_the_first_day_judged_has_no_day_before() -> None:
    first = asked_of({"on": "2016-01-01"}, NOW).steps()
    assert [(words, [word for word, _ in days]) for words, days in first] == [
        ("Later", ["a day", "a month", "a year"])
    ]
