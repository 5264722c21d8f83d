"""Acts on the page: shown before they are written, written once, refused when the ledger moved on."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.answers.acts.act import Act
from airwrit.answers.acts.catalog import ACTS
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import kind_of
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

SELL = "/record-change/sell/aircraft/Alder%203"
TODAY = "2026-11-25"


def size_of(ledger: Path) -> int:
    """How many entries the ledger has."""
    with Ledger(ledger) as book:
        return book.head().size


def form_of(client: TestClient, path: str) -> dict[str, str]:
    """What the form at an address carries by itself."""
    return own_fields(client.get(path).text)


def test_what_an_act_causes_stands_there_before_it_is_written(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    page = client.get(SELL).text
    assert "This would save one entry" in page
    assert "cancel" in page.casefold()
    assert "14 CFR" in page
    own = own_fields(page)
    shown = client.post(SELL, data={**own, "day": TODAY, "to": "Someone Else", "way": "show"})
    assert shown.status_code == 200
    assert "Someone Else" in shown.text
    assert size_of(own_ledger) == size


def test_it_is_written_once_however_often_it_is_sent(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    sent = {**form_of(client, SELL), "day": TODAY, "way": "write"}
    first = client.post(SELL, data=sent)
    again = client.post(SELL, data=sent)
    assert first.status_code == again.status_code == 303
    assert first.headers["location"] == again.headers["location"] == f"/aircraft/Alder%203?written={size + 1}"
    assert size_of(own_ledger) == size + 1
    sheet = client.get(first.headers["location"]).text
    assert f"Saved as entry {size + 1}" in sheet
    with Ledger(own_ledger) as book:
        entry = book.entry(size + 1)
    assert entry is not None
    assert (entry.act, entry.by) == ("sell", "tests")
    assert ("aircraft/Alder 3", "sold_on", TODAY) in [one[:3] for one in entry.statements]


def test_what_was_shown_is_what_is_written(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    shown = client.get(f"/record-change/leave/person/Maris%20Tolland.json?day={TODAY}").json()
    page = client.get("/record-change/leave/person/Maris%20Tolland").text
    client.post(
        "/record-change/leave/person/Maris%20Tolland", data={**own_fields(page), "day": TODAY, "way": "write"}
    )
    after = client.get("/today.json").json()
    duties = {one["day"] for one in shown["effects"]["duties"]}
    assert duties
    assert duties <= {one["day"] for one in after["due"]}
    assert "Maris Tolland" in {one["subject"].partition("/")[2] for one in after["left"]}


def test_a_form_for_an_older_ledger_is_refused_with_what_changed(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    lose, destroy = "/record-change/lose/aircraft/Alder%203", "/record-change/destroy/aircraft/Alder%203"
    older = form_of(client, lose)
    client.post(destroy, data={**form_of(client, destroy), "day": TODAY, "way": "write"})
    size = size_of(own_ledger)
    answer = client.post(lose, data={**older, "day": TODAY, "way": "write"})
    assert answer.status_code == 409
    assert "Alder 3" in answer.text
    assert size_of(own_ledger) == size


@pytest.mark.parametrize(
    ("path", "said", "field"),
    [
        (SELL, {"day": "yesterday"}, "day"),
        (SELL, {"day": ""}, "day"),
        ("/record-change/mark/aircraft/Elm%201", {"day": TODAY}, "place"),
        ("/record-change/mark/aircraft/Elm%201", {"day": TODAY, "place": "on the moon"}, "place"),
        ("/record-change/buy", {"day": TODAY, "owner": "Tarn & Fell Land Services"}, "name"),
        (
            "/record-change/buy",
            {"day": TODAY, "name": "New 1", "owner": "X", "takeoff_weight_g": "heavy"},
            "takeoff_weight_g",
        ),
    ],
)
def test_what_is_wrong_is_told_at_its_field_and_the_typed_text_stays(
    visitor: Visitor, own_ledger: Path, path: str, said: dict[str, str], field: str
) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    form = form_of(client, path)
    assert client.post(path, data={**form, **said, "way": "show"}).status_code == 422
    answer = client.post(path, data={**form, **said, "way": "write"})
    assert answer.status_code == 422
    assert "<title>Trouble: " in answer.text
    assert f'href="#f-{field}"' in answer.text
    assert f'id="w-{field}"' in answer.text
    for value in said.values():
        if value and value != "on the moon":
            assert f'value="{value.replace("&", "&amp;")}"' in answer.text
    assert size_of(own_ledger) == size


def test_an_act_that_cannot_be_says_why(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    path = "/record-change/find/aircraft/Alder%203"
    answer = client.post(path, data={**form_of(client, path), "day": TODAY, "way": "write"})
    assert answer.status_code == 422
    assert "was lost" in answer.text
    assert size_of(own_ledger) == size


def test_a_new_aircraft_comes_on_record(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    said = {"day": TODAY, "name": "Alder 9", "owner": "Tarn & Fell Land Services", "used_for": "work"}
    answer = client.post(
        "/record-change/buy", data={**form_of(client, "/record-change/buy"), **said, "way": "write"}
    )
    assert answer.headers["location"].startswith("/aircraft/Alder%209?written=")
    assert client.get("/aircraft/Alder%209.json").json()["headline"] == "grounded"


def test_nothing_is_written_on_another_day(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    own = form_of(client, SELL)
    page = client.get(f"{SELL}?on=2025-03-14").text
    assert "You can save only on today's page" in page
    assert "<form" not in page.partition("<h1>")[2]
    answer = client.post(f"{SELL}?on=2025-03-14", data={**own, "day": TODAY, "way": "write"})
    assert answer.status_code == 409
    assert size_of(own_ledger) == size


@pytest.mark.parametrize(
    "path",
    [
        "/record-change/fly/aircraft/Alder%203",
        "/record-change/sell",
        "/record-change/sell/aircraft/Nobody",
        "/record-change/leave/aircraft/Alder%203",
    ],
)
def test_no_such_act_or_subject(visitor: Visitor, path: str) -> None:
    answer = visitor().get(path)
    assert answer.status_code == 404
    assert "There is no such form" in answer.text


def test_every_act_that_a_sheet_names_opens(visitor: Visitor) -> None:
    client = visitor()
    seen = set()
    for path in (
        "/aircraft/Alder%202",
        "/people/Maris%20Tolland",
        "/people/Dara%20Venn",
        "/aircraft",
        "/people",
    ):
        for link in re.findall(r'href="(/record-change/[^"]+)"', client.get(path).text):
            assert client.get(link).status_code == 200, link
            seen.add(link.split("/")[2])
    rare = {"find", "give_back"}
    assert seen | rare >= {
        act.name for act in ACTS if kind_of(f"{act.about}/") in ("aircraft", "person", "registration")
    }


@pytest.mark.parametrize("act", ACTS, ids=lambda act: act.name)
def test_no_form_opens_with_an_error(visitor: Visitor, act: Act) -> None:
    names = {
        "aircraft": "Larch",
        "person": "Maris%20Tolland",
        "registration": "FA00TEST13",
        "owner": "Tarn%20&%20Fell%20Land%20Services",
        "paper": "Liability%20policy",
        "battery": "TF-B1",
        "model": "Lodrel",
    }
    about = f"/{act.about}/{names[act.about]}" if act.about in names else ""
    answer = visitor().get(f"/record-change/{act.name}{about}")
    assert answer.status_code == 200
    assert 'id="wrongs"' not in answer.text


def test_only_parts_of_its_own_are_offered(visitor: Visitor, own_ledger: Path) -> None:
    parts = (
        Statement("part/Larch light", "part_of", "Larch"),
        Statement("part/Elm light", "part_of", "Elm 1"),
    )
    with Ledger(own_ledger) as book:
        book.append([Draft("ada", "record", parts)], clock)
    page = visitor(own_ledger).get("/record-change/change_equipment/aircraft/Larch").text
    assert "Larch light" in page
    assert "Elm light" not in page
