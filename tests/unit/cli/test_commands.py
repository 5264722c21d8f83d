"""The commands from the outside: exit codes, one-line errors, JSON, bad files, nothing half written."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from click.testing import CliRunner

from airwrit.cli.main import COMMANDS, cli
from tests.unit.cli.command import ROOT, run


@pytest.fixture(scope="module")
def demo(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the demo's workbook, as of one day."""
    folder = tmp_path_factory.mktemp("demo")
    assert run(folder, "demo", "--on", "2026-11-25").returncode == 0
    return folder


def standing(demo: Path, *arguments: str) -> dict[str, Any]:
    """The standing of the demo's workbook as JSON."""
    done = run(demo, "today", "tarn-and-fell.xlsx", "--on", "2026-11-25", "--json", *arguments)
    assert done.returncode == 1, done.stderr
    document: dict[str, Any] = json.loads(done.stdout)
    return document


def test_every_command_has_help_with_an_example(tmp_path: Path) -> None:
    listed = run(tmp_path, "--help")
    assert listed.returncode == 0
    names = [
        line.split()[0]
        for line in listed.stdout.partition("Look something up:")[2].splitlines()
        if line.startswith("  ") and line[2] != " "
    ]
    assert {"demo", "today", "which-registration", "backup", "rules"} <= set(names)
    for name in names:
        text = CliRunner().invoke(cli, [name, "--help"], prog_name="airwrit").output
        assert f"airwrit {name}" in text.partition("Example")[2], name
        assert "--json" in text, name


def test_every_command_is_told_in_the_docs() -> None:
    docs = (ROOT / "docs" / "commands.md").read_text(encoding="utf-8")
    assert [name for name in COMMANDS if f"## airwrit {name}" not in docs] == []


@pytest.mark.parametrize(
    ("name", "headline", "because"),
    [
        ("Alder 2", "grounded", "Registration expired 2026-11-24. There is no grace period."),
        ("Birch 1", "grounded", "Registered for recreation only. That doesn't cover Part 107 work."),
        (
            "Cedar 1",
            "grounded",
            "Serial number ZZ9Z5MDL07 is listed on two registrations: this one and the one for Cedar 2.",
        ),
        ("Elm 1", "grounded", "The number is inside the aircraft. It has to be on the outside."),
        ("Gorse", "can't tell yet", "The Part 47 application from 2026-10-11 is still pending."),
        (
            "Dogwood 1",
            "can't tell yet",
            "We couldn't read the entry for this: Remote ID serial number it broadcasts",
        ),
        (
            "Hazel 1",
            "grounded",
            "Registered to Tarn & Fell Land Services, but Bress Valley Orchards owns it",
        ),
        ("Tobin Ashgrove", "grounded", "Not current. Recurrent training expired 2023-03-31."),
        ("Ivo Brask", "papers OK for recreation only", "Not current. Recurrent training expired 2026-09-30."),
    ],
)
def test_the_demo_shows_its_traps(demo: Path, name: str, headline: str, because: str) -> None:
    rows = {row["subject"].partition("/")[2]: row for row in standing(demo)["rows"]}
    assert rows[name]["headline"] == headline
    assert rows[name]["because"].startswith(because)


def test_the_strobe_takes_the_light_aircraft_over_the_limit(demo: Path) -> None:
    found = [
        finding
        for finding in standing(demo)["findings"]
        if finding["subject"] == "aircraft/Fescue"
        and finding["rule"] == "must_be_registered"
        and finding["use"] == "recreation"
    ]
    assert found[0]["code"] == "over_weight"
    assert found[0]["margin"]["value"] == pytest.approx(0.55 - 255 / 453.59237, abs=1e-9)


def test_a_finding_as_json_has_the_promised_parts(demo: Path) -> None:
    document = standing(demo)
    assert document["question"] == "standing"
    assert document["verdict"] == "not_met"
    for finding in document["findings"]:
        assert {
            "subject",
            "rule",
            "verdict",
            "cites",
            "says",
            "used",
            "margin",
            "do",
            "due_on",
            "law_read_on",
            "confidence",
        } <= set(finding)
        assert finding["verdict"] in ("met", "not_met", "unknown", "not_applicable")
    assert len(document["sources"][0]["sha256"]) == len("0" * 64)


def test_a_mapping_saved_and_given_back_reads_the_same(demo: Path) -> None:
    first = standing(demo, "--save-mapping", "columns.toml")
    again = standing(demo, "--mapping", "columns.toml")
    for part in ("findings", "rows", "due", "missing", "problems"):
        assert again[part] == first[part], part


