"""After a flight on the page: the log, its questions as fields, columns of a table, the answer drawn, the flight logged."""

from __future__ import annotations

import html
import json
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.answers.after_flight.log_columns import FOLDER
from tests.unit.cli.place.bad_logs import BAD
from tests.unit.web.conftest import Visitor, own_fields

STARTS = datetime(2026, 11, 24, 16, 12, tzinfo=UTC)


def heights() -> list[float]:
    """Meters above the takeoff, second by second: on the ground, up to 80 m, for some seconds to 152 m, and down."""
    up = [min(80.0, 4.0 * at) for at in range(40)]
    peak = [80 + max(0.0, 72 - abs(at - 15) * 4.8) for at in range(30)]
    return [0.0] * 20 + up + peak + [80.0] * 60 + up[::-1] + [0.0] * 15


def gpx(starts: datetime = STARTS) -> bytes:
    """A log of that flight."""
    points = "".join(
        f'<trkpt lat="42.505" lon="{-107.016 + at * 1e-5:.6f}"><ele>{2100 + height:.2f}</ele>'
        f"<time>{starts + timedelta(seconds=at):%Y-%m-%dT%H:%M:%SZ}</time></trkpt>"
        for at, height in enumerate(heights())
    )
    head = '<?xml version="1.0"?><gpx version="1.1" creator="made" xmlns="http://www.topografix.com/GPX/1/1">'
    return f"{head}<trk><trkseg>{points}</trkseg></trk></gpx>".encode()


def table() -> bytes:
    """The same as a table whose headings leave the unit and the reference of the height open."""
    rows = "".join(
        f"{STARTS + timedelta(seconds=at):%Y-%m-%dT%H:%M:%SZ},42.505,{-107.016 + at * 1e-5:.6f},{height:.2f}\n"
        for at, height in enumerate(heights())
    )
    return f"time,latitude,longitude,height\n{rows}".encode()


def sent(client: TestClient, name: str, data: bytes, **told: str) -> str:
    """The page of a log that was sent."""
    form = client.get("/after-flight").text
    answer = client.post("/after-flight", data={**own_fields(form), **told}, files={"log": (name, data)})
    assert answer.status_code == 303, answer.text[-400:]
    return str(answer.headers["location"])


def test_a_log_is_answered_with_pictures_and_its_intervals(visitor: Visitor) -> None:
    client = visitor()
    page = sent(client, "flight.bin", gpx(), heights_from="sea_level", level="3 m")
    text = html.unescape(client.get(page).text)
    assert "The flight went past 1 limit. The aircraft climbed to 498" in text.replace("</b>", "")
    for drawn in ('class="map"', 'class="profile"', 'class="strip"', "limit, 400 ft above ground"):
        assert drawn in text
    assert "9:13:3" in text, "the clock of the place, in daylight-saving time or out of it"
    assert "What no flight log can show" in text
    assert '<a href="#i1">no. 1</a>' in text
    assert 'id="i1"' in text
    twin = client.get(page.replace("?", ".json?", 1)).json()
    assert twin["whole"] == "past_limits"
    assert twin["log"]["format"] == "gpx"


def test_what_the_log_leaves_open_is_asked(visitor: Visitor) -> None:
    client = visitor()
    text = client.get(sent(client, "flight.gpx", gpx())).text
    assert "What are the heights measured from?" in text
    assert 'name="heights_from"' in text


