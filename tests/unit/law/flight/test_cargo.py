"""What a flight carries and drops, and for whom."""

from __future__ import annotations

import pytest

from tests.unit.law.case import (
    TODAY,
    Case,
    case,
    check,
    flight,
)

CARRIED = [
    case(
        "agricultural_certificate", "not_applicable", "nothing_dispensed", TODAY, flight(dispenses="nothing")
    ),
    case("agricultural_certificate", "not_applicable", "insects", TODAY, flight(dispenses="live insects")),
    *(
        case(
            "agricultural_certificate",
            "unknown",
            code,
            TODAY,
            flight(dispenses=what),
            why="outside_this_tool",
        )
        for what, code in (
            ("seed or other plant material", "plants"),
            ("fertilizer or soil treatment", "plants"),
            ("weed killer or pesticide", "poison"),
            ("water on a fire", "water"),
            ("something else", "other_substance"),
        )
    ),
    case("hazardous_material", "met", "none_carried", TODAY, flight(hazardous_material=False)),
    case("hazardous_material", "not_met", "carried", TODAY, flight(hazardous_material=True)),
    case("hazardous_material", "unknown", "hazardous_material", TODAY, flight(), why="missing"),
    case(
        "hazardous_material",
        "unknown",
        "product",
        TODAY,
        flight(dispenses="weed killer or pesticide"),
        why="outside_this_tool",
    ),
    case(
        "hazardous_material",
        "met",
        "none_carried",
        TODAY,
        flight(dispenses="weed killer or pesticide", hazardous_material=False),
    ),
]

CASES = CARRIED


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
