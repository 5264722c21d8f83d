"""Which law the flights of an aircraft are under, where it is not Part 107 alone."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.base.days import parse_when
from airwrit.facts.choices import OperatedUnder, UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.flight.other_law import beyond_part_107
from airwrit.law.parameters import Law
from tests.unit.law.aircraft.test_in_force import HEAVY, UNDER
from tests.unit.law.case import (
    KNOWN_AT,
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

# Where the law of the day names no other law, each flight is judged by itself.
NOT_NAMED = [
    case("operating_rules", "not_applicable", "flight_by_flight", TODAY, aircraft(**facts), moved=(name, ""))
    for name, facts in (
        ("law_of_public_aircraft", {"operated_under": "certificate of authorization of a public agency"}),
        ("law_of_air_carriers", {"operated_under": "Part 135 carriage for hire"}),
        ("law_of_heavy_aircraft", {"operated_under": "Part 91 with a 44807 exemption"}),
        ("law_of_heavy_aircraft", HEAVY),
        ("law_of_foreign_aircraft", {"foreign_registry": True}),
        ("law_of_armed_forces", {"armed_forces": True}),
    )
] + [
    case("operating_rules", "unknown", "takeoff_weight_g", TODAY, aircraft(), why="missing"),
    case(
        "operating_rules",
        "not_applicable",
        "flight_by_flight",
        TODAY,
        aircraft(operated_under="Part 107", **UNDER),
    ),
]

CASES = OPERATING + NOT_NAMED


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


PART_91, PART_107 = OperatedUnder.PART_91, OperatedUnder.PART_107


@pytest.mark.parametrize(
    ("facts", "under", "code"),
    [
        ({}, None, ""),
        ({}, PART_107, ""),
        ({}, OperatedUnder.PART_137, ""),
        ({}, PART_91, "other_law"),
        # What is stated of the one flight counts before what is stated of the aircraft.
        ({"operated_under": PART_91.value}, None, "other_law"),
        ({"operated_under": PART_91.value}, PART_107, ""),
        ({"operated_under": PART_107.value}, PART_91, "other_law"),
        ({"operated_under": PART_107.value}, None, ""),
        ({"only_indoors": True}, None, "other_law"),
        ({"foreign_registry": True}, None, "other_law"),
        ({"armed_forces": True}, PART_107, "other_law"),
        ({"only_indoors": False}, None, ""),
        # 14 CFR 107.3: of less than 55 lb; never weighed it is taken as small, in doubt it is told.
        (UNDER, None, ""),
        (HEAVY, None, "heavy_flight"),
        ({"takeoff_weight_g": "24900"}, None, "perhaps_heavy"),
    ],
)
def test_what_part_107_does_not_reach(facts: dict[str, Raw], under: OperatedUnder | None, code: str) -> None:
    known = [Known(Statement("aircraft/A", name, value)) for name, value in facts.items()]
    told = beyond_part_107(
        Facts(state_of(known, parse_when(TODAY), KNOWN_AT), "aircraft/A", UsedFor.WORK),
        Law(date(2026, 11, 24)),
        under,
    )
    assert (None if told is None else (told.verdict, told.code)) == (("unknown", code) if code else None)
