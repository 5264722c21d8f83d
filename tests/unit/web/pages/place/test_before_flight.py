"""Before a flight on the page: the form, the answer with its fields, refusals at their field, and nothing written."""

from __future__ import annotations

import html
from datetime import timedelta
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest

from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

PLAN = {
    "place": "36.0542, -79.9792",
    "radius": "500",
    "height": "350",
    "day": "2026-11-25",
    "start": "16:30",
    "end": "17:45",
    "aircraft": "aircraft/Ivy 1",
    "pilot": "person/Nela Quist",
    "for": "work",
}


def test_the_form_offers_who_may_fly_and_what_is_in_the_fleet(visitor: Visitor) -> None:
    text = visitor().get("/before-flight").text
    assert 'value="aircraft/Ivy 1"' in text
    assert 'value="person/Nela Quist"' in text


def test_the_answer_has_a_field_for_everything_it_asks(visitor: Visitor) -> None:
    client = visitor()
    text = html.unescape(client.post("/before-flight", data=PLAN).text)
    assert "Ivy 1 with Nela Quist" in text
    assert "When you could fly" in text
    assert 'name="c-notice_covers"' in text
    assert 'name="c-lights_lit"' in text, "the flight ends after sunset"
    told = {**PLAN, "c-notice_covers": "no", "c-flight_visibility_sm": "2.5"}
    again = html.unescape(client.post("/before-flight", data=told).text)
    assert "Not allowed as planned." in again
    assert "14 CFR 107.51(c)" in again
    assert "Confirmed: 2" in again


@pytest.mark.parametrize(("start", "minutes"), [("now", 0), ("Now", 0), ("+30 min", 30), ("+30", 30)])
def test_takeoff_can_be_told_from_now_on(visitor: Visitor, start: str, minutes: int) -> None:
    told = {**PLAN, "start": start, "day": "2026-01-01", "end": "+20"}
    text = html.unescape(visitor().post("/before-flight", data=told).text)
    local = (clock() + timedelta(minutes=minutes)).astimezone(ZoneInfo("America/New_York"))
    assert f'name="start" type="text" value="{local:%H:%M}"' in text
    assert f'name="day" type="date" value="{local:%Y-%m-%d}"' in text
    assert "Ivy 1 with Nela Quist" in text


def test_takeoff_now_asks_for_the_place_first(visitor: Visitor) -> None:
    answer = visitor().post("/before-flight", data={**PLAN, "start": "now", "place": "somewhere"})
    assert answer.status_code == 422
    assert 'id="w-place"' in answer.text


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"place": "somewhere"}, "place"),
        ({"radius": "0"}, "radius"),
        ({"end": "16:00"}, "end"),
        ({"height": "tall"}, "height"),
        ({"day": "2026-03-08", "start": "02:30", "end": "03:30"}, "start"),
        ({"c-flight_visibility_sm": "far"}, "c-flight_visibility_sm"),
        # an area of no size: corners on a line; or over a whole State
        ({"place": "36, -80; 36.1, -80; 36.2, -80", "radius": ""}, "place"),
        ({"place": "34, -84; 34, -76; 36.5, -76; 36.5, -84", "radius": ""}, "place"),
        # an hour that daylight saving repeats
        ({"day": "2026-11-01", "start": "01:30", "end": "02:30"}, "start"),
        ({"takeoff": "36.2, -79.9792"}, "takeoff"),
        ({"height": "1200 ft MSL"}, "height"),
        ({"height": "100 ft above takeoff"}, "height"),
        ({"structure": "36.0545, -79.9790"}, "structure_top"),
        ({"pilot": ""}, "pilot"),
        ({"place": "-79.9792, 36.0542"}, "place"),
    ],
)
def test_what_cannot_be_read_is_told_at_its_field(
    visitor: Visitor, change: dict[str, str], field: str
) -> None:
    page = visitor().post("/before-flight", data={**PLAN, **change})
    assert page.status_code == 422
    assert f'href="#f-{field}"' in page.text


def test_hostile_text_stays_text(visitor: Visitor) -> None:
    page = visitor().post("/before-flight", data={**PLAN, "weather": "<script>alert(1)</script>"})
    assert "<script>alert" not in page.text


