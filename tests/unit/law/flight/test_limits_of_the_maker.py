"""Flights against the limits that a maker gives for a model; how models are limited is invented."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import TODAY, Case, Given, aircraft, case, check, flight

WINDY: dict[str, Raw] = {"model_wind_limit_kt": "20"}
GUSTY: dict[str, Raw] = {**WINDY, "model_gust_limit_kt": "25"}
RANGE: dict[str, Raw] = {"model_cold_limit_degc": "-10", "model_heat_limit_degc": "40"}
DRY: dict[str, Raw] = {"model_in_rain": False}
LIGHT: dict[str, Raw] = {"model_max_weight_g": "1200"}


def asked(
    verdict: str,
    code: str,
    limits: dict[str, Raw],
    why: str = "",
    craft: dict[str, Raw] | None = None,
    **facts: Raw,
) -> Case:
    """A flight today with an aircraft of a model that has these limits."""
    return case(
        "model_limits",
        verdict,
        code,
        TODAY,
        flight(flight_aircraft="A", **facts),
        aircraft(**{"model": "Sarvo 4", "takeoff_weight_g": "900", **(craft or {})}),
        Given("model/Sarvo 4", limits),
        Given("configuration/Lamp", {"configuration_of": "A", "configuration_weight_g": "1300"}),
        why=why,
    )


ERROR: dict[str, Raw] = {"takeoff_weight_g": "1195", "scale_error_g": "10"}
CASES = [
    asked("not_applicable", "no_limits", {}),
    case("model_limits", "not_applicable", "no_limits", TODAY, flight(flight_aircraft="A"), aircraft()),
    asked("met", "inside_limits", WINDY, gust_seen_kt="20"),
    asked("not_met", "too_windy", WINDY, gust_seen_kt="20.1"),
    asked("unknown", "gust_seen_kt", WINDY, "missing"),
    # the steady wind alone says nothing of the gusts
    asked("unknown", "gust_seen_kt", WINDY, "missing", wind_seen_kt="5"),
    asked("met", "inside_limits", GUSTY, wind_seen_kt="20", gust_seen_kt="25"),
    asked("not_met", "too_windy", GUSTY, wind_seen_kt="21", gust_seen_kt="22"),
    asked("not_met", "too_gusty", GUSTY, wind_seen_kt="20", gust_seen_kt="26"),
    asked("not_met", "too_gusty", GUSTY, gust_seen_kt="26"),
    asked("unknown", "wind_seen_kt", GUSTY, "missing", gust_seen_kt="24"),
    asked("met", "inside_limits", RANGE, temperature_seen_degc="-10"),
    asked("met", "inside_limits", RANGE, temperature_seen_degc="40"),
    asked("not_met", "too_cold", RANGE, temperature_seen_degc="-10.1"),
    asked("not_met", "too_hot", RANGE, temperature_seen_degc="40.1"),
    asked("unknown", "temperature_seen_degc", RANGE, "missing"),
    asked("met", "inside_limits", DRY, rain_seen=False),
    asked("not_met", "too_wet", DRY, rain_seen=True),
    asked("unknown", "rain_seen", DRY, "missing"),
    asked("not_applicable", "no_limits", {"model_in_rain": True}, rain_seen=True),
    # the heaviest configuration on file, or the one that is flown
    asked("not_met", "too_heavy", LIGHT),
    asked("not_met", "too_heavy", LIGHT, flown_configuration="Lamp"),
    case(
        "model_limits",
        "unknown",
        "within_doubt",
        TODAY,
        flight(flight_aircraft="A"),
        aircraft(model="Sarvo 4", **ERROR),
        Given("model/Sarvo 4", LIGHT),
        why="within_doubt",
    ),
    case(
        "model_limits",
        "met",
        "inside_limits",
        TODAY,
        flight(flight_aircraft="A", flown_configuration="Bare"),
        aircraft(model="Sarvo 4"),
        Given("model/Sarvo 4", LIGHT),
        Given("configuration/Bare", {"configuration_of": "A", "configuration_weight_g": "1100"}),
        Given("configuration/Lamp", {"configuration_of": "A", "configuration_weight_g": "1300"}),
    ),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
