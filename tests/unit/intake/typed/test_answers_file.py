"""The file of answers: what it may hold, and what is refused with its place."""

from __future__ import annotations

import pytest

from airwrit.base.errors import BadFact
from airwrit.intake.typed.answers_file import AnswersFile, read_answers


def read(text: str) -> AnswersFile:
    """The answers in a text."""
    return read_answers(text, "a.toml")


def test_an_answer_for_all_and_its_exceptions() -> None:
    (one,) = read('[[answer]]\nfact = "mark_place"\nvalue = "outside"\nexcept = ["UAS-7"]').facts
    assert (one.key.name, one.value, one.names, one.excepted) == ("mark_place", "outside", None, ("UAS-7",))


@pytest.mark.parametrize(
    ("value", "kept"),
    [
        ('"yes"', True),
        ("false", False),
        ('"No"', False),
    ],
)
def test_yes_and_no_may_be_words(value: str, kept: bool) -> None:
    (one,) = read(
        f'[[answer]]\nfact = "declaration_accepted"\nvalue = {value}\nmodel = "Korrin Sarvo 4"'
    ).facts
    assert one.value is kept
    assert one.model == "Korrin Sarvo 4"


@pytest.mark.parametrize("value", ['"3 lb"', "1360.77711", '"1360.77711"'])
@pytest.mark.parametrize("fact", ["takeoff_weight_g", "takeoff_weight"])
def test_a_weight_may_have_its_unit(value: str, fact: str) -> None:
    if fact == "takeoff_weight" and value != '"3 lb"':
        return
    (one,) = read(f'[each.{fact}]\n"UAS-1" = {value}').facts
    assert (one.key.name, one.value, one.names) == ("takeoff_weight_g", "1360.77711", ("UAS-1",))


def test_a_day_may_be_a_day_or_a_text() -> None:
    found = read('[each.expires_on]\n"UAS-1" = 2027-03-01\n"UAS-2" = "2027-03-02"').facts
    assert [(one.names, one.value) for one in found] == [
        (("UAS-1",), "2027-03-01"),
        (("UAS-2",), "2027-03-02"),
    ]


def test_what_is_blank_is_left_open() -> None:
    text = (
        '[[answer]]\nfact = "mark_place"\nvalue = ""\n[each.expires_on]\n"UAS-1" = "?"\n'
        '[[word]]\ntext = "loaner?"\nmeans = ""\n[[column]]\nheading = "Good thru"\nmeans = ""\n'
    )
    assert read(text) == AnswersFile("a.toml")


def test_words_and_columns() -> None:
    found = read(
        '[[word]]\ntext = "loaner?"\nmeans = "loaned out"\nfor = ["UAS-1"]\n'
        '[[column]]\nsheet = "Fleet"\nheading = "Good thru"\nmeans = "expires_on"\n'
    )
    assert [(one.text, one.means, one.names) for one in found.words] == [
        ("loaner?", "loaned out", ("UAS-1",))
    ]
    assert found.columns == (("Fleet", "Good thru", "expires_on"),)


@pytest.mark.parametrize(
    ("text", "told"),
    [
        ("[[answer]", "file as TOML"),
        ("[fleet]\na = 1", "answers file has no table 'fleet'."),
        ('[[answer]]\nfact = "mark_plce"\nvalue = "outside"', "No fact is named 'mark_plce'."),
        ('[[answer]]\nfact = "mark_place"\nvalue = "somewhere"', "mark_place"),
        ('[[answer]]\nfact = "mark_place"\nvalue = "outside"\nfor = 3', "doesn't say who it is for"),
        ('[[answer]]\nfact = "mark_place"\nvlue = "outside"', "here. Use fact, value, for,"),
        ('[answer]\nfact = "mark_place"', "isn't a list of tables."),
        ("[each]\nexpires_on = 3", "isn't a table."),
        ('[each.expires_on]\n"UAS-1" = "soon"', "expires_on"),
        ('[[word]]\nmeans = "doesn\'t matter"', "text isn't text."),
    ],
)
def test_what_cannot_be_is_refused(text: str, told: str) -> None:
    with pytest.raises(BadFact) as fault:
        read(text)
    assert told in str(fault.value)
    assert fault.value.where.startswith("a.toml")
