"""The two weight limits in grams, from the published pound, on both sides and at the limit (weights/SOURCE.toml)."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path

import pytest

from airwrit.base.measured import WEIGHT_UNITS_G, grams_from_pounds
from tests.unit.law.case import TODAY, aircraft, case, check

SOURCE = tomllib.loads((Path(__file__).parent / "weights" / "SOURCE.toml").read_text(encoding="utf-8"))
POUND = SOURCE["pound"]["values"]
LIMITS = {name: Decimal(text) for name, text in SOURCE["limits"]["values"].items()}
STEP = Decimal("0.0000001")


def test_the_pound_and_the_ounce() -> None:
    grams = Decimal(POUND["kilograms"]) * 1000
    assert WEIGHT_UNITS_G["lb"] == grams
    assert WEIGHT_UNITS_G["oz"] * Decimal(POUND["ounces_in_a_pound"]) == grams


def test_the_limits_in_grams() -> None:
    assert grams_from_pounds(Decimal("0.55")) == LIMITS["exemption_g"]
    assert grams_from_pounds(Decimal(55)) == LIMITS["small_g"]


@pytest.mark.parametrize(
    ("rule", "limit", "offset", "verdict"),
    [
        ("weight_exemption", "exemption_g", -STEP, "met"),
        ("weight_exemption", "exemption_g", 0, "met"),
        ("weight_exemption", "exemption_g", STEP, "not_met"),
        ("small_aircraft_limit", "small_g", -STEP, "met"),
        ("small_aircraft_limit", "small_g", 0, "not_met"),
        ("small_aircraft_limit", "small_g", STEP, "not_met"),
    ],
)
def test_each_side_of_a_limit(rule: str, limit: str, offset: Decimal, verdict: str) -> None:
    grams = str(LIMITS[limit] + offset)
    code = "inside" if verdict == "met" else "outside"
    check(case(rule, verdict, code, TODAY, aircraft(takeoff_weight_g=grams, scale_error_g="0")))


@pytest.mark.parametrize("rule", ["weight_exemption", "small_aircraft_limit"])
def test_a_reading_on_the_limit_with_any_doubt_is_undecided(rule: str) -> None:
    grams = str(LIMITS["exemption_g" if rule == "weight_exemption" else "small_g"])
    doubtful = aircraft(takeoff_weight_g=grams, scale_error_g=str(STEP))
    check(case(rule, "unknown", "within_doubt", TODAY, doubtful, why="within_doubt"))


def test_250_grams_is_over() -> None:
    check(
        case(
            "weight_exemption",
            "not_met",
            "outside",
            TODAY,
            aircraft(takeoff_weight_g="250", scale_error_g="0"),
        )
    )
