"""Two futures on the page are those of `airwrit what-if`, and nothing is written by looking at them."""

from __future__ import annotations

import html
import re
from pathlib import Path
from urllib.parse import urlencode

import pytest

from airwrit.ledger.sqlite.store import Ledger
from tests.unit.web.conftest import Visitor

SELL = urlencode({"act": "sell", "of": "aircraft/Alder 1", "day": "2026-11-25"})
LEAVE = urlencode({"act": "leave", "of": "person/Maris Tolland", "day": "2026-11-25"})


def test_a_sale_tried_shows_both_futures(visitor: Visitor) -> None:
    client = visitor()
    twin = client.get("/what-if.json", params={"t": SELL}).json()
    sold = next(row for row in twin["futures"][0]["rows"] if row["subject"] == "aircraft/Alder 1")
    assert (sold["before"], sold["after"]) == ("may_fly_work", "not_in_fleet")
    page = html.unescape(client.get("/what-if", params={"t": SELL}).text)
    assert "Cancel the registration of Alder 1. By Dec 9, 2026 (14 CFR 48.115)." in re.sub(
        r"<[^>]+>", "", page
    )
    assert "Do it for real" in page


def test_acts_are_tried_on_top_of_one_another_and_on_a_later_day(visitor: Visitor) -> None:
    twin = visitor().get("/what-if.json", params={"t": [SELL, LEAVE], "then": "2027-02-01"}).json()
    assert [act["act"] for act in twin["acts"]] == ["sell", "leave"]
    assert len(twin["futures"]) == 2


def test_the_form_leads_to_the_futures(visitor: Visitor) -> None:
    client = visitor()
    form = client.get("/what-if", params={"act": "sell", "of": "Alder 1"}).text
    assert 'name="to"' in form
    moved = client.get(
        "/what-if", params={"act": "sell", "of": "aircraft/Alder 1", "try": "yes", "day": "2026-11-25"}
    )
    assert moved.status_code == 303
    assert client.get(moved.headers["location"]).text.count(">Remove<") == 1


def test_looking_writes_nothing(visitor: Visitor, own_ledger: Path) -> None:
    data = own_ledger.read_bytes()
    client = visitor(own_ledger)
    client.get("/what-if", params={"t": [SELL, LEAVE]})
    assert client.post("/what-if", data={"t": SELL}).status_code in (405, 413)
    assert own_ledger.read_bytes() == data
    with Ledger(own_ledger) as book:
        assert book.head().size > 0


@pytest.mark.parametrize(
    ("told", "says"),
    [
        ({"act": "sell", "of": "Nothing at all"}, 'href="#f-of">No aircraft has that name.</a></li>'),
        ({"act": "sell", "of": ""}, "Name the aircraft"),
        ({"act": "sell", "of": "Alder 1", "try": "yes", "day": "soon"}, "Enter the date it happened"),
        ({"act": "mark", "of": "Alder 1", "try": "yes", "day": "2026-11-25"}, "We need this"),
        ({"t": SELL, "then": "later"}, "isn't a date"),
        ({"t": SELL, "then": "2026-11-25"}, "has to come after"),
        (
            {"act": "sell", "of": "<script>alert(1)</script>"},
            'href="#f-of">No aircraft has that name.</a></li>',
        ),
    ],
)
def test_what_cannot_be_tried_is_told(visitor: Visitor, told: dict[str, str], says: str) -> None:
    answer = visitor().get("/what-if", params=told)
    assert answer.status_code == (422 if "act" in told else 200)
    assert says in html.unescape(answer.text)
    assert "<script>alert" not in answer.text


@pytest.mark.parametrize(
    "text", ["", "act=fly", "act=sell&of=person/x", "act=sell&of=aircraft/Alder 1", "%00" * 99, "x" * 9000]
)
def test_what_an_address_carries_and_is_no_act_is_left_out(visitor: Visitor, text: str) -> None:
    page = visitor().get("/what-if", params={"t": text}).text
    assert "Leave it out" not in page
