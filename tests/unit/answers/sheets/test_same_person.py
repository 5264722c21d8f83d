"""Names that may be one person are offered, and joined only where somebody says so."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from airwrit.answers.sheets.answered import FormFilled, answered
from airwrit.answers.sheets.same_person import perhaps_one, perhaps_one_in
from airwrit.facts.fold import state_of
from airwrit.intake.sheets import Intake, read_given
from airwrit.intake.typed.answers_file import read_answers


@pytest.mark.parametrize(
    ("names", "groups"),
    [
        (["Dana Haskell", "D. Haskell", "Haskell, Dana"], [["Dana Haskell", "D. Haskell", "Haskell, Dana"]]),
        (["Dana Haskell", "D Haskell"], [["Dana Haskell", "D Haskell"]]),
        (["Dana Haskell", "Dana R. Haskell"], [["Dana R. Haskell", "Dana Haskell"]]),
        (["Dana Haskell", "Dave Haskell", "D. Haskell"], []),
        (["Dana Haskell", "Dave Haskell"], []),
        (["Dana Haskell", "Dana Hask"], []),
        (["Dana", "Haskell"], []),
    ],
)
def test_who_may_be_one(names: list[str], groups: list[list[str]]) -> None:
    found = perhaps_one(f"person/{name}" for name in names)
    assert [[subject.removeprefix("person/") for subject in group] for group in found] == groups


PEOPLE = b"Name,flies_for\nDana Haskell,work\n"
TRAINING = b'Person,Event,Completed\n"Haskell, Dana",recurrent training,2026-01-10\nD. Haskell,initial test,2022-03-01\n'


def told(text: str) -> Intake:
    """Two sheets with answers."""
    intake = read_given([("people.csv", PEOPLE), ("training.csv", TRAINING)])
    return answered(intake, FormFilled(read_answers(text, "a.toml"), "Ann", date(2026, 11, 24)))


def whose(intake: Intake) -> set[object]:
    """Whose the events are."""
    return {item.statement.value for item in intake.known if item.statement.key == "event_of"}


def test_nobody_is_joined_unasked() -> None:
    assert whose(told("")) == {"Haskell, Dana", "D. Haskell"}


def test_names_are_joined_where_somebody_says_so_and_kept() -> None:
    intake = told('[[same]]\nperson = "Dana Haskell"\nnames = ["D. Haskell", "Haskell, Dana"]')
    assert whose(intake) == {"Dana Haskell"}
    kept = {item.statement.value for item in intake.known if item.statement.key == "also_called"}
    assert kept == {"D. Haskell", "Haskell, Dana"}


def test_a_blank_name_joins_nobody() -> None:
    assert whose(told('[[same]]\nperson = ""\nnames = ["D. Haskell"]')) == {"Haskell, Dana", "D. Haskell"}


def test_names_that_are_not_there_are_told() -> None:
    intake = told('[[same]]\nperson = "Dana Haskell"\nnames = ["Lee Sorby"]')
    assert any(
        "none of these names is in the sheet: Lee Sorby" in problem.what for problem in intake.problems
    )


def test_different_people_are_not_offered_again() -> None:
    intake = told('[[same]]\nperson = "different people"\nnames = ["Dana Haskell", "D. Haskell"]')
    assert whose(intake) == {"Haskell, Dana", "D. Haskell"}
    state = state_of(intake.known, date(2026, 11, 24), datetime(2026, 11, 24, tzinfo=UTC), [])
    assert perhaps_one_in(state) == (("person/Dana Haskell", "person/Haskell, Dana"),)


def test_of_several_names_those_that_are_apart_are_parted() -> None:
    names = ["person/Dana Haskell", "person/D. Haskell", "person/Haskell, Dana"]
    apart = {frozenset(("person/Dana Haskell", other)) for other in names[1:]}
    assert perhaps_one(names, apart) == (("person/D. Haskell", "person/Haskell, Dana"),)
