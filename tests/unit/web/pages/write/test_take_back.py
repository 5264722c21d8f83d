"""Taking an entry back on the page: shown first, written once, and everything as it was."""

from __future__ import annotations

from pathlib import Path

from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields


def test_an_act_is_taken_back(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    was = client.get("/aircraft/Larch.json").json()
    sold = client.get("/record-change/sell/aircraft/Larch").text
    client.post(
        "/record-change/sell/aircraft/Larch", data={**own_fields(sold), "day": "2026-11-25", "way": "write"}
    )
    sheet = client.get("/aircraft/Larch").text
    with Ledger(own_ledger) as book:
        entry = book.head().size
    assert f'href="/take-back/{entry}"' in sheet
    page = client.get(f"/take-back/{entry}")
    assert "Sell: Larch" in page.text
    assert "taken back" in page.text
    done = client.post(f"/take-back/{entry}", data={**own_fields(page.text), "note": "it was Alder 2"})
    assert done.headers["location"] == f"/aircraft/Larch?written={entry + 1}"
    now = client.get("/aircraft/Larch.json").json()
    differ = {name for name in now if now[name] != was[name]}
    assert differ <= {"history", "known_at"}
    assert len(now["history"]) > len(was["history"])
    again = client.get(f"/take-back/{entry}")
    assert again.status_code == 404
    assert "counts. Later" in again.text
    with Ledger(own_ledger) as book:
        line = book.entry(entry + 1)
    assert line is not None
    assert (line.act, line.note) == ("take_back", "it was Alder 2")


def test_nothing_is_written_by_looking_or_from_an_old_form(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    page = client.get("/take-back/1").text
    with Ledger(own_ledger) as book:
        size = book.head().size
        book.append([Draft("x", "record", (Statement("aircraft/Q", "used_for", "work"),))], clock)
    assert client.post("/take-back/1", data=own_fields(page)).status_code == 409
    assert client.post("/take-back/1", data={}).status_code == 400
    fresh = client.get("/take-back/1").text
    long = client.post("/take-back/1", data={**own_fields(fresh), "note": "n" * 201})
    assert long.status_code == 422
    assert "at most 200" in long.text
    with Ledger(own_ledger) as book:
        assert book.head().size == size + 1


def test_what_cannot_be_taken_back_is_told(visitor: Visitor, own_ledger: Path, tmp_path: Path) -> None:
    client = visitor(own_ledger)
    for name, words in (
        ("999999", "entry"),
        ("first", "an entry number"),
        ("0", "entry"),
        ("-1", "an entry number"),
    ):
        answer = client.get(f"/take-back/{name}")
        assert answer.status_code == 404, name
        assert words in answer.text
    assert visitor(tmp_path / "none.airwrit").get("/take-back/1").status_code == 404


def test_private_values_are_not_shown(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "own.airwrit"
    with Ledger.begin(path) as book:
        for day, answers in (("1990-02-01", ()), ("1991-03-04", ("1.0",))):
            said = (Statement("person/Ann", "born_on", day),)
            book.append([Draft("x", "record", said, answers)], clock)
    page = visitor(path).get("/take-back/2").text
    assert "private, hidden" in page
    assert "1990" not in page.split("<main")[1].split("</main")[0]


def test_a_weight_keeps_its_unit(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    fields = {"day": "2026-11-25", "takeoff_weight_g": "1402", "way": "show"}
    form = client.get("/record-change/change-equipment/aircraft/Larch").text
    shown = client.post(
        "/record-change/change-equipment/aircraft/Larch", data={**own_fields(form), **fields}
    ).text
    assert "<b>3.091 lb (1402 g)</b>" in shown
