"""The sheets of one aircraft and one person: what they say is what the answers say, on any day, of any name."""

from __future__ import annotations

import re
from datetime import UTC, datetime
from pathlib import Path
from typing import Any
from urllib.parse import quote

import html5lib
import pytest
from starlette.testclient import TestClient

from airwrit.base.sentences import with_days
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.web.conftest import Visitor

AIRCRAFT = (
    "Alder 1",
    "Alder 2",
    "Birch 1",
    "Cedar 1",
    "Dogwood 1",
    "Fescue",
    "Gorse",
    "Hazel 1",
    "Larch",
    "Kale box",
)
PEOPLE = ("Maris Tolland", "Ivo Brask", "Tobin Ashgrove", "Dara Venn")


def text_of(source: str) -> str:
    """All words of a page, blanks made one."""
    tree = html5lib.parse(source, namespaceHTMLElements=False)
    return " ".join("".join(tree.itertext()).split())


def sheet(
    client: TestClient, name: str, kind: str = "aircraft", query: str = ""
) -> tuple[str, dict[str, Any]]:
    """The words of a sheet, and its twin."""
    path = f"/{kind}/{quote(name)}"
    answer = client.get(path + query)
    assert answer.status_code == 200
    return text_of(answer.text), client.get(f"{path}.json{query}").json()


@pytest.mark.parametrize(
    ("kind", "name"), [*(("aircraft", name) for name in AIRCRAFT), *(("people", name) for name in PEOPLE)]
)
def test_page_and_twin_say_the_same(visitor: Visitor, kind: str, name: str) -> None:
    client = visitor()
    words, twin = sheet(client, name, kind)
    every = client.get("/today.json").json()
    mine = [f for f in every["findings"] if f["subject"] == twin["subject"]]
    told = {(f["rule"], f["use"]): f["verdict"] for f in twin["findings"] if f["subject"] == twin["subject"]}
    assert told == {(f["rule"], f["use"]): f["verdict"] for f in mine}
    lowered = words.casefold()
    for finding in twin["findings"]:
        assert with_days(finding["says"]).casefold() in lowered
    for one in twin["do"]:
        assert with_days(one["do"]).casefold() in lowered
    for lane in twin["lanes"]:
        assert lane["lane"] in words
        assert with_days(lane["says"]).casefold() in lowered


@pytest.mark.parametrize("name", AIRCRAFT)
def test_the_headline_is_that_of_standing(visitor: Visitor, name: str) -> None:
    client = visitor()
    rows = {row["subject"]: row for row in client.get("/today.json").json()["rows"]}
    _, twin = sheet(client, name)
    assert twin["headline"] == rows[f"aircraft/{name}"]["headline"]


def test_items_keep_their_numbers(visitor: Visitor) -> None:
    client = visitor()
    for path in ("/aircraft/Larch", "/people/Maris%20Tolland", "/people/Dara%20Venn"):
        numbers = re.findall(r'<h2 id="s(\d+)"><b>(\d+)</b>', client.get(path).text)
        assert numbers == [(str(n), str(n)) for n in range(1, 12)]


def test_a_serial_is_compared_sign_by_sign(visitor: Visitor) -> None:
    client = visitor()
    words, twin = sheet(client, "Larch")
    assert twin["serials"][1]["odd_at"] == [12]
    assert "Character 12: figure 0 for letter O." in words
    assert client.get("/aircraft/Larch").text.count("<mark>") == 1


def test_a_past_day_is_told_by_what_was_known_then(visitor: Visitor, own_ledger: Path) -> None:
    """The recorded day of the invented program lies before the clock of these tests; before it nothing was known."""
    client = visitor(own_ledger)
    now, _ = sheet(client, "Alder 2")
    then, twin = sheet(client, "Alder 2", query="?on=2025-03-14")
    assert "Grounded." in now
    assert "on Friday, March 14, 2025" in then
    assert twin["on"] == "2025-03-14"
    assert "You can save only on today's page" in then
    before, twin = sheet(client, "Alder 2", query="?known=2020-01-01")
    assert twin["history"] == []
    assert "Nothing was on record then" in before