def test_the_columns_of_a_table_are_asked_once(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    page = sent(client, "flight.csv", table())
    text = html.unescape(client.get(page).text)
    assert "What unit is the column height in?" in text
    tray = page.partition("tray=")[2]
    columns = {
        f"column{at}{part}": value
        for at, row in enumerate(
            (
                ("time", "time", "iso", ""),
                ("latitude", "latitude", "deg", ""),
                ("longitude", "longitude", "deg", ""),
                ("height", "height", "m", "takeoff"),
            )
        )
        for part, value in zip(("heading", "is", "unit", "from"), row, strict=True)
    }
    told = {**own_fields(text), "tray": tray, "level": "3 m", **columns}
    assert client.post("/after-flight", data=told).status_code == 303
    assert 'class="profile"' in client.get(page).text
    assert len(list((own_ledger.parent / FOLDER).glob("*.toml"))) == 1
    again = client.get(sent(client, "next.csv", table(), level="3 m")).text
    assert "What unit is" not in again
    assert 'class="profile"' in again


def test_a_column_that_cannot_be_so_is_told(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    page = sent(client, "flight.csv", table())
    columns = {"column0heading": "time", "column0is": "time", "column0unit": "furlongs"}
    told = {**own_fields(client.get(page).text), "tray": page.partition("tray=")[2], **columns}
    client.post("/after-flight", data=told)
    shown = client.get(page)
    assert shown.status_code == 422
    assert "how is 'time' written" in html.unescape(shown.text).lower()


def test_what_is_no_log_is_refused_by_name(visitor: Visitor) -> None:
    client = visitor()
    shown = client.get(sent(client, "flight.gpx", b"\x00\x01 nothing"))
    assert shown.status_code == 422
    assert "flight.gpx" in html.unescape(shown.text)
    gone = client.get("/after-flight?tray=nowhere")
    assert gone.status_code == 422
    assert "no longer have this log" in gone.text


def test_the_flight_is_logged_and_the_report_is_a_pdf(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    told = {"heights_from": "sea_level", "level": "3 m"}
    told |= {"aircraft": "aircraft/Ivy 1", "pilot": "person/Nela Quist", "for": "work"}
    page = sent(client, "flight.gpx", gpx(), **told)
    form = {**own_fields(client.get(page).text), "tray": page.partition("tray=")[2], **told}
    report = client.post("/after-flight", data={**form, "way": "print"})
    assert report.content.startswith(b"%PDF")
    done = client.post("/after-flight", data={**form, "way": "save"})
    assert done.status_code == 303, done.text[-400:]
    assert "written=" in done.headers["location"]
    hours = json.dumps(client.get("/aircraft/Ivy%201.json").json())
    assert "2026-11-24" in hours


def test_what_cannot_be_meant_is_told_at_its_field(visitor: Visitor) -> None:
    client = visitor()
    for field, text in (
        ("day", "soon"),
        ("heights_from", "the moon"),
        ("reserve", "plenty"),
        ("level", "flat"),
        ("pilot_at", "over there"),
        ("near", "the yard"),
    ):
        shown = client.get(sent(client, "flight.gpx", gpx(), **{"heights_from": "sea_level", field: text}))
        assert shown.status_code == 422, field
        assert f'id="w-{field}"' in shown.text, field


def test_of_several_tracks_one_is_chosen_before_anything_is_judged(visitor: Visitor) -> None:
    client = visitor()
    one = gpx().decode()
    track = one[one.index("<trk>") : one.index("</gpx>")]
    later = track.replace("2026-11-24T16", "2026-11-24T18")
    both = one.replace(track, track + later).encode()
    told = {"heights_from": "sea_level", "level": "3 m"}
    page = sent(client, "flight.gpx", both, **told)
    shown = client.get(page)
    assert shown.status_code == 422
    assert 'class="profile"' not in shown.text
    form = {**own_fields(shown.text), "tray": page.partition("tray=")[2], **told, "track": "2"}
    client.post("/after-flight", data=form)
    chosen = client.get(page)
    assert chosen.status_code == 200
    assert 'class="profile"' in chosen.text


def test_the_same_flight_is_logged_once(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    told = {"heights_from": "sea_level", "level": "3 m"}
    told |= {"aircraft": "aircraft/Ivy 1", "pilot": "person/Nela Quist", "for": "work"}
    page = sent(client, "flight.gpx", gpx(), **told)
    for status, said in ((303, ""), (422, "already on record")):
        form = {**own_fields(client.get(page).text), "tray": page.partition("tray=")[2], **told}
        done = client.post("/after-flight", data={**form, "way": "save"})
        assert done.status_code == status
        assert said in done.text


def test_a_flight_that_was_logged_for_the_same_time_is_asked_about(
    visitor: Visitor, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    told = {"heights_from": "sea_level", "level": "3 m"}
    told |= {"aircraft": "aircraft/Ivy 1", "pilot": "person/Nela Quist", "for": "work"}
    for starts, more, status in (
        (STARTS, {}, 303),
        (STARTS + timedelta(minutes=1), {}, 422),
        (STARTS + timedelta(minutes=1), {"anyway": "yes"}, 303),
    ):
        page = sent(client, "flight.gpx", gpx(starts), **told)
        form = {**own_fields(client.get(page).text), "tray": page.partition("tray=")[2], **told, **more}
        done = client.post("/after-flight", data={**form, "way": "save"})
        assert done.status_code == status
        if status == 422:
            assert "may be the same flight" in done.text
            assert 'name="anyway"' in done.text


def test_a_place_somebody_asks_about(visitor: Visitor) -> None:
    client = visitor()
    page = sent(
        client,
        "flight.gpx",
        gpx(),
        heights_from="sea_level",
        level="3 m",
        near="42.506, -107.015 within 60 ft",
    )
    text = html.unescape(client.get(page).text)
    assert "The place you asked about" in text
    assert "This log doesn't show the aircraft over the place you asked about. Closest:" in text


@pytest.mark.parametrize(
    ("name", "make", "says"), [row[1:] for row in BAD[:-1]], ids=[row[0] for row in BAD[:-1]]
)
def test_a_bad_log_on_the_page(visitor: Visitor, name: str, make: Callable[[], bytes], says: str) -> None:
    """Each is answered with its problem, or refused by name."""
    client = visitor()
    shown = client.get(sent(client, name, make(), heights_from="sea_level", day="2026-11-24"))
    assert shown.status_code in (200, 422)
    assert says.casefold() in " ".join(html.unescape(shown.text).split()).casefold()
