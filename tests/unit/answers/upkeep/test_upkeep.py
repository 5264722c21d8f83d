"""Batteries, maintenance and training as answers: what counts, what is told, what is left open."""

from __future__ import annotations

import json
from datetime import date

import pytest

from airwrit.answers.standing.standing import Standing, standing
from airwrit.answers.standing.today import today_of
from airwrit.answers.upkeep.batteries import batteries_of
from airwrit.answers.upkeep.maintenance import maintenance_of
from airwrit.answers.upkeep.training import training_of
from airwrit.answers.upkeep.view import UpkeepAnswer, UpkeepRow, upkeep_json
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict
from airwrit.facts.key import Raw
from airwrit.house.rules import house_rules
from tests.unit.answers.told import DAY, KNOWN_AT, fleet, known_of

Told = dict[str, dict[str, Raw]]
HOUSE = """
document = "Manual"
[[rule]]
name = "pack_cycles"
about = "battery"
kind = "at_most"
key = "cycles_read"
limit = 200
clause = "1"
[[rule]]
name = "propellers"
about = "aircraft"
kind = "used_since"
task = "propellers"
of = "hours"
limit = 50
clause = "2"
[[rule]]
name = "night_course"
about = "person"
kind = "trained"
courses = ["Night flying"]
limit = 365
clause = "3"
bears = "papers"
"""
PACKS: Told = {
    "battery/B-1": {
        "capacity_new_mah": "5000",
        "capacity_measured_mah": "4000",
        "cycles_read": "199",
        "cycles_read_on": "2026-11-01",
        "storage_charge_percent": "95",
    },
    "battery/B-2": {"swelling": True},
    "battery/B-3": {"battery_retired_on": "2026-01-01", "swelling": True},
    "flight/1": {"flight_aircraft": "H-01", "flown_on": "2026-11-20", "minutes": "90", "packs": "B-1, B-9"},
    "flight/2": {"flight_aircraft": "H-01", "flown_on": "2026-11-21", "minutes": "30", "packs": "B-1"},
}


def judged(told: Told) -> Standing:
    """How things stand with the house rules."""
    return standing(known_of(told), DAY, KNOWN_AT, house=house_rules(HOUSE, "house.toml"))


def rows(answer: UpkeepAnswer, title: str) -> dict[str, UpkeepRow]:
    """The rows of a section by name."""
    return {row.name: row for one in answer.sections if one.title == title for row in one.rows}


def test_batteries() -> None:
    answer = batteries_of(judged(PACKS))
    here = rows(answer, "In use")
    assert (here["B-1"].verdict, here["B-2"].verdict) == (Verdict.NOT_MET, Verdict.NOT_MET)
    assert here["B-1"].values["cycles"] == "201"
    assert here["B-1"].values["capacity_left_percent"] == "80"
    assert "Stored at 95 percent. Common practice is 40 to 65 percent." in here["B-1"].says
    assert rows(answer, "Not in use")["B-3"].verdict is Verdict.NOT_APPLICABLE
    assert answer.notes == ("Flights name 1 pack with no record of its own: B-9.",)
    assert answer.say == "2 of 2 batteries in use are unfit to fly."
    assert json.loads(json.dumps(upkeep_json(answer)))["in_use"][0]["code"]


def test_one_battery_by_name() -> None:
    answer = batteries_of(fleet(PACKS), "b-1")
    assert list(rows(answer, "In use")) == ["B-1"]
    assert answer.verdict is not Verdict.NOT_MET
    with pytest.raises(UsageError, match="No battery is named"):
        batteries_of(fleet(PACKS), "B-77")


def test_no_battery_is_no_yes() -> None:
    answer = batteries_of(fleet({"aircraft/H-01": {"maker": "Korrin"}}))
    assert answer.verdict is Verdict.UNKNOWN
    assert answer.say == "No battery in use is on record."


