"""Sheets of papers and of flights: rows to statements, and what is told of rows that say too little."""

from __future__ import annotations

import pytest

from tests.unit.intake.books import Rows, Value, problem_with, sheet_of, spoiled, taken, told


@pytest.mark.parametrize(
    ("heading", "cell", "key", "value"),
    [
        ("Responsible person", "Jo Test", "paper_responsible", "Jo Test"),
        ("Granted", "2026-01-02", "granted_on", "2026-01-02"),
        ("Expiration date", "2026-01-02", "ends_on", "2026-01-02"),
        ("Lead time in days", 90, "ask_days_before", "90"),
        ("Covers all", "yes", "covers_all", True),
        ("Covers aircraft", "H-01", "covers_aircraft", "H-01"),
        ("To carry", "a copy", "carried", "a copy"),
        ("For counsel", "y", "for_counsel", True),
    ],
)
def test_one_cell_of_a_paper(heading: str, cell: Value, key: str, value: object) -> None:
    intake = taken(sheet_of("Waivers", [["Paper", "Kind", heading], ["W-1", "107 waiver", cell]]))
    assert told(intake) == {("paper/W-1", "paper_kind"): "waiver", ("paper/W-1", key): value}


@pytest.mark.parametrize(
    ("word", "kind"),
    [
        ("Insurance", "insurance policy"),
        ("FRIA", "FRIA recognition"),
        ("coa", "COA"),
        ("44807 exemption", "exemption"),
        ("certificate of waiver or authorization", "COA"),
        ("else", "other"),
    ],
)
def test_kinds_go_by_many_words(word: str, kind: str) -> None:
    intake = taken(sheet_of("Papers", [["Paper", "Kind", "Ends"], ["P", word, "2026-01-02"]]))
    assert told(intake)["paper/P", "paper_kind"] == kind


def test_a_paper_may_be_named_by_its_number() -> None:
    rows: Rows = [["Policy number", "Kind", "Expires"], ["ZZ-100", "insurance", "2026-12-31"]]
    facts = told(taken(sheet_of("Insurance", rows)))
    assert facts["paper/ZZ-100", "ends_on"] == "2026-12-31"
    assert facts["paper/ZZ-100", "paper_number"] == "ZZ-100"


def test_a_day_that_cannot_be_read_spoils_the_paper() -> None:
    intake = taken(sheet_of("Papers", [["Paper", "Kind", "Ends"], ["P", "waiver", "soon"]]))
    assert spoiled(intake) == {("paper/P", "ends_on")}


def test_people_of_papers_are_led_to_the_sheet_of_people() -> None:
    people: Rows = [["Name", "Role"], ["Jo Test", "lead"]]
    papers: Rows = [["Paper", "Kind", "Responsible"], ["P", "waiver", "jo  test"]]
    facts = told(taken(sheet_of("People", people), sheet_of("Papers", papers)))
    assert facts["paper/P", "paper_responsible"] == "Jo Test"


def test_the_login_stands_in_the_sheet_of_owners() -> None:
    rows: Rows = [
        ["Owner", "Legal form", "Login holder", "Registry e-mail"],
        ["Test Co", "corporation", "Jo Test", "fleet@test.example"],
    ]
    facts = told(taken(sheet_of("Owners", rows)))
    assert facts["owner/Test Co", "registry_login_holder"] == "Jo Test"
    assert facts["owner/Test Co", "registry_email"] == "fleet@test.example"


LOG: Rows = [
    ["Date", "Pilot", "Aircraft", "Landings"],
    ["2026-03-01", "Jo Test", "H-01", 2],
    ["2026-03-02", "Jo Test", "H-01", ""],
    ["2026-03-03", "", "H-01", 1],
    ["day", "Al Test", "H-02", 1],
]


def test_a_flight_log_gives_a_flight_for_each_row() -> None:
    facts = told(taken(sheet_of("Flight log", LOG)))
    first = "flight/Jo Test, 2026-03-01, H-01"
    assert {key: value for (subject, key), value in facts.items() if subject == first} == {
        "flight_pilot": "Jo Test",
        "flight_aircraft": "H-01",
        "flown_on": "2026-03-01",
        "landings": "2",
    }
    assert ("flight/Jo Test, 2026-03-02, H-01", "landings") not in facts


def test_a_flight_without_a_pilot_is_told_and_does_not_leave_the_answer_open() -> None:
    intake = taken(sheet_of("Flight log", LOG))
    problem = problem_with(intake, "the row doesn't name the person who flew")
    assert not problem.unread
    assert spoiled(intake) == {("flight/Al Test, H-02", "flown_on")}


@pytest.mark.parametrize("name", ["Flights", "Logbook"])
def test_a_log_without_days_or_pilots_is_left_out(name: str) -> None:
    intake = taken(sheet_of(name, [["Aircraft", "Battery", "Minutes"], ["H-01", "3", "12"]]))
    assert intake.known == ()
    assert not any(problem.unread for problem in intake.problems)
