"""The ledger from the outside: a sheet goes in, the day can be asked about later, copies come out, nothing by accident."""

from __future__ import annotations

import json
import stat
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from airwrit.cli.main import cli
from tests.unit.cli.command import run

SHEET = "Aircraft,Use,Owner,Weight (g)\nH-01,work,Tarn,900\nH-02,work,Tarn,1.2E+3x\n"
LEDGER = "program.airwrit"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    """A folder with a sheet that was imported."""
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    done = run(tmp_path, "import", "fleet.csv", "--yes", "--by", "ada")
    assert done.returncode == 3, done.stderr
    assert f"entries saved to {LEDGER}" in done.stdout
    return tmp_path


def document(folder: Path, *arguments: str) -> dict[str, Any]:
    """What a command says as JSON."""
    done = run(folder, *arguments, "--json")
    told: dict[str, Any] = json.loads(done.stdout)
    return told


def owner_of(folder: Path, *arguments: str) -> list[Any]:
    """The owners that findings about H-01 used."""
    told = document(folder, "today", "--on", "2026-11-25", *arguments)
    return sorted({f["used"]["owner"] for f in told["findings"] if f["used"].get("owner")})


def test_nothing_is_kept_without_a_yes(tmp_path: Path) -> None:
    (tmp_path / "fleet.csv").write_text(SHEET, encoding="utf-8")
    done = run(tmp_path, "import", "fleet.csv")
    assert done.returncode == 3
    assert "Nothing was" in done.stdout
    assert not (tmp_path / LEDGER).exists()


def test_a_ledger_says_what_its_sheet_said(folder: Path) -> None:
    sheet = document(folder, "today", "fleet.csv", "--on", "2026-11-25")
    ledger = document(folder, "today", "--on", "2026-11-25")
    assert ledger["rows"] == sheet["rows"]
    assert ledger["verdict"] == sheet["verdict"]
    assert [f["verdict"] for f in ledger["findings"]] == [f["verdict"] for f in sheet["findings"]]
    assert ledger["sources"][0]["name"].startswith(LEDGER)


def test_importing_twice_adds_nothing(folder: Path) -> None:
    before = (folder / LEDGER).read_bytes()
    done = run(folder, "import", "fleet.csv", "--yes")
    assert "Nothing to save" in done.stdout
    assert (folder / LEDGER).read_bytes() == before


def test_a_change_is_shown_before_it_is_kept(folder: Path) -> None:
    (folder / "fleet.csv").write_text(SHEET.replace("H-01,work,Tarn", "H-01,work,Fell"), encoding="utf-8")
    told = document(folder, "import", "fleet.csv", "--from", "2026-11-25")
    assert told["kept"] == []
    (change,) = told["changes"]
    assert (change["does"], change["value"], change["from"]) == ("changed", "Fell", "2026-11-25")
    assert [old["value"] for old in change["until_then"]] == ["Tarn"]
    assert change["says"] == "from Nov 25, 2026 on. Before that, the old value stays"
    told = document(folder, "import", "fleet.csv", "--correct")
    (change,) = told["changes"]
    assert (change["does"], change["value"], change["was"][0]["value"]) == ("corrected", "Fell", "Tarn")
    assert change["says"] == "corrects an earlier entry"


def test_a_past_moment_is_told_by_what_was_known_then(folder: Path) -> None:
    first = document(folder, "history", "aircraft/H-01")["said"][-1]["recorded_at"]
    assert (
        run(folder, "record-change", "aircraft/H-01", "owner=Fell", "--correct", "--by", "ada").returncode
        == 0
    )
    assert owner_of(folder, "--known-at", first) == ["Tarn"]
    assert owner_of(folder) == ["Fell", "Tarn"]
    nothing = run(folder, "today", "--on", "2026-11-25", "--known-at", "2020-01-01T00:00Z")
    assert nothing.returncode == 3
    assert "We found no aircraft" in nothing.stdout