@pytest.mark.parametrize(("charge", "is_said"), [("39", True), ("40", False), ("65", False), ("66", True)])
def test_the_charge_for_storage(charge: str, is_said: bool) -> None:
    """40 to 65 percent: common practice, no source."""
    answer = batteries_of(fleet({"battery/B-1": {"storage_charge_percent": charge}}))
    assert any("Stored at" in one for one in rows(answer, "In use")["B-1"].says) is is_said


def test_today_names_batteries_that_are_not_fit() -> None:
    fixes = today_of(fleet(PACKS)).fixes
    assert [(one.cause, one.subjects) for one in fixes if one.cause == "battery"] == [
        ("battery", ("battery/B-2",))
    ]


WORKED: Told = {
    **PACKS,
    "aircraft/H-01": {"maker": "Korrin", "height_limit_set_ft": "500", "firmware": "4.2"},
    "maintenance/1": {
        "maintenance_of": "H-01",
        "task": "propellers",
        "maintenance_done_on": "2026-11-10",
        "hours_read_h": "80",
        "part_changed": "propeller",
        "serial_out": "P-1",
        "serial_in": "P-2",
        "work_returned_on": "2026-11-10",
        "work_returned_by": "Ann",
    },
    "maintenance/2": {
        "maintenance_of": "H-01",
        "task": "arm",
        "maintenance_done_on": "2026-11-12",
        "hours_read_h": "70",
        "work_returned_on": "2026-11-12",
    },
    "defect/1": {"defect_of": "H-01", "defect": "Loose arm", "defect_found_on": "2026-10-01"},
    "defect/2": {
        "defect_of": "H-01",
        "defect": "loose arm",
        "defect_found_on": "2026-11-11",
        "returned_on": "2026-11-12",
    },
}


def test_maintenance() -> None:
    answer = maintenance_of(judged(WORKED), "h-01")
    (service,) = rows(answer, "Service and settings").values()
    assert service.verdict is Verdict.NOT_MET
    assert any("height limit is set to 500 ft" in one for one in service.says)
    assert "Its hours run backward: 80 h on 2026-11-10, then 70 h on 2026-11-12. " in " ".join(service.says)
    (due,) = rows(answer, "Due next").values()
    assert due.cells == ("propellers", "2 hours", "48 hours", "when it reads 130 hours")
    unread = {**WORKED, "maintenance/1": {**WORKED["maintenance/1"], "hours_read_h": None}}
    (due,) = rows(maintenance_of(judged(unread), "h-01"), "Due next").values()
    assert due.cells[3] == "at 50 hours in all"
    defects = [row for one in answer.sections if one.title == "Defects" for row in one.rows]
    assert [(row.name, row.cells[1], row.values["repeats"]) for row in defects] == [
        ("H-01: Loose arm", "open", 0),
        ("H-01: loose arm", "2026-11-12", 1),
    ]
    works = [row for one in answer.sections if one.title == "Work done" for row in one.rows]
    assert [row.cells[2:] for row in works] == [
        ("", "2026-11-12"),
        ("propeller (P-1 out, P-2 in)", "2026-11-10, Ann"),
    ]
    with pytest.raises(UsageError, match="No aircraft is named"):
        maintenance_of(judged(WORKED), "H-77")


