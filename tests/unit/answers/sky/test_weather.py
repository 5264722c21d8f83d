"""What a report means for a flight: each side of every limit, age, distance, and that it never says yes for the pilot."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime, timedelta
from decimal import Decimal

import pytest

from airwrit.answers.sky.weather import FlightPlanned, WeatherAnswer, weather_of
from airwrit.answers.sky.weather_json import facts_to_confirm, weather_facts, weather_json
from airwrit.answers.sky.weather_words import headline
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict

AT = datetime(2026, 12, 12, 19, 10, tzinfo=UTC)
FLIGHT = FlightPlanned(AT)
MET, NOT_MET, UNKNOWN = Verdict.MET, Verdict.NOT_MET, Verdict.UNKNOWN


def answer_to(body: str, flight: FlightPlanned = FLIGHT) -> WeatherAnswer:
    (answer,) = weather_of(f"METAR KABC 121855Z {body}", flight).answers
    return answer


def verdict(answer: WeatherAnswer, about: str) -> tuple[str, Verdict]:
    (point,) = [one for one in answer.points if one.about == about]
    return point.code, point.verdict


@pytest.mark.parametrize(
    ("body", "code", "expected"),
    [
        ("10SM", "far_enough", MET),
        ("4SM", "far_enough", MET),
        ("3SM", "too_close", UNKNOWN),
        ("2 1/2SM", "too_low", NOT_MET),
        ("M1/4SM", "too_low", NOT_MET),
        ("P6SM", "far_enough", MET),
        ("5SM RMK VIS 1V5", "too_low", NOT_MET),
        ("CAVOK", "far_enough", MET),
        ("4800", "too_low", NOT_MET),
        ("4900", "far_enough", MET),
        ("1/0SM", "missing", UNKNOWN),
        ("", "missing", UNKNOWN),
    ],
)
def test_visibility_of_the_report(body: str, code: str, expected: Verdict) -> None:
    assert verdict(answer_to(body), "visibility") == (code, expected)


def test_a_report_alone_is_never_a_yes() -> None:
    body = "22005KT 10SM CLR 18/10 A2992"
    assert answer_to(body).verdict is UNKNOWN
    assert answer_to(body, replace(FLIGHT, saw_sm=Decimal(3))).verdict is MET
    assert answer_to(body, replace(FLIGHT, saw_sm=Decimal("2.9"))).verdict is NOT_MET


@pytest.mark.parametrize(
    ("clouds", "height", "code", "expected", "highest"),
    [
        ("OVC005", None, "no_room", NOT_MET, 0),
        ("OVC004", "50", "no_room", NOT_MET, 0),
        ("OVC007", None, "highest", UNKNOWN, 200),
        ("OVC009", None, "highest", UNKNOWN, 400),
        ("OVC010", None, "limit", MET, 400),
        ("SCT007 BKN050", "150", "fits", MET, 200),
        ("FEW007", "151", "too_close", UNKNOWN, 200),
        ("FEW007", "250", "too_close", UNKNOWN, 200),
        ("FEW007", "251", "too_high", NOT_MET, 200),
        ("SKC", None, "none", MET, 400),
        ("VV///", None, "missing", UNKNOWN, None),
        ("", "100", "missing", UNKNOWN, None),
    ],
)
def test_room_under_the_clouds(
    clouds: str, height: str | None, code: str, expected: Verdict, highest: int | None
) -> None:
    flight = replace(FLIGHT, height_ft=None if height is None else Decimal(height))
    found = answer_to(f"10SM {clouds}", flight)
    assert verdict(found, "clouds") == (code, expected)
    assert found.highest_ft == highest


@pytest.mark.parametrize(
    ("body", "code"),
    [("22005KT 10SM FOO CLR 18/10 A2992", "unread"), ("22015G10KT 10SM CLR 18/10 A2992", "odd")],
)
def test_a_report_not_read_whole_is_never_a_yes(body: str, code: str) -> None:
    flight = replace(FLIGHT, saw_sm=Decimal(10), wind_limit_kt=Decimal(30))
    found = answer_to(body, flight)
    assert verdict(found, "whole") == (code, UNKNOWN)
    assert found.verdict is UNKNOWN
    assert answer_to("22005KT 10SM CLR 18/10 A2992", flight).verdict is MET


def test_a_site_above_the_airport_has_less_room() -> None:
    flight = replace(FLIGHT, elevation_ft=Decimal(1300), station_elevation_ft=Decimal(1000))
    assert answer_to("OVC010", flight).highest_ft == 200


@pytest.mark.parametrize(
    ("body", "limit", "code", "expected"),
    [
        ("22015G25KT", "26", "within", MET),
        ("22015G25KT", "25", "too_close", UNKNOWN),
        ("22015G25KT", "24.9", "above", NOT_MET),
        ("22010MPS", "19", "above", NOT_MET),
        ("00000KT", "10", "within", MET),
        ("22005KT RMK PK WND 22030/50", "25", "above", NOT_MET),
        ("/////KT", "25", "missing", UNKNOWN),
        ("22015KT", None, "no_limit", Verdict.NOT_APPLICABLE),
    ],
)
def test_wind_against_the_aircrafts_limit(body: str, limit: str | None, code: str, expected: Verdict) -> None:
    flight = replace(FLIGHT, wind_limit_kt=None if limit is None else Decimal(limit))
    assert verdict(answer_to(body, flight), "wind") == (code, expected)


@pytest.mark.parametrize(
    ("at", "code", "says"),
    [
        (AT, "fresh", "The report is 15 minutes old."),
        (AT + timedelta(minutes=45), "fresh", "The report is 60 minutes old."),
        (AT + timedelta(minutes=46), "old", "The report is 61 minutes old. Get a newer report."),
        (AT - timedelta(minutes=19), "fresh", "The report is 0 minutes old."),
        (
            AT - timedelta(hours=2),
            "future",
            "The report is dated 105 minutes in the future. Check the date and your clock.",
        ),
        (AT + timedelta(days=4), "old", "The report is 4 days old. Get a newer report."),
    ],
)
def test_age(at: datetime, code: str, says: str) -> None:
    (point,) = [one for one in answer_to("10SM", FlightPlanned(at)).points if one.about == "age"]
    assert (point.code, point.says) == (code, says)


def test_distance_and_density_altitude() -> None:
    flight = replace(
        FLIGHT, place=Place(40.0, -105.3), station=Place(40.0, -105.0), elevation_ft=Decimal(5000)
    )
    found = answer_to("35/10 A2945", flight)
    assert found.distance_sm is not None
    assert abs(found.distance_sm - Decimal("15.88")) < Decimal("0.05")
    assert found.air is not None
    assert found.air.density_ft == Decimal("9182.8")
    assert verdict(answer_to("A2945", flight), "air") == ("missing", Verdict.NOT_APPLICABLE)


def test_the_worst_of_what_a_forecast_leaves_open_counts() -> None:
    text = "TAF KABC 121720Z 1218/1324 22005KT P6SM SKC TEMPO 1219/1221 24030G45KT 1SM OVC003"
    flight = replace(FLIGHT, wind_limit_kt=Decimal(25))
    (answer,) = weather_of(text, flight).answers
    verdicts = {point.about: point for point in answer.points}
    assert {about: verdicts[about].verdict for about in ("visibility", "clouds", "wind")} == dict.fromkeys(
        ("visibility", "clouds", "wind"), NOT_MET
    )
    assert verdicts["visibility"].says.startswith("At times: ")
    assert answer.highest_ft == 0


@pytest.mark.parametrize(
    ("at", "code"),
    [
        ("2026-12-12T17:59Z", "not_yet"),
        ("2026-12-12T18:00Z", "holds"),
        ("2026-12-13T23:59Z", "holds"),
        ("2026-12-14T00:00Z", "over"),
    ],
)
def test_when_a_forecast_holds(at: str, code: str) -> None:
    flight = FlightPlanned(datetime.fromisoformat(at))
    (answer,) = weather_of("TAF KABC 121720Z 1218/1324 22005KT P6SM SKC", flight).answers
    assert answer.points[0].code == code
    assert answer.verdict is UNKNOWN


def test_facts_of_a_flight() -> None:
    flight = replace(FLIGHT, height_ft=Decimal(150), saw_sm=Decimal(5))
    answers = weather_of("METAR KABC 121855Z 3500 OVC007", flight).answers
    assert weather_facts(answers, flight) == {"metar_visibility_sm": "2.17", "flight_visibility_sm": "5"}
    assert facts_to_confirm(answers, flight)["below_clouds_ft"][0] == "500"
    assert facts_to_confirm(answers, FLIGHT) == {}


def test_a_day_whose_law_was_not_read() -> None:
    flight = FlightPlanned(datetime(2013, 12, 12, 19, 10, tzinfo=UTC), saw_sm=Decimal(10))
    weather = weather_of("METAR KABC 121855Z 22005KT 10SM CLR", flight)
    assert weather.answers[0].limits is None
    assert weather_json(weather, flight)["law"] == []
    assert weather.answers[0].verdict is UNKNOWN


def test_what_is_no_report_is_told() -> None:
    weather = weather_of("SAUS70 KWBC 121900 METAR KABC 121855Z 10SM", FLIGHT)
    assert weather.strange == ("SAUS70 KWBC 121900",)
    assert weather_json(weather, FLIGHT)["problems"][0]["says"] == "Not a report: SAUS70 KWBC 121900"
    assert date(2026, 12, 12) == AT.date()


@pytest.mark.parametrize(
    ("text", "auto"),
    [
        ("METAR KABC 121855Z AUTO 27010KT 10SM CLR 10/05 A3000 RMK AO2", True),
        # AO2 names the kind of station. A report that somebody looked over has it too, and no AUTO.
        ("METAR KABC 121855Z 27010KT 10SM CLR 10/05 A3000 RMK AO2", False),
        ("METAR KABC 121855Z RTD 27010KT 10SM CLR 10/05 A3000", False),
    ],
)
def test_auto_is_what_the_report_says(text: str, auto: bool) -> None:
    weather = weather_of(text, FLIGHT)
    report = weather_json(weather, FLIGHT)["reports"][0]
    assert report["auto"] is auto
    assert report["unread"] == []


@pytest.mark.parametrize(
    ("body", "saw", "says"),
    [
        ("22005KT 10SM CLR 18/10 A2992", "3", "OK, based on this report and what you see."),
        ("22005KT 2SM OVC007 18/10 A2992", "4", "Not OK because of visibility, based on this report."),
        ("22005KT 10SM CLR 18/10 A2992", "", "Can't tell yet. What is unclear: what you see."),
        ("22005KT 3SM CLR 18/10 A2992", "", "Can't tell yet. What is unclear: visibility and what you see."),
        ("NIL", "", "Can't tell yet. What is unclear: the report itself."),
    ],
)
def test_the_whole_in_a_sentence(body: str, saw: str, says: str) -> None:
    flight = replace(FLIGHT, saw_sm=Decimal(saw) if saw else None)
    weather = weather_of(f"METAR KABC 121855Z {body}", flight)
    assert headline(weather.answers) == says
    assert weather_json(weather, flight)["says"] == says


def test_without_a_report_there_is_nothing_to_say() -> None:
    for text in ("", "hello"):
        weather = weather_of(text, FLIGHT)
        assert weather_json(weather, FLIGHT)["says"] == "Can't tell yet. There is no report to read."


def test_the_whole_of_a_forecast_and_a_canceled_one_in_a_sentence() -> None:
    for body in ("1218/1324 22005KT P6SM SKC", "1218/1324 CNL", "NIL"):
        said = headline(weather_of(f"TAF KABC 121720Z {body}", FLIGHT).answers)
        assert said.startswith("Can't tell yet. What is unclear: ")
