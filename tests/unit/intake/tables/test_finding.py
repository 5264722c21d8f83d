"""Tables stand in any row, side by side, turned, as pages of labels; rows may hold a person and an aircraft."""

from __future__ import annotations

from airwrit.intake.layout import laid_out
from tests.unit.intake.books import Rows, sheet_of, taken, told

NUMBERS = ("FA00TEST01", "FA00TEST02", "FA00TEST03")


def kinds(rows: Rows, name: str = "Sheet1") -> list[str]:
    """The kinds of the tables of a sheet."""
    return [block.table for block in laid_out(sheet_of(name, rows)).blocks]


def test_aircraft_as_columns() -> None:
    rows: Rows = [
        ["OUR DRONES"],
        [],
        ["Callsign", "Sky 6", "Sky 7", "Lake"],
        ["FAA ID", *NUMBERS],
        ["ID expires", "2028-01-22", "2028-02-22", "2028-03-22"],
        ["AUW", "907 g", "907 g", "2 lb"],
        ["RID", "standard", "standard", "none"],
    ]
    facts = told(taken(sheet_of("Drones", rows)))
    assert facts["aircraft/Sky 7", "registration"] == "FA00TEST02"
    assert facts["registration/FA00TEST02", "expires_on"] == "2028-02-22"


def test_a_page_of_labels_for_each_aircraft() -> None:
    rows: Rows = [
        ["AIRCRAFT CARD"],
        ["Drone name:", "Heron"],
        ["FAA number:", "FA00TEST01"],
        ["Expires:", "2028-02-11"],
        ["Remote ID:", "standard"],
        ["Takeoff weight:", "3 lb"],
    ]
    assert told(taken(sheet_of("Card", rows)))["registration/FA00TEST01", "expires_on"] == "2028-02-11"


def test_rows_of_a_person_and_an_aircraft() -> None:
    rows: Rows = [
        ["Pilot", "107 cert no.", "Last recurrent", "Drone", "FAA reg", "Reg expires"],
        ["Jo Test", "0000001", "2026-01-02", "U-1", "FA00TEST01", "2028-01-02"],
        ["Al Test", "0000002", "2025-01-02", "U-2", "FA00TEST02", "2028-01-02"],
        ["Bo Test", "0000003", "2025-03-02", "U-3", "FA00TEST03", "2028-01-02"],
    ]
    facts = told(taken(sheet_of("Issued", rows)))
    assert facts["aircraft/U-2", "registration"] == "FA00TEST02"
    assert facts["person/Al Test", "certificate_number"] == "0000002"


def test_a_list_of_codes_is_read_first() -> None:
    fleet: Rows = [
        ["UAS_NAME", "FAA_NUM", "RID_CD", "LIFECYCLE"],
        ["A-1", "FA00TEST01", "S", "ACT"],
        ["A-2", "FA00TEST02", "N", "RET"],
    ]
    codes: Rows = [
        ["FIELD", "CODE", "MEANS"],
        ["RID_CD", "S", "Standard"],
        ["RID_CD", "N", "None"],
        ["LIFECYCLE", "ACT", "Active"],
        ["LIFECYCLE", "RET", "Retired"],
    ]
    facts = told(taken(sheet_of("Inventory", fleet), sheet_of("Domains", codes)))
    assert facts["aircraft/A-1", "remote_id_way"] == "standard"
    assert facts["aircraft/A-2", "service_status"] == "retired"


def test_sheets_about_other_things_are_not_read() -> None:
    trucks: Rows = [
        ["Unit", "Make", "Model", "Serial #", "Reg #", "Reg exp", "Weight (lb)", "In svc"],
        ["D4-107", "Korrin Works", "One", "9QX00B7TRUCK", "EX 4000", "2026-01-28", 9000, "Y"],
        ["D4-108", "Korrin Works", "One", "9QX00B8TRUCK", "EX 4001", "2026-02-28", 9000, "N"],
    ]
    bees: Rows = [
        ["Hive", "Drone count", "Inspected", "Remarks"],
        ["H-1", 220, "2026-06-03", "drones flying well"],
        ["H-2", 140, "2026-06-03", "requeen"],
    ]
    for rows in (trucks, bees):
        assert taken(sheet_of("Sheet1", rows)).known == ()


def test_what_is_not_understood_holds_its_rows() -> None:
    rows: Rows = [
        ["Drone", "FAA number", "Zibble"],
        ["U-1", "FA00TEST01", "2026-01-02"],
        ["U-2", "FA00TEST02", "no"],
        ["U-3", "FA00TEST03", ""],
    ]
    intake = taken(sheet_of("Fleet", rows))
    column = intake.columns[2]
    assert (column.key, bool(column.why), column.example) == ("", True, "2026-01-02")
    held = {
        item.statement.subject: item.statement.value
        for item in intake.known
        if item.statement.key == "not_understood"
    }
    assert held == {"aircraft/U-1": "Zibble: 2026-01-02", "aircraft/U-2": "Zibble: no"}


def test_a_line_speaks_of_all_and_a_row_for_itself() -> None:
    rows: Rows = [
        ["All drones registered to Test Program LLC under 107, number on the outside."],
        ["Drone", "FAA number", "Marked"],
        ["U-1", "FA00TEST01", ""],
        ["U-2", "FA00TEST02", "inside"],
    ]
    facts = told(taken(sheet_of("Fleet", rows)))
    assert facts["aircraft/U-1", "mark_place"] == "outside"
    assert facts["aircraft/U-2", "mark_place"] == "inside, opened without a tool"
    assert facts["registration/FA00TEST01", "registered_to"] == "Test Program LLC"
    assert facts["registration/FA00TEST01", "registration_kind"] == "Part 48 per aircraft"
