"""Places in a file travel as values from the reader of a sheet to a document; no words are read for them."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.answers.standing.json import place_json
from airwrit.intake.reader.cells import Sheet
from airwrit.intake.sheets import read_sheets


def problems_of(path: Path) -> dict[str, dict[str, str | int | None] | None]:
    """The places of the problems of a sheet, by the words that name them."""
    return {one.where: place_json(one.where) for one in read_sheets([path]).problems}


def test_a_cell_and_a_pair_of_rows_have_places(tmp_path: Path) -> None:
    path = tmp_path / "farm drones.csv"
    path.write_text("Aircraft,Takeoff weight (g)\nA,heavy\nB,900\nB,901\n", encoding="utf-8")
    places = problems_of(path)
    assert places["farm drones.csv cell B2"] == {
        "file": "farm drones.csv",
        "sheet": None,
        "row": 2,
        "column": "B",
    }
    assert places["farm drones.csv rows 3 and 4"] == {
        "file": "farm drones.csv",
        "sheet": None,
        "row": 3,
        "column": None,
    }


@pytest.mark.parametrize("name", ["Fleet", "Ed's list", "rows 7 and cell C7"])
def test_a_sheet_may_have_any_name(name: str) -> None:
    place = Sheet("fleet.xlsx", name, ()).cell_place(12, "AB")
    assert place == f"fleet.xlsx sheet {name!r} cell AB12"
    assert place_json(place) == {"file": "fleet.xlsx", "sheet": name, "row": 12, "column": "AB"}


@pytest.mark.parametrize(
    "where", ["entry 12", "given with the question", "fleet.xlsx sheet 'Fleet' cell C7", ""]
)
def test_words_alone_are_no_place(where: str) -> None:
    assert place_json(where) is None
