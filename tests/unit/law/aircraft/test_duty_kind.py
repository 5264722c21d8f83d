"""The right kind of certificate for what an aircraft is flown for."""

from __future__ import annotations

import pytest

from tests.unit.law.case import TODAY, Case, aircraft, case, certificate, check, owner, registered

EXACT = {"scale_error_g": "0"}


LIGHT = {"takeoff_weight_g": "249.4758035", **EXACT}


HEAVY = {"takeoff_weight_g": "24947.58035", **EXACT}


UNDER = {"takeoff_weight_g": "24947.58034", **EXACT}


FUN = {"used_for": "recreation"}


LIGHT_FUN = {**LIGHT, **FUN}


NOT = {"is_registered": False}


PERSON = owner(owner_kind="person")


OWNED = {"owner": "O"}


RECREATIONAL = certificate(kind="Part 48 recreational")


RIGHT = "right_kind_for_use"


KIND = [
    case(RIGHT, "met", "covers", TODAY, registered(**OWNED, **UNDER), PERSON, certificate()),
    case(RIGHT, "met", "part_47", TODAY, registered("A", "N48"), certificate("N48", kind="Part 47")),
    case(
        RIGHT,
        "met",
        "part_47",
        TODAY,
        registered("A", "N48", **OWNED, **HEAVY),
        owner(owner_kind="trust"),
        certificate("N48", kind="Part 47"),
    ),
    # So light that it need not be registered, or not: a weight in doubt is a gap, not a duty.
    case(
        RIGHT,
        "unknown",
        "takeoff_weight_g",
        TODAY,
        aircraft(takeoff_weight_g="249", **NOT, **FUN),
        use="recreation",
        why="within_doubt",
    ),
    case(
        RIGHT, "unknown", "takeoff_weight_g", TODAY, aircraft(**NOT, **FUN), use="recreation", why="missing"
    ),
    case(
        RIGHT,
        "not_applicable",
        "no_registration_needed",
        TODAY,
        aircraft(**NOT, **LIGHT_FUN),
        use="recreation",
    ),
    # The word alone carries only what Part 48 would carry too.
    case(RIGHT, "met", "part_47", TODAY, registered(**OWNED, **UNDER), PERSON, certificate(kind="Part 47")),
    case(
        RIGHT,
        "unknown",
        "part_47_by_word",
        TODAY,
        registered(**OWNED, **HEAVY),
        PERSON,
        certificate(kind="Part 47"),
        why="missing",
    ),
    case(
        RIGHT,
        "unknown",
        "part_47_by_word",
        TODAY,
        registered(**OWNED, **UNDER),
        owner(owner_kind="trust"),
        certificate(kind="Part 47"),
        why="missing",
    ),
    case(RIGHT, "unknown", "owner", TODAY, registered(**UNDER), certificate(kind="Part 47"), why="missing"),
    *(
        case(
            rule,
            "unknown",
            "registration_kind",
            TODAY,
            registered("A", number, **OWNED, **UNDER),
            PERSON,
            certificate(number, kind=kind, issued_on="2026-01-05"),
            why="conflict",
        )
        for rule in (RIGHT, "must_be_registered", "registration_in_term", "renewal_window", "new_expiry")
        for number, kind in (
            ("FA00TEST48", "Part 47"),
            ("fa00test48", "Part 47"),
            ("N48", "Part 48 per aircraft"),
            ("n-48", "Part 48 recreational"),
        )
    ),
    case(RIGHT, "not_met", "heavy", TODAY, registered(**OWNED, **HEAVY), PERSON, certificate()),
    case(
        RIGHT,
        "unknown",
        "within_doubt",
        TODAY,
        registered(**OWNED, takeoff_weight_g="24900"),
        PERSON,
        certificate(),
        why="within_doubt",
    ),
    case(
        RIGHT,
        "not_met",
        "abroad",
        TODAY,
        registered(flown_abroad=True, **OWNED, **UNDER),
        PERSON,
        certificate(),
    ),
    case(
        RIGHT,
        "not_met",
        "trust",
        TODAY,
        registered(**OWNED, **UNDER),
        owner(owner_kind="trust"),
        certificate(),
    ),
    case(
        RIGHT,
        "not_met",
        "recreational_for_work",
        TODAY,
        registered(**OWNED, **UNDER, **FUN),
        PERSON,
        RECREATIONAL,
    ),
    case(
        RIGHT,
        "met",
        "covers",
        TODAY,
        registered(**OWNED, **UNDER, **FUN),
        PERSON,
        RECREATIONAL,
        moved=("recreational_certificate_exclusive", False),
    ),
    case(
        RIGHT,
        "met",
        "covers",
        TODAY,
        registered(**OWNED, **UNDER, **FUN),
        PERSON,
        RECREATIONAL,
        use="recreation",
    ),
    case(
        RIGHT,
        "unknown",
        "mixed_use",
        TODAY,
        registered(**OWNED, **UNDER, used_for="work and recreation"),
        PERSON,
        RECREATIONAL,
        use="recreation",
        why="open_reading",
    ),
    case(
        RIGHT,
        "not_met",
        "not_a_person",
        TODAY,
        registered(**OWNED, **UNDER, **FUN),
        owner(owner_kind="corporation"),
        RECREATIONAL,
        use="recreation",
    ),
    case(RIGHT, "not_met", "not_yet_open", "2016-03-30", registered(**OWNED, **UNDER), PERSON, certificate()),
    case(RIGHT, "met", "covers", "2016-03-31", registered(**OWNED, **UNDER), PERSON, certificate()),
    case(RIGHT, "not_applicable", "no_registration_needed", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
    case(RIGHT, "not_applicable", "not_registered", TODAY, aircraft(**NOT)),
    case("part_48_path", "met", "open", TODAY, aircraft(**OWNED, **UNDER), PERSON),
    case("part_48_path", "not_met", "heavy", TODAY, aircraft(**OWNED, **HEAVY), PERSON),
    case("part_48_path", "not_met", "abroad", TODAY, aircraft(flown_abroad=True)),
    case("part_48_path", "not_met", "trust", TODAY, aircraft(**OWNED), owner(owner_kind="trust")),
    case("part_48_path", "not_met", "not_yet_open", "2016-03-30", aircraft(**OWNED, **UNDER), PERSON),
    case("part_48_path", "met", "open", "2016-03-30", aircraft(**OWNED, **UNDER), PERSON, use="recreation"),
    case(
        "part_48_path",
        "unknown",
        "within_doubt",
        TODAY,
        aircraft(**OWNED, takeoff_weight_g="24900"),
        PERSON,
        why="within_doubt",
    ),
    case("part_48_path", "unknown", "owner", TODAY, aircraft(**UNDER), why="missing"),
]

CASES = KIND


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
