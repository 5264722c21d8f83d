"""A number in the battery bay, on the days around the one on which it had to come outside (marking_day/SOURCE.toml)."""

from __future__ import annotations

import pytest

from tests.unit.law.case import aircraft, case, check

BAY = {"mark_place": "inside, opened without a tool", "takeoff_weight_g": "1400", "scale_error_g": "0"}


@pytest.mark.parametrize(
    ("on", "verdict", "code"),
    [
        ("2019-02-20", "met", "inside_then_allowed"),
        ("2019-02-23", "met", "inside_then_allowed"),
        ("2019-02-24", "met", "inside_then_allowed"),
        ("2019-02-25", "not_met", "inside"),
        ("2019-03-01", "not_met", "inside"),
    ],
)
def test_a_number_in_the_battery_bay(on: str, verdict: str, code: str) -> None:
    check(case("marked_outside", verdict, code, on, aircraft(**BAY)))
