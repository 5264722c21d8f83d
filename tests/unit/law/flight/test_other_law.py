"""Which law the flights of an aircraft are under, where it is not Part 107 alone."""

from __future__ import annotations

import pytest

from tests.unit.law.aircraft.test_in_force import HEAVY, UNDER
from tests.unit.law.case import (
    TODAY,
    Case,
    aircraft,
    case,
    check,
)

OPERATING = [
    case(
        "operating_rules",
        "unknown",
        code,
        TODAY,
        aircraft(operated_under=law, **UNDER),
        why="outside_this_tool",
    )
    for law, code in (
        ("certificate of authorization of a public agency", "public_coa"),
        ("Part 91 with a 44807 exemption", "part_91"),
        ("Part 135 carriage for hire", "part_135"),
        ("Part 137 agricultural operation", "part_137"),
        ("law of another State", "abroad"),
    )
] + [
    case(
        "operating_rules", "unknown", "indoors", TODAY, aircraft(only_indoors=True), why="outside_this_tool"
    ),
    case(
        "operating_rules",
        "unknown",
        "foreign",
        TODAY,
        aircraft(foreign_registry=True),
        why="outside_this_tool",
    ),
    case("operating_rules", "unknown", "abroad", TODAY, aircraft(flown_abroad=True), why="outside_this_tool"),
    case(
        "operating_rules",
        "unknown",
        "armed_forces",
        TODAY,
        aircraft(armed_forces=True),
        why="outside_this_tool",
    ),
    case("operating_rules", "unknown", "heavy", TODAY, aircraft(**HEAVY), why="outside_this_tool"),
    case(
        "operating_rules",
        "unknown",
        "within_doubt",
        TODAY,
        aircraft(takeoff_weight_g="24900"),
        why="within_doubt",
    ),
    case("operating_rules", "not_applicable", "flight_by_flight", TODAY, aircraft(**UNDER)),
]

CASES = OPERATING


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
