"""Light and weather on the page: the form, the answer, its twin, and what is refused at its field."""

from __future__ import annotations

import html

import pytest

from tests.unit.web.conftest import Visitor, own_fields

REPORT = "METAR KABC 251655Z 22015G25KT 2SM FOO OVC007 10/12 A2992"


def test_light_of_a_place_on_the_day_shown(visitor: Visitor) -> None:
    query = {"place": "40.0150, -105.2705", "on": "2026-12-01"}
    page = visitor().get("/daylight", params=query)
    assert page.status_code == 200
    assert "Sunrise 7:04 AM MST, sunset 4:36 PM MST." in page.text
    assert "00:06 UTC Dec 2" in page.text
    document = visitor().get("/daylight.json", params=query).json()
    assert document["days"][0]["sunrise"] == ["07:04"]


def test_light_at_a_time_and_over_a_year(visitor: Visitor) -> None:
    query = {"place": "40.0150, -105.2705", "on": "2026-12-01", "time": "16:50", "year": "yes"}
    page = visitor().get("/daylight", params=query).text
    assert "4:50 PM MST: Civil twilight." in page
    half = visitor().get("/daylight", params={**query, "time": "4:50 pm", "year": ""}).text
    assert "4:50 PM MST: Civil twilight." in half
    assert page.count('<tr><th scope="row"><time') == 365
    close = visitor().get("/daylight", params={**query, "time": "16:36"}).text
    assert "too close to call" in close


def test_light_in_the_polar_night(visitor: Visitor) -> None:
    page = visitor().get("/daylight", params={"place": "71.2833, -156.7833", "on": "2026-12-21"}).text
    assert "The sun doesn't rise on this day." in html.unescape(page)
    assert "Air Almanac" in page


@pytest.mark.parametrize(
    ("query", "field", "says"),
    [
        ({"place": "-105.27, 40"}, "place", "Latitude comes first."),
        ({"place": "40, -105", "zone": "Nowhere"}, "zone", "time zone is named"),
        ({"place": "40, -105", "time": "13:00 PM"}, "time", "what time?"),
    ],
)
def test_light_that_cant_be_told(visitor: Visitor, query: dict[str, str], field: str, says: str) -> None:
    page = visitor().get("/daylight", params=query)
    assert page.status_code == 422
    assert f'href="#f-{field}"' in page.text
    assert says in html.unescape(page.text)
    assert visitor().get("/daylight.json", params=query).json()["wrong"]


def test_weather_of_a_form_and_its_twin(visitor: Visitor) -> None:
    client = visitor()
    fields = {**own_fields(client.get("/weather").text), "report": REPORT, "wind_limit": "12 m/s", "saw": "2"}
    page = client.post("/weather", data={**fields, "when": "2026-11-25T17:05Z"})
    text = html.unescape(page.text)
    assert page.status_code == 200
    assert "The report is 10 minutes old." in text
    assert "Visibility 2 statute miles. That is below the minimum of 3 statute miles." in text
    assert "Couldn't read FOO." in text
    assert "The dew point is above the temperature." in text
    assert "above the wind limit of 23.33 kt" in text
    document = client.get("/weather.json", params={"report": REPORT}).json()
    assert document["reports"][0]["visibility_sm"] == 2.0
    assert document["reports"][0]["ceiling_ft_agl"] == 700


def test_weather_of_a_forecast_has_its_parts(visitor: Visitor) -> None:
    report = "TAF KABC 251720Z 2518/2624 22005KT P6SM SKC TEMPO 2519/2521 1SM TSRA OVC003CB"
    page = visitor().get("/weather", params={"report": report, "when": "2026-11-25T19:30Z"}).text
    assert "TEMPO 2519/2521 1SM TSRA OVC003CB" in page
    assert "At times: Visibility 1 statute mile." in page


@pytest.mark.parametrize(
    ("query", "field", "says"),
    [
        ({"report": "hello"}, "report", "no METAR or TAF in it."),
        ({"report": REPORT, "when": "soon"}, "when", "time with its zone"),
        ({"report": REPORT, "height": "high"}, "height", "isn't a plain number."),
        ({"report": REPORT, "station": "1,2,3"}, "station", "isn't a latitude and longitude"),
    ],
)
def test_weather_that_cant_be_read(visitor: Visitor, query: dict[str, str], field: str, says: str) -> None:
    page = visitor().get("/weather", params=query)
    assert page.status_code == 422
    assert f'href="#f-{field}"' in page.text
    assert says in html.unescape(page.text)


def test_users_text_stays_text(visitor: Visitor) -> None:
    page = visitor().get("/weather", params={"report": f"{REPORT} <script>alert(1)</script>"}).text
    assert "<script>alert" not in page.replace("<SCRIPT>", "<script>")
