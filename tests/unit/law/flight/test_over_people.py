"""Over people, assemblies and moving vehicles: who is below, each category, the day the categories came in."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    aircraft,
    case,
    check,
    flight,
    waiver,
)

OVER, ASSEMBLY, VEHICLES = "over_people", "open_air_assembly_remote_id", "over_moving_vehicles"
OTHERS = "people who take no part and are not sheltered"
LIGHT = aircraft("A", takeoff_weight_g="249", scale_error_g="0", remote_id_way="standard")
AT_THE_LIMIT = aircraft("A", takeoff_weight_g="249.4758035", scale_error_g="0", remote_id_way="standard")
HEAVY = aircraft("A", takeoff_weight_g="249.5", scale_error_g="0")
HELD: dict[str, Raw] = {"flight_waiver": "W", "waiver_terms_kept": True}
PAPER: dict[str, Raw] = {"category_declared": True, "category_label": True}


def over(category: str, **facts: Raw) -> Given:
    """A flight over people in a category."""
    return flight(
        **{"flight_aircraft": "A", "people_below": OTHERS, "over_people_category": category, **facts}
    )


BELOW = [
    case(OVER, "met", code, TODAY, flight(people_below=who))
    for who, code in (
        ("nobody", "nobody"),
        ("only people who take direct part", "participants"),
        ("people under a covered structure that protects", "sheltered"),
        ("people in a stationary vehicle that protects", "parked"),
    )
]
CATEGORIES = [
    # Without the section on a category there is no flying by it, or nowhere that it closes.
    case(
        OVER,
        "not_met",
        "no_category",
        TODAY,
        over("Category 2", **PAPER),
        moved=("category_2_on_declaration", False),
    ),
    case(
        OVER,
        "not_met",
        "no_category",
        TODAY,
        over("Category 4", flight_certificated=True),
        moved=("category_4_by_certificate", False),
    ),
    case(
        OVER,
        "met",
        "category_3",
        TODAY,
        over("Category 3", over_assembly="passing over it once", **PAPER),
        moved=("category_3_places", False),
    ),
    case(OVER, "unknown", "people_below", TODAY, flight(), why="missing"),
    case(OVER, "unknown", "over_people_category", TODAY, flight(people_below=OTHERS), why="missing"),
    case(OVER, "not_met", "no_category", TODAY, over("none")),
    case(OVER, "met", "by_waiver", TODAY, over("none", **HELD), waiver("107.39 over people")),
    case(OVER, "met", "category_1", TODAY, over("Category 1", cutting_parts=False), LIGHT),
    case(OVER, "not_met", "too_heavy", TODAY, over("Category 1", cutting_parts=False), HEAVY),
    # 14 CFR 107.110(a): 0.55 lb or less, so the limit itself too.
    case(OVER, "met", "category_1", TODAY, over("Category 1", cutting_parts=False), AT_THE_LIMIT),
    case(
        OVER,
        "unknown",
        "weight_in_doubt",
        TODAY,
        over("Category 1", cutting_parts=False),
        aircraft("A", takeoff_weight_g="249.4", scale_error_g="0.1"),
        why="within_doubt",
    ),
    # A waiver that ended leaves in doubt what is in doubt; one that holds opens it whatever the category.
    case(
        OVER,
        "unknown",
        "weight_in_doubt",
        TODAY,
        over("Category 1", cutting_parts=False, **HELD),
        aircraft("A", takeoff_weight_g="249.4", scale_error_g="0.1"),
        waiver("107.39 over people", ends_on="2026-01-01"),
        why="within_doubt",
    ),
    case(
        OVER,
        "met",
        "by_waiver",
        TODAY,
        flight(people_below=OTHERS, **HELD),
        waiver("107.39 over people"),
    ),
    case(OVER, "not_met", "cutting_parts", TODAY, over("Category 1", cutting_parts=True), LIGHT),
    case(OVER, "unknown", "cutting_parts", TODAY, over("Category 1"), LIGHT, why="missing"),
    case(OVER, "met", "declared", TODAY, over("Category 2", **PAPER)),
    case(OVER, "not_met", "not_declared", TODAY, over("Category 2", category_declared=False)),
    case(
        OVER,
        "not_met",
        "cutting_parts",
        TODAY,
        over("Category 2", category_declared=True, cutting_parts=True, category_label=True),
    ),
    case(
        OVER, "not_met", "no_airworthiness_certificate", TODAY, over("Category 4", flight_certificated=False)
    ),
    case(
        OVER, "not_met", "no_label", TODAY, over("Category 2", category_declared=True, category_label=False)
    ),
    case(
        OVER, "met", "category_3", TODAY, over("Category 3", over_assembly="none", closed_site=True, **PAPER)
    ),
    case(
        OVER,
        "met",
        "category_3",
        TODAY,
        over("Category 3", over_assembly="none", sustained_over_people=False, **PAPER),
    ),
    case(
        OVER,
        "not_met",
        "category_3_sustained",
        TODAY,
        over("Category 3", over_assembly="none", closed_site=False, sustained_over_people=True, **PAPER),
    ),
    case(
        OVER,
        "not_met",
        "category_3_assembly",
        TODAY,
        over("Category 3", over_assembly="passing over it once", **PAPER),
    ),
    case(
        OVER, "unknown", "over_assembly", TODAY, over("Category 3", closed_site=True, **PAPER), why="missing"
    ),
    case(
        OVER, "not_met", "no_airworthiness_certificate", TODAY, over("Category 4", flight_certificated=False)
    ),
    case(
        OVER,
        "unknown",
        "flight_manual",
        TODAY,
        over("Category 4", flight_certificated=True),
        why="outside_this_tool",
    ),
    case(OVER, "met", "category_1", "2021-04-21", over("Category 1", cutting_parts=False), LIGHT),
    case(OVER, "not_met", "no_category_then", "2021-04-20", over("Category 1", cutting_parts=False), LIGHT),
    case(
        OVER,
        "met",
        "parked",
        "2021-04-20",
        flight(people_below="people in a stationary vehicle that protects"),
    ),
    case(OVER, "not_applicable", "recreation", TODAY, over("none"), use="recreation"),
]


def hover(**facts: Raw) -> Given:
    """A flight that stays over an assembly."""
    return flight(flight_aircraft="A", over_assembly="sustained", **facts)


ASSEMBLIES = [
    case(ASSEMBLY, "met", "broadcasts", TODAY, hover(broadcasts=True), LIGHT),
    case(ASSEMBLY, "not_met", "silent", TODAY, hover(broadcasts=False), LIGHT),
    case(
        ASSEMBLY, "not_met", "other_way", TODAY, hover(broadcasts=True), aircraft("A", remote_id_way="FRIA")
    ),
    case(ASSEMBLY, "unknown", "broadcasts", TODAY, hover(), LIGHT, why="missing"),
    case(ASSEMBLY, "not_applicable", "no_assembly", TODAY, flight(over_assembly="passing over it once")),
    case(ASSEMBLY, "not_applicable", "no_assembly", TODAY, flight(over_assembly="none")),
    case(ASSEMBLY, "not_met", "silent", "2021-04-21", hover(broadcasts=False), LIGHT),
    case(ASSEMBLY, "not_applicable", "no_category_then", "2021-04-20", hover(broadcasts=False), LIGHT),
]


def road(category: str = "Category 2", **facts: Raw) -> Given:
    """A flight over people in moving vehicles."""
    return flight(**{"over_moving_vehicles": True, "over_people_category": category, **PAPER, **facts})


ROADS = [
    case(VEHICLES, "not_applicable", "no_vehicles", TODAY, flight(over_moving_vehicles=False)),
    case(VEHICLES, "met", "over_vehicles", TODAY, road(sustained_over_vehicles=False)),
    case(VEHICLES, "met", "over_vehicles", TODAY, road(closed_site=True)),
    case(
        VEHICLES,
        "not_met",
        "sustained_over_vehicles",
        TODAY,
        road(closed_site=False, sustained_over_vehicles=True),
    ),
    case(VEHICLES, "not_met", "no_category", TODAY, road("none", closed_site=True)),
    case(VEHICLES, "unknown", "closed_site", TODAY, road(), why="missing"),
    case(VEHICLES, "met", "by_waiver", TODAY, road("none", **HELD), waiver("107.145 over moving vehicles")),
    case(VEHICLES, "met", "over_vehicles", "2021-04-21", road(closed_site=True)),
    case(VEHICLES, "not_met", "no_category_then", "2021-04-20", road(closed_site=True)),
]
CASES = BELOW + CATEGORIES + ASSEMBLIES + ROADS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
