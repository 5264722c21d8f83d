"""Light enough to need no registration, and light enough for Part 107: each side of both limits."""

from __future__ import annotations

from decimal import Decimal

import pytest

from tests.unit.law.aircraft.test_in_force import EXACT, HEAVY, LIGHT, OVER, UNDER
from tests.unit.law.case import (
    TODAY,
    Case,
    aircraft,
    case,
    check,
)

WEIGHTS = [
    case("weight_exemption", "met", "inside", TODAY, aircraft(**LIGHT), value=Decimal("0.55")),
    case("weight_exemption", "not_met", "outside", TODAY, aircraft(**OVER)),
    case(
        "weight_exemption",
        "unknown",
        "within_doubt",
        TODAY,
        aircraft(takeoff_weight_g="249"),
        why="within_doubt",
    ),
    case("weight_exemption", "unknown", "takeoff_weight_g", TODAY, aircraft(), why="missing"),
    case(
        "weight_exemption",
        "unknown",
        "takeoff_weight_g",
        TODAY,
        aircraft(base_weight_g="200", takeoff_weight_g="240", **EXACT),
        why="conflict",
    ),
    case(
        "weight_exemption",
        "met",
        "inside",
        TODAY,
        aircraft(base_weight_g="240", takeoff_weight_g="240.0", **EXACT),
    ),
    case("small_aircraft_limit", "met", "inside", TODAY, aircraft(**UNDER)),
    case("small_aircraft_limit", "not_met", "outside", TODAY, aircraft(**HEAVY), value=Decimal(55)),
    case(
        "small_aircraft_limit",
        "unknown",
        "within_doubt",
        TODAY,
        aircraft(takeoff_weight_g="24900"),
        why="within_doubt",
    ),
]

CASES = WEIGHTS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