def test_what_is_said_against_a_sheet_stays_open(folder: Path) -> None:
    asked = run(folder, "record-change", "H-01", "owner=Fell", "--by", "bob")
    assert asked.returncode == 3
    assert "Nothing was" in asked.stderr
    assert run(folder, "check-records").returncode == 0
    done = run(folder, "record-change", "aircraft/H-01", "owner=Fell", "--beside", "--by", "bob")
    assert done.returncode == 3
    assert "CONTRADICTED" in done.stdout
    checked = run(folder, "check-records")
    assert checked.returncode == 3
    assert "aircraft/H-01 owner" in checked.stdout
    assert run(folder, "record-change", "aircraft/H-01", "owner=Fell", "--correct").returncode == 0
    assert run(folder, "check-records").returncode == 0


def test_history_tells_who_said_what_and_what_took_its_place(folder: Path) -> None:
    run(folder, "record-change", "aircraft/H-01", "owner=Fell", "--correct", "--by", "bob", "--note", "sold")
    first, second = document(folder, "history", "aircraft/H-01", "--key", "owner")["said"]
    assert (first["by"], first["act"], first["value"], first["answered_by"]) == ("ada", "import", "Tarn", [4])
    assert first["source"].startswith("fleet.csv sha256:")
    assert (second["by"], second["act"], second["value"], second["note"]) == ("bob", "record", "Fell", "sold")
    shown = run(folder, "history", "aircraft/H-01", "--key", "owner").stdout
    assert "Fell" in shown
    assert "until entry 4" in shown


@pytest.mark.parametrize(
    ("arguments", "says"),
    [
        (("record-change", "aircraft/H-01", "ownr=x"), "Did you mean owner?"),
        (("record-change", "aircraft/H-01", "takeoff_weight_g=heavy"), "takeoff_weight_g"),
        (("record-change", "aircraft/H-01", "born_on=1990-01-01"), "Name a record such as person/NAME."),
        (("record-change", "aircraft/H-01", "owner"), "isn't"),
        (("record-change", "H-99", "owner=x"), "Nothing on record"),
        (("record-change", "aircraft/H-01", "owner=x", "--from", "2026-05-01T10:00"), "zone"),
        (("record-change", "aircraft/H-01", "owner=x", "--ledger", "fleet.csv"), "isn't a ledger"),
        (("history", "aircraft/h-1"), "Did you mean aircraft/H-01?"),
        (("import",), "You didn't name a sheet."),
        (("import", "none.csv", "--yes"), "none.csv: This file"),
        (("check-records", "--ledger", "none"), "no ledger with that name."),
        (("check-records", "--head", "3"), "isn't a line that sums up a log"),
        (("backup", LEDGER), "A file with this name already exists."),
        (("restore", "fleet.csv", "--to", "new"), "line 1"),
        (("restore", "none", "--to", "new"), "can't open"),
        (("restore", LEDGER, "--to", "fleet.csv"), "A file with this name already exists."),
        (("export-records", "--lines", "fleet.csv"), "A file with this name already exists."),
        (("erase-personal-data", "1", "--why", "x"), "Nothing was removed."),
        (("erase-personal-data", "77", "--why", "x", "--yes"), "Entry 77"),
        (("today", "fleet.csv", "--ledger", LEDGER), "used both"),
        (("today", "--known-at", "2026-11-25T10:00"), "zone"),
        (("today", "--ledger", "none"), "no ledger with that name."),
    ],
)
def test_wrong_use_is_one_line_and_changes_nothing(
    folder: Path, arguments: tuple[str, ...], says: str
) -> None:
    before = sorted((path.name, path.read_bytes()) for path in folder.iterdir())
    done = run(folder, *arguments)
    assert done.returncode == 2
    assert says in done.stderr
    assert done.stderr.count("\n") == 1
    assert sorted((path.name, path.read_bytes()) for path in folder.iterdir()) == before


def test_a_forged_line_is_named(folder: Path) -> None:
    data = (folder / LEDGER).read_bytes()
    assert data.count(b'"value":"900"') == 1
    (folder / LEDGER).write_bytes(data.replace(b'"value":"900"', b'"value":"200"'))
    done = run(folder, "check-records")
    assert done.returncode == 1
    assert "entry 1: its line isn't the one that was hashed" in done.stdout


