"""Plans as typed: times by the clock of the place, areas, heights, axes; what cannot be is refused by name."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.before_flight.plan import checked
from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.sky.zones import instant_at, zone_of
from tests.unit.answers.before_flight.planning import MORNING, PLACE, plan

ZONE = zone_of(PLACE)


def test_a_time_is_by_the_clock_of_the_place_unless_it_names_its_zone() -> None:
    assert instant_at("2026-12-02 14:30", ZONE, "--from") == datetime(2026, 12, 2, 20, 30, tzinfo=UTC)
    assert instant_at("2026-12-02T14:30-05:00", ZONE, "--from") == datetime(2026, 12, 2, 19, 30, tzinfo=UTC)
    assert instant_at("14:40", ZONE, "--until", MORNING) == datetime(2026, 6, 10, 19, 40, tzinfo=UTC)


@pytest.mark.parametrize(
    ("text", "why"),
    [("2026-03-08 02:30", "is skipped"), ("2026-11-01 01:30", "comes twice")],
)
def test_an_hour_that_the_clocks_skip_or_repeat_is_asked_about(text: str, why: str) -> None:
    # 15 U.S.C. 260a: from the second Sunday of March to the first of November, at 2 a.m. local time
    with pytest.raises(UsageError, match=why):
        instant_at(text, ZONE, "--from")
    before = datetime.fromisoformat(text) - timedelta(minutes=91)
    assert instant_at(before.isoformat(sep=" "), ZONE, "--from").tzinfo is UTC


@pytest.mark.parametrize("text", ["2026-12-02", "noon", "", "25:00", "2026-13-01 10:00", "14h30"])
def test_what_is_no_time_is_refused(text: str) -> None:
    with pytest.raises(UsageError, match="isn't a time"):
        instant_at(text, ZONE, "--from", MORNING)


@pytest.mark.parametrize(
    ("change", "why"),
    [
        ({"ends": MORNING}, "ends before"),
        ({"ends": MORNING + timedelta(hours=24, seconds=1)}, "longer than a day"),
        ({"area": "38.5, -98.5 within 20 nm"}, "degrees wide"),
        ({"height_ft": Decimal(0)}, "No such height"),
        ({"place": Place(-98.5 + 20, 38.5)}, "the other way around"),
    ],
)
def test_a_plan_that_cannot_be_flown_is_refused_by_name(change: dict[str, Any], why: str) -> None:
    with pytest.raises(UsageError, match=why):
        checked(plan(**change))


def test_a_plan_at_its_edges_is_taken() -> None:
    assert checked(plan(ends=MORNING + timedelta(hours=24), area="38.5, -98.5 within 11 nm"))
