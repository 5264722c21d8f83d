"""A question on a page is answered where it stands; every fact can be put on record; nothing unknown becomes a yes."""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import ALL_KEYS, TABLES
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server import workspace
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

MARK = {"fact": "mark_place", "for": "aircraft/Gorse", "value": "outside", "back": "/aircraft/Gorse"}


def size_of(ledger: Path) -> int:
    """The number of entries."""
    with Ledger(ledger) as book:
        return book.head().size


def own(client: TestClient) -> dict[str, str]:
    """What a form of Record carries now."""
    return own_fields(client.get("/record-change?of=aircraft/Gorse&fact=mark_place").text)


def sent(client: TestClient, said: Mapping[str, str], **more: str) -> str:
    """Where saving an answer leads."""
    answer = client.post("/record-change", data={**own(client), **said, "way": "write", **more})
    assert answer.status_code == 303, answer.text
    return answer.headers["location"]


def test_a_question_of_an_aircraft_has_its_field_on_its_page(visitor: Visitor) -> None:
    source = visitor().get("/aircraft/Gorse").text
    assert 'action="/record-change"' in source
    assert 'name="fact" value="mark_place"' in source
    assert 'value="outside"' in source


def test_it_is_shown_in_pencil_and_then_saved_and_leads_back(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    shown = client.post("/record-change", data={**own(client), **MARK, "way": "show"})
    assert "This would save" in shown.text
    assert size_of(own_ledger) == size
    to = sent(client, MARK)
    assert to == f"/aircraft/Gorse?written={size + 1}"
    page = client.get(to).text
    assert f"Saved as entry {size + 1}" in page
    assert 'name="fact" value="mark_place"' not in page


def test_one_answer_for_all_is_one_entry_and_is_taken_back_as_one(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    page = client.get("/record-change?of=aircraft/Gorse&fact=mark_place").text
    seen = re.findall(r'name="seen" value="(\w+)"', page)
    sent(client, {**MARK, "for": "all", "seen": seen[0]})
    assert size_of(own_ledger) == size + 1
    back = client.get(f"/take-back/{size + 1}").text
    assert "Gorse" in back
    assert "Kale box" in back


def test_an_answer_for_all_of_another_list_is_shown_again(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    answer = client.post(
        "/record-change", data={**own(client), **MARK, "for": "all", "seen": "0" * 16, "way": "write"}
    )
    assert "The list changed" in answer.text
    assert size_of(own_ledger) == size


def test_dont_know_saves_nothing(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    answer = client.post("/record-change", data={**own(client), **MARK, "value": "?", "way": "write"})
    assert "Nothing to save" in answer.text
    assert size_of(own_ledger) == size


def test_saving_an_answer_judges_nothing(
    visitor: Visitor, own_ledger: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Where the day was judged for the page the question stands on, its answer is saved without judging anything."""
    client = visitor(own_ledger)
    form = {**own(client), **MARK, "way": "write"}
    monkeypatch.setattr(workspace, "standing", None)
    assert client.post("/record-change", data=form).status_code == 303


def test_an_unrelated_entry_does_not_matter_and_a_related_one_is_told(
    visitor: Visitor, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    form = {**own(client), **MARK, "way": "write"}
    with Ledger(own_ledger) as book:
        book.append([Draft("somebody", "record", (Statement("aircraft/Larch", "maker", "Quernby"),))], clock)
    assert client.post("/record-change", data=form).status_code == 303
    late = {**own(client), **MARK, "value": "not marked", "way": "write"}
    with Ledger(own_ledger) as book:
        book.append([Draft("somebody", "record", (Statement("aircraft/Gorse", "maker", "Quernby"),))], clock)
    answer = client.post("/record-change", data=late)
    assert answer.status_code == 409
    assert "Gorse: maker: Quernby" in answer.text


@pytest.mark.parametrize(
    "back",
    ["//elsewhere.example", "https://elsewhere.example", "/\\elsewhere.example", "javascript:alert(1)"],
)
def test_it_never_leads_to_another_site(visitor: Visitor, own_ledger: Path, back: str) -> None:
    client = visitor(own_ledger)
    assert sent(client, {**MARK, "back": back}).startswith("/aircraft/Gorse")


def test_every_fact_can_be_put_on_record(visitor: Visitor) -> None:
    """What the command line takes, the page has a field for."""
    client = visitor()
    source = client.get("/record-change?of=aircraft/Gorse").text
    for key in ALL_KEYS:
        if TABLES[key.table] == "aircraft":
            assert f"fact={key.name}" in source, key.name


def test_of_something_new(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    assert "What is it about?" in client.get("/record-change").text
    said = {"fact": "paper_kind", "for": "paper/New policy", "other": "insurance", "value": "insurance"}
    sent(client, {**said, "note": "from the broker"})


@pytest.mark.parametrize(
    ("said", "status"),
    [
        ({"fact": "no_such_fact"}, 404),
        ({"for": "aircraft/"}, 404),
        ({"for": "nothing/Gorse"}, 404),
        ({"fact": "expires_on"}, 404),
        ({"for": "model:Korrin"}, 422),
        ({"value": ""}, 422),
        ({"value": "sideways"}, 422),
        ({"since": "soon"}, 422),
        ({"value": "x" * 600}, 422),
    ],
)
def test_what_cannot_be_is_said(
    visitor: Visitor, own_ledger: Path, said: dict[str, str], status: int
) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    answer = client.post("/record-change", data={**own(client), **MARK, **said, "way": "write"})
    assert answer.status_code == status
    assert size_of(own_ledger) == size


def test_an_area_that_cant_be_read_is_said_at_its_field(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    said = {"fact": "site_area", "for": "saved_site/North", "other": "40.01, -105.27", "way": "write"}
    answer = client.post("/record-change", data={**own(client), **said})
    assert answer.status_code == 422
    assert "Add its radius" in answer.text
    assert size_of(own_ledger) == size


def test_hostile_text_stays_text(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    said = {
        "fact": "maker",
        "for": "aircraft/<img src=x>",
        "value": "<script>alert(1)</script>",
        "way": "show",
    }
    source = client.post("/record-change", data={**own(client), **said}).text
    assert "<script>alert" not in source
    assert "<img src" not in source