def test_copies_are_the_same_and_for_the_owner_alone(folder: Path) -> None:
    head = document(folder, "check-records")["head"]
    for arguments in (
        ("backup", "copy.airwrit"),
        ("export-records", "--lines", "lines.jsonl"),
        ("restore", "copy.airwrit", "--to", "one.airwrit"),
        ("restore", "lines.jsonl", "--to", "two.airwrit"),
    ):
        assert document(folder, *arguments)["head"] == head
        path = folder / (arguments[-1])
        assert stat.S_IMODE(path.stat().st_mode) == 0o600
    for name in ("one.airwrit", "two.airwrit"):
        assert document(folder, "check-records", "--ledger", name, "--head", head)["head"] == head
        assert run(folder, "export-records", "--ledger", name).stdout == (folder / "lines.jsonl").read_text(
            encoding="utf-8"
        )


def test_the_ledger_may_be_named_by_the_environment(
    folder: Path, tmp_path_factory: pytest.TempPathFactory
) -> None:
    elsewhere = tmp_path_factory.mktemp("elsewhere")
    assert "2 aircraft" in run(elsewhere, "today", "--ledger", str(folder / LEDGER)).stdout
    assert run(elsewhere, "today").returncode == 2
    told = CliRunner(env={"AIRWRIT_LEDGER": str(folder / LEDGER)}).invoke(cli, ["history", "aircraft/H-01"])
    assert told.exit_code == 0
    assert "Tarn" in told.output


def test_a_private_line_is_blanked_for_good(folder: Path) -> None:
    run(folder, "record-change", "person/Nela Quist", "flies_for=work", "born_on=1990-03-04", "--by", "ada")
    numbers = document(folder, "history", "person/Nela Quist")["said"]
    (private,) = [one["number"] for one in numbers if one["key"] == "born_on"]
    done = run(folder, "erase-personal-data", private.partition(".")[0], "--why", "request 7", "--yes")
    assert done.returncode == 0, done.stderr
    assert b"1990-03-04" not in (folder / LEDGER).read_bytes()
    checked = document(folder, "check-records")
    assert checked["whole"]
    assert len(checked["blanked"]) == 1
    left = document(folder, "history", "person/Nela Quist")["said"]
    assert [(one["key"], one["value"]) for one in left] == [("flies_for", "work"), ("born_on", None)]


def test_rows_that_went_unread_keep_the_answer_open_until_mended(tmp_path: Path) -> None:
    """A row without a name says nothing of anybody, so the ledger cannot hold it; it says that there was one."""
    sheet = "Aircraft,Use,Owner\nH-01,work,Tarn\nH-02,,\n"
    (tmp_path / "fleet.csv").write_text(sheet, encoding="utf-8")
    assert any(
        problem["unread"] for problem in document(tmp_path, "import", "fleet.csv", "--yes")["problems"]
    )
    (problem,) = document(tmp_path, "today", "--on", "2026-11-25")["problems"]
    assert (problem["where"], problem["what"], problem["unread"]) == ("fleet.csv", "rows not read: 1", True)
    (tmp_path / "fleet.csv").write_text(sheet.replace("H-02,,", "H-02,work,Tarn"), encoding="utf-8")
    document(tmp_path, "import", "fleet.csv", "--yes")
    assert document(tmp_path, "today", "--on", "2026-11-25")["problems"] == []


def test_a_newer_sheet_of_another_name_is_told_how_to_take_the_place(folder: Path) -> None:
    text = (folder / "fleet.csv").read_text(encoding="utf-8")
    (folder / "next year.csv").write_text(text.replace("900", "950"), encoding="utf-8")
    shown = json.loads(run(folder, "import", "next year.csv", "--json").stdout)
    assert shown["contradictions"]
    remark = [one for one in shown["problems"] if "--replaces" in one["do"]]
    assert [one["do"] for one in remark] == ["if it replaces that file, import it with --replaces fleet.csv"]
    again = json.loads(run(folder, "import", "next year.csv", "--replaces", "fleet.csv", "--json").stdout)
    assert not again["contradictions"]
    assert not any("--replaces" in one["do"] for one in again["problems"])
