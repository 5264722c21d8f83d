"""Must it be registered, is it, with the right kind of certificate, and is it marked?"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

import pytest

from tests.unit.law.case import TODAY, Case, aircraft, case, certificate, check, owner, registered

EXACT = {"scale_error_g": "0"}
LIGHT = {"takeoff_weight_g": "249.4758035", **EXACT}
OVER = {"takeoff_weight_g": "249.4758036", **EXACT}
HEAVY = {"takeoff_weight_g": "24947.58035", **EXACT}
UNDER = {"takeoff_weight_g": "24947.58034", **EXACT}
FUN = {"used_for": "recreation"}
LIGHT_FUN = {**LIGHT, **FUN}
NOT = {"is_registered": False}
PERSON = owner(owner_kind="person")
OWNED = {"owner": "O"}
RECREATIONAL = certificate(kind="Part 48 recreational")

MUST = [
    case("must_be_registered", "met", "registered", TODAY, registered(), certificate()),
    case("must_be_registered", "unknown", "registration", TODAY, aircraft(is_registered=True), why="missing"),
    case("must_be_registered", "not_met", "sold", TODAY, aircraft(is_registered=True, sold_on="2026-03-10")),
    case(
        "must_be_registered",
        "not_applicable",
        "light",
        TODAY,
        aircraft(is_registered=True, **LIGHT_FUN),
        use="recreation",
    ),
    case("must_be_registered", "not_met", "not_registered", TODAY, aircraft(**NOT, **LIGHT)),
    case("must_be_registered", "unknown", "is_registered", TODAY, aircraft(**LIGHT), why="missing"),
    case("must_be_registered", "not_applicable", "light", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
    case("must_be_registered", "not_applicable", "light", "2021-04-20", aircraft(**NOT, **LIGHT)),
    case("must_be_registered", "not_met", "not_registered", "2021-04-21", aircraft(**NOT, **LIGHT)),
    case("must_be_registered", "not_met", "over_weight", "2021-04-20", aircraft(**NOT, **OVER)),
    case(
        "must_be_registered",
        "not_met",
        "over_weight",
        TODAY,
        aircraft(**NOT, **FUN, takeoff_weight_g="453.59237", **EXACT),
        use="recreation",
        value=Decimal(1),
    ),
    case(
        "must_be_registered",
        "not_met",
        "not_registered",
        TODAY,
        aircraft(**NOT, **LIGHT, used_for="work and recreation"),
        use="recreation",
    ),
    case(
        "must_be_registered", "unknown", "used_for", TODAY, aircraft(**NOT), use="recreation", why="missing"
    ),
    case(
        "must_be_registered",
        "unknown",
        "takeoff_weight_g",
        TODAY,
        aircraft(**NOT, **FUN, takeoff_weight_g="249"),
        use="recreation",
        why="within_doubt",
    ),
    case(
        "must_be_registered",
        "not_met",
        "over_weight",
        "2017-05-18",
        aircraft(**NOT, **FUN, **OVER),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "struck",
        "2017-05-19",
        aircraft(**NOT, **FUN),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "struck",
        "2017-12-11",
        aircraft(**NOT, **FUN),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "not_met",
        "over_weight",
        "2017-12-12",
        aircraft(**NOT, **FUN, **OVER),
        use="recreation",
    ),
    case("must_be_registered", "not_met", "over_weight", "2017-05-19", aircraft(**NOT, **OVER)),
    case("must_be_registered", "not_applicable", "armed_forces", TODAY, aircraft(**NOT, armed_forces=True)),
    case("must_be_registered", "not_applicable", "indoors", TODAY, aircraft(**NOT, only_indoors=True)),
    case("must_be_registered", "not_applicable", "foreign", TODAY, aircraft(**NOT, foreign_registry=True)),
    case(
        "must_be_registered",
        "met",
        "registered",
        "2026-03-09",
        registered(sold_on="2026-03-10"),
        certificate(),
    ),
    case(
        "must_be_registered", "not_met", "sold", "2026-03-10", registered(sold_on="2026-03-10"), certificate()
    ),
    case(
        "must_be_registered",
        "not_met",
        "destroyed",
        TODAY,
        registered(destroyed_on="2026-03-10"),
        certificate(),
    ),
    case(
        "must_be_registered",
        "not_met",
        "exported",
        TODAY,
        registered(exported_on="2026-03-10"),
        certificate(),
    ),
    case(
        "must_be_registered",
        "not_met",
        "cancelled",
        TODAY,
        registered(),
        certificate(cancelled_on="2026-03-10"),
        value=date(2026, 3, 10),
    ),
    case(
        "must_be_registered", "not_met", "revoked", TODAY, registered(), certificate(revoked_on="2026-03-10")
    ),
    case(
        "must_be_registered",
        "met",
        "registered",
        "2026-04-09",
        registered(),
        certificate(registered_to="O"),
        owner(owner_died_on="2026-03-10"),
    ),
    case(
        "must_be_registered",
        "not_met",
        "owner_died",
        "2026-04-10",
        registered(),
        certificate(registered_to="O"),
        owner(owner_died_on="2026-03-10"),
        value=date(2026, 4, 9),
    ),
    case(
        "must_be_registered",
        "met",
        "registered",
        "2026-03-09",
        registered(),
        certificate(registered_to="O"),
        owner(citizenship_lost_on="2026-03-10"),
    ),
    case(
        "must_be_registered",
        "not_met",
        "citizenship_lost",
        "2026-03-10",
        registered(),
        certificate(registered_to="O"),
        owner(citizenship_lost_on="2026-03-10"),
        value=date(2026, 3, 10),
    ),
    case(
        "must_be_registered",
        "not_applicable",
        "light",
        TODAY,
        registered(**LIGHT_FUN),
        certificate(cancelled_on="2026-03-10"),
        use="recreation",
    ),
    case(
        "must_be_registered",
        "unknown",
        "application_pending",
        "2026-03-10",
        aircraft(**NOT, applied_on="2025-03-10"),
        why="open_reading",
    ),
    case(
        "must_be_registered",
        "not_met",
        "temporary_authority_over",
        "2026-03-11",
        aircraft(**NOT, applied_on="2025-03-10"),
        value=date(2026, 3, 10),
    ),
    case(
        "must_be_registered",
        "not_met",
        "not_registered",
        "2025-03-09",
        aircraft(**NOT, applied_on="2025-03-10"),
    ),
    case(
        "must_be_registered",
        "unknown",
        "application_pending",
        "2022-06-08",
        aircraft(**NOT, **OVER, applied_on="2022-03-10"),
        why="open_reading",
    ),
    case(
        "must_be_registered",
        "not_met",
        "temporary_authority_over",
        "2022-06-09",
        aircraft(**NOT, **OVER, applied_on="2022-03-10"),
        value=date(2022, 6, 8),
    ),
    case("use_stated", "not_applicable", "stated", TODAY, aircraft(**FUN)),
    case("use_stated", "unknown", "used_for", TODAY, aircraft(), why="missing"),
]

RIGHT = "right_kind_for_use"
KIND = [
    case(RIGHT, "met", "covers", TODAY, registered(**OWNED, **UNDER), PERSON, certificate()),
    case(RIGHT, "met", "part_47", TODAY, registered(), certificate(kind="Part 47")),
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

OPERATING = [
    case(
        "operating_rules",
        "unknown",
        code,
        TODAY,
        aircraft(operated_under=law, **UNDER),
        why="outside_this_tool",
    )
    for law, code in (
        ("certificate of authorization of a public agency", "public_coa"),
        ("Part 91 with a 44807 exemption", "part_91"),
        ("Part 135 carriage for hire", "part_135"),
        ("Part 137 agricultural operation", "part_137"),
        ("law of another State", "abroad"),
    )
] + [
    case(
        "operating_rules", "unknown", "indoors", TODAY, aircraft(only_indoors=True), why="outside_this_tool"
    ),
    case(
        "operating_rules",
        "unknown",
        "foreign",
        TODAY,
        aircraft(foreign_registry=True),
        why="outside_this_tool",
    ),
    case("operating_rules", "unknown", "abroad", TODAY, aircraft(flown_abroad=True), why="outside_this_tool"),
    case(
        "operating_rules",
        "unknown",
        "armed_forces",
        TODAY,
        aircraft(armed_forces=True),
        why="outside_this_tool",
    ),
    case("operating_rules", "unknown", "heavy", TODAY, aircraft(**HEAVY), why="outside_this_tool"),
    case(
        "operating_rules",
        "unknown",
        "within_doubt",
        TODAY,
        aircraft(takeoff_weight_g="24900"),
        why="within_doubt",
    ),
    case("operating_rules", "not_applicable", "flight_by_flight", TODAY, aircraft(**UNDER)),
]

MARK = "marked_outside"
NO_TOOL, TOOL = "inside, opened without a tool", "inside, opened with a tool"
MARKS = [
    case(MARK, "met", "outside", TODAY, aircraft(mark_place="outside")),
    case(MARK, "not_met", "not_legible", TODAY, aircraft(mark_place="outside", mark_legible=False)),
    case(MARK, "met", "outside", TODAY, aircraft(mark_place="outside", mark_legible=True)),
    case(MARK, "not_met", "not_marked", TODAY, aircraft(mark_place="not marked")),
    # The mark follows registration, also where nobody had to register.
    case(
        MARK,
        "not_met",
        "not_marked",
        TODAY,
        registered(mark_place="not marked", **LIGHT_FUN),
        use="recreation",
    ),
    case(MARK, "not_applicable", "no_registration_needed", TODAY, registered(only_indoors=True)),
    case(MARK, "met", "inside_then_allowed", "2019-02-24", aircraft(mark_place=NO_TOOL, **OVER)),
    case(MARK, "not_met", "inside_with_tool", "2019-02-24", aircraft(mark_place=TOOL, **OVER)),
    case(MARK, "not_met", "inside", "2019-02-25", aircraft(mark_place=NO_TOOL, **OVER)),
    case(MARK, "not_met", "inside", TODAY, aircraft(mark_place=TOOL)),
    case(MARK, "not_applicable", "no_registration_needed", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
    case(MARK, "unknown", "mark_place", TODAY, aircraft(), why="missing"),
    case("mark_shows_number", "met", "same", TODAY, registered("A", "FA00TEST01", mark_text=" fa00 test01")),
    case(
        "mark_shows_number",
        "not_met",
        "other_number",
        TODAY,
        registered("A", "FA00TEST01", mark_text="FA00TEST02"),
    ),
    case(
        "mark_shows_number",
        "met",
        "same",
        TODAY,
        registered("A", "N123TA", mark_text="N123TA"),
        certificate("N123TA", "Part 47"),
    ),
    case("mark_shows_number", "not_applicable", "not_read_off", TODAY, registered()),
    case(
        "mark_shows_number",
        "not_applicable",
        "not_registered",
        TODAY,
        aircraft(**NOT, mark_text="FA00TEST01"),
    ),
    case(
        "mark_shows_number",
        "not_applicable",
        "no_registration_needed",
        TODAY,
        aircraft(**LIGHT_FUN),
        use="recreation",
    ),
]

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

CASES = MUST + KIND + OPERATING + MARKS + WEIGHTS


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
