"""`airwrit today --house`, `--write-house` and `--counsel`; `airwrit deadlines --house`; the demo's own rules."""

from __future__ import annotations

import json
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from airwrit.base.errors import BadHouseFile
from airwrit.cli.main import cli

DAY = "2026-11-25"


def run(*arguments: str) -> Result:
    """The command's result."""
    return CliRunner().invoke(cli, list(arguments))


@pytest.fixture
def demo(tmp_path: Path) -> tuple[str, str]:
    """The demo's workbook and house rules."""
    assert run("demo", "--on", DAY, "--out", str(tmp_path)).exit_code == 0
    return str(tmp_path / "tarn-and-fell.xlsx"), str(tmp_path / "tarn-and-fell-rules.toml")


def headlines(output: str) -> dict[str, str]:
    """The headline of each aircraft and person in a JSON document."""
    return {row["subject"]: row["headline"] for row in json.loads(output)["rows"]}


def test_the_demo_s_rules_ground_what_the_law_does_not(demo: tuple[str, str]) -> None:
    sheet, rules = demo
    alone = headlines(run("today", sheet, "--on", DAY, "--json").output)
    house = headlines(run("today", sheet, "--on", DAY, "--json", "--house", rules).output)
    changed = {
        subject: (alone[subject], house[subject]) for subject in alone if alone[subject] != house[subject]
    }
    assert changed == {
        "aircraft/Juniper": ("papers OK for work", "grounded"),
        "person/Hollis Creed": ("papers OK for work", "grounded"),
    }


def test_due_takes_house_rules_too(demo: tuple[str, str]) -> None:
    sheet, rules = demo
    due = json.loads(run("deadlines", sheet, "--on", DAY, "--json", "--house", rules).output)["due"]
    (late,) = [one for one in due if one["rule"] == "yearly_inspection" and one["overdue"]]
    assert (late["subjects"], late["cites"]) == (["aircraft/Juniper"], "Tarn & Fell manual 6.2")
    assert {"paper_in_term", "weighed_again", "recent_landings"} <= {one["rule"] for one in due}


def test_a_paper_for_counsel_is_printed_only_when_asked_for(demo: tuple[str, str]) -> None:
    sheet, _ = demo
    kept = run("today", sheet, "--on", DAY).output
    shown = run("today", sheet, "--on", DAY, "--counsel").output
    assert "Letter 4" not in kept
    assert "1 paper marked for counsel" in kept
    assert "Letter 4" in shown
    assert "FOR COUNSEL" not in shown


def test_the_example_is_written_and_taken(demo: tuple[str, str], tmp_path: Path) -> None:
    written = tmp_path / "rules.toml"
    assert run("today", "--write-house", str(written)).exit_code == 0
    result = run("today", demo[0], "--on", DAY, "--json", "--house", str(written), "--house", demo[1])
    assert result.exception is None or isinstance(result.exception, BadHouseFile)
    assert "yearly_inspection" in str(result.exception)


def test_a_row_that_cannot_be_taken_is_one_line(demo: tuple[str, str], tmp_path: Path) -> None:
    bad = tmp_path / "bad.toml"
    bad.write_text('[[rule]]\nname = "x"\nkind = "oneof"\n', encoding="utf-8")
    result = run("today", demo[0], "--house", str(bad))
    assert isinstance(result.exception, BadHouseFile)
    assert str(result.exception) == "bad.toml rule 1 'x', kind: We don't know 'oneof'. Did you mean 'one_of'?"


@pytest.mark.parametrize(
    ("area", "says"),
    [
        ("91.0, -105.3 within 5 mi", "91"),
        ("41.0, -105.3 within 5", "has no unit"),
        ("41.0, -105.3", "isn't an area"),
        ("41, -105; 42, -104; 41, -104; 42, -105", "don't make an area"),
        ('{"type": "FeatureCollection", "features": []}', "no area in this GeoJSON"),
    ],
)
@pytest.mark.parametrize("command", ["today", "deadlines"])
def test_an_area_that_cannot_be_read_is_refused_when_the_rules_are_given(
    demo: tuple[str, str], tmp_path: Path, area: str, says: str, command: str
) -> None:
    """Not first when a flight is checked: every command with --house reads them the same way."""
    bad = tmp_path / "policy.toml"
    head = 'document = "Policy"\n[[rule]]\nname = "insured_area"\nabout = "flight"\nkind = "inside_area"\n'
    bad.write_text(f"{head}clause = \"2\"\narea = '{area}'\n", encoding="utf-8")
    result = run(command, demo[0], "--on", DAY, "--house", str(bad))
    assert isinstance(result.exception, BadHouseFile)
    assert str(result.exception).startswith("rule 'insured_area', area: ")
    assert says in str(result.exception)
