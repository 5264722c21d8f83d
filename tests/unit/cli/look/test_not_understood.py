"""What a sheet says that nobody understood holds up a yes, kept or not, until somebody says that it does not matter."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from click.testing import CliRunner

from airwrit.cli.main import cli

HEAD = (
    "Aircraft,used_for,owner,registration,registration_kind,issued_on,registered_to,mark_place,remote_id_way,"
    "remote_id_serial,listed_serial,declaration_accepted,takeoff_weight_g,owner_kind,organized_in_us,"
    "based_and_used_in_us,service_status,not_understood,does_not_matter\n"
)
GOOD = (
    "H-01,work,Tarn & Fell,FA00TEST01,Part 48 per aircraft,2025-03-01,Tarn & Fell,outside,standard,"
    "ZZ9Z6TEST01,ZZ9Z6TEST01,yes,1400,corporation,yes,yes,"
)


def row_of(*path: str) -> dict[str, Any]:
    """The row of H-01 as `standing --json` has it."""
    result = CliRunner().invoke(cli, ["today", *path, "--on", "2026-11-24", "--json"])
    rows: list[dict[str, Any]] = json.loads(result.stdout)["rows"]
    return next(row for row in rows if row["subject"] == "aircraft/H-01")


def sheet(folder: Path, *rows: str) -> Path:
    """A sheet of rows of H-01, each with what stands in the last three columns."""
    path = folder / "fleet.csv"
    path.write_text(HEAD + "".join(f"{GOOD}{row}\n" for row in rows), encoding="utf-8")
    return path


@pytest.mark.parametrize(
    ("rows", "code"),
    [
        (["in service,,"], "may_fly_work"),
        (["spare,,"], "may_fly_work"),
        ([",loaner?,"], "cant_tell"),
        ([",?,"], "cant_tell"),
        ([",n/a,n/a"], "may_fly_work"),
        ([",loaner?,loaner?"], "may_fly_work"),
        ([",loaner?,see Ed", ",see Ed,see Ed"], "cant_tell"),
        ([",loaner?,see Ed", ",see Ed,loaner?"], "may_fly_work"),
        (["out of service,loaner?,"], "grounded"),
        (["out of service,,"], "grounded"),
        (["loaned out,loaner?,"], "not_in_fleet"),
        (["retired,,"], "not_in_fleet"),
        (["sold,,"], "not_in_fleet"),
    ],
)
def test_a_text_holds_until_it_is_released(tmp_path: Path, rows: list[str], code: str) -> None:
    path = sheet(tmp_path, *rows)
    assert row_of(str(path))["headline_code"] == code
    book = tmp_path / "p.airwrit"
    kept = CliRunner().invoke(cli, ["import", str(path), "--ledger", str(book), "--by", "Ann", "--yes"])
    assert "pilot in" in kept.output
    assert row_of("--ledger", str(book))["headline_code"] == code


def test_the_text_and_its_cell_are_quoted(tmp_path: Path) -> None:
    row = row_of(str(sheet(tmp_path, ",loaner?,")))
    assert '"loaner?" (fleet.csv cell R2)' in row["because"]
    assert "doesn't matter" in row["do_first"]


def test_out_of_service_cites_the_section(tmp_path: Path) -> None:
    path = sheet(tmp_path, "out of service,,")
    result = CliRunner().invoke(cli, ["today", str(path), "--on", "2026-11-24", "--json"])
    found = [one for one in json.loads(result.stdout)["findings"] if one["rule"] == "in_service"]
    assert [one["cites"] for one in found if one["use"] == "work"] == ["14 CFR 107.15"]
