"""Reports and forecasts against values read by hand, the handbook's examples, and what a public library reads.

Sources: weather/SOURCE.toml. A value that isn't told there has to be missing here too.
"""

from __future__ import annotations

import csv
import json
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from airwrit.answers.sky.weather import FlightPlanned, weather_of
from airwrit.base.verdict import Verdict
from airwrit.sky.weather.forecast import Forecast, expected_at, read_forecast
from airwrit.sky.weather.report import WeatherReport, read_report
from airwrit.sky.weather.texts import pieces
from airwrit.sky.weather.times import instant_near
from airwrit.sky.weather.values import Bound, Seen
from tests.outside import outside_file

TYPED = Path(__file__).parent / "weather" / "reports.csv"
STATIONS = ("EGLL", "KJFK", "KMCO", "PHNL")
DAY = datetime(2026, 12, 12, 19, 30, tzinfo=UTC)


def report_of(text: str) -> WeatherReport:
    """The only report of a text."""
    (piece,) = pieces(text)
    return read_report(piece)


def forecast_of(text: str) -> Forecast:
    """The only forecast of a text."""
    (piece,) = pieces(text)
    return read_forecast(piece)


def near(text: str, value: Decimal | int | None, error: str = "0") -> bool:
    """Whether a printed number is ours, or missing in both."""
    if not text or value is None:
        return not text and value is None
    return abs(Decimal(text) - value) <= Decimal(error)


def best(seen: Seen | None) -> Decimal | None:
    return None if seen is None else seen.best


def test_eight_values_of_reports_read_by_hand() -> None:
    with outside_file("weather/metar_truth.csv").open(encoding="utf-8", newline="") as file:
        rows = list(csv.DictReader(file))
    assert len(rows) == 23
    for row in rows:
        report = report_of(row["report"])
        said, wind = report.conditions, report.conditions.wind
        assert wind is not None
        direction = "VRB" if wind.is_variable else str(wind.direction_deg or 0)
        assert direction == row["wind_dir_deg"], row
        assert near(row["wind_kt"], wind.speed_kt.best, "0.005"), row
        assert near(row["gust_kt"], best(wind.gust_kt)), row
        assert near(row["vis_sm"], best(said.visibility.miles if said.visibility else None), "0.005"), row
        assert ((said.visibility.bound if said.visibility else None) is Bound.MORE) is (
            row["vis_qual"] == ">"
        ), row
        assert near(row["ceiling_ft_agl"], said.ceiling_ft), row
        assert near(row["temp_c"], best(report.temperature_degc)), row
        assert near(row["altimeter_inhg"], best(report.altimeter_inhg), "0.005"), row


def typed() -> list[dict[str, str]]:
    """The rows of our own file of typed reports."""
    with TYPED.open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


@pytest.mark.parametrize("row", typed(), ids=lambda row: row["report"][:10])
def test_reports_typed_off_public_pages(row: dict[str, str]) -> None:
    report = report_of(row["report"])
    said, wind = report.conditions, report.conditions.wind
    assert wind is not None
    assert near(row["direction"], wind.direction_deg)
    assert near(row["wind"], wind.speed_kt.best)
    assert near(row["gust"], best(wind.gust_kt))
    assert near(row["visibility"], best(said.visibility.miles if said.visibility else None))
    assert near(row["ceiling"], said.ceiling_ft)
    assert near(row["lowest"], said.lowest_base_ft)
    assert near(row["temperature"], best(report.temperature_degc))
    assert near(row["dew_point"], best(report.dew_point_degc))
    assert near(row["altimeter"], best(report.altimeter_inhg))


