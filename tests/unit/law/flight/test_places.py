"""Airspace, notices, rings and land, on each side of every line."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    aircraft,
    case,
    certificate,
    check,
    flight,
    registered,
)

GAME: dict[str, Raw] = {
    "stadium_seats": "30000",
    "stadium_distance_nm": "3",
    "height_agl_ft": "3000",
    "listed_event": True,
    "event_starts_on": "2026-11-24T18:00:00Z",
    "event_ends_on": "2026-11-24T21:00:00Z",
    "notice_authorized": False,
}


def game(on: str, verdict: str, code: str, why: str = "", **facts: Raw) -> Case:
    """A flight by a stadium."""
    return case("event_ring", verdict, code, on, flight(**{**GAME, **facts}), why=why)


IN_GAME = "2026-11-24T19:00Z"
GAMES = [
    game("2026-11-24T17:00Z", "not_met", "inside_stadium_ring"),
    game("2026-11-24T16:59Z", "not_applicable", "before_event"),
    game("2026-11-24T22:00Z", "not_met", "inside_stadium_ring"),
    game("2026-11-24T22:01Z", "not_applicable", "after_event"),
    game(IN_GAME, "not_applicable", "few_seats", stadium_seats="29999"),
    game(IN_GAME, "not_applicable", "far_from_stadium", stadium_distance_nm="3.01"),
    game(IN_GAME, "not_applicable", "above_stadium_ring", height_agl_ft="3001"),
    game(IN_GAME, "not_applicable", "no_listed_event", listed_event=False),
    game(IN_GAME, "met", "authorized_inside", notice_authorized=True),
    case("event_ring", "unknown", "stadium_seats", IN_GAME, flight(), why="missing"),
    case("event_ring", "not_applicable", "far_from_stadium", IN_GAME, flight(stadium_distance_nm="5")),
    game("2026-11-24", "unknown", "event_starts_on", "within_doubt"),
    game(IN_GAME, "not_applicable", "above_stadium_ring", height_agl_ft="3011", height_error_ft="10"),
    game(IN_GAME, "unknown", "height_agl_ft", "within_doubt", height_agl_ft="3010", height_error_ft="10"),
    # An event whose end is not on file has a beginning, and the ring stays open an hour after it at the least.
    game("2026-11-24T16:59Z", "not_applicable", "before_event", event_ends_on=None),
    game("2026-11-24T17:00Z", "not_met", "inside_stadium_ring", event_ends_on=None),
    game("2026-11-24T19:00Z", "not_met", "inside_stadium_ring", event_ends_on=None),
    game("2026-11-24T19:01Z", "unknown", "event_ends_on", "missing", event_ends_on=None),
    game("2026-11-24T19:59Z", "unknown", "event_starts_on", "missing", event_starts_on=None),
    game("2026-11-24T20:00Z", "not_met", "inside_stadium_ring", event_starts_on=None),
    game("2026-11-24T22:00Z", "not_met", "inside_stadium_ring", event_starts_on=None),
    game("2026-11-24T22:01Z", "not_applicable", "after_event", event_starts_on=None),
    game(IN_GAME, "unknown", "event_starts_on", "missing", event_starts_on=None, event_ends_on=None),
    game("2026-11-24T16:59Z", "unknown", "event_ends_on", "conflict", event_ends_on="2026-11-24T17:59:59Z"),
]
INNER, OUTER = "dc_inner_ring", "dc_outer_ring"
CRAFT = registered("A", "N", used_for="work", mark_place="outside")
CARD = certificate(issued_on="2026-01-05")
GOOD: dict[str, Raw] = {
    "flight_aircraft": "A",
    "washington_distance_mi": "22",
    "height_agl_ft": "399",
    "kept_in_sight": True,
    "clear_weather": True,
}


def near(miles: str, **facts: Raw) -> Given:
    """A flight near Washington with every condition of the outer ring kept, but for what is said otherwise."""
    return flight(**{**GOOD, "washington_distance_mi": miles, **facts})


RINGS = [
    case(
        INNER,
        "not_met",
        "inside_inner_ring",
        TODAY,
        near("15", washington_authorized=False),
        value=Decimal(15),
    ),
    case(INNER, "met", "authorized_inner_ring", TODAY, near("15", washington_authorized=True)),
    case(INNER, "unknown", "washington_authorized", TODAY, near("15"), why="missing"),
    case(INNER, "unknown", "near_the_line", TODAY, near("15.1"), why="open_reading"),
    case(INNER, "unknown", "near_the_line", TODAY, near("17.2"), why="open_reading"),
    case(INNER, "not_applicable", "outside_inner_ring", TODAY, near("17.3")),
    case(OUTER, "not_applicable", "in_the_inner_ring", TODAY, near("15"), CRAFT, CARD),
    case(OUTER, "unknown", "near_the_line", TODAY, near("17.2"), CRAFT, CARD, why="open_reading"),
    case(OUTER, "met", "outer_ring", TODAY, near("17.3"), CRAFT, CARD),
    case(OUTER, "met", "outer_ring", TODAY, near("30"), CRAFT, CARD),
    case(OUTER, "unknown", "near_the_line", TODAY, near("34.5"), CRAFT, CARD, why="open_reading"),
    case(OUTER, "not_applicable", "outside_outer_ring", TODAY, near("34.6"), CRAFT, CARD),
    case(OUTER, "not_met", "outer_ring_too_high", TODAY, near("22", height_agl_ft="400"), CRAFT, CARD),
    case(
        OUTER, "met", "outer_ring", TODAY, near("22", height_agl_ft="389", height_error_ft="10"), CRAFT, CARD
    ),
    case(
        OUTER,
        "unknown",
        "outer_ring_in_doubt",
        TODAY,
        near("22", height_agl_ft="390", height_error_ft="10"),
        CRAFT,
        CARD,
        why="within_doubt",
    ),
    # The ring asks for a registration in its term.
    *(
        case(OUTER, verdict, code, "2026-06-01", near("22"), CRAFT, card, why=why)
        for card, verdict, code, why in (
            (certificate(issued_on="2023-06-02"), "met", "outer_ring", ""),
            (certificate(issued_on="2023-06-01"), "unknown", "expiry_day", "open_reading"),
            (certificate(issued_on="2023-05-31"), "not_met", "outer_ring_unregistered", ""),
            (certificate(issued_on="2026-06-02"), "not_met", "outer_ring_unregistered", ""),
            (certificate(), "unknown", "expires_on", "missing"),
            (
                certificate(issued_on="2026-01-05", cancelled_on="2026-06-01"),
                "not_met",
                "outer_ring_unregistered",
                "",
            ),
        )
    ),
    case(OUTER, "not_met", "outer_ring_out_of_sight", TODAY, near("22", kept_in_sight=False), CRAFT, CARD),
    case(OUTER, "not_met", "outer_ring_weather", TODAY, near("22", clear_weather=False), CRAFT, CARD),
    case(
        OUTER,
        "not_met",
        "outer_ring_unregistered",
        TODAY,
        near("22"),
        aircraft("A", is_registered=False, used_for="work"),
    ),
    case(
        OUTER,
        "not_met",
        "outer_ring_unmarked",
        TODAY,
        near("22"),
        registered("A", "N", used_for="work", mark_place="not marked"),
        CARD,
    ),
    case(
        OUTER,
        "unknown",
        "is_registered",
        TODAY,
        near("22"),
        aircraft("A", used_for="work", mark_place="outside"),
        why="missing",
    ),
    case(OUTER, "unknown", "washington_below_ft", "2016-02-09", near("22"), CRAFT, CARD, why="law_not_read"),
]
ASSET = "moving_asset_ring"
OTHERS = [
    case(
        ASSET,
        "not_met",
        "inside_asset_ring",
        TODAY,
        flight(asset_distance_ft="3000", above_asset_ft="1000", notice_authorized=False),
    ),
    case(ASSET, "not_applicable", "far_from_asset", TODAY, flight(asset_distance_ft="3001")),
    case(ASSET, "not_applicable", "above_asset", TODAY, flight(above_asset_ft="1001")),
    case(
        ASSET,
        "unknown",
        "above_asset_ft",
        TODAY,
        flight(asset_distance_ft="10", above_asset_ft="1001", height_error_ft="1"),
        why="within_doubt",
    ),
    case(
        ASSET,
        "met",
        "authorized_inside",
        TODAY,
        flight(asset_distance_ft="1", above_asset_ft="1", notice_authorized=True),
    ),
    case(ASSET, "unknown", "asset_distance_ft", TODAY, flight(), why="missing"),
    case(ASSET, "not_applicable", "far_from_asset", "2026-01-16", flight(asset_distance_ft="3001")),
    case(
        ASSET, "unknown", "asset_ring_ft", "2026-01-15", flight(asset_distance_ft="3001"), why="law_not_read"
    ),
    case(
        ASSET, "unknown", "asset_ring_ft", "2027-10-29", flight(asset_distance_ft="3001"), why="law_not_read"
    ),
    case("site_restriction_2209", "not_applicable", "only_proposed", TODAY, flight(paid=True)),
    case(
        "site_restriction_2209",
        "unknown",
        "site_restrictions_in_force",
        TODAY,
        flight(paid=True),
        why="law_not_read",
        moved=("site_restrictions_in_force", True),
    ),
    case("park_land_closure", "not_applicable", "not_from_park_land", TODAY, flight(from_park_land=False)),
    case(
        "park_land_closure", "met", "park_permits", TODAY, flight(from_park_land=True, park_permission=True)
    ),
    case(
        "park_land_closure",
        "not_met",
        "park_closed",
        TODAY,
        flight(from_park_land=True, park_permission=False),
    ),
    case("park_land_closure", "unknown", "from_park_land", TODAY, flight(), why="missing"),
    case(
        "land_rules",
        "unknown",
        "park_rules",
        TODAY,
        flight(land_below="National Park Service"),
        why="open_reading",
    ),
    case(
        "land_rules",
        "unknown",
        "refuge_rules",
        TODAY,
        flight(land_below="wildlife refuge or wilderness"),
        why="open_reading",
    ),
    case(
        "land_rules",
        "unknown",
        "other_land",
        TODAY,
        flight(land_below="private land"),
        why="outside_this_tool",
    ),
    case("state_law", "unknown", "not_covered", TODAY, flight(paid=True), why="outside_this_tool"),
]
CASES = GAMES + RINGS + OTHERS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
