"""The made-up program's reports by command: every sum worked out again from the JSON alone, and the same in the files."""

from __future__ import annotations

import io
import json
from collections import Counter
from collections.abc import Callable, Iterable
from decimal import Decimal
from pathlib import Path
from typing import Any

import openpyxl
import pytest
from pypdf import PdfReader

from tests.browser.serving import demo_ledger
from tests.unit.cli.command import run

DAY = "2026-11-25"
MONTHS = [f"2026-{month:02}" for month in range(1, 12)]


Tables = Callable[..., dict[str, Any]]


@pytest.fixture(scope="module")
def tables(tmp_path_factory: pytest.TempPathFactory) -> Tables:
    """Tells the tables of a report of the made-up program."""
    folder = tmp_path_factory.mktemp("sums")
    demo_ledger(folder)

    def of(*asked: str) -> dict[str, Any]:
        done = run(folder, "report", *asked, "--on", DAY, "--ledger", "demo.airwrit", "--json")
        found: dict[str, Any] = json.loads(done.stdout)["tables"]
        return found

    return of


def added(rows: Iterable[dict[str, Any]], name: str) -> Decimal:
    """The plain sum of a column."""
    return sum((Decimal(str(row[name] or 0)) for row in rows), Decimal(0))


@pytest.mark.parametrize("name", ["flights", "minutes", "landings"])
def test_a_year_is_the_sum_of_its_months_aircraft_pilots_and_uses(tables: Tables, name: str) -> None:
    year = tables("year", "--year", "2026")
    whole = Decimal(str(year["months"]["total"][name]))
    assert whole > 0
    for table in ("months", "aircraft", "pilots", "uses"):
        assert added(year[table]["rows"], name) == whole, table
    months = [tables("month", "--month", month) for month in MONTHS]
    assert sum(Decimal(str(one["aircraft"]["total"][name])) for one in months) == whole
    flown = [flight for one in months for flight in one["flights"]["rows"]]
    assert (Decimal(len(flown)) if name == "flights" else added(flown, name)) == whole


def test_events_and_rates_are_those_of_the_lists(tables: Tables) -> None:
    year = tables("year", "--year", "2026")
    many = Counter(row["what"] for row in year["events"]["rows"])
    flights, minutes = (Decimal(str(year["months"]["total"][name])) for name in ("flights", "minutes"))
    for row, what in zip(year["rates"]["rows"], ("incident", "near miss", "defect"), strict=True):
        assert row["many"] == many[what]
        assert row["many"] > 0, what
        assert abs(Decimal(row["per_100_flights"]) - 100 * many[what] / flights) <= Decimal("0.05")
        assert abs(Decimal(row["per_100_hours"]) - 6000 * many[what] / minutes) <= Decimal("0.05")
    board = {row["what"]: Decimal(str(row["this_year"])) for row in tables("board")["years"]["rows"]}
    assert [board[name] for name in ("Incidents", "Near misses", "Defects")] == [
        many[what] for what in ("incident", "near miss", "defect")
    ]
    assert board["Flights"] == flights


def test_the_insurers_hours_are_those_of_each_aircrafts_own_report(tables: Tables) -> None:
    for row in tables("insurer")["aircraft"]["rows"]:
        flown = tables("aircraft-hours", "--aircraft", row["aircraft"])["flights"]["rows"]
        minutes = added(flown, "minutes")
        assert abs(Decimal(row["hours"]) * 60 - minutes) <= 3
        if flown:
            assert abs(Decimal(flown[-1]["hours_so_far"]) * 60 - minutes) <= 3


def test_the_files_have_the_same_rows_and_sums(tables: Tables, tmp_path: Path) -> None:
    pdf, xlsx = tmp_path / "year.pdf", tmp_path / "year.xlsx"
    year = tables("year", "--pdf", str(pdf), "--xlsx", str(xlsx))
    book = openpyxl.load_workbook(io.BytesIO(xlsx.read_bytes()))
    head, *cells = ([cell.value for cell in row] for row in book["Months"].iter_rows())
    at = head.index("Minutes")
    *months, total = [int(str(row[at])) for row in cells]
    assert sum(months) == total == added(year["months"]["rows"], "minutes")
    text = " ".join(page.extract_text() for page in PdfReader(io.BytesIO(pdf.read_bytes())).pages)
    assert str(total) in text