HANDBOOK: dict[str, tuple[str, str]] = {
    "R01L/0800FT": ("body", "Runway 01L: visual range 800 ft."),
    "R01L/0600V1000FT": ("body", "Runway 01L: visual range 600 to 1000 ft."),
    "R01L/M0600FT": ("body", "Runway 01L: visual range less than 600 ft."),
    "R27/P6000FT": ("body", "Runway 27: visual range more than 6000 ft."),
    "SCT015TCU": (
        "body",
        "Scattered clouds (3 to 4 eighths) at 1,500 ft above the airport, towering cumulus.",
    ),
    "04/M02": ("body", "Temperature 4 °C, dew point -2 °C."),
    "M1/4SM": ("body", "Visibility less than 1/4 statute mile."),
    "PK WND 28045/15": ("remark", "Peak wind from 280 degrees true at 45 kt."),
    "TWR VIS 1 1/2": ("remark", "Visibility 1 1/2 statute miles at the tower."),
    "VIS 1/2V2": ("remark", "Visibility varies between 1/2 statute mile and 2 statute miles."),
    "VIS NE 2 1/2": ("remark", "Visibility 2 1/2 statute miles to the NE."),
    "VIS 2 1/2 RWY11": ("remark", "Visibility 2 1/2 statute miles at a second sensor, runway 11."),
    "RAB05E30SNB20E55": ("remark", "When the weather began and ended."),
    "TSB0159E30": ("remark", "When the weather began and ended."),
    "FG SCT000": ("remark", "Sky obscured by fog: scattered clouds (3 to 4 eighths) at 0 ft."),
    "FU BKN020": ("remark", "Sky obscured by smoke: broken clouds (5 to 7 eighths) at 2,000 ft."),
    "BKN014 V OVC": ("remark", "Cloud cover varies: broken clouds (5 to 7 eighths) to overcast."),
    "SLP982": ("remark", "Sea-level pressure 998.2 hPa."),
    "60217": ("remark", "2.17 inches of rain in the last 3 or 6 hours."),
}
HALVES = {"00/..", "M00", "02/"}
"""Temperatures of which one half is told; M00 stands behind a stroke in a report."""


def test_the_handbooks_examples() -> None:
    with outside_file("weather/fmh1_1995_code_examples.csv").open(encoding="utf-8", newline="") as file:
        codes = [row["code"] for row in csv.DictReader(file)]
    assert set(codes) == HANDBOOK.keys() | HALVES
    for code in codes:
        if code in HANDBOOK:
            place, means = HANDBOOK[code]
            between = " RMK " if place == "remark" else " "
            report = report_of(f"METAR KABC 121855Z{between}{code}")
            assert (code, means) in [tuple(group) for group in report.groups]
            assert report.unread == ()
            assert report.plain_remarks == ""


@pytest.mark.parametrize(
    ("code", "temperature", "dew_point"),
    [
        ("00/..", Seen(Decimal(0), Decimal(0), Decimal("0.5")), None),
        ("02/", Seen(Decimal(2), Decimal("1.5"), Decimal("2.5")), None),
        (
            "01/M00",
            Seen(Decimal(1), Decimal("0.5"), Decimal("1.5")),
            Seen(Decimal(0), Decimal("-0.5"), Decimal(0)),
        ),
    ],
)
def test_half_degrees_of_the_handbook(code: str, temperature: Seen, dew_point: Seen | None) -> None:
    report = report_of(f"METAR KABC 121855Z {code}")
    assert report.temperature_degc == temperature
    assert report.dew_point_degc == dew_point


def outside_json(name: str) -> dict[str, Any]:
    """The values of a file of the library's test data."""
    values: dict[str, Any] = json.loads(outside_file(f"weather/{name}.json").read_text(encoding="utf-8"))[
        "data"
    ]
    return values


