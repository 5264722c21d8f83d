"""Whole reports written by the rules of the federal handbook for surface reports (FMH-1), its remarks too, from memory.

Each is read to the end, or what can't be is listed as written; what was expected was put down by hand before it was run.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from airwrit.sky.weather.forecast import read_forecast
from airwrit.sky.weather.report import read_report
from airwrit.sky.weather.texts import pieces

REPORTS = Path(__file__).with_name("whole_reports.csv")


def reports() -> list[dict[str, str]]:
    """The rows of the table: a report's body, and what is expected of it, "" where nothing is."""
    with REPORTS.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def number(text: str) -> float | None:
    """A number of the table."""
    return float(text) if text else None


@pytest.mark.parametrize("row", reports(), ids=lambda row: row["report"])
def test_a_whole_report(row: dict[str, str]) -> None:
    kind = "SPECI" if "0112Z" in row["report"] else "METAR"
    (piece,) = pieces(f"{kind} KABC {row['report']}")
    report = read_report(piece)
    said = report.conditions
    assert (None if said.visibility is None else float(said.visibility.miles.best)) == number(row["miles"])
    assert said.ceiling_ft == number(row["ceiling_ft"])
    gust = None if said.wind is None or said.wind.gust_kt is None else said.wind.gust_kt.best
    assert (None if gust is None else float(gust)) == number(row["gust_kt"])
    assert " ".join(one.text for one in report.unread) == row["unread"]


FORECASTS: tuple[tuple[str, tuple[tuple[str, float | None, int | None], ...], tuple[str, ...]], ...] = (
    ("0100/0206 18010KT P6SM SKC", (("", 6, None),), ()),
    (
        "0100/0206 18010KT P6SM OVC030 FM010500 20015G25KT 4SM -RA OVC015",
        (("", 6, 3000), ("FM", 4, 1500)),
        (),
    ),
    (
        "0100/0206 18010KT P6SM SCT030 TEMPO 0102/0105 1SM +TSRA BKN010CB",
        (("", 6, None), ("TEMPO", 1, 1000)),
        (),
    ),
    ("0100/0206 18010KT 5SM BR VV002 PROB30 0106/0110 1/4SM FG", (("", 5, 200), ("PROB30", 0.25, None)), ()),
    ("0100/0206 18010KT P6SM BKN250 BECMG 0112/0114 OVC008", (("", 6, 25000), ("BECMG", None, 800)), ()),
    ("0100/0206 18010KT P6SM SKC WS020/22045KT", (("", 6, None),), ()),
    ("0100/0206 VRB03KT 1 1/2SM BR BKN004", (("", 1.5, 400),), ()),
    ("0100/0206 18010KT 1/0SM BKN004", (("", None, 400),), ("1/0SM",)),
    ("0100/0206 18010KT P6SM BKN0X4", (("", 6, None),), ("BKN0X4",)),
    ("0100/0206 18010KT ////SM BKN004", (("", None, 400),), ("////SM",)),
    ("0100/0206 18010KT M1/4SM FG OVC001", (("", 0.25, 100),), ()),
    (
        "0100/0206 18010KT P6SM FEW040 PROB40 TEMPO 0120/0124 2SM TSRA",
        (("", 6, None), ("PROB40 TEMPO", 2, None)),
        (),
    ),
)


@pytest.mark.parametrize(("body", "parts", "unread"), FORECASTS)
def test_a_whole_forecast(
    body: str, parts: tuple[tuple[str, float | None, int | None], ...], unread: tuple[str, ...]
) -> None:
    (piece,) = pieces(f"TAF KABC 312330Z {body}")
    forecast = read_forecast(piece)
    found = [
        (
            part.word,
            None if part.conditions.visibility is None else float(part.conditions.visibility.miles.best),
            part.conditions.ceiling_ft,
        )
        for part in forecast.parts
    ]
    assert tuple(found) == parts
    assert tuple(one.text for one in forecast.unread) == unread
