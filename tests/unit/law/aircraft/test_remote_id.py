"""Remote ID: the ways, the serial's form, the certificate it stands on."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.base.identifiers import broadcast_serial
from airwrit.facts.key import Raw
from tests.unit.law.case import TODAY, Case, Given, aircraft, case, certificate, check, flight, registered

WAY, FORM, LISTED = "remote_id_way", "serial_form", "serial_on_right_certificate"
LIGHT_FUN: dict[str, Raw] = {"used_for": "recreation", "takeoff_weight_g": "240", "scale_error_g": "0"}
SERIAL = "ZZ9Z6M00001"
MODULE: dict[str, Raw] = {"remote_id_way": "module", "remote_id_serial": SERIAL}
ON: dict[str, Raw] = {**MODULE, "listed_serial": SERIAL}
AREA: dict[str, Raw] = {"remote_id_way": "FRIA", "kept_inside_fria": True}
NONE: dict[str, Raw] = {"remote_id_way": "none"}
FUN = "Part 48 recreational"


def flown(way: str, kept: Raw, on: Raw = None) -> tuple[Given, Given]:
    """An aircraft with accepted equipment or in its area, and a flight of it, on a day or of none."""
    told: dict[str, Raw] = {"flight_aircraft": "A", "kept_in_sight": kept, "flown_on": on}
    craft = registered(
        remote_id_way=way, declaration_accepted=True, kept_inside_fria=True, fria_recognized_on="2025-01-05"
    )
    return craft, flight(**told)


OUT_OF_SIGHT = [
    # 89.115 asks for sight with a module and in an area: of a flight to come; what was flown is judged as a flight.
    case(WAY, "not_met", "module_out_of_sight", TODAY, *flown("module", False)),
    case(WAY, "met", "broadcasts", TODAY, *flown("module", False, TODAY)),
    case(WAY, "met", "broadcasts", TODAY, *flown("module", True)),
    case(WAY, "met", "broadcasts", TODAY, *flown("module", None)),
    case(WAY, "met", "broadcasts", TODAY, *flown("standard", False)),
    case(WAY, "not_met", "area_out_of_sight", TODAY, *flown("FRIA", False)),
    case(WAY, "met", "fria", TODAY, *flown("FRIA", True)),
    case(WAY, "not_met", "module_out_of_sight", "2023-09-17", *flown("module", False)),
    case(WAY, "not_applicable", "not_binding_yet", "2023-09-16", *flown("module", False)),
]
WAYS = [
    case(WAY, "met", "broadcasts", TODAY, registered(remote_id_way="standard", declaration_accepted=True)),
    case(WAY, "met", "broadcasts", TODAY, registered(remote_id_way="module", declaration_accepted=True)),
    case(
        WAY,
        "not_met",
        "not_accepted",
        "2024-03-17",
        registered(remote_id_way="module", declaration_accepted=False),
    ),
    case(
        WAY,
        "not_met",
        "not_accepted_in_discretion",
        "2024-03-16",
        registered(remote_id_way="module", declaration_accepted=False),
    ),
    case(WAY, "unknown", "declaration_accepted", TODAY, registered(remote_id_way="module"), why="missing"),
    case(WAY, "unknown", "remote_id_way", TODAY, registered(), why="missing"),
    # Foreign aircraft are bound too; what stays inside a building and Part 91 flights with ADS-B Out are not.
    case(WAY, "unknown", "remote_id_way", TODAY, aircraft(foreign_registry=True), why="missing"),
    case(WAY, "not_met", "none", TODAY, aircraft(foreign_registry=True, **NONE)),
    case(WAY, "not_applicable", "no_registration_needed", TODAY, registered(only_indoors=True, **NONE)),
    case(
        WAY,
        "not_applicable",
        "no_registration_needed",
        TODAY,
        aircraft(foreign_registry=True, only_indoors=True),
    ),
    case(
        WAY,
        "not_applicable",
        "part_91_ads_b",
        TODAY,
        registered(remote_id_way="ADS-B Out", operated_under="Part 91 with a 44807 exemption"),
    ),
    case(
        WAY,
        "not_met",
        "ads_b",
        TODAY,
        registered(remote_id_way="ADS-B Out", operated_under="Part 135 carriage for hire"),
    ),
    case(WAY, "not_applicable", "not_binding_yet", "2023-09-16", registered(**NONE)),
    case(WAY, "not_met", "none_in_discretion", "2023-09-17", registered(**NONE)),
    case(WAY, "not_met", "none_in_discretion", "2024-03-16", registered(**NONE)),
    case(WAY, "not_met", "none", "2024-03-17", registered(**NONE)),
    case(WAY, "not_met", "ads_b", TODAY, registered(remote_id_way="ADS-B Out")),
    case(
        WAY,
        "unknown",
        "authorization",
        TODAY,
        registered(remote_id_way="FAA authorization"),
        why="outside_this_tool",
    ),
    case(
        WAY,
        "not_applicable",
        "no_registration_needed",
        TODAY,
        aircraft(**LIGHT_FUN, **NONE),
        use="recreation",
    ),
    # Once registered, Remote ID binds however light it is; so it does an aircraft that ought to be registered.
    case(WAY, "not_met", "none", TODAY, registered(**LIGHT_FUN, **NONE), use="recreation"),
    case(WAY, "not_met", "none", TODAY, aircraft(is_registered=False, **LIGHT_FUN, **NONE)),
    case(WAY, "not_met", "fria_not_yet", "2024-05-09", registered(**AREA, fria_recognized_on="2024-05-10")),
    case(WAY, "not_met", "outside_fria", TODAY, registered(remote_id_way="FRIA", kept_inside_fria=False)),
    case(WAY, "unknown", "fria_recognized_on", TODAY, registered(**AREA), why="missing"),
    case(
        WAY,
        "met",
        "fria",
        "2027-05-31",
        registered(**AREA, fria_recognized_on="2023-05-10"),
        value=date(2027, 5, 31),
    ),
    case(
        WAY,
        "not_met",
        "fria_ended",
        "2027-06-01",
        registered(**AREA, fria_recognized_on="2023-05-10"),
        value=date(2027, 5, 31),
    ),
]

FORMS = [
    case(FORM, "met", "right_form", TODAY, registered(**MODULE)),
    case(
        FORM,
        "met",
        "read_as_capitals",
        TODAY,
        registered(remote_id_way="module", remote_id_serial=" zz9z6m00001"),
    ),
    case(FORM, "met", "right_form", TODAY, registered(remote_id_way="module", remote_id_serial=f" {SERIAL}")),
    case(
        FORM,
        "unknown",
        "mixed_case",
        TODAY,
        registered(remote_id_way="module", remote_id_serial="ZZ9Z6m00001"),
        why="missing",
    ),
    case(
        FORM,
        "not_met",
        "wrong_form",
        TODAY,
        registered(remote_id_way="module", remote_id_serial="ZZ9Z7M00001"),
    ),
    case(
        FORM,
        "not_met",
        "wrong_form",
        TODAY,
        registered(remote_id_way="module", remote_id_serial="ZZ9Z6MOOOO1"),
    ),
    case(
        FORM, "not_met", "wrong_form", TODAY, registered(remote_id_way="module", remote_id_serial="1.58E+18")
    ),
    case(FORM, "unknown", "remote_id_serial", TODAY, registered(remote_id_way="module"), why="missing"),
    case(FORM, "not_applicable", "no_broadcast", TODAY, registered(**NONE)),
    case(FORM, "not_applicable", "not_binding_yet", "2023-09-16", registered(**MODULE)),
    case(FORM, "not_applicable", "no_registration_needed", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
]

LISTS = [
    case(LISTED, "not_applicable", "on_the_notice", TODAY, aircraft(foreign_registry=True, **ON)),
    case(LISTED, "met", "listed", TODAY, registered(**ON), certificate()),
    case(LISTED, "met", "listed", TODAY, registered(**ON), certificate("N", "Part 47")),
    case(
        LISTED,
        "met",
        "listed",
        TODAY,
        registered(remote_id_way="module", remote_id_serial="zz9z6m00001 ", listed_serial=SERIAL),
    ),
    case(LISTED, "not_met", "other_serial_listed", TODAY, registered(**MODULE, listed_serial="ZZ9Z6M00002")),
    case(LISTED, "not_met", "other_serial_listed", TODAY, registered(**MODULE, listed_serial=" ")),
    case(LISTED, "unknown", "listed_serial", TODAY, registered(**MODULE), why="missing"),
    case(
        LISTED,
        "unknown",
        "remote_id_serial",
        TODAY,
        registered(remote_id_way="module", listed_serial=SERIAL),
        why="missing",
    ),
    case(
        LISTED,
        "unknown",
        "serial_not_known",
        TODAY,
        registered(remote_id_way="module", remote_id_serial="0AB-77/2019", listed_serial=SERIAL),
        why="missing",
    ),
    case(LISTED, "not_met", "on_two_certificates", TODAY, registered(**ON), registered("B", "M", **ON)),
    case(
        LISTED,
        "met",
        "listed",
        TODAY,
        registered(**ON),
        aircraft("B", is_registered=False, **ON),
    ),
    # A listing by an aircraft whose number is not on file may be on any certificate.
    *(
        case(LISTED, "unknown", "registration", TODAY, registered(**ON), other, why="missing")
        for other in (aircraft("B", **ON), aircraft("B", is_registered=True, **ON))
    ),
    case(LISTED, "met", "listed", TODAY, registered(**ON), aircraft("B", foreign_registry=True, **ON)),
    *(
        case(
            LISTED,
            "not_met",
            "on_two_certificates",
            TODAY,
            registered(**{**MODULE, **mine}),
            registered("B", "M", listed_serial=theirs),
            certificate("M"),
            value="aircraft/B",
        )
        for mine, theirs in (
            ({"listed_serial": SERIAL}, SERIAL),
            ({"listed_serial": SERIAL}, SERIAL.lower()),
            ({"listed_serial": f" {SERIAL.lower()}"}, SERIAL),
            # What it broadcasts is listed for another, whatever its own registration lists.
            ({}, SERIAL),
            ({"listed_serial": "ZZ9Z6M00002"}, SERIAL),
            ({"listed_serial": "ZZ9Z6M00002"}, "zz9z6m00002"),
        )
    ),
    case(
        LISTED,
        "met",
        "listed",
        TODAY,
        registered(**ON),
        registered("B", "M", **ON),
        certificate("M", cancelled_on="2026-11-24"),
    ),
    case(
        LISTED,
        "not_met",
        "on_two_certificates",
        TODAY,
        registered(**ON),
        registered("B", "M", **ON),
        certificate("M", cancelled_on="2026-11-25"),
    ),
    case(
        LISTED,
        "not_met",
        "certificate_ended",
        "2026-03-10",
        registered(sold_on="2026-03-10", **ON),
        certificate(),
        value=date(2026, 3, 10),
    ),
    case(LISTED, "met", "listed", "2026-03-09", registered(sold_on="2026-03-10", **ON), certificate()),
    case(
        LISTED,
        "not_met",
        "two_aircraft_one_certificate",
        TODAY,
        registered(**ON),
        registered("B", **ON),
        certificate(),
    ),
    case(
        LISTED,
        "met",
        "listed",
        TODAY,
        registered(**ON),
        registered("B", **ON),
        certificate(kind=FUN),
        use="recreation",
    ),
    case(LISTED, "not_applicable", "no_broadcast", TODAY, registered(**NONE)),
    case(LISTED, "not_applicable", "not_registered", TODAY, aircraft(is_registered=False, **ON)),
    case(LISTED, "not_applicable", "not_binding_yet", "2023-09-16", registered(**ON)),
    case(LISTED, "not_applicable", "no_registration_needed", TODAY, aircraft(**LIGHT_FUN), use="recreation"),
]

FRIA = registered(**{**AREA, "fria_recognized_on": "2026-01-05"})
OTHERWISE = [
    # Recognized on the day itself, and to the last day of its term.
    case(WAY, "not_met", "fria_not_yet", "2026-01-04", FRIA),
    case(WAY, "met", "fria", "2026-01-05", FRIA),
    # What the law of the day opens or asks for: each way with that turned around.
    case(WAY, "not_met", "none", TODAY, FRIA, moved=("remote_id_fria_way", False)),
    case(
        WAY,
        "not_met",
        "none",
        TODAY,
        registered(remote_id_way="FAA authorization"),
        moved=("remote_id_authorization_way", False),
    ),
    case(WAY, "not_met", "ads_b", TODAY, registered(remote_id_way="ADS-B Out")),
    case(
        WAY,
        "met",
        "broadcasts",
        TODAY,
        registered(remote_id_way="ADS-B Out"),
        moved=("ads_b_out_replaces_remote_id", True),
    ),
    case(WAY, "met", "broadcasts", TODAY, *flown("module", False), moved=("module_and_area_in_sight", False)),
    case(WAY, "met", "fria", TODAY, *flown("FRIA", False), moved=("module_and_area_in_sight", False)),
    case(
        WAY,
        "met",
        "broadcasts",
        TODAY,
        registered(remote_id_way="standard", declaration_accepted=False),
        moved=("remote_id_declaration_needed", False),
    ),
    # Without a number no certificate can be looked at.
    case(LISTED, "unknown", "registration", TODAY, aircraft(is_registered=True, **ON), why="missing"),
    # A Part 47 certificate, at a time when that part lists no serial.
    case(
        LISTED,
        "not_applicable",
        "not_asked",
        TODAY,
        registered("A", "N7", **ON),
        certificate("N7", kind="Part 47"),
        moved=("part_47_lists_serial", False),
    ),
    # Of two faults the first is told.
    case(
        FORM,
        "not_met",
        "wrong_form",
        TODAY,
        registered(remote_id_way="module", remote_id_serial="ZZIZ6M-0001"),
        value=broadcast_serial("ZZIZ6M-0001").faults[0].hint,
    ),
]
CASES = OTHERWISE + WAYS + FORMS + LISTS + OUT_OF_SIGHT


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
