"""Rows that hold an aircraft and its pilot, and what remarks about people leave open. Common practice, no source."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.facts.keys.service import HOLDS, SERVICE_STATUS
from airwrit.intake.sheets import Answers, Intake, read_given

READ_ON = date(2026, 12, 1)
AIRCRAFT = ["Tail", "FAA number", "Reg exp", "RID serial"]
OWN = [["A1", "FA00TEST01", "2028-03-01", "ZZ9Z3A01"], ["A2", "FA00TEST02", "2028-03-01", "ZZ9Z3A02"]]
PAPERS = [["Ana Bell", "0000011", "2026-01-05"], ["Bob Coe", "0000012", "2026-02-05"]]


def taken(rows: list[list[str]]) -> Intake:
    text = "\n".join(",".join(row) for row in rows)
    return read_given([("fleet.csv", text.encode())], Answers(read_on=READ_ON))


def values_of(intake: Intake, key: str) -> dict[str, object]:
    return {
        item.statement.subject: item.statement.value for item in intake.known if item.statement.key == key
    }


@pytest.mark.parametrize("at", range(3))
@pytest.mark.parametrize("status", ["Status", "Condition", "State", "Shape"])
def test_a_status_is_the_aircrafts_wherever_it_stands(status: str, at: int) -> None:
    """Before, between and after the columns of the pilot: an aircraft in the shop is never left without its status."""
    head = [*AIRCRAFT, "Pilot", "107 cert #", "Last recurrent"]
    place = (4, 5, 7)[at]
    rows = [[*own, *papers] for own, papers in zip(OWN, PAPERS, strict=True)]
    head.insert(place, status)
    for row, said in zip(rows, ("in shop", "in service"), strict=True):
        row.insert(place, said)
    found = values_of(taken([head, *rows]), SERVICE_STATUS.name)
    assert found == {"aircraft/A1": "out of service", "aircraft/A2": "in service"}


@pytest.mark.parametrize("heading", ["PIC", "Main pilot", "Shooter", "Assigned to", "Zorvle"])
def test_names_before_certificates_are_the_pilots(heading: str) -> None:
    """A heading that says nothing else stands over names beside numbers of certificates and days of training."""
    rows = [[*own, *papers] for own, papers in zip(OWN, PAPERS, strict=True)]
    intake = taken([[*AIRCRAFT, heading, "107 cert #", "Last recurrent"], *rows])
    assert values_of(intake, "certificate_number") == {
        "person/Ana Bell": "0000011",
        "person/Bob Coe": "0000012",
    }
    assert set(values_of(intake, "registration")) == {"aircraft/A1", "aircraft/A2"}


def people(remark: str) -> Intake:
    head = ["Name", "107 certificate number", "Last recurrent", "Remarks"]
    return taken([head, [*PAPERS[0], f'"{remark}"'], [*PAPERS[1], ""]])


@pytest.mark.parametrize(
    "remark",
    [
        "not back this season",
        "Not back until May",
        "isn't with us anymore",
        "sabbatical",
        "in Florida",
        "in Florida till spring",
        "out until May",
        "gone fishing for good",
        "he never came back from the coast",
        "on the injured list",
        "waiting on the judge",
        "???",
    ],
)
def test_a_remark_about_a_person_that_is_not_understood_holds(remark: str) -> None:
    intake = people(remark)
    settled = {*values_of(intake, HOLDS["person"].text.name), *values_of(intake, "has_left")}
    assert settled == {"person/Ana Bell"}


@pytest.mark.parametrize(
    "remark", ["", "chief pilot", "part time", "night shift", "waiting on plastic card", "wears glasses"]
)
def test_a_harmless_remark_about_a_person_holds_nothing(remark: str) -> None:
    assert not values_of(people(remark), HOLDS["person"].text.name)


@pytest.mark.parametrize(
    ("remark", "is_gone"),
    [
        ("sold to a neighbor", True),
        ("for sale, use till sold", False),
        ("to be sold in spring", False),
        ("flyaway risk, keep close", False),
        ("flyaway in June", True),
        ("not lost, in the truck", False),
        ("will be auctioned", False),
        ("auctioned 9/2025", True),
    ],
)
def test_what_is_only_feared_or_planned_has_not_happened(remark: str, is_gone: bool) -> None:
    rows = [[*OWN[0], f'"{remark}"'], [*OWN[1], ""]]
    intake = taken([[*AIRCRAFT, "Remarks"], *rows])
    gone = {SERVICE_STATUS.name, "sold_on", "lost_on"}
    said = {item.statement.key for item in intake.known if item.statement.subject == "aircraft/A1"} & gone
    assert bool(said) == is_gone
    assert is_gone or "aircraft/A1" in values_of(intake, HOLDS["aircraft"].text.name)


def test_a_person_without_papers_is_no_row_of_headings() -> None:
    """Three known words in a row among people are no headings of another table."""
    head = ["Name", "Role", "FAA certificate", "Last recurrent", "Notes"]
    rows = [
        [PAPERS[0][0], "RPIC", *PAPERS[0][1:], ""],
        ["Marnie Dell", "observer only", "", "", "radio watch"],
        [PAPERS[1][0], "RPIC", *PAPERS[1][1:], ""],
    ]
    intake = taken([head, *rows])
    assert {"person/Ana Bell", "person/Marnie Dell", "person/Bob Coe"} <= {
        item.statement.subject for item in intake.known
    }


def test_sites_between_rows_and_their_totals_are_no_aircraft() -> None:
    """Models repeat under lines of sites; the rows are told apart by their own numbers."""
    head = ["Drone", "Reg #", "Reg exp", "RID ser", "OK?"]
    rows = [head]
    for site in range(3):
        rows.append([f"Mill {site}", "", "", "", ""])
        for one in range(2):
            number = 2 * site + one
            rows.append(["Rook M2", f"FA00TEST0{number}", "2028-03-01", f"ZZ9Z3A0{number}", "Y"])
        rows.append(["site total", "2", "", "", ""])
    rows.append(["All sites", "6", "", "", ""])
    intake = taken(rows)
    assert len(values_of(intake, "registration")) == 6
    assert len(values_of(intake, "model")) == 6