def test_a_flight_is_saved_listed_and_found_again(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    own = own_fields(client.get("/before-flight").text)
    said = {**own, **PLAN, "c-notice_covers": "no", "name": "Quarry", "way": "save"}
    done = client.post("/before-flight", data=said)
    assert done.status_code == 303
    page = html.unescape(client.get(done.headers["location"]).text)
    assert "Saved as entry" in page
    assert 'value="Quarry"' in page
    assert "Confirmed: 1" in page
    listed = html.unescape(client.get("/before-flight", params={"on": PLAN["day"]}).text)
    assert "Planned for" in listed
    assert "Ivy 1 with Nela Quist" in listed
    assert client.post("/before-flight", data=said).headers["location"] == done.headers["location"]


def test_a_changed_height_ends_what_was_confirmed(visitor: Visitor) -> None:
    client = visitor()
    first = client.post("/before-flight", data=PLAN).text
    digest = first.split('name="confirmed_for" value="')[1].split('"')[0]
    told = {**PLAN, "confirmed_for": digest, "c-notice_covers": "no"}
    assert "Confirmed: 1" in client.post("/before-flight", data=told).text
    changed = client.post("/before-flight", data={**told, "height": "360"}).text
    assert "Confirm again." in changed
    assert "Confirmed:" not in changed


def test_no_flight_of_that_name(visitor: Visitor) -> None:
    assert visitor().get("/before-flight", params={"flight": "Nowhere"}).status_code == 404


def test_the_flight_sheet_is_a_pdf(visitor: Visitor) -> None:
    done = visitor().post("/before-flight", data={**PLAN, "way": "print", "name": "Quarry"})
    assert done.headers["content-type"] == "application/pdf"
    assert done.content.startswith(b"%PDF-")


def test_a_place_is_shown_in_pencil_and_then_saved_as_a_site(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    said = {**own_fields(client.get("/before-flight").text), **PLAN, "takeoff": "36.0542, -79.9792"}
    unnamed = client.post("/before-flight", data={**said, "way": "show_site"})
    assert unnamed.status_code == 422
    assert 'href="#f-site_name"' in unnamed.text
    named = {**said, "site_name": "Mill Pond", "site_notes": "Gate on the east side."}
    shown = html.unescape(client.post("/before-flight", data={**named, "way": "show_site"}).text)
    assert "This will save three lines" in shown
    assert "Save this place" in shown
    assert 'value="Mill Pond">' not in html.unescape(client.get("/before-flight").text), (
        "a preview saves nothing"
    )
    done = client.post("/before-flight", data={**named, "way": "save_site"})
    assert done.status_code == 303
    page = html.unescape(client.get(done.headers["location"]).text)
    assert 'value="Mill Pond" selected' in page
    again = {**said, **own_fields(page), "place": "", "radius": "", "takeoff": "", "site": "Mill Pond"}
    assert "Gate on the east side." in html.unescape(client.post("/before-flight", data=again).text)


def test_what_a_crew_checks_is_confirmed_at_once_and_each_by_its_own(
    visitor: Visitor, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    first = html.unescape(client.post("/before-flight", data=PLAN).text)
    names = first.split('name="all_crew" value="')[1].split('"')[0]
    assert "card_at_hand" in names
    assert "notice_covers" not in names
    own = own_fields(client.get("/before-flight").text)
    said = {
        **own,
        **PLAN,
        "all_crew": f"{names},notice_covers,flight_visibility_sm",
        "name": "Pond",
        "way": "save",
    }
    # an own answer outweighs what is said of all
    done = client.post("/before-flight", data={**said, "c-crew_fit": "no"})
    page = html.unescape(client.get(done.headers["location"]).text)
    assert f"Confirmed: {len(names.split(','))}" in page
    assert page.count("Confirmed by ") == len(names.split(","))
    assert "Not allowed as planned." in page


def test_a_structure_beside_the_flight_stays_when_it_is_saved_again(
    visitor: Visitor, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    own = own_fields(client.get("/before-flight").text)
    said = {
        **own,
        **PLAN,
        "structure": "36.0545, -79.9790",
        "structure_top": "300",
        "name": "Mast",
        "way": "save",
    }
    page = html.unescape(client.get(client.post("/before-flight", data=said).headers["location"]).text)
    assert 'value="36.0545000, -79.9790000"' in page
    assert "structure that is 300 ft high" in page
