"""Light enough to need no registration, and light enough for Part 107: each side of both limits."""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from airwrit.base.days import parse_when
from airwrit.base.measured import Measured, exact
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.aircraft.weight import is_small, small_limit_or_less, weight_on_file_g
from airwrit.law.parameters import Law
from tests.unit.law.aircraft.test_in_force import EXACT, HEAVY, LIGHT, OVER, UNDER
from tests.unit.law.case import (
    KNOWN_AT,
    TODAY,
    Case,
    Given,
    aircraft,
    case,
    check,
    part,
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


def light(verdict: str, code: str, *given: Given, why: str = "") -> Case:
    """Whether the aircraft, with what is on file besides, is light enough for the exemption: at most 249.4758035 g."""
    return case("weight_exemption", verdict, code, TODAY, *given, why=why)


def flown(name: str = "C", **grams: str | None) -> Given:
    """A configuration of the aircraft; its scale is off by nothing unless told otherwise."""
    told: dict[str, Raw] = {"configuration_of": "A", "configuration_scale_error_g": "0", **grams}
    return Given(f"configuration/{name}", told)


def cell(grams: str | None, error: str = "0") -> Given:
    """The battery of a configuration."""
    weighed: dict[str, Raw] = {} if grams is None else {"battery_weight_g": grams}
    return Given("battery/B", {"battery_scale_error_g": error, **weighed})


BARE = aircraft(airframe_serial="ZZ9Z100")
WITH_CELL = {"bare_weight_g": "200", "configuration_battery": "B"}
CAMERA = {"payload": "camera", "payload_scale_error_g": "0"}
PARTS = [
    light("met", "inside", aircraft(base_weight_g="200", **EXACT), part("49.4")),
    light("not_met", "outside", aircraft(base_weight_g="200", **EXACT), part("49.5")),
    light(
        "unknown",
        "within_doubt",
        aircraft(base_weight_g="200", **EXACT),
        part("49.4", "1"),
        why="within_doubt",
    ),
    # The whole on the scale counts before the sum of its parts, as long as both can be true.
    light("met", "inside", aircraft(base_weight_g="200", takeoff_weight_g="249", **EXACT), part("49.5", "1")),
    light(
        "unknown",
        "takeoff_weight_g",
        aircraft(base_weight_g="200", takeoff_weight_g="249", **EXACT),
        part("49.5"),
        why="conflict",
    ),
    light(
        "unknown",
        "takeoff_weight_g",
        aircraft(base_weight_g="200", takeoff_weight_g="250", **EXACT),
        part("49.5"),
        why="conflict",
    ),
]
CONFIGURATIONS = [
    # The heaviest of all that is on file counts, however it was weighed.
    light("met", "inside", BARE, flown(configuration_weight_g="240")),
    light("not_met", "outside", BARE, flown(configuration_weight_g="260")),
    light(
        "not_met",
        "outside",
        BARE,
        flown(configuration_weight_g="260"),
        flown("D", configuration_weight_g="240"),
    ),
    light(
        "not_met",
        "outside",
        BARE,
        flown(configuration_weight_g="240"),
        flown("D", configuration_weight_g="260"),
    ),
    light(
        "not_met", "outside", aircraft(takeoff_weight_g="260", **EXACT), flown(configuration_weight_g="240")
    ),
    light(
        "not_met", "outside", aircraft(takeoff_weight_g="240", **EXACT), flown(configuration_weight_g="260")
    ),
    light("not_met", "outside", aircraft(base_weight_g="260", **EXACT), flown(configuration_weight_g="240")),
    light("met", "inside", aircraft(takeoff_weight_g="240", **EXACT), flown(configuration_weight_g="245")),
    light(
        "unknown",
        "within_doubt",
        aircraft(takeoff_weight_g="240", **EXACT),
        flown(configuration_weight_g="249", configuration_scale_error_g="1"),
        why="within_doubt",
    ),
    # Weighed in parts: the bare aircraft, its battery, its payload; each has to be weighed.
    light("met", "inside", BARE, flown(bare_weight_g="240")),
    light("met", "inside", BARE, flown(**WITH_CELL), cell("40")),
    light("not_met", "outside", BARE, flown(**WITH_CELL), cell("50")),
    light("unknown", "within_doubt", BARE, flown(**WITH_CELL), cell("49", "1"), why="within_doubt"),
    light("unknown", "battery_weight_g", BARE, flown(**WITH_CELL), cell(None), why="missing"),
    light("met", "inside", BARE, flown(**WITH_CELL, **CAMERA, payload_weight_g="9"), cell("40")),
    light("not_met", "outside", BARE, flown(**WITH_CELL, **CAMERA, payload_weight_g="10"), cell("40")),
    light("not_met", "outside", BARE, flown(bare_weight_g="240", **CAMERA, payload_weight_g="10")),
    light(
        "unknown",
        "within_doubt",
        BARE,
        flown(bare_weight_g="240", payload="camera", payload_weight_g="9", payload_scale_error_g="1"),
        why="within_doubt",
    ),
    light("unknown", "payload_weight_g", BARE, flown(bare_weight_g="240", **CAMERA), why="missing"),
    light("unknown", "configuration_weight_g", BARE, flown(), why="missing"),
    light("met", "inside", BARE, flown(**WITH_CELL, configuration_weight_g="240"), cell("40")),
    light(
        "unknown",
        "configuration_weight_g",
        BARE,
        flown(**WITH_CELL, configuration_weight_g="241"),
        cell("40"),
        why="conflict",
    ),
]

CASES = WEIGHTS + PARTS + CONFIGURATIONS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


@pytest.mark.parametrize(
    ("given", "grams"),
    [
        ((BARE,), None),
        ((aircraft(takeoff_weight_g="240", **EXACT),), "240"),
        ((aircraft(base_weight_g="230", **EXACT),), "230"),
        ((aircraft(base_weight_g="230", **EXACT), part("5")), "235"),
        ((BARE, flown(configuration_weight_g="245")), "245"),
        ((aircraft(takeoff_weight_g="240", **EXACT), flown(configuration_weight_g="245")), "245"),
    ],
)
def test_what_is_on_file_of_a_weight_is_told_and_none_where_nothing_is(
    given: tuple[Given, ...], grams: str | None
) -> None:
    known = [Known(Statement(one.subject, name, value)) for one in given for name, value in one.facts.items()]
    facts = Facts(state_of(known, parse_when(TODAY), KNOWN_AT), "aircraft/A", UsedFor.WORK)
    assert weight_on_file_g(facts) == (None if grams is None else exact(Decimal(grams)))


@pytest.mark.parametrize(
    ("grams", "small", "or_less"),
    [("24947.58034", "met", "met"), ("24947.58035", "not_met", "met"), ("24947.58036", "not_met", "not_met")],
)
def test_exactly_55_lb_is_not_small_and_is_55_lb_or_less(grams: str, small: str, or_less: str) -> None:
    """14 CFR 1.1 and 107.3: small is less than 55 pounds; 49 U.S.C. 44809(c)(2): more than 55 pounds."""
    weight: Measured = exact(Decimal(grams))
    law = Law(date(2026, 11, 24))
    assert (is_small(weight, law).verdict, small_limit_or_less(weight, law).verdict) == (small, or_less)
