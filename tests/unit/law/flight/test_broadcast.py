"""Remote ID in flight: broadcast from takeoff to landing, or in sight."""

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
    registered,
)

LAND, ON, ADSB = "land_as_soon_as_practicable", "standard_remote_id_not_disabled", "adsb_out_off"


FAILED: dict[str, Raw] = {"broadcast_failed_on": "2026-11-24T12:00:00-06:00"}


NOON = "2026-11-24T12:00:00-06:00"


def standard(on: str, verdict: str, code: str, why: str = "", way: str = "standard", **facts: bool) -> Case:
    """A flight of an aircraft with Remote ID."""
    return case(
        ON, verdict, code, on, flight(flight_aircraft="A", **facts), aircraft("A", remote_id_way=way), why=why
    )


def failed(verdict: str, code: str, craft: Given, use: str = "work") -> Case:
    """A flight whose Remote ID failed and that went on."""
    told: dict[str, Raw] = {"flight_aircraft": "A", "landed_promptly": False, **FAILED}
    return case(LAND, verdict, code, NOON, flight(**told), craft, use=use)


def seen(verdict: str, code: str, way: str, on: str = TODAY, why: str = "", **facts: Raw) -> Case:
    """The sight of a flight with a registered aircraft."""
    return case(
        SIGHT,
        verdict,
        code,
        on,
        flight(flight_aircraft="A", **facts),
        registered("A", remote_id_way=way),
        why=why,
    )


SIGHT = "remote_id_in_sight"


LIGHT: dict[str, Raw] = {"used_for": "recreation", "takeoff_weight_g": "240", "scale_error_g": "0"}


IN_SIGHT = [
    seen("met", "in_sight", "module", kept_in_sight=True),
    # 14 CFR 89.115(b): within the boundaries of the FRIA, and in sight
    seen("met", "in_sight", "FRIA", kept_in_sight=True, inside_fria=True),
    seen("not_met", "outside_fria", "FRIA", kept_in_sight=True, inside_fria=False),
    seen("unknown", "inside_fria", "FRIA", why="missing", kept_in_sight=True),
    seen("met", "in_sight", "module", kept_in_sight=True, inside_fria=False),
    seen("not_met", "out_of_sight", "module", kept_in_sight=False),
    seen("not_met", "out_of_sight", "FRIA", kept_in_sight=False),
    seen("not_met", "out_of_sight", "module", kept_in_sight=False, flight_waiver="W", waiver_terms_kept=True),
    seen("unknown", "kept_in_sight", "module", why="missing"),
    seen("not_applicable", "sight_not_asked", "standard", kept_in_sight=False),
    seen("not_met", "out_of_sight", "module", "2023-09-17", kept_in_sight=False),
    seen("not_applicable", "not_binding_yet", "module", "2023-09-16", kept_in_sight=False),
    case(
        SIGHT,
        "not_applicable",
        "no_duty_of_remote_id",
        TODAY,
        flight(flight_aircraft="A", kept_in_sight=False),
        aircraft("A", remote_id_way="module", **LIGHT),
        use="recreation",
    ),
]


TRANSMITTED = [
    case(LAND, "not_applicable", "no_failure", TODAY, flight()),
    case(LAND, "not_applicable", "no_failure", "2026-11-24T11:59:00-06:00", flight(**FAILED)),
    case(LAND, "met", "landed", NOON, flight(**FAILED, landed_promptly=True)),
    case(LAND, "not_met", "not_landed", NOON, flight(**FAILED, landed_promptly=False)),
    case(LAND, "unknown", "landed_promptly", NOON, flight(**FAILED), why="missing"),
    case(
        LAND,
        "unknown",
        "broadcast_failed_on",
        TODAY,
        flight(**FAILED, landed_promptly=True),
        why="within_doubt",
    ),
    case(
        LAND,
        "not_met",
        "not_landed",
        "2023-09-17",
        flight(broadcast_failed_on="2023-09-17", landed_promptly=False),
    ),
    # The law of the day it failed counts, and only what Part 89 reaches has to land.
    case(
        LAND,
        "not_applicable",
        "not_binding_yet",
        "2023-09-17",
        flight(broadcast_failed_on="2023-09-16", landed_promptly=False),
    ),
    failed("not_met", "not_landed", registered("A")),
    failed("not_met", "not_landed", aircraft("A", foreign_registry=True)),
    failed("not_applicable", "no_duty_of_remote_id", aircraft("A", only_indoors=True)),
    failed("not_applicable", "no_duty_of_remote_id", aircraft("A", **LIGHT), "recreation"),
    failed("not_met", "not_landed", aircraft("A", **{**LIGHT, "takeoff_weight_g": "250"}), "recreation"),
    failed("not_met", "not_landed", aircraft("A", **LIGHT)),
    case(LAND, "not_applicable", "not_binding_yet", "2023-09-16", flight(broadcast_failed_on="2023-09-16")),
    standard(TODAY, "met", "on", broadcasts=True),
    standard(TODAY, "not_met", "off", broadcasts=False),
    standard(TODAY, "not_met", "off", broadcasts=False, inside_fria=False),
    standard(TODAY, "unknown", "off_inside_fria", "open_reading", broadcasts=False, inside_fria=True),
    standard(TODAY, "not_applicable", "not_standard", way="module", broadcasts=False),
    case(
        ON,
        "not_applicable",
        "no_duty_of_remote_id",
        TODAY,
        flight(flight_aircraft="A", broadcasts=False),
        aircraft("A", only_indoors=True, remote_id_way="standard"),
    ),
    standard("2023-09-17", "not_met", "off", broadcasts=False),
    standard("2023-09-16", "not_applicable", "not_binding_yet", broadcasts=False),
    case(ADSB, "met", "off", TODAY, flight(ads_b_transmits=False)),
    case(ADSB, "met", "authorized_to_transmit", TODAY, flight(ads_b_transmits=True, ads_b_authorized=True)),
    case(ADSB, "not_met", "transmits", TODAY, flight(ads_b_transmits=True, ads_b_authorized=False)),
    case(ADSB, "unknown", "ads_b_authorized", TODAY, flight(ads_b_transmits=True), why="missing"),
    case(ADSB, "unknown", "transmitters_off", "2021-04-20", flight(ads_b_transmits=True), why="law_not_read"),
]

CASES = IN_SIGHT + TRANSMITTED


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
