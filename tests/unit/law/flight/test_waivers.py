"""Waivers relied on and asked for, papers at hand, and what a flight transmits."""

from __future__ import annotations

import pytest

from tests.unit.law.case import (
    TODAY,
    Case,
    case,
    check,
    flight,
)

WAIVER, POSSIBLE, RELIEF = "waiver_terms", "waiver_possible", "part_108_relief"
PEOPLE = "107.39 over people"
WANTED = [
    case(POSSIBLE, "met", "listed", TODAY, flight(waiver_wanted=PEOPLE)),
    case(POSSIBLE, "not_met", "not_listed", TODAY, flight(waiver_wanted="another section")),
    case(POSSIBLE, "met", "listed", TODAY, flight(waiver_wanted="107.31 line of sight", for_hire=False)),
    case(POSSIBLE, "not_met", "for_hire", TODAY, flight(waiver_wanted="107.31 line of sight", for_hire=True)),
    case(
        POSSIBLE, "unknown", "for_hire", TODAY, flight(waiver_wanted="107.25 moving vehicle"), why="missing"
    ),
    case(POSSIBLE, "met", "listed", "2021-04-21", flight(waiver_wanted="107.145 over moving vehicles")),
    case(
        POSSIBLE, "not_met", "not_listed", "2021-04-20", flight(waiver_wanted="107.145 over moving vehicles")
    ),
    case(POSSIBLE, "met", "listed", "2021-04-20", flight(waiver_wanted="107.29 daylight operation")),
    case(POSSIBLE, "not_met", "not_listed", "2021-04-21", flight(waiver_wanted="107.29 daylight operation")),
    case(RELIEF, "not_met", "not_in_force", "2026-10-08", flight(paid=True)),
    case(RELIEF, "unknown", "part_108_in_force", "2026-10-09", flight(paid=True), why="law_not_read"),
    case(
        RELIEF,
        "unknown",
        "part_108_in_force",
        "2026-10-08",
        flight(paid=True),
        why="law_not_read",
        moved=("part_108_in_force", True),
    ),
]


CASES = WANTED


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
