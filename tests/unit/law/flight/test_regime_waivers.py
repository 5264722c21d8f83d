"""A waiver opens what it names, while its terms are kept."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    case,
    check,
    flight,
    waiver,
)

WAIVER, POSSIBLE, RELIEF = "waiver_terms", "waiver_possible", "part_108_relief"


PEOPLE = "107.39 over people"


HELD: dict[str, Raw] = {"flight_waiver": "W", "waiver_terms_kept": True, "flight_aircraft": "A"}


KEPT = [
    case(WAIVER, "met", "terms_kept", TODAY, flight(**HELD), waiver(PEOPLE)),
    case(WAIVER, "met", "terms_kept", "2026-12-31", flight(**HELD), waiver(PEOPLE)),
    # A request grants nothing before it is granted, nor after it was denied or withdrawn.
    *(
        case(WAIVER, "not_met", code, TODAY, flight(**HELD), waiver(PEOPLE, paper_state=state))
        for state, code in (("requested", "pending"), ("denied", "denied"), ("withdrawn", "withdrawn"))
    ),
    case(WAIVER, "met", "terms_kept", TODAY, flight(**HELD), waiver(PEOPLE, paper_state="granted")),
    case(WAIVER, "not_met", "waiver_ended", "2027-01-01", flight(**HELD), waiver(PEOPLE)),
    case(WAIVER, "met", "terms_kept", "2016-09-01", flight(**HELD), waiver(PEOPLE)),
    case(WAIVER, "not_met", "waiver_not_yet", "2016-08-31", flight(**HELD), waiver(PEOPLE)),
    case(WAIVER, "met", "terms_kept", TODAY, flight(**HELD), waiver(PEOPLE, covers_aircraft="A")),
    case(WAIVER, "not_met", "other_aircraft", TODAY, flight(**HELD), waiver(PEOPLE, covers_aircraft="B")),
    case(WAIVER, "not_met", "other_aircraft", TODAY, flight(**HELD), waiver(PEOPLE, covers_all=False)),
    # 14 CFR 107.200(c): a waiver holds for whoever it was given to
    case(
        WAIVER,
        "met",
        "terms_kept",
        TODAY,
        flight(**HELD, flight_pilot="P"),
        waiver(PEOPLE, covers_person="P"),
    ),
    case(
        WAIVER,
        "not_met",
        "other_pilot",
        TODAY,
        flight(**HELD, flight_pilot="P"),
        waiver(PEOPLE, covers_person="Q"),
    ),
    case(
        WAIVER,
        "unknown",
        "flight_pilot",
        TODAY,
        flight(**HELD),
        waiver(PEOPLE, covers_person="Q"),
        why="missing",
    ),
    case(
        WAIVER,
        "not_met",
        "term_broken",
        TODAY,
        flight(**{**HELD, "waiver_terms_kept": False}),
        waiver(PEOPLE),
    ),
    case(
        WAIVER,
        "unknown",
        "waiver_terms_kept",
        TODAY,
        flight(flight_waiver="W"),
        waiver(PEOPLE),
        why="missing",
    ),
    case(WAIVER, "unknown", "granted_on", TODAY, flight(**HELD), why="missing"),
    case(WAIVER, "not_applicable", "no_waiver", TODAY, flight()),
    case(WAIVER, "met", "terms_kept", "2021-05-16", flight(**HELD), waiver("107.29 daylight operation")),
    case(
        WAIVER,
        "not_met",
        "night_waivers_ended",
        "2021-05-17",
        flight(**HELD),
        waiver("107.29 daylight operation"),
    ),
]

CASES = KEPT


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
