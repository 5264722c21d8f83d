"""Who has the aircraft, in service or not, and what nobody has explained: both sides of each."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import Known, Statement
from airwrit.law.rule import judge
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import cites, worded
from tests.unit.law.case import KNOWN_AT, TODAY, Case, Given, aircraft, case, check, judged

FLEET, SERVICE, TEXT = "in_the_fleet", "in_service", "DO NOT FLY ??"


def status(value: str, **more: Raw) -> Given:
    """An aircraft with a status."""
    return aircraft("H-03", service_status=value, **more)


def paper(**facts: Raw) -> Given:
    """A registration."""
    return Given("registration/FA00TEST03", facts)


def person(**facts: Raw) -> Given:
    """A person."""
    return Given("person/Dana", facts)


WITH_PAPER = aircraft("H-03", registration="FA00TEST03")

CASES = [
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, aircraft("H-03", maker="Korrin")),
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, status("in service")),
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, status("spare")),
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, status("out of service")),
    case(FLEET, "not_met", "sold_no_day", TODAY, status("sold")),
    case(FLEET, "not_met", "destroyed_no_day", TODAY, status("destroyed")),
    case(FLEET, "not_met", "lost_no_day", TODAY, status("lost")),
    case(FLEET, "not_met", "retired", TODAY, status("retired")),
    case(FLEET, "not_met", "loaned_out", TODAY, status("loaned out")),
    case(FLEET, "not_met", "returned", TODAY, status("given back to its owner")),
    case(FLEET, "not_met", "sold", TODAY, aircraft("H-03", sold_on=TODAY), value=date(2026, 11, 24)),
    case(FLEET, "not_applicable", "in_the_fleet", "2026-11-23", aircraft("H-03", sold_on=TODAY)),
    case(FLEET, "not_met", "destroyed", TODAY, aircraft("H-03", destroyed_on=TODAY)),
    case(FLEET, "not_met", "exported", TODAY, aircraft("H-03", exported_on=TODAY)),
    case(FLEET, "not_met", "lost", TODAY, aircraft("H-03", lost_on=TODAY)),
    case(FLEET, "not_met", "not_yet", "2026-11-23", aircraft("H-03", acquired_on=TODAY)),
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, aircraft("H-03", acquired_on=TODAY)),
    case(FLEET, "not_met", "not_yet", "2026-11-23", WITH_PAPER, paper(issued_on=TODAY)),
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, WITH_PAPER, paper(issued_on=TODAY)),
    # A certificate still to come shows an aircraft that is there and not registered yet.
    case(FLEET, "not_applicable", "in_the_fleet", TODAY, WITH_PAPER, paper(issued_on="2026-11-25")),
    case(FLEET, "not_met", "not_yet", "2026-11-24", aircraft("H-03", acquired_on="2026-11-25")),
    case(
        FLEET,
        "not_applicable",
        "in_the_fleet",
        "2026-11-23",
        aircraft("H-03", registration="FA00TEST03", acquired_on="2026-11-01"),
        paper(issued_on=TODAY),
    ),
    case(SERVICE, "not_applicable", "in_service", TODAY, status("in service")),
    case(SERVICE, "not_applicable", "in_service", TODAY, status("spare")),
    case(SERVICE, "not_met", "out_of_service", TODAY, status("out of service")),
    case(SERVICE, "not_met", "out_of_service", TODAY, status("out of service"), use="recreation"),
    case("aircraft_understood", "not_applicable", "understood", TODAY, status("in service")),
    case(
        "aircraft_understood",
        "unknown",
        "open",
        TODAY,
        aircraft("H-03", not_understood=TEXT),
        why="missing",
        value=TEXT,
    ),
    case(
        "aircraft_understood",
        "not_applicable",
        "understood",
        TODAY,
        aircraft("H-03", not_understood=TEXT, does_not_matter=TEXT),
    ),
    case(
        "aircraft_understood",
        "unknown",
        "open",
        TODAY,
        aircraft("H-03", not_understood=TEXT, does_not_matter="blue case"),
        why="missing",
    ),
    case("registration_understood", "not_applicable", "understood", TODAY, paper(issued_on=TODAY)),
    case(
        "registration_understood",
        "unknown",
        "open",
        TODAY,
        paper(registration_not_understood=TEXT),
        why="missing",
    ),
    case("person_understood", "not_applicable", "understood", TODAY, person(flies_for="work")),
    case("person_understood", "unknown", "open", TODAY, person(person_not_understood=TEXT), why="missing"),
    case(
        "person_understood",
        "not_applicable",
        "understood",
        TODAY,
        person(person_not_understood=TEXT, person_does_not_matter=TEXT),
    ),
    case("flies_at_all", "not_applicable", "pilot", TODAY, person(flies_for="work")),
    case("flies_at_all", "not_applicable", "pilot", TODAY, person(crew_role="pilot")),
    case("flies_at_all", "not_applicable", "not_a_pilot", TODAY, person(crew_role="visual observer")),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


def test_out_of_service_cites_the_section_on_condition_for_work_alone() -> None:
    found = {
        use: cites(
            judged(case(SERVICE, "not_met", "out_of_service", TODAY, status("out of service"), use=use))[0]
        )
        for use in (UsedFor.WORK, UsedFor.RECREATION)
    }
    assert found == {UsedFor.WORK: ("14 CFR 107.15",), UsedFor.RECREATION: ()}


def test_each_text_is_told_with_its_cell_and_released_alone() -> None:
    known = [
        Known(Statement("aircraft/H-03", "not_understood", "loaner?"), "fleet.xlsx sheet 'Fleet' cell C7"),
        Known(Statement("aircraft/H-03", "not_understood", "see Ed"), "fleet.xlsx sheet 'Fleet' cell D7"),
        Known(Statement("aircraft/H-03", "does_not_matter", "see Ed"), "answers.toml"),
    ]
    state = state_of(known, date(2026, 11, 24), KNOWN_AT)
    finding = judge(BY_NAME["aircraft_understood"], state, "aircraft/H-03", UsedFor.WORK, date(2026, 11, 24))
    assert finding.outcome.value == "loaner?"
    assert "\"loaner?\" (fleet.xlsx sheet 'Fleet' cell C7)" in worded(finding, state).says
