"""The papers to have at hand."""

from __future__ import annotations

import pytest

from tests.unit.law.case import (
    TODAY,
    Case,
    aircraft,
    case,
    check,
    flight,
    registered,
)

CRAFT = registered("A", "N", used_for="work")


AT_HAND = [
    case("papers_at_hand", "met", "both", TODAY, flight(card_at_hand=True, id_at_hand=True)),
    case("papers_at_hand", "not_met", "no_card", TODAY, flight(card_at_hand=False)),
    case("papers_at_hand", "not_met", "no_id", TODAY, flight(card_at_hand=True, id_at_hand=False)),
    case("papers_at_hand", "unknown", "id_at_hand", TODAY, flight(card_at_hand=True), why="missing"),
    case("papers_at_hand", "not_met", "no_card", "2021-04-21", flight(card_at_hand=False)),
    case("papers_at_hand", "not_applicable", "on_request_then", "2021-04-20", flight(card_at_hand=False)),
    case(
        "registration_at_hand",
        "met",
        "at_hand",
        TODAY,
        flight(flight_aircraft="A", registration_carried=True),
        CRAFT,
    ),
    case(
        "registration_at_hand",
        "not_met",
        "not_at_hand",
        TODAY,
        flight(flight_aircraft="A", registration_carried=False),
        CRAFT,
    ),
    case(
        "registration_at_hand",
        "not_applicable",
        "no_registration_needed",
        TODAY,
        flight(flight_aircraft="A"),
        aircraft("A", only_indoors=True),
    ),
]

CASES = AT_HAND


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
