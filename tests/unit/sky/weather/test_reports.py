"""Reports with odd, missing and impossible groups; nothing is guessed, nothing crashes."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.sky.weather import FlightPlanned, weather_of
from airwrit.answers.sky.weather_json import weather_json
from airwrit.sky.weather.forecast import Forecast, expected_at, read_forecast
from airwrit.sky.weather.oddities import Oddity, oddities
from airwrit.sky.weather.report import WeatherReport, read_report
from airwrit.sky.weather.texts import pieces
from airwrit.sky.weather.times import DayTime, day_time, instant_near
from airwrit.sky.weather.values import Bound, Cover
from airwrit.sky.weather.visibility import miles_words

AT = datetime(2026, 12, 12, 19, 30, tzinfo=UTC)


def report_of(body: str) -> WeatherReport:
    (piece,) = pieces(f"METAR KABC 121855Z {body}")
    return read_report(piece)


def forecast_of(body: str) -> Forecast:
    (piece,) = pieces(f"TAF KABC 121720Z 1218/1324 {body}")
    return read_forecast(piece)


@pytest.mark.parametrize(
    ("group", "miles", "bound"),
    [
        ("3SM", "3", Bound.EXACT),
        ("1 1/2SM", "1.5", Bound.EXACT),
        ("1 1/2 SM", "1.5", Bound.EXACT),
        ("10 SM", "10", Bound.EXACT),
        ("M1/4SM", "0.25", Bound.LESS),
        ("P6SM", "6", Bound.MORE),
        ("0SM", "0", Bound.EXACT),
        ("15/16SM", "0.9375", Bound.EXACT),
    ],
)
def test_visibility_in_miles(group: str, miles: str, bound: Bound) -> None:
    seen = report_of(group).conditions.visibility
    assert seen is not None
    assert (seen.miles.best, seen.bound) == (Decimal(miles), bound)
    assert seen.miles.low <= seen.miles.best


@pytest.mark.parametrize(
    "group", ["1/0SM", "5/4SM", "11/2SM", "1/3SM", "////SM", "////", "3", "SM", "-1SM", "1E3SM"]
)
def test_visibility_that_is_not_read(group: str) -> None:
    report = report_of(group)
    assert report.conditions.visibility is None
    assert report.unread


def test_an_automated_station_sees_no_farther_than_10() -> None:
    person, station = report_of("10SM").conditions.visibility, report_of("AUTO 10SM").conditions.visibility
    assert person is not None
    assert station is not None
    assert person.miles.high is not None
    assert station.miles.high is None


def test_the_lower_visibility_counts() -> None:
    assert lowest("5SM RMK VIS 1V5") == 1
    assert lowest("5SM RMK VIS NE 2 1/2") == Decimal("2.5")
    assert lowest("5000 2000SW") == lowest("2000")
    assert lowest("5SM 2SM") == 2


def lowest(body: str) -> Decimal | None:
    seen = report_of(body).lowest_visibility
    return None if seen is None else seen.best


@pytest.mark.parametrize(
    ("group", "direction", "speed", "gust"),
    [
        ("22015G25KT", 220, "15", "25"),
        ("VRB03KT", None, "3", None),
        ("00000KT", None, "0", None),
        ("360P99KT", 360, "99", None),
        ("///12KT", None, "12", None),
        ("27105KTS", 271, "5", None),
    ],
)
def test_wind(group: str, direction: int | None, speed: str, gust: str | None) -> None:
    wind = report_of(group).conditions.wind
    assert wind is not None
    assert (wind.direction_deg, wind.speed_kt.best) == (direction, Decimal(speed))
    assert (wind.gust_kt and wind.gust_kt.best) == (gust and Decimal(gust))


@pytest.mark.parametrize("group", ["37010KT", "/////KT", "22015", "22015G", "ABCDEKT", "2201KT", "220//KT"])
def test_wind_that_is_not_read(group: str) -> None:
    report = report_of(group)
    assert report.conditions.wind is None
    assert report.unread


def test_the_stronger_of_two_winds_counts() -> None:
    wind = report_of("22005KT 24030KT").conditions.wind
    assert wind is not None
    assert wind.speed_kt.best == 30


@pytest.mark.parametrize(
    ("groups", "ceiling", "lowest_base", "is_told"),
    [
        ("FEW007 BKN020", 2000, 700, True),
        ("SCT150", None, 15000, True),
        ("VV002", 200, 200, True),
        ("VV///", None, None, False),
        ("OVC///", None, None, False),
        ("BKN008 OVC///", 800, 800, True),
        ("///015", None, 1500, False),
        ("//////", None, None, False),
        ("CLR", None, None, True),
        ("NCD", None, None, True),
        ("CAVOK", None, None, True),
        ("", None, None, False),
        ("OVC", None, None, False),
        ("SCT000", None, 0, True),
    ],
)
def test_clouds(groups: str, ceiling: int | None, lowest_base: int | None, is_told: bool) -> None:
    said = report_of(groups).conditions
    assert (said.ceiling_ft, said.lowest_base_ft, said.is_ceiling_told) == (ceiling, lowest_base, is_told)


def test_kinds_of_clouds() -> None:
    layers = report_of("FEW020CB SCT030TCU BKN040///").conditions.layers
    assert [(layer.cover, layer.kind) for layer in layers] == [
        (Cover.FEW, "CB"),
        (Cover.SCATTERED, "TCU"),
        (Cover.BROKEN, ""),
    ]


@pytest.mark.parametrize(
    ("group", "means"),
    [
        ("-SHRA", "Light showers of rain."),
        ("+TSRAGR", "Heavy thunderstorm with rain and hail."),
        ("VCTS", "Nearby: thunderstorm."),
        ("FZFG", "Freezing fog."),
        ("VCBLSN", "Nearby: blowing snow."),
        ("RERA", "Recently ended: rain."),
        ("NSW", "No significant weather."),
    ],
)
def test_weather(group: str, means: str) -> None:
    assert (group, means) in [tuple(one) for one in report_of(group).groups]


@pytest.mark.parametrize(
    ("body", "odd"),
    [
        ("10/12", Oddity.DEW_POINT_ABOVE),
        ("22015G10KT", Oddity.GUST_BELOW),
        ("22025G35KT RMK PK WND 22020/15", Oddity.PEAK_BELOW),
        ("22/22 RMK T02270215", Oddity.TENTHS_DIFFER),
        ("BKN040 SCT010", Oddity.LAYERS_OUT_OF_ORDER),
        ("00000KT 240V300", Oddity.WIND_FROM_NOWHERE),
        ("CAVOK BKN010", Oddity.CAVOK_WITH_CLOUDS),
        ("5000 2000SW", Oddity.VISIBILITY_LESS_TOWARD),
    ],
)
def test_what_does_not_fit_together_is_said(body: str, odd: Oddity) -> None:
    assert oddities(report_of(body)) == (odd,)


def test_a_whole_report_has_nothing_odd() -> None:
    report = report_of("22015G25KT 10SM FEW020 BKN040 18/16 A2992 RMK AO2 T01820159")
    assert oddities(report) == ()
    assert report.unread == ()


def test_a_trend_is_read_and_kept_apart() -> None:
    report = report_of("22005KT 9999 NSC 18/16 Q1013 TEMPO 24030G45KT 1500 TSRA BKN005")
    assert report.conditions.visibility is not None
    (trend,) = report.trends
    assert trend.conditions.ceiling_ft == 500
    assert report.conditions.ceiling_ft is None


def test_no_report_and_a_correction() -> None:
    assert report_of("NIL").is_missing
    assert report_of("COR 22005KT").is_corrected
    assert report_of("CCA 22005KT").is_corrected


def test_what_is_not_understood_is_listed_as_it_was_written() -> None:
    report = report_of("22005KT FOO 10SM B@R A2992")
    assert [group.text for group in report.unread] == ["FOO", "B@R"]


@pytest.mark.parametrize("body", ["A0000", "Q0100", "A9999"])
def test_an_altimeter_that_cant_be(body: str) -> None:
    assert report_of(body).altimeter_inhg is None


def test_a_forecast_over_the_end_of_a_month() -> None:
    (piece,) = pieces(
        "TAF KABC 311720Z 3118/0124 22005KT P6SM SKC BECMG 3123/0101 2SM BR TEMPO 0122/0124 1/2SM FG"
    )
    forecast = read_forecast(piece)
    new_year = expected_at(forecast, datetime(2027, 1, 1, 12, tzinfo=UTC))
    assert new_year is not None
    assert new_year.main.visibility is not None
    assert new_year.main.visibility.miles.best == 2
    assert new_year.main.sky == "SKC"
    late = expected_at(forecast, datetime(2027, 1, 1, 23, 59, tzinfo=UTC))
    assert late is not None
    assert [word for word, _ in late.possible] == ["TEMPO"]
    assert expected_at(forecast, datetime(2027, 1, 2, tzinfo=UTC)) is None


def test_parts_without_a_readable_time_may_hold_at_any_time() -> None:
    forecast = forecast_of("22005KT P6SM SKC FM2200 24030KT 1SM OVC002 TEMPO 1/2SM FG")
    expected = expected_at(forecast, AT)
    assert expected is not None
    assert {word for word, _ in expected.possible} == {"FM", "TEMPO"}
    assert [group.text for group in forecast.unread] == ["FM2200"]


def test_a_chance_with_short_times() -> None:
    forecast = forecast_of("22005KT P6SM SKC PROB30 TEMPO 1219/1221 1SM TSRA")
    assert [part.word for part in forecast.parts] == ["", "PROB30 TEMPO"]


@pytest.mark.parametrize(("body", "is_missing", "is_canceled"), [("NIL", True, False), ("CNL", False, True)])
def test_no_forecast(body: str, is_missing: bool, is_canceled: bool) -> None:
    forecast = forecast_of(body)
    assert (forecast.is_missing, forecast.is_canceled) == (is_missing, is_canceled)
    assert expected_at(forecast, AT) is None


def test_instants_of_days_of_the_month() -> None:
    assert instant_near(DayTime(31, 23, 50), datetime(2027, 1, 1, 0, 10, tzinfo=UTC)) == datetime(
        2026, 12, 31, 23, 50, tzinfo=UTC
    )
    assert instant_near(DayTime(30, 0, 0), datetime(2026, 2, 15, tzinfo=UTC)) == datetime(
        2026, 1, 30, tzinfo=UTC
    )
    assert instant_near(DayTime(13, 24, 0), AT) == datetime(2026, 12, 14, tzinfo=UTC)
    assert day_time("3224") is None
    assert day_time("1225") is None
    assert day_time("122401") is None


def test_miles_as_people_say_them() -> None:
    said = [miles_words(Decimal(text)) for text in ("0.75", "1", "1.5", "3", "6.2137", "0.0625", "30")]
    assert said == [
        "3/4 statute mile",
        "1 statute mile",
        "1 1/2 statute miles",
        "3 statute miles",
        "6.21 statute miles",
        "1/16 statute mile",
        "30 statute miles",
    ]


@pytest.mark.parametrize("body", ["1/2 FG OVC002", "2992", "1013", "0375", "3"])
def test_figures_without_their_unit_are_no_value(body: str) -> None:
    report = report_of(body)
    assert report.conditions.visibility is None
    assert report.temperature_degc is None
    assert report.altimeter_inhg is None


@pytest.mark.parametrize(
    "body",
    [
        "WS R24L",
        "WS ALL RWY",
        "W15/S2",
        "GRN",
        "YLO2",
        "BLACKRED",
        "R24/CLRD70",
        "R06L/590240",
        "88290592",
        "R24L/1100VP1500U",
        "R09/0800FTN",
    ],
)
def test_groups_that_bear_on_no_limit_are_read_all_the_same(body: str) -> None:
    report = report_of(body)
    assert report.unread == ()
    assert report.conditions.visibility is None


@pytest.mark.parametrize("body", ["/////", "///////", "//"])
def test_slashes_are_missing_groups(body: str) -> None:
    (unread,) = report_of(body).unread
    assert unread.why == "Missing. The report has slashes here."


def test_plain_language_ends_a_forecast() -> None:
    forecast = forecast_of("22005KT P6SM SKC AMD NOT SKED")
    assert forecast.unread == ()
    assert forecast.plain_remarks == "AMD NOT SKED"
    assert forecast_of("22005KT P6SM SKC RMK HELLO").plain_remarks == "HELLO"


def test_a_bulletin_is_taken_apart() -> None:
    text = (
        "SAUS70 KWBC 121900\nMETAR KABC 121855Z 22005KT\n     10SM=\n"
        "SPECI KXYZ 121857Z 3SM\nTAF AMD KABC 121720Z 1218/1324 P6SM="
    )
    assert [piece.text.split()[0] for piece in pieces(text)] == ["SAUS70", "METAR", "SPECI", "TAF"]
    assert [piece.is_forecast for piece in pieces(text)] == [False, False, False, True]


WORDS = st.sampled_from(Path(__file__).with_name("signs.txt").read_text(encoding="utf-8").split())


@given(st.lists(WORDS | st.text(max_size=6), max_size=40).map(" ".join))
def test_any_words_are_read_or_listed(text: str) -> None:
    weather = weather_of(text, FlightPlanned(AT, height_ft=Decimal(100), elevation_ft=Decimal(5000)))
    document = weather_json(weather, FlightPlanned(AT))
    for report in document["reports"]:
        kept = " ".join(group["text"] for group in (*report["groups"], *report["unread"]))
        assert report["kind"] == "TAF" or all(
            sign in kept
            or sign in report["plain_remarks"]
            or sign in report["text"].split()[:4]
            or sign == "RMK"
            for sign in report["text"].split()
        )


@given(st.binary(max_size=200))
def test_random_bytes_never_crash(noise: bytes) -> None:
    text = noise.decode("utf-8", errors="replace")
    told = weather_json(weather_of(text, FlightPlanned(AT)), FlightPlanned(AT))
    assert told["verdict"] != "met"


@given(
    st.integers(0, 20_000_000).map(
        lambda minutes: datetime(2000, 1, 1, tzinfo=UTC) + timedelta(minutes=minutes)
    ),
    st.integers(-9, 9),
)
def test_a_report_of_the_last_days_is_put_on_its_day(at: datetime, days: int) -> None:
    made = at + timedelta(days=days)
    near = instant_near(DayTime(made.day, made.hour, made.minute), at)
    assert near == made
