"""Authority on the page: papers of the records against what the form tells, the request, and what is refused at its field."""

from __future__ import annotations

import html

from tests.unit.web.conftest import Visitor

FLIGHT = {
    "flight_area": "36.0542, -79.9792 within 300 m",
    "height_agl_ft": "60 m",
    "airspace_class": "D",
    "flight_under": "Part 107",
}


def test_the_form_and_the_answer(visitor: Visitor) -> None:
    assert "Which area do you fly?" in visitor().get("/check-authorization").text
    page = html.unescape(visitor().get("/check-authorization", params=FLIGHT).text)
    assert "This flight needs an authorization, and none is on file." in page or "Not covered." in page
    assert "What the request form asks" in page
    assert "196.9 ft (60 m)" in page
    document = visitor().get("/check-authorization.json", params=FLIGHT).json()
    assert document["verdict"] == "not_met"
    assert document["need"] == "needed"


def test_what_cant_be_read_is_told_at_its_field(visitor: Visitor) -> None:
    page = visitor().get("/check-authorization", params={**FLIGHT, "height_agl_ft": "high"})
    assert page.status_code == 422
    assert 'href="#f-height_agl_ft"' in page.text
    assert visitor().get("/check-authorization.json", params={"height_agl_ft": "high"}).json()["wrong"]
