"""Sheets of aircraft, their registrations, parts and Remote ID units, read in the light of each other."""

from datetime import date

import pytest

from tests.unit.intake.books import Rows, Value, problem_with, sheet_of, spoiled, taken, told


def one(heading: str, cell: Value) -> tuple[dict[tuple[str, str], object], set[tuple[str, str]]]:
    """What one cell of a sheet of one aircraft says and spoils."""
    intake = taken(sheet_of("Aircraft", [["Aircraft", "Model", heading], ["H-01", "One", cell]]))
    return {pair: value for pair, value in told(intake).items() if pair[1] != "model"}, spoiled(intake)


@pytest.mark.parametrize(
    ("heading", "cell", "facts"),
    [
        ("FAA number", "FA00TEST01", {"registration": "FA00TEST01", "is_registered": True}),
        ("FAA number", "none", {"is_registered": False}),
        ("FAA number", "not registered", {"is_registered": False}),
        ("FAA number", "yes", {"is_registered": True}),
        ("FAA number", "?", {}),
        ("Registered", "no", {"is_registered": False}),
        ("Registered", "", {}),
        ("Weight (lb)", 0.5, {"takeoff_weight_g": "226.796185"}),
        ("AUW", "249 g", {"takeoff_weight_g": "249"}),
        ("Base weight [kg]", 1.2, {"base_weight_g": "1200"}),
        ("Used for", "both", {"used_for": "work and recreation"}),
        ("Remote ID", "beacon", {"remote_id_way": "module"}),
        ("Serial", "zz9z3a1b", {"remote_id_serial": "ZZ9Z3A1B"}),
        ("Serial", "none", {}),
        ("Marked", "battery bay", {"mark_place": "inside, opened without a tool"}),
        ("Sold on", date(2026, 1, 2), {"sold_on": "2026-01-02"}),
        ("Sold on", "no", {}),
        ("Legible", "x", {"mark_legible": True}),
        ("Maker", "none", {}),
        ("Airframe serial", 17, {"airframe_serial": "17"}),
    ],
)
def test_one_cell(heading: str, cell: Value, facts: dict[str, object]) -> None:
    assert one(heading, cell) == ({("aircraft/H-01", key): value for key, value in facts.items()}, set())


@pytest.mark.parametrize(
    ("heading", "cell", "keys"),
    [
        ("FAA number", 10001, ("registration", "is_registered")),
        ("FAA number", "1.58E+18", ("registration", "is_registered")),
        ("FAA number", "pending", ("registration", "is_registered")),
        ("Serial", 9999034567890123456, ("remote_id_serial",)),
        ("Serial", "yes", ("remote_id_serial",)),
        ("Weight", 249, ("takeoff_weight_g",)),
        ("Weight (g)", -1, ("takeoff_weight_g",)),
        ("Marked", "yes", ("mark_place",)),
        ("Remote ID", True, ("remote_id_way",)),
        ("Sold on", "2023-02-29", ("sold_on",)),
        ("Maker", "#REF!", ("maker",)),
        ("Maker", "x" * 1001, ("maker",)),
    ],
)
def test_one_cell_that_spoils(heading: str, cell: Value, keys: tuple[str, ...]) -> None:
    assert one(heading, cell) == ({}, {("aircraft/H-01", key) for key in keys})


def test_registration_columns_speak_of_the_registration_and_owner_columns_of_the_owner() -> None:
    rows: Rows = [
        ["Aircraft", "FAA number", "Kind", "Issued", "Expires", "Registered to", "Owner", "Owner kind"],
        ["H-01", "FA00TEST01", "107", "2024-01-02", "2027-01-02", "Test Program", "Test Program", "company"],
    ]
    facts = told(taken(sheet_of("Fleet", rows)))
    assert facts["registration/FA00TEST01", "registration_kind"] == "Part 48 per aircraft"
    assert facts["registration/FA00TEST01", "expires_on"] == "2027-01-02"
    assert facts["registration/FA00TEST01", "registered_to"] == "Test Program"
    assert facts["aircraft/H-01", "owner"] == "Test Program"
    assert facts["owner/Test Program", "owner_kind"] == "corporation"


def test_a_statement_names_its_cell() -> None:
    intake = taken(sheet_of("Fleet", [["Test Program"], [], ["Aircraft", "Maker"], ["H-01", "Korrin Works"]]))
    assert [item.origin for item in intake.known] == ["t.xlsx sheet 'Fleet' cell B4"]


def test_dates_of_a_row_without_registration_are_told() -> None:
    intake = taken(
        sheet_of("Fleet", [["Aircraft", "FAA number", "Expires", "Maker"], ["H-01", "", "2027-01-02", "x"]])
    )
    assert "names no registration: C2" in problem_with(intake, "not used").what


def test_a_kind_column_that_is_no_registration_kind_stays_unknown() -> None:
    rows: Rows = [["Aircraft", "Maker", "Kind"], ["H-01", "Korrin Works", "quadcopter"]]
    intake = taken(sheet_of("Fleet", rows))
    assert [column.how for column in intake.columns] == ["exact", "exact", "unknown"]
    assert not spoiled(intake)


