"""The lists of aircraft and people: found by text and headline, page by page, page and twin alike."""

from __future__ import annotations

import json
import re
from datetime import UTC, date, datetime
from pathlib import Path

import html5lib
import pytest

from airwrit.answers.standing.standing import standing
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.parts.subject_list import PAGE
from tests.unit.web.conftest import Visitor

DAY = date(2026, 11, 25)


def names_shown(source: str) -> list[str]:
    """The names in the first column of the list."""
    tree = html5lib.parse(source, namespaceHTMLElements=False)
    return ["".join(link.itertext()) for link in tree.findall(".//table/tbody/tr/th/a")]


@pytest.mark.parametrize(("path", "kind"), [("/aircraft", "aircraft"), ("/people", "person")])
def test_every_one_is_a_line_in_page_and_twin(
    visitor: Visitor, demo: tuple[Path, Path], path: str, kind: str
) -> None:
    client = visitor()
    twin = client.get(f"{path}.json").json()
    with Ledger(demo[0]) as book:
        known_at = datetime(2026, 11, 26, tzinfo=UTC)
        rows = standing(book.state(DAY, known_at), DAY, known_at).rows
    names = {row.subject for row in rows if row.subject.startswith(f"{kind}/")}
    assert {line["subject"] for line in twin["lines"]} == names
    shown = names_shown(client.get(path).text)
    assert [f"{kind}/{name}" for name in shown] == [line["subject"] for line in twin["lines"]]
    assert twin["found"] == twin["of"] == len(names)


def test_a_text_finds_by_name_maker_number_and_serial(visitor: Visitor) -> None:
    client = visitor()
    for text, name in (
        ("larch", "Larch"),
        ("FA00TEST13", "Larch"),
        ("zz9z8surv4a02", "Alder 2"),
        ("motrel", "Fescue"),
    ):
        assert names_shown(client.get("/aircraft", params={"find": text}).text) == [name]
    assert "No aircraft matches that" in client.get("/aircraft?find=nothing-like-it").text


def test_a_headline_narrows_and_counts_stay_those_of_the_text(visitor: Visitor) -> None:
    client = visitor()
    told = client.get("/aircraft.json?standing=grounded").json()
    assert {line["headline"] for line in told["lines"]} == {"grounded"}
    page = client.get("/aircraft?standing=grounded").text
    counts = dict(re.findall(r'<option value="([a-z-]+)"(?: selected)?>[^(]*\((\d+)\)', page))
    assert int(counts["grounded"]) == told["found"]
    assert sum(map(int, counts.values())) == told["of"]


@pytest.mark.parametrize("query", ["standing=airborne", "page=0", "page=-1", "page=%D9%A1", "page=x"])
def test_what_is_no_headline_and_no_page_is_refused(visitor: Visitor, query: str) -> None:
    answer = visitor().get(f"/aircraft?{query}")
    assert answer.status_code == 400
    assert "Nothing was saved" in answer.text


def test_the_day_goes_along(visitor: Visitor) -> None:
    page = visitor().get("/aircraft?on=2025-03-14&find=alder").text
    links = re.findall(r'<th scope="row"><a href="([^"]+)"', page)
    assert links
    assert all("on=2025-03-14" in link for link in links)
    assert '<input type="hidden" name="on" value="2025-03-14">' in page


@pytest.fixture(scope="module")
def many(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger with one aircraft more than stands on a page."""
    path = tmp_path_factory.mktemp("many") / "many.airwrit"
    said = [Statement(f"aircraft/H-{number}", "used_for", "work") for number in range(PAGE + 1)]
    with Ledger.begin(path) as book:
        book.append([Draft("test", "record", tuple(said))], lambda: datetime(2026, 1, 1, tzinfo=UTC))
    return path


def test_a_long_list_is_told_by_pages_in_the_order_of_numbers(visitor: Visitor, many: Path) -> None:
    client = visitor(many)
    first = client.get("/aircraft")
    names = names_shown(first.text)
    assert names == [f"H-{number}" for number in range(PAGE)]
    twin = client.get("/aircraft.json").json()
    assert (twin["first"], twin["last"], twin["found"]) == (1, PAGE, PAGE + 1)
    assert 'rel="next" href="/aircraft?page=2"' in first.text
    assert names_shown(client.get("/aircraft?page=2").text) == [f"H-{PAGE}"]
    assert [line["subject"] for line in client.get(twin["next"]).json()["lines"]] == [f"aircraft/H-{PAGE}"]
    assert client.get("/aircraft.json?page=2").json()["next"] is None


def test_a_page_past_the_end_is_the_last(visitor: Visitor, many: Path) -> None:
    assert names_shown(visitor(many).get("/aircraft?page=900").text) == [f"H-{PAGE}"]


def test_an_empty_ledger_has_empty_lists(visitor: Visitor, tmp_path: Path) -> None:
    with Ledger.begin(tmp_path / "new.airwrit"):
        pass
    client = visitor(tmp_path / "new.airwrit")
    assert "No aircraft are on record for this day" in client.get("/aircraft").text
    assert "Nobody is on record for this day" in client.get("/people").text
    assert json.loads(client.get("/people.json").text)["lines"] == []
