"""Height, speed, weather, sight, and what a flight is made from: each side of each limit."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    case,
    check,
    flight,
    paper,
    waiver,
)

LIMITS = "107.51 speed, height, visibility, clouds"
HELD: dict[str, Raw] = {"flight_waiver": "W", "waiver_terms_kept": True}
TOWER: dict[str, str] = {"structure_distance_ft": "400", "structure_top_ft": "500"}
GRANT: dict[str, Raw] = {
    "given_by": "FAA web request",
    "authorizes_from_on": "2024-01-01",
    "authorizes_until_on": "2026-12-31",
    "authorized_place": "Cedar Field",
    "authorized_height_ft": "600",
}
AT_CEDAR: dict[str, Raw] = {"flight_authorization": "L", "flight_place": "Cedar Field"}


def height(feet: str, verdict: str, code: str, on: str = TODAY, use: str = "work", **facts: Raw) -> Case:
    """A flight at a height."""
    why = "within_doubt" if verdict == "unknown" else ""
    return case("height_limit", verdict, code, on, flight(height_agl_ft=feet, **facts), use=use, why=why)


def above(feet: str, verdict: str, code: str, on: str = TODAY, why: str = "", **facts: Raw) -> Case:
    """A recreational flight with an authorization of 600 ft."""
    told = {**AT_CEDAR, "height_agl_ft": feet, **facts}
    return case(
        "height_limit", verdict, code, on, flight(**told), paper("L", **GRANT), use="recreation", why=why
    )


HEIGHTS = [
    height("400", "met", "inside"),
    height("400.1", "not_met", "outside"),
    height("395", "unknown", "within_doubt", height_error_ft="10"),
    height("390", "met", "inside", height_error_ft="10"),
    height("410.1", "not_met", "outside", height_error_ft="10"),
    height("900", "met", "by_structure", structure_distance_ft="400", structure_top_ft="500"),
    height("900.1", "not_met", "over_structure", structure_distance_ft="400", structure_top_ft="500"),
    height("900", "not_met", "outside", structure_distance_ft="400.1", structure_top_ft="500"),
    # Beside a structure the error of the height counts as it does over flat ground.
    height("890", "met", "by_structure", height_error_ft="10", **TOWER),
    height("890.1", "unknown", "within_doubt", height_error_ft="10", **TOWER),
    height("910", "unknown", "within_doubt", height_error_ft="10", **TOWER),
    height("910.1", "not_met", "over_structure", height_error_ft="10", **TOWER),
    # Over flat ground in doubt, and a structure allows it for certain.
    height("395", "met", "by_structure", height_error_ft="10", **TOWER),
    # A waiver that does not hold leaves in doubt what is in doubt.
    case(
        "height_limit",
        "unknown",
        "within_doubt",
        TODAY,
        flight(height_agl_ft="395", height_error_ft="10", **HELD),
        waiver(LIMITS, ends_on="2026-01-01"),
        why="within_doubt",
    ),
    case(
        "height_limit",
        "not_met",
        "waiver_ended",
        TODAY,
        flight(height_agl_ft="500", height_error_ft="10", **HELD),
        waiver(LIMITS, ends_on="2026-01-01"),
    ),
    case(
        "height_limit",
        "met",
        "by_waiver",
        TODAY,
        flight(height_agl_ft="900", height_error_ft="10", **TOWER, **HELD),
        waiver(LIMITS),
    ),
    case(
        "height_limit",
        "unknown",
        "structure_top_ft",
        TODAY,
        flight(height_agl_ft="900", structure_distance_ft="300"),
        why="missing",
    ),
    height("400", "met", "inside", "2016-08-29"),
    case(
        "height_limit",
        "unknown",
        "before_part_107",
        "2016-08-28",
        flight(height_agl_ft="400"),
        why="outside_this_tool",
    ),
    case("height_limit", "unknown", "height_agl_ft", TODAY, flight(), why="missing"),
    case(
        "height_limit",
        "unknown",
        "other_law",
        TODAY,
        flight(height_agl_ft="300", flight_under="certificate of authorization of a public agency"),
        why="outside_this_tool",
    ),
    height("300", "met", "inside", flight_under="Part 137 agricultural operation"),
    case("height_limit", "met", "by_waiver", TODAY, flight(height_agl_ft="600", **HELD), waiver(LIMITS)),
    case(
        "height_limit",
        "not_met",
        "outside",
        TODAY,
        flight(height_agl_ft="600", **HELD),
        waiver("107.39 over people"),
    ),
    height("400", "met", "inside", use="recreation"),
    height("401", "not_met", "outside", use="recreation", structure_distance_ft="10", structure_top_ft="300"),
    height("500", "met", "inside", use="recreation", other_ceiling_ft="500"),
    height("500", "met", "inside", "2024-05-16", use="recreation", other_ceiling_ft="500"),
    height("500", "not_met", "outside", "2024-05-15", use="recreation", other_ceiling_ft="500"),
    height("300", "not_applicable", "controlled", use="recreation", airspace_class="D"),
    # Another ceiling may be a lower one, and the error of the height counts against each.
    height("300", "not_met", "outside", use="recreation", other_ceiling_ft="200"),
    height("490", "met", "inside", use="recreation", other_ceiling_ft="500", height_error_ft="10"),
    height(
        "490.1", "unknown", "within_doubt", use="recreation", other_ceiling_ft="500", height_error_ft="10"
    ),
    # An authorization goes above the ceiling from 2024-05-16, for its place and height and not a foot more.
    above("600", "met", "authorized", airspace_class="G"),
    above("600", "met", "authorized"),
    above("600.1", "not_met", "outside", airspace_class="G"),
    above("595", "unknown", "height_in_doubt", why="within_doubt", airspace_class="G", height_error_ft="10"),
    above("600", "not_met", "outside", flight_place="Oak Field"),
    above("600", "met", "authorized", "2024-05-16", airspace_class="G"),
    above("600", "not_met", "outside", "2024-05-15", airspace_class="G"),
    above("600", "unknown", "airspace_class", "2024-05-15", why="missing"),
    case(
        "height_limit",
        "unknown",
        "recreational_height_limit_ft",
        "2018-10-04",
        flight(height_agl_ft="100"),
        use="recreation",
        why="law_not_read",
    ),
]
SPEEDS = [
    case("speed_limit", "met", "inside", TODAY, flight(ground_speed_kt="87")),
    case("speed_limit", "not_met", "outside", TODAY, flight(ground_speed_kt="87.01"), value=Decimal("87.01")),
    case(
        "speed_limit",
        "unknown",
        "within_doubt",
        TODAY,
        flight(ground_speed_kt="86", speed_error_kt="2"),
        why="within_doubt",
    ),
    case("speed_limit", "met", "by_waiver", TODAY, flight(ground_speed_kt="95", **HELD), waiver(LIMITS)),
    case(
        "speed_limit", "not_applicable", "recreation", TODAY, flight(ground_speed_kt="95"), use="recreation"
    ),
]
WEATHER = [
    case("flight_visibility", "met", "far_enough", TODAY, flight(flight_visibility_sm="3")),
    case("flight_visibility", "not_met", "not_far_enough", TODAY, flight(flight_visibility_sm="2.9")),
    # The report informs: it neither helps nor harms what the pilot saw.
    case(
        "flight_visibility", "unknown", "report_only", TODAY, flight(metar_visibility_sm="10"), why="missing"
    ),
    case(
        "flight_visibility",
        "met",
        "far_enough",
        TODAY,
        flight(flight_visibility_sm="4", metar_visibility_sm="2"),
    ),
    case(
        "flight_visibility",
        "not_met",
        "not_far_enough",
        TODAY,
        flight(flight_visibility_sm="2", metar_visibility_sm="10"),
    ),
    case("flight_visibility", "unknown", "flight_visibility_sm", TODAY, flight(), why="missing"),
    case("cloud_distance", "met", "no_clouds", TODAY, flight(no_clouds=True)),
    case(
        "cloud_distance", "met", "far_enough", TODAY, flight(below_clouds_ft="500", beside_clouds_ft="2000")
    ),
    case(
        "cloud_distance",
        "not_met",
        "too_near_below",
        TODAY,
        flight(below_clouds_ft="499", beside_clouds_ft="2000"),
    ),
    case(
        "cloud_distance",
        "not_met",
        "too_near_beside",
        TODAY,
        flight(below_clouds_ft="500", beside_clouds_ft="1999"),
    ),
    case("cloud_distance", "not_met", "too_near_beside", TODAY, flight(beside_clouds_ft="1999")),
    case(
        "cloud_distance", "unknown", "below_clouds_ft", TODAY, flight(beside_clouds_ft="2000"), why="missing"
    ),
    case("cloud_distance", "met", "by_waiver", TODAY, flight(below_clouds_ft="9", **HELD), waiver(LIMITS)),
]
SIGHT = "107.31 line of sight"
SIGHTS = [
    case("line_of_sight", "met", "in_sight", TODAY, flight(kept_in_sight=True)),
    case("line_of_sight", "not_met", "out_of_sight", TODAY, flight(kept_in_sight=False)),
    case(
        "line_of_sight",
        "met",
        "by_waiver",
        TODAY,
        flight(kept_in_sight=False, for_hire=False, **HELD),
        waiver(SIGHT),
    ),
    case(
        "line_of_sight",
        "unknown",
        "for_hire",
        TODAY,
        flight(kept_in_sight=False, **HELD),
        waiver(SIGHT),
        why="missing",
    ),
    case(
        "line_of_sight",
        "not_met",
        "for_hire",
        TODAY,
        flight(kept_in_sight=False, for_hire=True, **HELD),
        waiver(SIGHT),
    ),
    case("line_of_sight", "unknown", "kept_in_sight", TODAY, flight(), why="missing"),
    case("line_of_sight", "met", "in_sight", TODAY, flight(kept_in_sight=True), use="recreation"),
    case(
        "line_of_sight",
        "not_met",
        "out_of_sight",
        TODAY,
        flight(kept_in_sight=False, **HELD),
        waiver(SIGHT),
        use="recreation",
    ),
]
BOAT = "a moving vehicle or boat"
MOVING = [
    case(
        "from_moving_vehicle",
        "not_applicable",
        "still",
        TODAY,
        flight(flown_from="a place that stands still"),
    ),
    case(
        "from_moving_vehicle",
        "met",
        "sparse",
        TODAY,
        flight(flown_from=BOAT, sparsely_populated=True, for_hire=False),
    ),
    case(
        "from_moving_vehicle",
        "not_met",
        "not_sparse",
        TODAY,
        flight(flown_from=BOAT, sparsely_populated=False),
    ),
    case("from_moving_vehicle", "not_met", "for_hire", TODAY, flight(flown_from=BOAT, for_hire=True)),
    case(
        "from_moving_vehicle",
        "unknown",
        "for_hire",
        TODAY,
        flight(flown_from=BOAT, sparsely_populated=True),
        why="missing",
    ),
    case("from_moving_vehicle", "not_met", "from_aircraft", TODAY, flight(flown_from="a moving aircraft")),
    case(
        "from_moving_vehicle",
        "not_met",
        "for_hire",
        TODAY,
        flight(flown_from="a moving aircraft", for_hire=True, **HELD),
        waiver("107.25 moving vehicle"),
    ),
    case(
        "from_moving_vehicle",
        "unknown",
        "for_hire",
        TODAY,
        flight(flown_from="a moving aircraft", **HELD),
        waiver("107.25 moving vehicle"),
        why="missing",
    ),
    case(
        "from_moving_vehicle",
        "met",
        "by_waiver",
        TODAY,
        flight(flown_from=BOAT, sparsely_populated=False, for_hire=False, **HELD),
        waiver("107.25 moving vehicle"),
    ),
    case(
        "from_moving_vehicle",
        "not_met",
        "for_hire",
        TODAY,
        flight(flown_from=BOAT, for_hire=True, **HELD),
        waiver("107.25 moving vehicle"),
    ),
]
CASES = HEIGHTS + SPEEDS + WEATHER + SIGHTS + MOVING


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
