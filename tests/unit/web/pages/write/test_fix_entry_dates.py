"""The way back from a clock that was ahead, on the page: no form is saved meanwhile, the act is told first, and done once."""

from __future__ import annotations

from datetime import timedelta
from pathlib import Path

import pytest

from airwrit.answers.history.clock import stamped_ahead
from airwrit.facts.keys.program import HoldKind
from airwrit.ledger.checking.check import check
from airwrit.ledger.entry import CLOCK_BACK
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import NOW, clock
from tests.unit.ledger.books import draft, said
from tests.unit.web.conftest import Visitor, own_fields

PAGE = "/fix-entry-dates"
SAID = {"who": "Dana Reyes", "why": "an empty battery"}
HOLD = {"of": "all", "kind": HoldKind.INCIDENT.value, "who": "Dana Reyes", "why": "reported May 4"}


def stamped(path: Path, ahead: timedelta) -> Path:
    """A ledger with one good entry and two that a clock ahead of time stamped."""
    with Ledger.begin(path) as book:
        book.append([draft(said("aircraft/A", "maker", "Quernby"))], lambda: NOW - timedelta(hours=1))
        for word in ("Lodrel", "Fennel"):
            book.append([draft(said("aircraft/A", "model", word))], lambda: NOW + ahead)
    return path


@pytest.fixture
def path(tmp_path: Path) -> Path:
    return stamped(tmp_path / "own.airwrit", timedelta(days=400))


def test_a_form_is_not_saved_behind_an_entry_that_lies_ahead_and_leads_to_the_way_back(
    visitor: Visitor, path: Path
) -> None:
    client = visitor(path)
    refused = client.post("/legal-hold", data={**own_fields(client.get("/legal-hold").text), **HOLD})
    assert refused.status_code == 409
    assert "Entries 2 to 3 are dated later than this computer&#39;s clock" in refused.text
    assert "reported May 4" in refused.text
    assert 'href="/fix-entry-dates"' in refused.text
    page = client.get(PAGE)
    assert page.status_code == 200
    for words in (
        "This would save 1 entry",
        "entries from 2 on were saved with a wrong clock",
        "Nothing is erased",
    ):
        assert words in page.text
    with Ledger(path) as book:
        assert book.head().size == 3
    told = client.get(f"{PAGE}.json").json()
    assert (told["stamped_ahead"]["first"], told["stamped_ahead"]["last"]) == (2, 3)


def test_the_clock_is_put_back_once_and_forms_are_saved_again(visitor: Visitor, path: Path) -> None:
    client = visitor(path)
    own = own_fields(client.get(PAGE).text)
    done = client.post(PAGE, data={**own, **SAID})
    assert (done.status_code, done.headers["location"]) == (303, "/fix-entry-dates?written=4")
    assert client.post(PAGE, data={**own, **SAID}).headers["location"] == done.headers["location"]
    assert "Entry 4 was saved." in client.get(done.headers["location"]).text
    with Ledger(path) as book:
        entry = book.entry(4)
        assert entry is not None
        assert (entry.act, entry.by, entry.note) == (CLOCK_BACK, "Dana Reyes", "an empty battery")
        assert (entry.recorded_at, entry.statements[0].value) == (NOW, 2)
        assert stamped_ahead(book, clock()) is None
        assert check(book).faults == []
    kept = client.post("/legal-hold", data={**own_fields(client.get("/legal-hold").text), **HOLD})
    assert kept.headers["location"] == "/legal-hold?written=5"


@pytest.mark.parametrize("wrong", [{"who": ""}, {"why": " "}, {"who": "x" * 201}, {"why": "x" * 201}])
def test_a_form_that_does_not_say_who_and_why_writes_nothing(
    visitor: Visitor, path: Path, wrong: dict[str, str]
) -> None:
    client = visitor(path)
    page = client.post(PAGE, data={**own_fields(client.get(PAGE).text), **SAID, **wrong})
    assert (page.status_code, "write it, in at most 200 characters" in page.text.lower()) == (422, True)
    with Ledger(path) as book:
        assert book.head().size == 3


def test_where_no_entry_lies_ahead_nothing_is_written(visitor: Visitor, tmp_path: Path) -> None:
    good = stamped(tmp_path / "own.airwrit", timedelta(minutes=-30))
    client = visitor(good)
    assert "There is nothing to fix." in client.get(PAGE).text
    own = own_fields(client.get("/legal-hold").text)
    with Ledger(good) as book:
        before = book.head()
        page = client.post(PAGE, data={**own, **SAID})
        assert (page.status_code, "no entry is dated later" in page.text.lower()) == (422, True)
        assert book.head() == before


@pytest.mark.parametrize(
    ("ahead", "saved"), [(timedelta(days=1), True), (timedelta(days=1, seconds=1), False)]
)
def test_a_day_ahead_is_let_pass(visitor: Visitor, tmp_path: Path, ahead: timedelta, saved: bool) -> None:
    """The same span as for a clock that is ahead of the last entry; the page itself shows it at any span."""
    client = visitor(stamped(tmp_path / "own.airwrit", ahead - timedelta(microseconds=1)))
    answer = client.post("/legal-hold", data={**own_fields(client.get("/legal-hold").text), **HOLD})
    assert (answer.status_code == 303) == saved
    assert "This would save 1 entry" in client.get(PAGE).text


def test_nothing_is_written_on_another_day_and_an_empty_place_is_shown(
    visitor: Visitor, path: Path, tmp_path: Path
) -> None:
    client = visitor(path)
    assert "You can save only on today's page" in client.get(f"{PAGE}?on=2026-01-02").text
    own = own_fields(client.get(PAGE).text)
    assert client.post(f"{PAGE}?on=2026-01-02", data={**own, **SAID}).status_code == 409
    assert "There is nothing to fix." in visitor(tmp_path / "none.airwrit").get(PAGE).text
