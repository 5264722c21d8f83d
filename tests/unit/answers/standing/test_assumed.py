"""What is taken as "no" because nothing is on file is told once, and not where something is."""

from __future__ import annotations

from airwrit.answers.standing.assumed import assumed_in
from tests.unit.answers.told import firm_aircraft, fleet


def test_each_fact_is_told_once_with_its_subjects() -> None:
    told = {
        **firm_aircraft("K", "FA00TEST21", "2025-03-01"),
        **firm_aircraft("L", "FA00TEST22", "2025-03-01"),
    }
    found = {one.fact: one.subjects for one in assumed_in(fleet(told).report)}
    assert found["sold_on"] == ("aircraft/K", "aircraft/L")
    assert found["flight_aircraft"] == ("aircraft/K", "aircraft/L")
    told["aircraft/L"]["sold_on"] = "2027-01-01"
    assert {one.fact: one.subjects for one in assumed_in(fleet(told).report)}["sold_on"] == ("aircraft/K",)


def test_a_defect_on_file_is_not_assumed_away() -> None:
    told = firm_aircraft("K", "FA00TEST21", "2025-03-01")
    told["flight/1"] = {"flight_aircraft": "K", "flown_on": "2026-11-01", "defect_seen": "crack"}
    assert "flight_aircraft" not in {one.fact for one in assumed_in(fleet(told).report)}
