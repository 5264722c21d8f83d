"""A place in a file, out of the words that name it."""

from __future__ import annotations

import pytest

from airwrit.answers.standing.places import FilePlace, place_of


@pytest.mark.parametrize(
    ("where", "place"),
    [
        ("fleet.xlsx sheet 'Fleet' cell C7", FilePlace("fleet.xlsx", "Fleet", 7, "C")),
        ('fleet.xlsx sheet "Ed\'s list" cell AB12', FilePlace("fleet.xlsx", "Ed's list", 12, "AB")),
        ("fleet.xlsx sheet 'Fleet' row 9", FilePlace("fleet.xlsx", "Fleet", 9, None)),
        ("fleet.xlsx sheet 'Fleet' rows 9 and 12", FilePlace("fleet.xlsx", "Fleet", 9, None)),
        ("fleet.xlsx sheet 'Fleet' column C 'Expires'", FilePlace("fleet.xlsx", "Fleet", None, "C")),
        ("fleet.xlsx sheet 'Fleet'", FilePlace("fleet.xlsx", "Fleet", None, None)),
        ("farm drones.csv cell R2", FilePlace("farm drones.csv", None, 2, "R")),
        ("farm drones.csv", FilePlace("farm drones.csv", None, None, None)),
        ("given with the question", None),
        ("entry 12", None),
        ("", None),
    ],
)
def test_a_place_is_read_out_of_its_words(where: str, place: FilePlace | None) -> None:
    assert place_of(where) == place