@pytest.mark.parametrize("station", STATIONS)
def test_reports_as_a_library_reads_them(station: str) -> None:
    """Its temperatures to the tenth are left out: it takes those of the older report behind the first."""
    theirs = outside_json(station)
    report = read_report(pieces(theirs["raw"])[0])
    said, wind = report.conditions, report.conditions.wind
    assert wind is not None
    assert report.station == theirs["station"]
    assert wind.direction_deg == theirs["wind_direction"]["value"]
    assert wind.speed_kt.best == theirs["wind_speed"]["value"]
    assert [(layer.cover.value, layer.base_ft) for layer in said.layers] == [
        (cloud["type"], cloud["base"] * 100) for cloud in theirs["clouds"]
    ]
    assert report.temperature_degc is not None
    assert report.temperature_degc.best == theirs["temperature"]["value"]
    assert report.dew_point_degc is not None
    assert report.dew_point_degc.best == theirs["dewpoint"]["value"]
    issued = datetime.fromisoformat(theirs["time"]["dt"])
    assert report.issued is not None
    assert instant_near(report.issued, issued + timedelta(days=3)) == issued
    assert report.unread == ()


def test_reports_behind_one_another_are_each_read() -> None:
    assert len(pieces(outside_json("EGLL")["raw"])) == 4
    assert len(pieces(outside_json("KJFK")["raw"])) == 2


@pytest.mark.parametrize("station", STATIONS)
def test_forecasts_as_a_library_reads_them(station: str) -> None:
    theirs = outside_json(f"taf_{station}")
    forecast = forecast_of(theirs["raw"])
    assert forecast.unread == ()
    assert len(forecast.parts) == len(theirs["forecast"])
    for part, other in zip(forecast.parts, theirs["forecast"], strict=True):
        said, wind = part.conditions, part.conditions.wind
        assert near(
            "" if other["wind_speed"] is None else str(other["wind_speed"]["value"]),
            wind and wind.speed_kt.best,
        )
        assert [(layer.cover.value, layer.base_ft) for layer in said.layers] == [
            (cloud["type"], cloud["base"] * 100) for cloud in other["clouds"]
        ]
        start = datetime.fromisoformat(other["start_time"]["dt"])
        if part.start is not None and part.start.minute == 0:
            assert instant_near(part.start, start) == start
        if part.end is not None:
            assert instant_near(part.end, start) == datetime.fromisoformat(other["end_time"]["dt"])


def test_the_supplements_forecast_runs_to_the_end_of_a_day() -> None:
    forecast = forecast_of(
        "TAF KMEM 121720Z 1218/1324 20012KT 5SM HZ BKN030 PROB40 1220/1222 1SM TSRA OVC008CB FM122200 33015G20KT P6SM "
        "BKN015 OVC025 PROB40 1220/1222 1SM TSRA OVC008CB"
    )
    assert forecast.valid_until is not None
    assert instant_near(forecast.valid_until, DAY) == datetime(2026, 12, 14, tzinfo=UTC)
    late = expected_at(forecast, datetime(2026, 12, 13, 23, 59, tzinfo=UTC))
    assert late is not None
    assert late.main.ceiling_ft == 1500
    assert late.main.visibility is not None
    assert late.main.visibility.bound is Bound.MORE
    assert expected_at(forecast, datetime(2026, 12, 14, tzinfo=UTC)) is None
    storm = expected_at(forecast, datetime(2026, 12, 12, 21, tzinfo=UTC))
    assert storm is not None
    assert {(word, one.ceiling_ft) for word, one in storm.possible} == {("PROB40", 800)}


def test_what_follows_from_the_supplements_reports() -> None:
    texts = {row["report"][:10]: row["report"] for row in typed()}
    (below,) = weather_of(texts["SPECI KMDW"], FlightPlanned(DAY)).answers
    assert {point.about: point.verdict for point in below.points}["visibility"] is Verdict.NOT_MET
    assert below.highest_ft == 200
    (under,) = weather_of(texts["METAR KLAX"], FlightPlanned(DAY)).answers
    assert under.highest_ft == 200


@pytest.mark.parametrize(("ceiling", "highest"), [("007", 200), ("008", 300), ("010", 400), ("012", 400)])
def test_height_under_a_ceiling_as_courses_teach_it(ceiling: str, highest: int) -> None:
    (answer,) = weather_of(f"METAR KABC 121855Z 10SM OVC{ceiling}", FlightPlanned(DAY)).answers
    assert answer.highest_ft == highest
