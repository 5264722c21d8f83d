"""Answers beside a sheet: they fill what is open, replace what they name, and never make a contradiction."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.sheets.answered import FormFilled, read_with
from airwrit.intake.sheets import NO_ANSWERS, Intake, read_given
from airwrit.intake.typed.answers_file import read_answers

SHEET = """\
Aircraft,maker,model,owner,registration,mark_place,takeoff_weight_g,not_understood
UAS-1,Korrin,Sarvo 4,Larrabee County,FA00TEST01,,,loaner?
UAS-2,Korrin,Sarvo 4,Larrabee County,FA00TEST02,not marked,1400,loaner?
UAS-3,Korrin,Vex,Ann Smith,FA00TEST03,somewhere,,
"""


def told(text: str) -> Intake:
    """The sheet with answers."""
    form = FormFilled(read_answers(text, "a.toml"), "Ann", date(2026, 11, 24))
    return read_with(lambda answers: read_given([("f.csv", SHEET.encode())], answers), NO_ANSWERS, form)


def values(intake: Intake, key: str) -> dict[str, object]:
    """What is said of a fact, by subject. Two values of one subject are told as a list."""
    found: dict[str, object] = {}
    for item in intake.known:
        subject, name, value, _, _ = item.statement
        if name == key:
            found[subject] = [found[subject], value] if subject in found else value
    return found


WEIGHT = "takeoff_weight_g"


def spoiled(intake: Intake) -> set[tuple[str, str]]:
    """The facts that a cell spoils."""
    return {pair for problem in intake.problems for pair in problem.spoils}


def test_an_answer_for_all_fills_only_what_nobody_says() -> None:
    intake = told('[[answer]]\nfact = "mark_place"\nvalue = "outside"')
    assert values(intake, "mark_place") == {"aircraft/UAS-1": "outside", "aircraft/UAS-2": "not marked"}
    assert ("aircraft/UAS-3", "mark_place") in spoiled(intake)


def test_an_answer_by_name_takes_the_cells_place_and_says_so() -> None:
    intake = told('[[answer]]\nfact = "mark_place"\nvalue = "outside"\nfor = ["uas-2", "UAS-3"]')
    assert values(intake, "mark_place") == {"aircraft/UAS-2": "outside", "aircraft/UAS-3": "outside"}
    assert spoiled(intake) == set()
    (gave_way,) = [one for one in intake.problems if "was replaced by your answer" in one.what]
    assert gave_way.where == "f.csv cell F3"


def test_all_except() -> None:
    intake = told('[[answer]]\nfact = "used_for"\nvalue = "work"\nexcept = ["UAS-3"]')
    assert values(intake, "used_for") == {"aircraft/UAS-1": "work", "aircraft/UAS-2": "work"}


def test_by_model_and_the_rows_own_value_overrides() -> None:
    intake = told('[[answer]]\nfact = "takeoff_weight"\nvalue = "3 lb"\nmodel = "Korrin Sarvo 4"')
    assert values(intake, "takeoff_weight_g") == {"aircraft/UAS-1": "1360.77711", "aircraft/UAS-2": "1400"}
    (mine,) = [
        item for item in intake.known if item.statement[:3] == ("aircraft/UAS-1", WEIGHT, "1360.77711")
    ]
    assert mine.origin == "by model Korrin Sarvo 4, confirmed by Ann on 2026-11-24"


def test_by_owner_and_of_owners() -> None:
    intake = told(
        '[[answer]]\nfact = "used_for"\nvalue = "work"\nowner = "Larrabee County"\n'
        '[[answer]]\nfact = "owner_kind"\nvalue = "government"\nfor = ["Larrabee County"]\n'
    )
    assert values(intake, "used_for") == {"aircraft/UAS-1": "work", "aircraft/UAS-2": "work"}
    assert values(intake, "owner_kind") == {"owner/Larrabee County": "government"}


def test_a_fact_of_a_registration_goes_by_the_aircrafts_name() -> None:
    intake = told('[each.expires_on]\n"UAS-1" = 2027-03-01\n"FA00TEST02" = 2027-04-01')
    assert values(intake, "expires_on") == {
        "registration/FA00TEST01": "2027-03-01",
        "registration/FA00TEST02": "2027-04-01",
    }


def test_a_text_is_released_wherever_it_is_or_where_it_is_named() -> None:
    every = told('[[word]]\ntext = "loaner?"\nmeans = "doesn\'t matter"')
    assert values(every, "does_not_matter") == {"aircraft/UAS-1": "loaner?", "aircraft/UAS-2": "loaner?"}
    assert values(every, "service_status") == {}
    one = told('[[word]]\ntext = "loaner?"\nmeans = "loaned out"\nfor = ["UAS-2"]')
    assert values(one, "does_not_matter") == {"aircraft/UAS-2": "loaner?"}
    assert values(one, "service_status") == {"aircraft/UAS-2": "loaned out"}


def test_a_number_says_that_there_is_one() -> None:
    intake = told('[each.registration]\n"UAS-1" = "FA00TEST09"')
    assert values(intake, "registration")["aircraft/UAS-1"] == "FA00TEST09"
    assert values(intake, "is_registered")["aircraft/UAS-1"] is True


@pytest.mark.parametrize(
    ("text", "what"),
    [
        ('[each.expires_on]\n"UAS-9" = 2027-03-01', "the sheet is named 'UAS-9'."),
        ('[each.mark_place]\n"UAS-9" = "outside"', "the sheet is named 'UAS-9'."),
        ('[[word]]\ntext = "loaner"\nmeans = "doesn\'t matter"', "no cell that says 'loaner'"),
        ('[[word]]\ntext = "loaner?"\nmeans = "whatever"', "'whatever' isn't one of the"),
        (
            '[[column]]\nheading = "Good thru"\nmeans = "expires_on"',
            "the sheet has no column with the heading 'Good thru'.",
        ),
    ],
)
def test_an_answer_for_nothing_is_told_and_the_others_are_used(text: str, what: str) -> None:
    intake = told(text + '\n[[answer]]\nfact = "used_for"\nvalue = "work"\nfor = ["UAS-1"]\n')
    (unused,) = [problem for problem in intake.problems if problem.is_answer]
    assert what in unused.says
    assert values(intake, "used_for")["aircraft/UAS-1"] == "work"
    assert "does_not_matter" not in {item.statement.key for item in intake.known}


def test_of_one_answer_the_names_that_fit_are_used() -> None:
    intake = told('[[answer]]\nfact = "used_for"\nvalue = "work"\nfor = ["UAS-9", "UAS-1"]\n')
    assert [problem.where for problem in intake.problems if problem.is_answer] == ["a.toml answer 1"]
    assert values(intake, "used_for")["aircraft/UAS-1"] == "work"
