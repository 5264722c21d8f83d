"""What Part 107 does not reach neither keeps nor breaks its limits: 55 lb or more, a COA, other law. 14 CFR 107.1, 107.3."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import TODAY, Case, aircraft, case, check, flight, outcome_of

COA = "certificate of authorization of a public agency"
PART_135, PART_137 = "Part 135 carriage for hire", "Part 137 agricultural operation"
GOOD: dict[str, Raw] = {"flight_aircraft": "A", "height_agl_ft": "100"}
BAD: dict[str, Raw] = {**GOOD, "height_agl_ft": "900"}


def height(verdict: str, code: str, told: dict[str, Raw], craft: dict[str, Raw], on: str = TODAY) -> Case:
    """The height of a flight with an aircraft."""
    why = {"heavy_flight": "outside_this_tool", "other_law": "outside_this_tool"}.get(code, "")
    return case("height_limit", verdict, code, on, flight(**told), aircraft(**craft), why=why)


def lb(pounds: str, error_g: str = "0") -> dict[str, Raw]:
    """A weighing in pounds, which is exact in grams: 453.59237 each."""
    grams = Decimal(pounds) * Decimal("453.59237")
    return {"takeoff_weight_g": str(grams), "scale_error_g": error_g}


WEIGHTS = [
    height("met", "inside", GOOD, lb("54.99")),
    height("unknown", "heavy_flight", GOOD, lb("55")),
    height("unknown", "heavy_flight", GOOD, lb("60")),
    height("unknown", "heavy_flight", BAD, lb("60")),
    height("not_met", "outside", BAD, lb("54.99")),
    height("met", "inside", GOOD, {}),
    case(
        "height_limit",
        "unknown",
        "perhaps_heavy",
        TODAY,
        flight(**GOOD),
        aircraft(**lb("54.99", "10")),
        why="within_doubt",
    ),
]
LAWS = [
    height("unknown", "other_law", GOOD, {"operated_under": COA, "takeoff_weight_g": "900"}),
    height("unknown", "other_law", BAD, {"operated_under": COA}),
    height("unknown", "other_law", GOOD, {"operated_under": PART_135}),
    height("met", "inside", GOOD, {"operated_under": PART_137}),
    height("unknown", "heavy_flight", GOOD, {"operated_under": PART_137, **lb("60")}),
    height("met", "inside", GOOD, {"operated_under": "Part 107"}),
    height("unknown", "other_law", GOOD, {"foreign_registry": True}),
    height("unknown", "other_law", GOOD, {"only_indoors": True}),
    height("unknown", "other_law", GOOD, {"armed_forces": True}),
    height("met", "inside", GOOD, {"flown_abroad": True}),
    # What is said of the one flight counts before what is said of the aircraft.
    height("met", "inside", {**GOOD, "flight_under": "Part 107"}, {"operated_under": COA}),
    height("unknown", "other_law", {**GOOD, "flight_under": COA}, {"operated_under": "Part 107"}),
    height("unknown", "heavy_flight", {**GOOD, "flight_under": "Part 107"}, lb("60")),
    height("unknown", "other_law", {"height_agl_ft": "100", "flight_under": COA}, {}),
    height("met", "inside", {"height_agl_ft": "100", "flight_under": "Part 107"}, {}),
]
PARCEL: dict[str, Raw] = {"flight_aircraft": "A", "kept_in_sight": False, "for_hire": True}
PARCELS = [
    # Carriage for pay out of sight: 107.205 lets no waiver open it, and other law has to be stated of the flight itself.
    case("line_of_sight", "not_met", "for_hire", TODAY, flight(**PARCEL), aircraft(operated_under=PART_135)),
    case(
        "line_of_sight",
        "unknown",
        "other_law",
        TODAY,
        flight(**{**PARCEL, "kept_in_sight": True}),
        aircraft(operated_under=PART_135),
        why="outside_this_tool",
    ),
    case(
        "line_of_sight",
        "unknown",
        "other_law",
        TODAY,
        flight(**{**PARCEL, "flight_under": PART_135}),
        aircraft(operated_under=PART_135),
        why="outside_this_tool",
    ),
]
CASES = WEIGHTS + LAWS + PARCELS

KEPT: dict[str, tuple[str, dict[str, Raw]]] = {
    "speed_limit": ("met", {"ground_speed_kt": "20"}),
    "flight_visibility": ("met", {"flight_visibility_sm": "5"}),
    "cloud_distance": ("met", {"no_clouds": True}),
    "line_of_sight": ("met", {"kept_in_sight": True}),
    "from_moving_vehicle": ("not_applicable", {"flown_from": "a place that stands still"}),
    "right_of_way": ("met", {"gives_way": True}),
    "one_aircraft": ("met", {"several_at_once": False}),
    "visual_observer": ("not_applicable", {"observer_used": False}),
    "airport_interference": ("met", {"interferes_with_airport": False}),
    "checked_before_flight": ("met", {"condition_checked": True, "preflight_done": True}),
    "crew_fit": ("met", {"crew_fit": True, "hours_since_drink": "12", "flight_pilot": "P"}),
    "over_people": ("met", {"people_below": "nobody"}),
    "open_air_assembly_remote_id": ("not_applicable", {"over_assembly": "none"}),
    "over_moving_vehicles": ("not_applicable", {"over_moving_vehicles": False}),
    "authority_controlled_airspace": ("not_applicable", {"airspace_class": "G"}),
    "tfr": ("met", {"notice_covers": False}),
    "restricted_area_permission": ("not_applicable", {"restricted_area": False}),
    "hazardous_material": ("met", {"hazardous_material": False}),
    "adsb_out_off": ("met", {"ads_b_transmits": False}),
    "waiver_terms": ("not_applicable", {}),
    "papers_at_hand": ("met", {"card_at_hand": True, "id_at_hand": True}),
}


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


@pytest.mark.parametrize(("rule", "kept"), KEPT.items(), ids=KEPT)
def test_no_limit_is_kept_by_what_part_107_does_not_reach(
    rule: str, kept: tuple[str, dict[str, Raw]]
) -> None:
    verdict, told = kept
    told = {"flight_aircraft": "A", **told}
    assert (
        outcome_of(case(rule, verdict, "", TODAY, flight(**told), aircraft(**lb("54.99")))).verdict == verdict
    )
    for craft in (lb("55"), {"operated_under": COA}):
        outcome = outcome_of(case(rule, "unknown", "", TODAY, flight(**told), aircraft(**craft)))
        assert (outcome.verdict, outcome.why) == ("unknown", "outside_this_tool")
