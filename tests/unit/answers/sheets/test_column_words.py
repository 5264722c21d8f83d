"""What a column may hold, in words: no internal name is shown, each is offered once, and words are read back."""

from __future__ import annotations

from datetime import UTC, date, datetime

import pytest

from airwrit.answers.sheets.answered import FormFilled, read_with
from airwrit.answers.sheets.answers_form import answers_form
from airwrit.answers.sheets.column_words import column_words, meaning_groups, meaning_named, meaning_words
from airwrit.answers.standing.standing import standing
from airwrit.intake.columns import TABLES
from airwrit.intake.sheets import Answers, Intake, read_given
from airwrit.intake.typed.answers_file import read_answers

DAY = date(2026, 12, 1)
NOW = datetime(2026, 12, 1, tzinfo=UTC)
BOTH = (
    "Agent,Drone,FAA #,Exp,107 test,Sticker,eo ins\n"
    "Dana,Maprel,FA00TEST01,2/2/28,3/14/25,outside,y\n"
    "Milo,Motrel,FA00TEST02,2/2/28,8/14/26,outside,y\n"
)


def taken(answers: str = "") -> Intake:
    """A sheet of people beside aircraft, with answers."""
    form = FormFilled(read_answers(answers, "a.toml"), "Ann", DAY) if answers else None
    return read_with(lambda told: read_given([("f.csv", BOTH.encode())], told), Answers(read_on=DAY), form)


@pytest.mark.parametrize("table", TABLES)
def test_each_meaning_is_offered_once_in_words_of_its_own(table: str) -> None:
    choices = [choice for group in meaning_groups(table) for choice in group.choices]
    names, words = [name for name, _ in choices], [said for _, said in choices]
    assert len(set(names)) == len(names)
    assert len(set(words)) == len(words)
    assert not [
        said for said in words if "_" in said or said.startswith(("event:", "whether ", "text about"))
    ]


def test_the_likeliest_come_first() -> None:
    first = meaning_groups("aircraft")[0]
    assert first.about == "most likely"
    assert len(first.choices) == 10


@pytest.mark.parametrize(
    ("text", "table", "meaning"),
    [
        ("registration number", "aircraft", "registration"),
        ("Expires", "aircraft", "expires_on"),
        ("mark_place", "aircraft", "mark_place"),
        ("Not used", "aircraft", "ignore"),
        ("nothing", "person", "ignore"),
        ("date of the recurrent test or training", "person", "event: recurrent test or training"),
        ("its number can be read (yes or no)", "aircraft", "mark_legible"),
        ("what nobody means by it", "aircraft", ""),
    ],
)
def test_words_are_read_back(text: str, table: str, meaning: str) -> None:
    assert meaning_named(text, table) == meaning
    if meaning:
        assert meaning_named(meaning_words(meaning), table) == meaning


def test_an_answer_in_words_leaves_a_row_of_two_subjects_as_it_was() -> None:
    before = taken()
    assert [column.heading for column in before.columns if column.why] == ["eo ins"]
    after = taken('[[column]]\nsheet = "f"\nheading = "eo ins"\nmeans = "not used"\n')
    told = {column.heading: (column.table, column_words(column)) for column in after.columns}
    assert told["Agent"] == ("person", "name")
    assert told["FAA #"] == ("aircraft", "registration number")
    assert told["eo ins"][1] == "not used"
    assert len(after.columns) == len(told) == len(before.columns)
    answer = standing(after.known, DAY, NOW, after.problems)
    assert {row.subject for row in answer.rows} >= {"person/Dana", "person/Milo", "aircraft/Maprel"}


def test_the_form_asks_in_words() -> None:
    intake = taken()
    form = answers_form(standing(intake.known, DAY, NOW, intake.problems), intake.columns)
    comments = [line for line in form.splitlines() if line.startswith("#")]
    assert any("One of: name; " in line for line in comments)
    assert not [line for line in comments if "_" in line or "--keys" in line]
    assert max(map(len, comments)) <= 120