def test_what_is_private_is_named_and_not_told(visitor: Visitor, tmp_path: Path) -> None:
    said = [
        Statement("person/A", "flies_for", "work"),
        Statement("person/A", "certificate_number", "SECRET-1"),
        Statement("person/A", "born_on", "1990-01-02"),
        Statement("aircraft/B", "owner", "A"),
        Statement("owner/A", "owner_kind", "person"),
        Statement("owner/A", "citizenship", "permanent resident"),
    ]
    with Ledger.begin(tmp_path / "p.airwrit") as book:
        book.append([Draft("t", "record", (one,)) for one in said], lambda: datetime(2026, 1, 1, tzinfo=UTC))
    client = visitor(tmp_path / "p.airwrit")
    for path in ("/people/A", "/people/A.json", "/aircraft/B", "/aircraft/B.json"):
        answer = client.get(path).text
        assert "SECRET-1" not in answer
        assert "1990-01-02" not in answer
    assert "on file, hidden" in client.get("/people/A").text


def test_history_tells_what_was_replaced_and_how_late(visitor: Visitor, tmp_path: Path) -> None:
    moments = iter([datetime(2026, 6, 1, 12, tzinfo=UTC), datetime(2026, 6, 12, 12, tzinfo=UTC)])
    with Ledger.begin(tmp_path / "h.airwrit") as book:
        for draft in (
            Draft("first", "record", (Statement("aircraft/A", "used_for", "recreation"),)),
            Draft(
                "second",
                "record",
                (Statement("aircraft/A", "used_for", "work", datetime(2026, 6, 3, tzinfo=UTC).date()),),
                ("1.0",),
            ),
        ):
            book.append([draft], lambda: next(moments))
    words, twin = sheet(visitor(tmp_path / "h.airwrit"), "A")
    assert "entered nine days later" in words
    assert "replaces entry 1" in words
    assert "replaced by entry 2" in words
    assert [one["days_late"] for one in twin["history"]] == [9, 0]
    assert twin["history"][1]["answered_by"] == [2]


def test_a_long_history_is_shown_in_part_and_all_of_it_when_asked(visitor: Visitor, tmp_path: Path) -> None:
    with Ledger.begin(tmp_path / "l.airwrit") as book:
        for number in range(60):
            said = (Statement("aircraft/A", "mark_text", f"M{number}"),)
            answers = (f"{number}.0",) if number else ()
            book.append([Draft("t", "record", said, answers)], lambda: datetime(2026, 1, 1, tzinfo=UTC))
    client = visitor(tmp_path / "l.airwrit")
    assert "M0<" not in client.get("/aircraft/A").text
    assert "All 60 entries" in client.get("/aircraft/A").text
    assert "M0<" in client.get("/aircraft/A?history=all").text


@pytest.mark.parametrize(
    ("path", "near"),
    [("/aircraft/larsh", "Larch"), ("/people/Maris%20Toland", "Maris Tolland"), ("/aircraft/LARCH", "Larch")],
)
def test_an_unknown_name_is_answered_with_the_nearest(visitor: Visitor, path: str, near: str) -> None:
    client = visitor()
    answer = client.get(path)
    assert answer.status_code == 404
    assert f"Did you mean {near}?" in text_of(answer.text)
    assert client.get(f"{path}.json").status_code == 404


def test_someone_who_left_still_has_a_sheet(visitor: Visitor) -> None:
    words, twin = sheet(visitor(), "Dara Venn", "people")
    assert "Left the program on" in words
    assert twin["left_on"]
    assert twin["headline"] is None
    assert twin["answers_for"]["representative_of"]


def test_what_follows_if_they_leave_is_shown_and_nothing_is_written(
    visitor: Visitor, own_ledger: Path
) -> None:
    client = visitor(own_ledger)
    with Ledger(own_ledger) as book:
        size = book.head().size
    words, _ = sheet(client, "Maris Tolland", "people")
    assert "This is only a preview" in words
    assert "FA00TEST08" in words.partition("This is only a preview")[2]
    assert "Name someone to be responsible for 2 papers." in words
    with Ledger(own_ledger) as book:
        assert book.head().size == size


def test_the_nearest_name_is_a_link_and_a_far_one_leads_to_the_list(visitor: Visitor) -> None:
    client = visitor()
    assert '<a href="/aircraft/Larch">Did you mean Larch?</a>' in client.get("/aircraft/larsh").text
    assert 'href="/people">Choose one from the list under People.</a></dd>' in client.get("/people/zzzz").text
    assert client.get("/aircraft/larsh.json").json()["to"] == "/aircraft/Larch"


def test_the_page_of_all_says_what_is_assumed(visitor: Visitor) -> None:
    client = visitor()
    page, twin = client.get("/today").text, client.get("/today.json").json()
    assert 'Assumed "no" (nothing on file)' in page
    assert all(one["words"] in page for one in twin["assumed_no"])
