"""What was confirmed for a model holds for its next aircraft, unless its row says otherwise or leaves something open."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from tests.unit.cli.command import run

HEAD = "Aircraft,Maker,Model,FAA number,Weight,Remote ID,Remote ID accepted,Notes\n"
FIRST = "UAS-1,Korrin,Sarvo 4,FA00TEST01,,,,\n"
FORM = """
[[answer]]
fact = "takeoff_weight"
value = "1400 g"
model = "Korrin Sarvo 4"
[[answer]]
fact = "declaration_accepted"
value = "yes"
model = "Korrin Sarvo 4"
"""


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a ledger in which two facts were confirmed for a model."""
    (tmp_path / "fleet.csv").write_text(HEAD + FIRST, encoding="utf-8")
    (tmp_path / "a.toml").write_text(FORM, encoding="utf-8")
    run(tmp_path, "import", "fleet.csv", "--answers", "a.toml", "--yes", "--by", "Ann")
    return tmp_path


def taken(folder: Path, row: str) -> dict[str, object]:
    """What next year's sheet would add of the aircraft UAS-2."""
    (folder / "next.csv").write_text(HEAD + FIRST + row, encoding="utf-8")
    shown = json.loads(run(folder, "import", "next.csv", "--json").stdout)
    return {one["key"]: one["value"] for one in shown["changes"] if one["subject"] == "aircraft/UAS-2"}


def test_the_next_aircraft_of_the_model_is_not_asked_about(folder: Path) -> None:
    found = taken(folder, "UAS-2,KORRIN,Sarvo 4,FA00TEST02,,,,\n")
    assert found["takeoff_weight_g"] == "1400"
    assert found["declaration_accepted"] is True


@pytest.mark.parametrize(
    ("row", "missing"),
    [
        ("UAS-2,Korrin,Sarvo 5,FA00TEST02,,,,\n", {"takeoff_weight_g", "declaration_accepted"}),
        ("UAS-2,Korrin,Sarvo 4,FA00TEST02,,,,with payload it is heavier\n", {"takeoff_weight_g"}),
        ("UAS-2,Korrin,Sarvo 4,FA00TEST02,,module,,\n", {"declaration_accepted"}),
        ("UAS-2,Korrin,Sarvo 4,FA00TEST02,heavy,,,\n", {"takeoff_weight_g"}),
    ],
)
def test_another_model_a_remark_a_module_or_a_cell_of_its_own_keeps_it_from_that(
    folder: Path, row: str, missing: set[str]
) -> None:
    found = taken(folder, row)
    assert {key for key in missing if found.get(key) in ("1400", True)} == set()


def test_it_says_by_whom_it_was_confirmed(folder: Path) -> None:
    (folder / "next.csv").write_text(HEAD + "UAS-2,Korrin,Sarvo 4,FA00TEST02,,,,\n", encoding="utf-8")
    run(folder, "import", "next.csv", "--yes", "--by", "Bo")
    told = " ".join(run(folder, "history", "UAS-2", "--key", "takeoff_weight_g").stdout.split())
    assert "confirmed by Ann" in told
