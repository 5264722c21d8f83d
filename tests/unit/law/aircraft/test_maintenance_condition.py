"""Defects seen and releases to fly, on both sides of each moment."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import TODAY, Case, Given, aircraft, case, check, given, person

RULE = "defect_released"
H_03 = aircraft("H-03", maker="Korrin")
SEEN = "crack in the left arm"


def flight(name: str = "1", flown: str | None = "2026-11-23T10:00-05:00", **facts: Raw) -> Given:
    """A flight of the aircraft in which a defect was seen."""
    usual: dict[str, Raw] = {"flight_aircraft": "H-03", "flown_on": flown, "defect_seen": SEEN}
    return given(f"flight/{name}", usual, facts)


def asked(verdict: str, code: str, *flights: Given, on: str = TODAY, why: str = "") -> Case:
    """The aircraft with its flights."""
    return case(RULE, verdict, code, on, H_03, *flights, why=why)


def released(day: str, name: str = "1", **facts: Raw) -> Given:
    """The flight with a release."""
    return flight(name, "2026-11-23T10:00-05:00", defect_released_on=day, **facts)


def crashed(happened: str | None = "2026-11-23T10:00-05:00", **facts: Raw) -> Given:
    """An incident of the aircraft."""
    usual: dict[str, Raw] = {"incident_aircraft": "H-03", "happened_on": happened}
    return given("incident/1", usual, facts)


def signed(day: str) -> Given:
    """The incident with a sign-off."""
    return crashed(aircraft_released_on=day)


INCIDENTS = [
    asked("unknown", "aircraft_released_on", crashed(), why="missing"),
    asked("unknown", "aircraft_released_on", crashed("2026-11-23"), why="missing"),
    asked("unknown", "happened_on", crashed(None), why="missing"),
    asked("not_applicable", "none_on_file", crashed(near_miss=True)),
    asked("unknown", "aircraft_released_on", crashed(near_miss=False), why="missing"),
    asked("not_applicable", "none_on_file", crashed(incident_aircraft="H-04")),
    asked("not_applicable", "none_on_file", crashed(), on="2026-11-22"),
    asked("not_applicable", "none_on_file", crashed(), on="2026-11-23T14:59Z"),
    asked("unknown", "aircraft_released_on", crashed(), on="2026-11-23T15:00Z", why="missing"),
    asked("not_applicable", "released", signed("2026-11-24")),
    asked("unknown", "not_released_yet_incident", signed("2026-11-25"), why="missing"),
    asked("unknown", "released_that_day_incident", signed("2026-11-24T09:00-05:00"), why="within_doubt"),
    asked("unknown", "released_before_it_incident", signed("2026-11-23T09:59-05:00"), why="conflict"),
    asked("not_applicable", "released", signed("2026-11-23T10:00-05:00"), on="2026-11-25"),
    asked(
        "unknown",
        "released_by_someone_gone_incident",
        crashed(aircraft_released_on="2026-11-24", aircraft_released_by="P"),
        person(left_on="2026-11-24"),
        why="conflict",
    ),
    asked(
        "not_applicable",
        "released",
        crashed(aircraft_released_on="2026-11-24", aircraft_released_by="P"),
        person(left_on="2026-11-25"),
    ),
    asked("unknown", "defect_released_on", signed("2026-11-24"), flight(), why="missing"),
    asked("unknown", "aircraft_released_on", crashed(), released("2026-11-24"), why="missing"),
]
CASES = [
    *INCIDENTS,
    asked("not_applicable", "none_on_file"),
    asked("not_applicable", "none_on_file", flight(defect_seen=None)),
    asked("not_applicable", "none_on_file", flight(defect_seen="None.")),
    asked("not_applicable", "none_on_file", flight(flight_aircraft="H-04")),
    asked("unknown", "defect_released_on", flight(), why="missing"),
    asked("unknown", "defect_released_on", flight(), on="2026-11-23", why="missing"),
    asked("not_applicable", "none_on_file", flight(), on="2026-11-22"),
    asked("not_applicable", "none_on_file", flight(), on="2026-11-23T14:59Z"),
    asked("unknown", "defect_released_on", flight(), on="2026-11-23T15:00Z", why="missing"),
    asked("unknown", "flown_on", flight(flown=None), why="missing"),
    asked("not_applicable", "released", released("2026-11-24")),
    asked(
        "unknown",
        "released_by_someone_gone",
        released("2026-11-24", defect_released_by="P"),
        person(left_on="2026-11-24"),
        why="conflict",
    ),
    asked(
        "unknown",
        "released_by_someone_gone",
        released("2026-11-24", defect_released_by="P"),
        person(has_left=True),
        why="conflict",
    ),
    asked(
        "not_applicable",
        "released",
        released("2026-11-24", defect_released_by="P"),
        person(left_on="2026-11-25"),
    ),
    asked("not_applicable", "released", released("2026-11-24", defect_released_by="The shop")),
    asked("unknown", "released_that_day", released("2026-11-24T09:00-05:00"), why="within_doubt"),
    asked("not_applicable", "released", released("2026-11-24T09:00-05:00"), on="2026-11-25"),
    asked("unknown", "not_released_yet", released("2026-11-25"), why="missing"),
    asked("not_applicable", "released", released("2026-11-24T09:00-05:00"), on="2026-11-24T14:00Z"),
    asked(
        "unknown",
        "not_released_yet",
        released("2026-11-24T09:00-05:00"),
        on="2026-11-24T13:59Z",
        why="missing",
    ),
    asked("unknown", "released_that_day", released("2026-11-24"), on="2026-11-24T14:00Z", why="within_doubt"),
    asked("not_applicable", "released", released("2026-11-23")),
    asked("unknown", "released_before_it", released("2026-11-23T09:59-05:00"), why="conflict"),
    asked("unknown", "released_before_it", released("2026-11-22"), why="conflict"),
    asked("unknown", "defect_released_on", released("2026-11-24"), flight("2"), why="missing"),
    asked("not_applicable", "released", released("2026-11-24"), released("2026-11-24", "2")),
    asked("unknown", "condition_check", flight(flown="2016-08-28"), on="2016-08-28", why="law_not_read"),
    asked("unknown", "defect_released_on", flight(flown="2016-08-29"), on="2016-08-29", why="missing"),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