def test_a_bare_serial_is_the_airframe_s_where_another_column_is_remote_id_s() -> None:
    rows: Rows = [["Aircraft", "Serial", "Remote ID serial"], ["H-01", "17", "ZZ9Z3A1B"]]
    intake = taken(sheet_of("Fleet", rows))
    facts = told(intake)
    assert facts["aircraft/H-01", "airframe_serial"] == "17"
    assert "another column" in intake.columns[1].note


def test_an_aircraft_without_a_name_goes_by_its_serial() -> None:
    facts = told(taken(sheet_of("Fleet", [["Maker", "Airframe serial"], ["Korrin Works", "17"]])))
    assert facts["aircraft/17", "maker"] == "Korrin Works"
    assert facts["aircraft/17", "airframe_serial"] == "17"


def test_a_plain_weight_is_without_the_parts_listed_elsewhere() -> None:
    fleet = sheet_of("Fleet", [["Aircraft", "Weight (g)"], ["H-01", 900], ["H-02", 249]])
    parts = sheet_of("Parts", [["Aircraft", "Part", "Weight (oz)"], ["h-01 ", "lamp", 16]])
    intake = taken(fleet, parts)
    facts = told(intake)
    assert facts["aircraft/H-01", "base_weight_g"] == "900"
    assert facts["aircraft/H-02", "takeoff_weight_g"] == "249"
    assert facts["part/H-01, lamp", "part_weight_g"] == "453.59237"
    assert facts["part/H-01, lamp", "part_of"] == "H-01"
    assert "1 aircraft whose parts" in intake.columns[1].note
    assert "read as 'H-01'" in problem_with(intake, "read as").what


def test_a_part_of_nobody_is_unread() -> None:
    parts = sheet_of("Parts", [["Aircraft", "Part", "Weight (g)"], ["", "lamp", 16], ["H-9", "camera", 5]])
    intake = taken(sheet_of("Fleet", [["Aircraft", "Maker"], ["H-01", "x"]]), parts)
    assert problem_with(intake, "doesn't name the aircraft").unread
    assert "A3" in problem_with(intake, "doesn't name any aircraft in these sheets").what


def test_remote_id_units_carry_their_days() -> None:
    units = sheet_of(
        "Remote ID units",
        [
            ["Aircraft", "Type", "Serial", "From", "Until"],
            ["H-01", "module", "ZZ9Z3A1B", "2025-01-01", "2025-06-01"],
            ["H-01", "module", "ZZ9Z3A1C", date(2025, 6, 1), ""],
            ["H-02", "module", "ZZ9Z3A1D", "3/4/2025", ""],
            ["H-03", "module", "ZZ9Z3A1E", "2025-06-01", "2025-06-01"],
        ],
    )
    intake = taken(units)
    spans = {
        item.statement.value: item.statement[3:]
        for item in intake.known
        if item.statement.key == "remote_id_serial"
    }
    assert spans == {
        "ZZ9Z3A1B": (date(2025, 1, 1), date(2025, 6, 1)),
        "ZZ9Z3A1C": (date(2025, 6, 1), None),
    }
    assert spoiled(intake) == {
        (f"aircraft/{name}", key)
        for name in ("H-02", "H-03")
        for key in ("remote_id_way", "remote_id_serial")
    }


def test_a_sheet_of_registrations_states_which_aircraft_stands_under_each() -> None:
    rows: Rows = [
        ["Number", "Aircraft", "Expires", "Serial"],
        ["FA00TEST01", "H-01", "2027-01-02", "ZZ9Z3A1B"],
    ]
    facts = told(taken(sheet_of("Registrations", rows)))
    assert facts["aircraft/H-01", "registration"] == "FA00TEST01"
    assert facts["aircraft/H-01", "is_registered"] is True
    assert facts["aircraft/H-01", "listed_serial"] == "ZZ9Z3A1B"
    assert facts["registration/FA00TEST01", "expires_on"] == "2027-01-02"


def test_a_listed_serial_finds_the_aircraft_by_its_number() -> None:
    fleet = sheet_of("Fleet", [["Aircraft", "FAA number"], ["H-01", "FA00TEST01"], ["H-02", "FA00TEST02"]])
    registrations = sheet_of(
        "Registrations", [["Number", "Serial"], ["fa00test01", "ZZ9Z3A1B"], ["FA00TEST03", "ZZ9Z3A1C"]]
    )
    intake = taken(fleet, registrations)
    assert told(intake)["aircraft/H-01", "listed_serial"] == "ZZ9Z3A1B"
    assert "B3" in problem_with(intake, "not used").what


def test_a_registration_row_without_its_number_is_unread() -> None:
    rows: Rows = [["Number", "Expires"], ["", "2027-01-02"], ["1.58E+18", "2027-01-02"]]
    intake = taken(sheet_of("Registrations", rows))
    assert intake.known == ()
    assert [problem.unread for problem in intake.problems] == [True, True]
