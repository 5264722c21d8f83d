"""Airspace that asks for an authorization, and notices that close it."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import (
    TODAY,
    Case,
    Given,
    case,
    cell,
    check,
    flight,
    paper,
    waiver,
)

AIRSPACE = "authority_controlled_airspace"


GRANT: dict[str, Raw] = {
    "given_by": "FAA automated service",
    "authorizes_from_on": "2026-11-24T14:00:00Z",
    "authorizes_until_on": "2026-11-24T16:00:00Z",
    "authorized_place": "Cedar Field",
    "authorized_height_ft": "200",
}


IN_D: dict[str, Raw] = {
    "airspace_class": "D",
    "flight_authorization": "L",
    "flight_place": "Cedar Field",
    "height_agl_ft": "200",
}


AFTERNOON = "2026-11-24T15:00Z"


def in_d(**facts: Raw) -> Given:
    """A flight in class D with an authorization."""
    return flight(**{**IN_D, **facts})


def grant(**facts: Raw) -> Given:
    """An authorization for an afternoon."""
    return paper("L", **{**GRANT, **facts})


AUTHORIZED = [
    case(AIRSPACE, "met", "authorized", "2026-11-24T14:00Z", in_d(), grant()),
    case(AIRSPACE, "not_met", "authorization_not_yet", "2026-11-24T13:59Z", in_d(), grant()),
    case(AIRSPACE, "met", "authorized", "2026-11-24T16:00Z", in_d(), grant()),
    case(AIRSPACE, "not_met", "authorization_over", "2026-11-24T16:01Z", in_d(), grant()),
    case(AIRSPACE, "unknown", "authorizes_from_on", TODAY, in_d(), grant(), why="within_doubt"),
    case(
        AIRSPACE,
        "met",
        "authorized",
        TODAY,
        in_d(),
        grant(authorizes_from_on=TODAY, authorizes_until_on=TODAY),
    ),
    case(AIRSPACE, "not_met", "too_high", AFTERNOON, in_d(height_agl_ft="201"), grant()),
    case(AIRSPACE, "met", "authorized", AFTERNOON, in_d(height_agl_ft="190", height_error_ft="10"), grant()),
    case(
        AIRSPACE,
        "unknown",
        "height_in_doubt",
        AFTERNOON,
        in_d(height_agl_ft="190", height_error_ft="11"),
        grant(),
        why="within_doubt",
    ),
    case(
        AIRSPACE, "not_met", "too_high", AFTERNOON, in_d(height_agl_ft="211", height_error_ft="10"), grant()
    ),
    # An authorization is for its place: another one, or none on file, is not this one.
    case(AIRSPACE, "met", "authorized", AFTERNOON, in_d(flight_place="cedar  field"), grant()),
    case(AIRSPACE, "not_met", "other_place", AFTERNOON, in_d(flight_place="Oak Field"), grant()),
    case(
        AIRSPACE,
        "met",
        "authorized",
        AFTERNOON,
        in_d(flight_place="Oak Field"),
        grant(authorized_place="Cedar Field; Oak Field"),
    ),
    case(
        AIRSPACE,
        "unknown",
        "authorized_place",
        AFTERNOON,
        in_d(),
        paper("L", **{name: value for name, value in GRANT.items() if name != "authorized_place"}),
        why="missing",
    ),
    case(
        AIRSPACE,
        "unknown",
        "flight_place",
        AFTERNOON,
        flight(**{name: value for name, value in IN_D.items() if name != "flight_place"}),
        grant(),
        why="missing",
    ),
    # A waiver of the section opens what the authorization does not cover.
    case(
        AIRSPACE,
        "met",
        "by_waiver",
        AFTERNOON,
        in_d(flight_place="Oak Field", flight_waiver="W", waiver_terms_kept=True),
        grant(),
        waiver("107.41 controlled airspace"),
    ),
    # Where it was measured, the area decides and not its name.
    case(AIRSPACE, "met", "authorized", AFTERNOON, in_d(inside_authorized_area=True), grant()),
    case(AIRSPACE, "not_met", "outside_its_area", AFTERNOON, in_d(inside_authorized_area=False), grant()),
    # A request grants nothing before it is granted, and what was denied or withdrawn grants nothing again.
    case(AIRSPACE, "not_met", "pending", AFTERNOON, in_d(), grant(paper_state="requested")),
    case(AIRSPACE, "not_met", "denied", AFTERNOON, in_d(), grant(paper_state="denied")),
    case(AIRSPACE, "not_met", "withdrawn", AFTERNOON, in_d(), grant(paper_state="withdrawn")),
    case(AIRSPACE, "met", "authorized", AFTERNOON, in_d(), grant(paper_state="granted")),
    # It has to hold from the first takeoff to the last landing, where those are told.
    *(
        case(
            AIRSPACE,
            verdict,
            code,
            AFTERNOON,
            in_d(flight_starts_on=f"2026-11-24T{start}:00Z", flight_ends_on=f"2026-11-24T{end}:00Z"),
            grant(),
        )
        for verdict, code, start, end in (
            ("met", "authorized", "14:00", "16:00"),
            ("not_met", "authorization_not_yet", "13:59", "16:00"),
            ("not_met", "authorization_over", "14:00", "16:01"),
        )
    ),
    # Where it names an aircraft or a pilot it is for that one.
    case(AIRSPACE, "met", "authorized", AFTERNOON, in_d(flight_aircraft="A"), grant(covers_aircraft="A")),
    case(
        AIRSPACE,
        "not_met",
        "for_other_aircraft",
        AFTERNOON,
        in_d(flight_aircraft="A"),
        grant(covers_aircraft="B"),
    ),
    case(
        AIRSPACE, "unknown", "flight_aircraft", AFTERNOON, in_d(), grant(covers_aircraft="B"), why="missing"
    ),
    case(AIRSPACE, "not_met", "for_other_pilot", AFTERNOON, in_d(flight_pilot="P"), grant(covers_person="Q")),
    # Spoken words authorize nothing, and a map's number is not asked.
    case(AIRSPACE, "not_met", "spoken", AFTERNOON, in_d(), grant(given_by="spoken word")),
    case(
        AIRSPACE,
        "not_met",
        "no_authorization",
        TODAY,
        flight(airspace_class="B", height_agl_ft="90"),
        cell("100"),
    ),
    case(AIRSPACE, "unknown", "given_by", AFTERNOON, in_d(), paper("L"), why="missing"),
    *(
        case(AIRSPACE, "not_met", "no_authorization", TODAY, flight(airspace_class=name))
        for name in ("C", "D", "E surface area of an airport")
    ),
    *(
        case(AIRSPACE, "not_applicable", "uncontrolled", TODAY, flight(airspace_class=name))
        for name in ("E elsewhere", "G")
    ),
    case(
        AIRSPACE,
        "unknown",
        "extension",
        TODAY,
        flight(airspace_class="E extension of a surface area"),
        why="open_reading",
    ),
    case(AIRSPACE, "unknown", "airspace_class", TODAY, flight(), why="missing"),
    case(
        AIRSPACE,
        "met",
        "by_waiver",
        TODAY,
        flight(airspace_class="D", flight_waiver="W", waiver_terms_kept=True),
        waiver("107.41 controlled airspace"),
    ),
    case(AIRSPACE, "not_met", "no_authorization", TODAY, flight(airspace_class="D"), use="recreation"),
    case(AIRSPACE, "met", "authorized", AFTERNOON, in_d(), grant(), use="recreation"),
    case(
        "facility_map_lowest",
        "not_applicable",
        "lowest",
        TODAY,
        flight(),
        cell("200"),
        cell("100", "2"),
        value=Decimal(100),
    ),
    case(
        "facility_map_lowest",
        "not_applicable",
        "zero",
        TODAY,
        flight(),
        cell("200"),
        cell("0", "2"),
        value=Decimal(0),
    ),
    case("facility_map_lowest", "unknown", "no_cells", TODAY, flight(paid=True), why="missing"),
]


NOTICES = [
    case("tfr", "met", "no_notice", TODAY, flight(notice_covers=False)),
    case("tfr", "not_met", "covered", TODAY, flight(notice_covers=True, notice_authorized=False)),
    case("tfr", "met", "authorized_inside", TODAY, flight(notice_covers=True, notice_authorized=True)),
    case("tfr", "unknown", "notice_covers", TODAY, flight(), why="missing"),
    case("tfr", "unknown", "notice_authorized", TODAY, flight(notice_covers=True), why="missing"),
    case(
        "tfr",
        "not_met",
        "covered",
        TODAY,
        flight(notice_covers=True, notice_authorized=False),
        use="recreation",
    ),
    case("restricted_area_permission", "not_applicable", "no_area", TODAY, flight(restricted_area=False)),
    case(
        "restricted_area_permission",
        "met",
        "permitted",
        TODAY,
        flight(restricted_area=True, area_permission=True),
    ),
    case(
        "restricted_area_permission",
        "not_met",
        "not_permitted",
        TODAY,
        flight(restricted_area=True, area_permission=False),
    ),
    *(
        case("restricted_area_permission", verdict, code, TODAY, flight(**told), use="recreation")
        for verdict, code, told in (
            ("not_applicable", "no_area", {"restricted_area": False}),
            ("met", "permitted", {"restricted_area": True, "area_permission": True}),
            ("not_met", "not_permitted", {"restricted_area": True, "area_permission": False}),
        )
    ),
    *(
        case(
            "restricted_area_permission",
            "not_met",
            "not_permitted",
            on,
            flight(restricted_area=True, area_permission=False),
            use="recreation",
        )
        for on in ("2018-10-05", "2024-05-15", "2024-05-16")
    ),
    case(
        "restricted_area_permission",
        "unknown",
        "restricted_areas_bind_recreation",
        "2018-10-04",
        flight(restricted_area=False),
        use="recreation",
        why="law_not_read",
    ),
]

CASES = AUTHORIZED + NOTICES


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