def test_what_is_due_much_later_is_folded() -> None:
    """Listed are what is not in order, what is due within 90 days, and what has a fifth or less of its use left."""
    house = """
document = "Manual"
[[rule]]
name = "yearly"
about = "aircraft"
kind = "within_days"
key = "inspected_on"
limit = 365
clause = "1"
[[rule]]
name = "propellers"
about = "aircraft"
kind = "used_since"
task = "propellers"
of = "flights"
limit = 10
clause = "2"
"""
    told: Told = {}
    for name, day, flights in (("A", "2026-02-23", 8), ("B", "2026-02-24", 7), ("C", "2025-11-24", 0)):
        told[f"aircraft/{name}"] = {"maker": "Korrin", "inspected_on": day}
        told[f"maintenance/{name}"] = {
            "maintenance_of": name,
            "task": "propellers",
            "maintenance_done_on": "2026-01-01",
        }
        for number in range(flights):
            flown = f"2026-10-{number + 1:02}"
            told[f"flight/{name}{number}"] = {"flight_aircraft": name, "flown_on": flown}
    rules = house_rules(house, "house.toml")
    due = next(
        one
        for one in maintenance_of(standing(known_of(told), DAY, KNOWN_AT, house=rules)).sections
        if one.title == "Due next"
    )
    assert [(row.name, row.cells[0]) for row in due.rows] == [
        ("C", "yearly"),
        ("A", "yearly"),
        ("A", "propellers"),
    ]
    assert {(row.name, row.cells[0]) for row in due.later} == {
        ("B", "yearly"),
        ("B", "propellers"),
        ("C", "propellers"),
    }
    assert due.later_says == "3 more, the next on Feb 24, 2027"


def test_a_defect_grounds_until_somebody_returns_the_aircraft() -> None:
    told: Told = {
        "aircraft/H-01": {"maker": "Korrin"},
        "defect/1": {
            "defect_of": "H-01",
            "defect": "loose arm",
            "defect_found_on": "2026-11-20",
            "defect_grounds": True,
        },
    }
    assert maintenance_of(fleet(told)).say == "H-01 is out of service."
    told["defect/1"]["returned_on"] = "2026-11-21"
    assert maintenance_of(fleet(told)).say == "H-01 isn't out of service."


FIXED: Told = {
    "aircraft/H-01": {"maker": "Korrin", "model": "Sarvo 4", "airframe_serial": "ZZ9Z1"},
    "defect/1": {
        "defect_of": "H-01",
        "defect": "plug",
        "defect_found_on": "2026-11-01",
        "defect_grounds": True,
    },
    "defect/2": {
        "defect_of": "H-01",
        "defect": "scratch",
        "defect_found_on": "2026-11-02",
        "defect_grounds": False,
    },
    "maintenance/1": {
        "maintenance_of": "H-01",
        "task": "plug",
        "maintenance_done_on": "2026-11-03",
        "fixes_defect": "1",
        "firmware_before": "4.1",
        "firmware_after": "4.2",
        "check_flight_needed": True,
        "check_flight_on": "2026-11-03",
        "check_flight_passed": True,
        "work_returned_on": "2026-11-03",
        "work_returned_by": "Ann",
    },
    "maintenance/2": {
        "maintenance_battery": "B-1",
        "task": "balance",
        "maintenance_done_on": "2026-11-04",
    },
    "battery/B-1": {"battery_model": "Sarvo pack"},
    "bulletin/S-1": {
        "bulletin_about": "aircraft",
        "bulletin_model": "Sarvo 4",
        "bulletin_serials": "all",
        "bulletin_says": "change the screws",
        "bulletin_due_on": "2026-12-05",
    },
    "bulletin/P-1": {
        "bulletin_about": "battery",
        "bulletin_model": "Sarvo pack",
        "bulletin_serials": "all",
        "bulletin_says": "send the pack in",
        "bulletin_due_on": "2026-12-09",
    },
}


def test_a_defect_that_work_fixed_is_closed_and_one_flown_with_is_said() -> None:
    answer = maintenance_of(fleet(FIXED))
    assert answer.say == "H-01 isn't out of service."
    defects = {row.name: (row.cells[1:], row.verdict) for row in rows(answer, "Defects").values()}
    assert defects == {
        "H-01: plug": (("2026-11-03", "Ann"), Verdict.NOT_APPLICABLE),
        "H-01: scratch": (("flown with", ""), Verdict.NOT_APPLICABLE),
    }
    (work,) = rows(answer, "Work done").values()
    assert work.cells[2] == "firmware 4.1 to 4.2; check flight 2026-11-03, passed"
    (due,) = rows(answer, "Due next").values()
    assert due.cells == ("bulletin S-1: change the screws", "", "10 days", "2026-12-05")
    packs = batteries_of(fleet(FIXED), "B-1")
    assert any("send the pack in" in one for one in rows(packs, "In use")["B-1"].says)
    assert rows(packs, "Work done")["B-1: balance"].cells == ("2026-11-04", "", "", "")


