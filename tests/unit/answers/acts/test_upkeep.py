"""Acts that follow others: a battery that is on record, a defect that is open, work that needs a check flight."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.acts.catalog import ActPlanned
from airwrit.base.errors import UsageError
from airwrit.facts.key import Raw
from tests.unit.answers.act_cases import B1, DEFECT, H1, ON, WORK
from tests.unit.answers.program import EVENT, KNOWN, after, done
from tests.unit.answers.told import known_of

NEXT = date(2026, 11, 22)
ADDED = done("add_battery", "B-1", cycles_read="3")


def said(deed: ActPlanned) -> set[tuple[str, str, object]]:
    """What an act states."""
    return {(one.subject, one.key, one.value) for one in deed.statements}


def next_said(act: str, *before: ActPlanned, of: str = "B-1", **told: str) -> set[tuple[str, str, object]]:
    """What an act states two days after others."""
    return said(done(act, of, NEXT, after(*before), **told))


def test_a_battery_is_checked() -> None:
    told = next_said("check_battery", ADDED, swelling="no", capacity_measured_mah="4400", cycles_read="40")
    day = NEXT.isoformat()
    assert told == {
        (B1, "battery_checked_on", day),
        (B1, "swelling", False),
        (B1, "capacity_measured_mah", "4400"),
        (B1, "capacity_measured_on", day),
        (B1, "cycles_read", "40"),
        (B1, "cycles_read_on", day),
    }


def test_a_damaged_battery_is_cleared() -> None:
    hurt = done("damage_battery", "B-1", EVENT, after(ADDED), battery_damage="dropped")
    assert said(hurt) == {(B1, "battery_damaged_on", ON), (B1, "battery_damage", "dropped")}
    assert next_said("clear_battery", ADDED, hurt, battery_cleared_by="Bob") == {
        (B1, "battery_cleared_on", NEXT.isoformat()),
        (B1, "battery_cleared_by", "Bob"),
    }
    with pytest.raises(UsageError, match=r"was damaged by 2026-11-22"):
        next_said("clear_battery", ADDED, battery_cleared_by="Bob")


def test_a_battery_is_shipped_and_comes_back() -> None:
    away = done("ship_battery", "B-1", EVENT, after(ADDED), battery_shipped_to="The maker")
    assert said(away) == {(B1, "battery_shipped_on", ON), (B1, "battery_shipped_to", "The maker")}
    assert next_said("receive_battery", ADDED, away) == {
        (B1, "battery_shipped_on", None),
        (B1, "battery_shipped_to", None),
    }
    with pytest.raises(UsageError, match=r"was shipped by"):
        next_said("receive_battery", ADDED)


def test_a_battery_is_paired_serviced_and_retired() -> None:
    paired = done("pair_battery", "B-1", EVENT, after(ADDED), paired_aircraft="H-02")
    assert said(paired) == {(B1, "paired_aircraft", "H-02")}
    work = f"maintenance/B-1 balance, {NEXT}"
    assert next_said("service_battery", ADDED, task="balance") == {
        (work, "maintenance_battery", "B-1"),
        (work, "maintenance_done_on", NEXT.isoformat()),
        (work, "task", "balance"),
    }
    assert next_said("retire_battery", ADDED, paired, battery_retired_why="swollen") == {
        (B1, "battery_retired_on", NEXT.isoformat()),
        (B1, "battery_retired_why", "swollen"),
        (B1, "paired_aircraft", None),
    }


def test_a_return_to_service_closes_all_that_is_open() -> None:
    """A defect found, work on it, a defect seen in a flight, and the aircraft's time out of service."""
    flown = known_of({"flight/1": {"flight_aircraft": "H-01", "flown_on": ON, "defect_seen": "loose screw"}})
    found = done("find_defect", "H-01", defect="cracked arm", defect_grounds="yes")
    worked = done("log_maintenance", "H-01", task="propellers")
    out = known_of({H1: {"service_status": "out of service"}})
    known = [*after(found, worked), *flown, *out]
    day = NEXT.isoformat()
    assert said(done("return_to_service", "H-01", NEXT, known, returned_by="Bob")) == {
        (DEFECT, "returned_on", day),
        (DEFECT, "returned_by", "Bob"),
        (WORK, "work_returned_on", day),
        (WORK, "work_returned_by", "Bob"),
        ("flight/1", "defect_released_on", day),
        ("flight/1", "defect_released_by", "Bob"),
        (H1, "service_status", "in service"),
    }
    with pytest.raises(UsageError, match=r"Nothing on file keeps H-01 out of service"):
        done("return_to_service", "H-01", NEXT, KNOWN, returned_by="Bob")


def test_a_return_by_somebody_who_had_left_is_made_again() -> None:
    facts: dict[str, dict[str, Raw]] = {
        "flight/1": {"flight_aircraft": "H-01", "flown_on": ON, "defect_seen": "loose screw"},
        "incident/1": {"incident_aircraft": "H-01", "happened_on": ON},
        "incident/2": {"incident_aircraft": "H-01", "happened_on": ON, "near_miss": True},
        "person/Gone": {"left_on": ON},
    }
    facts["flight/1"] |= {"defect_released_on": ON, "defect_released_by": "Gone"}
    known, day = [*KNOWN, *known_of(facts)], NEXT.isoformat()
    assert said(done("return_to_service", "H-01", NEXT, known, returned_by="Bob")) == {
        ("flight/1", "defect_released_on", day),
        ("flight/1", "defect_released_by", "Bob"),
        ("incident/1", "aircraft_released_on", day),
        ("incident/1", "aircraft_released_by", "Bob"),
    }


def test_a_check_flight_after_work() -> None:
    worked = done("log_maintenance", "H-01", task="propellers", check_flight_needed="yes")
    assert next_said("fly_check", worked, of="H-01", check_flight_passed="yes") == {
        (WORK, "check_flight_on", NEXT.isoformat()),
        (WORK, "check_flight_passed", True),
    }
    with pytest.raises(UsageError, match=r"needs a check flight"):
        next_said("fly_check", of="H-01", check_flight_passed="yes")


def test_firmware_is_kept_as_it_was_before() -> None:
    first = done("log_maintenance", "H-01", task="update", firmware_after="4.2")
    told = next_said("log_maintenance", first, of="H-01", task="update", firmware_after="4.3")
    work = f"maintenance/H-01 update, {NEXT}"
    assert {(work, "firmware_before", "4.2"), (work, "firmware_after", "4.3"), (H1, "firmware", "4.3")} < told
