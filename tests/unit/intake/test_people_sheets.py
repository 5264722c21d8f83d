"""Sheets of people, their tests and training, and owners."""

import pytest

from tests.unit.intake.books import Rows, Value, problem_with, sheet_of, spoiled, taken, told


@pytest.mark.parametrize(
    ("heading", "cell", "facts"),
    [
        ("Certificate number", "0000017", {"certificate_number": "0000017", "has_certificate": True}),
        ("Certificate number", 17, {"certificate_number": "17", "has_certificate": True}),
        ("Certificate number", "none", {"has_certificate": False}),
        ("Certificate number", "-", {}),
        ("Part 107", "yes", {"has_certificate": True}),
        ("DOB", "1990-03-05", {"born_on": "1990-03-05"}),
        ("Flies for", "fun", {"flies_for": "recreation"}),
        ("Night", "n", {"flies_at_night": False}),
    ],
)
def test_one_cell(heading: str, cell: Value, facts: dict[str, object]) -> None:
    intake = taken(sheet_of("People", [["Name", "Role", heading], ["Jo Test", "pilot", cell]]))
    assert {pair: value for pair, value in told(intake).items() if pair[1] != "role"} == {
        ("person/Jo Test", key): value for key, value in facts.items()
    }


def test_columns_of_tests_and_training_are_events() -> None:
    rows: Rows = [
        ["Name", "Initial test", "Last recurrent training", "Last 107 renewal", "Role"],
        ["Jo Test", "2024-01-02", "2025-12-01", "3/4/2025", "pilot"],
        ["Al Test", "never", "", "?", "observer"],
    ]
    intake = taken(sheet_of("People", rows))
    facts = told(intake)
    first = "training/Jo Test, initial test, 2024-01-02"
    assert facts[first, "event_of"] == "Jo Test"
    assert facts[first, "event_kind"] == "initial test"
    assert facts[first, "completed_on"] == "2024-01-02"
    assert facts["training/Jo Test, recurrent training, 2025-12-01", "completed_on"] == "2025-12-01"
    assert spoiled(intake) == {("training/Jo Test, recurrent test or training", "completed_on")}
    assert not any("Al Test" in str(value) for value in facts.values())


def test_first_and_last_names_are_joined() -> None:
    rows: Rows = [["Last name", "First name", "Role"], ["Test", "Jo", "pilot"], ["Only", "", "observer"]]
    facts = told(taken(sheet_of("People", rows)))
    assert facts == {
        ("person/Jo Test", "role"): "pilot",
        ("person/Only", "role"): "observer",
        ("person/Only", "crew_role"): "visual observer",
    }


def test_names_that_differ_in_case_or_spaces_are_told_and_kept_apart() -> None:
    rows: Rows = [["Name", "Role"], ["Jo Test", "pilot"], ["jo test", "observer"], ["JoTest", "observer"]]
    intake = taken(sheet_of("People", rows))
    assert len({subject for subject, _ in told(intake)}) == 3
    assert [problem.where for problem in intake.problems if "capitals or spaces" in problem.what] == [
        "t.xlsx sheet 'People' row 3",
        "t.xlsx sheet 'People' row 4",
    ]


def test_a_training_sheet_links_to_the_person_however_the_name_is_cased() -> None:
    people = sheet_of("People", [["Name", "Role"], ["Jo Test", "pilot"]])
    training = sheet_of(
        "Training",
        [
            ["Name", "Course", "Completed"],
            ["JO TEST", "recurrent", "2025-01-02T10:00-05:00"],
            ["Who Else", "initial", "2025-01-02"],
            ["", "initial", "2025-01-02"],
            ["Jo Test", "juggling", "2025-01-02"],
        ],
    )
    intake = taken(people, training)
    facts = told(intake)
    subject = "training/Jo Test, recurrent test or training, 2025-01-02T10:00:00-05:00"
    assert facts[subject, "event_of"] == "Jo Test"
    assert facts[subject, "completed_on"] == "2025-01-02T10:00:00-05:00"
    assert "doesn't name any person" in problem_with(intake, "doesn't name any person").what
    assert problem_with(intake, "doesn't name the person").unread
    assert spoiled(intake) == {("training/Jo Test, 2025-01-02", "event_kind")}


def test_a_birth_year_of_two_digits_spoils() -> None:
    intake = taken(sheet_of("People", [["Name", "DOB"], ["Jo Test", "25 Mar 71"]]))
    assert spoiled(intake) == {("person/Jo Test", "born_on")}


def test_owners() -> None:
    rows: Rows = [
        ["Owner", "Owner kind", "Citizen", "Citizen votes share"],
        ["Test Trust", "trust", "neither", "75%"],
    ]
    facts = told(taken(sheet_of("Owners", rows)))
    assert facts == {
        ("owner/Test Trust", "owner_kind"): "trust",
        ("owner/Test Trust", "citizenship"): "neither",
        ("owner/Test Trust", "citizen_votes_share"): "0.75",
    }


def test_one_owner_written_in_two_ways_is_one() -> None:
    rows: Rows = [
        ["Aircraft", "FAA number", "Owner", "Registered to"],
        ["H-01", "FA00TEST01", "Test Co", "TEST CO"],
    ]
    facts = told(taken(sheet_of("Fleet", rows)))
    assert facts["registration/FA00TEST01", "registered_to"] == facts["aircraft/H-01", "owner"] == "Test Co"
