"""The invented program's year reads true in the reports: its sums are those of the rows of its own sheet."""

from __future__ import annotations

import json
from decimal import Decimal
from pathlib import Path

from airwrit.demo.workbook import demo_data
from tests.unit.cli.command import run

DAY = "2026-11-25"


def test_the_years_sums_are_those_of_the_flight_log(tmp_path: Path) -> None:
    log = next(sheet for sheet in demo_data()["sheets"] if sheet["name"] == "Flight log")
    head, *flights = log["rows"]
    at = {name: head.index(name) for name in head}
    assert run(tmp_path, "demo", "--no-page", "--on", DAY).returncode == 0
    done = run(tmp_path, "report", "year", "--on", DAY, "--sheet", "tarn-and-fell.xlsx", "--json")
    document = json.loads(done.stdout)
    total = document["tables"]["months"]["total"]
    minutes = sum(row[at["Minutes"]] for row in flights)
    assert total["flights"] == len(flights)
    assert Decimal(total["minutes"]) == minutes
    assert abs(Decimal(total["hours"]) * 60 - minutes) <= 3
    assert Decimal(total["landings"]) == sum(row[at["Landings"]] for row in flights)
    by = {row["aircraft"]: row["flights"] for row in document["tables"]["aircraft"]["rows"]}
    assert by["Alder 1"] == sum(row[at["Aircraft"]] == "Alder 1" for row in flights)
    assert by["Larch"] == 0
