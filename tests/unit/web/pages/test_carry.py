"""The carry pack on the page: chosen, shown, and saved as the same file that the command writes."""

from __future__ import annotations

import html
import re
from pathlib import Path

from tests.unit.papers.pictures import text_of
from tests.unit.web.conftest import Visitor, own_fields

HOSTILE = '"><script>alert(1)</script>'


def test_a_pack_is_chosen_and_saved(visitor: Visitor) -> None:
    client = visitor()
    page = client.get(
        "/pilot-papers?pilot=Maris%20Tolland&aircraft=Alder%203&aircraft=Alder%202&call=Ada%20555"
    ).text
    links = [html.unescape(one) for one in re.findall(r'href="(/pilot-papers/(?:html|pdf)[^"]*)"', page)]
    made = client.get(links[0])
    assert made.headers["content-disposition"].startswith("attachment")
    assert made.headers["content-disposition"].endswith("carry-maris-tolland-2026-11-25.html")
    assert "default-src 'none'" in made.text
    assert {"Alder 3", "Alder 2", "Ada 555"} <= set(re.findall("Alder [23]|Ada 555", made.text))
    assert "Elm 1" not in made.text
    paper = client.get(links[1])
    assert paper.headers["content-disposition"].endswith(".pdf")
    assert paper.content.startswith(b"%PDF-")


def test_the_twin_is_the_pack(visitor: Visitor) -> None:
    client = visitor()
    assert "Maris Tolland" in client.get("/pilot-papers.json").json()["pilots"]
    told = client.get("/pilot-papers.json?pilot=Maris%20Tolland&aircraft=Alder%203&on=2026-12-01").json()
    assert (told["question"], told["on"]) == ("carry", "2026-12-01")


def test_another_day_is_carried_along(visitor: Visitor) -> None:
    page = visitor().get("/pilot-papers?pilot=Maris%20Tolland&aircraft=Alder%203&on=2026-12-01").text
    assert re.search(r'href="/pilot-papers/html\?[^"]*on=2026-12-01', page)


def test_what_cannot_be_packed_is_told_at_its_field(visitor: Visitor) -> None:
    client = visitor()
    for query, field in (
        ({"pilot": HOSTILE}, "pilot"),
        ({"pilot": "Maris Tolland", "aircraft": HOSTILE}, "aircraft"),
    ):
        answer = client.get("/pilot-papers", params=query)
        assert answer.status_code == 422
        assert f'id="w-{field}"' in answer.text
        assert "<script>alert" not in answer.text
        assert client.get("/pilot-papers/html", params=query).status_code == 400


def test_hostile_words_to_call_stay_words(visitor: Visitor) -> None:
    client = visitor()
    query = {"pilot": "Maris Tolland", "aircraft": "Alder 3", "call": HOSTILE, "paper": "../x"}
    assert client.get("/pilot-papers/pdf", params=query).content.startswith(b"%PDF-")
    assert "<script>alert" not in client.get("/pilot-papers/html", params=query).text
    assert "<script>alert" not in client.get("/pilot-papers", params=query).text


def test_no_other_file(visitor: Visitor) -> None:
    assert visitor().get("/pilot-papers/exe?pilot=Maris%20Tolland").status_code == 404


def test_a_persons_sheet_leads_to_the_pack(visitor: Visitor) -> None:
    assert 'href="/pilot-papers?pilot=Maris+Tolland"' in visitor().get("/people/Maris%20Tolland").text


def test_the_file_has_the_sheets_of_flights_planned_that_day(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    plan = {"place": "36.0542, -79.9792", "radius": "500", "height": "200", "day": "2026-11-25"}
    plan |= {"start": "13:30", "end": "+20", "aircraft": "aircraft/Alder 3", "pilot": "person/Maris Tolland"}
    sent = own_fields(client.get("/before-flight").text)
    client.post("/before-flight", data={**sent, **plan, "name": "Roof survey", "way": "save"})
    made = client.get("/pilot-papers/html?pilot=Maris%20Tolland&aircraft=Alder%203&on=2026-11-25").text
    assert "<h3>Roof survey</h3>" in made
    assert "14 CFR 107.51(b)" in made
    paper = client.get("/pilot-papers/pdf?pilot=Maris%20Tolland&aircraft=Alder%203&on=2026-11-25").content
    assert "Flight Roof survey" in text_of(paper)