def test_a_battery_that_is_gone_says_where_and_what_was_wrong() -> None:
    told: Told = {
        "battery/B-1": {
            "battery_damaged_on": "2026-11-01",
            "battery_damage": "punctured",
            "battery_shipped_on": "2026-11-03",
            "battery_shipped_to": "Ridge Recycling",
        },
        "battery/B-2": {"battery_retired_on": "2026-11-02", "battery_retired_why": "swollen"},
    }
    gone = rows(batteries_of(fleet(told)), "Not in use")
    assert gone["B-1"].says == ("Shipped 2026-11-03 to Ridge Recycling.", "It was damaged: punctured.")
    assert gone["B-1"].cells[1] == "not known", "neither a count nor a flight is on file"
    assert gone["B-2"].says == ("Retired 2026-11-02: swollen.",)


TRAINED: Told = {
    "person/Ann": {"role": "pilot", "flies_for": "work"},
    "person/Bob": {"role": "pilot", "flies_for": "work"},
    "course/1": {"course_of": "Ann", "course": "Night flying", "course_on": "2026-06-01"},
    "aircraft/H-01": {"model": "Sarvo 4"},
    **{
        f"flight/log {number}": {
            "flight_aircraft": "H-01",
            "flight_pilot": "Ann",
            "flown_on": day,
            "landings": "1",
            "minutes": "30",
        }
        for number, day in enumerate(("2026-08-27", "2026-08-28", "2026-11-24", "2026-11-26"))
    },
}


def test_training() -> None:
    """Three takeoffs and landings in 90 days: the span the Department of the Interior asks for, from memory."""
    answer = training_of(judged(TRAINED))
    plan = [row for one in answer.sections if one.title == "Training plan" for row in one.every]
    told = {(row.name, row.values["code"]) for row in plan if row.values["rule"] == "night_course"}
    assert told == {("Ann", "current"), ("Bob", "not_on_file")}
    (practice,) = rows(answer, "Practice by model").values()
    assert practice.cells == ("Sarvo 4", "2", "1.5", "2026-11-24")
    assert rows(answer, "Courses on record")["Ann"].cells == ("Night flying", "2026-06-01", "")
    assert training_of(judged(TRAINED), "bob").sections[0].rows
    with pytest.raises(UsageError, match="Nobody is named"):
        training_of(judged(TRAINED), "Zed")


def test_without_a_plan_it_says_so() -> None:
    assert "no training plan yet" in training_of(fleet(TRAINED)).notes[0]
    assert date(2026, 11, 25) == DAY


def test_a_long_training_plan_shows_its_gaps_and_what_ends_soon_first() -> None:
    """Of 40 people 10 are not current, 10 run out in 67 days, and 20 later. Twelve rows are shown."""
    days = ("2026-08-31", "2027-01-31", "2027-10-31", "2028-02-29")
    crew: dict[str, dict[str, Raw]] = {
        f"person/Pilot {number:02d}": {
            "flies_for": "work",
            "has_certificate": True,
            "recurrent_due_on": days[number % 4],
        }
        for number in range(40)
    }
    answer = training_of(fleet(crew))
    (plan,) = answer.sections
    assert [row.values["holds_until"] for row in plan.rows[10:]] == ["2027-01-31"] * 2
    assert {row.verdict for row in plan.rows[:10]} == {Verdict.NOT_MET}
    assert plan.later_says == "28 more"
    assert len(training_of(fleet(crew), "pilot 03").sections[0].rows) == 1