def test_the_workbook_answer_holds_texts_only(demo: Path) -> None:
    standing(demo, "--xlsx", "answer.xlsx")
    book = openpyxl.load_workbook(demo / "answer.xlsx")
    assert book.sheetnames[:2] == ["Standing", "Due"]
    kinds = {
        cell.data_type
        for sheet in book
        for row in sheet.iter_rows()
        for cell in row
        if cell.value is not None
    }
    assert kinds == {"s"}


def test_the_template_is_read_without_a_question(tmp_path: Path) -> None:
    assert run(tmp_path, "today", "--write-template", "mine.xlsx").returncode == 0
    done = run(tmp_path, "today", "mine.xlsx")
    assert done.returncode == 3
    assert "We found no aircraft and no people" in done.stdout


BAD = {
    "empty.xlsx": b"",
    "noise.xlsx": bytes(range(256)) * 40,
    "cut.xlsx": b"PK\x03\x04 cut off",
    "page.csv": b"<html><body>not a sheet</body></html>",
    "locked.xlsx": bytes.fromhex("d0cf11e0a1b11ae1") + b"\0" * 1000,
}


@pytest.mark.parametrize("name", sorted(BAD))
def test_a_file_that_is_no_sheet_is_one_clear_line(tmp_path: Path, name: str) -> None:
    (tmp_path / name).write_bytes(BAD[name])
    done = run(tmp_path, "today", name, "--xlsx", "answer.xlsx")
    assert (done.returncode, done.stdout) == (2, "")
    assert done.stderr.startswith(f"airwrit: {name}: ")
    assert done.stderr.count("\n") == 1
    assert not (tmp_path / "answer.xlsx").exists()


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("today",), "You didn't name a sheet,"),
        (("today", "gone.csv"), "gone.csv"),
        (("today", "gone.csv", "--on", "2023-02-29"), "'2023-02-29' isn't a date"),
        (("today", "gone.csv", "--at", "2026-06-01T10:00"), "a time with its zone."),
        (("rules", "marked_outsid"), "Did you mean marked_outside?"),
        (("rules", "--on", "2015-12-31"), "from 2016-01-01"),
        (("nonsense",), "No such command"),
    ],
)
def test_wrong_use_is_one_line_and_exit_2(tmp_path: Path, arguments: tuple[str, ...], says: str) -> None:
    done = run(tmp_path, *arguments)
    assert (done.returncode, done.stdout) == (2, "")
    assert says in done.stderr
    assert done.stderr.count("\n") == 1


def test_both_a_day_and_an_instant_are_refused(demo: Path) -> None:
    done = run(demo, "today", "tarn-and-fell.xlsx", "--on", "2026-11-25", "--at", "2026-11-25T10:00Z")
    assert done.returncode == 2
    assert "Use only one of the two." in done.stderr


def test_an_answer_that_cannot_be_written_leaves_nothing_behind(demo: Path) -> None:
    done = run(demo, "today", "tarn-and-fell.xlsx", "--xlsx", "no/such/folder/a.xlsx")
    assert done.returncode == 2
    assert "a.xlsx: We can't write" in done.stderr


def test_escapes_in_cells_do_not_reach_the_terminal(tmp_path: Path) -> None:
    (tmp_path / "f.csv").write_text(
        "Aircraft,Use,Mark\n\x1b[31mK1\x1b[0m,work,\x1b]0;x\x07outside\n", encoding="utf-8"
    )
    done = run(tmp_path, "today", "f.csv")
    assert done.returncode == 3
    assert "\x1b" not in done.stdout + done.stderr
    assert "\x07" not in done.stdout


def test_one_use_told_for_all(tmp_path: Path) -> None:
    (tmp_path / "f.csv").write_text("Aircraft,Registered\nK1,no\n", encoding="utf-8")
    assert run(tmp_path, "today", "f.csv").returncode == 3
    assert run(tmp_path, "today", "f.csv", "--use", "work").returncode == 1


def test_a_rule_of_the_law_through_time(tmp_path: Path) -> None:
    told = json.loads(run(tmp_path, "rules", "marked_outside", "--on", "2019-02-24", "--json").stdout)
    values = {each["name"]: each["in_force"] for each in told["parameters"]}
    assert values["mark_inside_without_tool_allowed"] == "yes"
    later = json.loads(run(tmp_path, "rules", "marked_outside", "--on", "2019-02-25", "--json").stdout)
    assert {each["name"]: each["in_force"] for each in later["parameters"]}[
        "mark_inside_without_tool_allowed"
    ] == "no"
