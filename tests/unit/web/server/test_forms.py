"""Forms count once, and only on the ledger they were made for."""

from __future__ import annotations

import html
import re
import shutil
import threading
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.forms import (
    CLOCK,
    HEAD,
    IS_RIGHT,
    NO_ENTRIES,
    NONCE,
    ClockAsked,
    Resent,
    Stale,
    Typed,
    sent_before,
    ticket,
    ticket_of,
    write_once,
)
from airwrit.web.server.trouble import Refused
from airwrit.web.server.visit import Redirect, Visit
from airwrit.web.server.workspace import Workspace, asked_of
from tests.browser.serving import NOW, clock
from tests.unit.web.conftest import Visitor, client_of, own_fields

DRAFT = Draft("tests", "record", (Statement("aircraft/New 1", "maker", "Quernby"),))


def visit_of(desk: Workspace, said: dict[str, str], **query: str) -> Visit:
    """A visit with a form."""
    return Visit(desk, asked_of(query, NOW), "/log-flight", {}, query, said)


def fields(desk: Workspace) -> dict[str, str]:
    """What a form made now carries."""
    made = ticket(desk)
    return {HEAD: made.made_for, NONCE: made.nonce}


def write(visit: Visit) -> Redirect:
    """Write the draft once."""
    after = ticket_of(visit).head
    return write_once(
        visit, lambda book: book.append([DRAFT], clock, after=after), lambda made: f"/e/{made[0].seq}"
    )


def size(path: Path) -> int:
    """How many entries a ledger holds."""
    with Ledger(path) as book:
        return book.head().size


def test_a_form_sent_twice_writes_once(own_ledger: Path) -> None:
    desk = Workspace(own_ledger, clock)
    before, visit = size(own_ledger), visit_of(desk, fields(desk))
    first, second = write(visit), write(visit)
    assert first == second == Redirect(f"/e/{before + 1}")
    assert size(own_ledger) == before + 1


def test_a_form_sent_twice_at_once_writes_once(own_ledger: Path) -> None:
    desk = Workspace(own_ledger, clock)
    before, visit = size(own_ledger), visit_of(desk, fields(desk))
    led: list[Redirect] = []
    threads = [threading.Thread(target=lambda: led.append(write(visit))) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert led == [Redirect(f"/e/{before + 1}")] * 8
    assert size(own_ledger) == before + 1


@pytest.mark.parametrize("other", [{"minutes": "15"}, {"minutes": ""}, {"more": "x"}, {}])
def test_a_form_sent_again_with_other_values_is_never_told_as_saved(
    own_ledger: Path, other: dict[str, str]
) -> None:
    desk = Workspace(own_ledger, clock)
    own = fields(desk)
    first = write(visit_of(desk, {**own, "minutes": "14"}))
    saved = size(own_ledger)
    again = visit_of(desk, {**own, **other})
    for send in (write, sent_before):
        with pytest.raises(Resent) as resent:
            send(again)
        assert resent.value.to == first.to
    assert write(visit_of(desk, {**own, "minutes": "14"})) == first
    assert size(own_ledger) == saved


def test_of_a_field_given_several_times_every_value_counts(own_ledger: Path) -> None:
    desk = Workspace(own_ledger, clock)
    visit = replace(visit_of(desk, {**fields(desk), "a": "2"}), chosen={"a": ["1", "2"]})
    write(visit)
    with pytest.raises(Resent):
        write(replace(visit, chosen={"a": ["3", "2"]}))


def test_a_form_made_for_another_ledger_is_refused_by_its_name(own_ledger: Path, tmp_path: Path) -> None:
    """Another ledger of as many entries was put at the same place."""
    desk = Workspace(own_ledger, clock)
    visit, entries = visit_of(desk, fields(desk)), size(own_ledger)
    with Ledger.begin(tmp_path / "other.airwrit") as other:
        other.append([DRAFT] * entries, clock)
        name = other.name
    (tmp_path / "other.airwrit").replace(own_ledger)
    for send in (write, sent_before):
        with pytest.raises(Refused) as refused:
            send(visit)
        assert refused.value.trouble.status == 409
        assert f"holds ledger {name[:8]} of {entries} entries" in refused.value.trouble.what
    assert size(own_ledger) == entries


def test_a_form_made_for_a_forked_ledger_is_refused_by_its_root(own_ledger: Path, tmp_path: Path) -> None:
    """A backup was put back and written to otherwise: the same name, as many entries, another root."""
    fork = Path(shutil.copy(own_ledger, tmp_path / "fork.airwrit"))
    desk = Workspace(own_ledger, clock)
    write(visit_of(desk, fields(desk)))
    visit = visit_of(desk, fields(desk))
    with Ledger(fork) as other:
        other.append([DRAFT._replace(by="somebody else")], clock)
    fork.replace(own_ledger)
    with pytest.raises(Refused, match="with root"):
        write(visit)


def test_a_form_made_for_more_entries_than_there_are_is_refused(own_ledger: Path, tmp_path: Path) -> None:
    """An older backup was put back."""
    older = Path(shutil.copy(own_ledger, tmp_path / "older.airwrit"))
    desk = Workspace(own_ledger, clock)
    write(visit_of(desk, fields(desk)))
    visit = visit_of(desk, fields(desk))
    older.replace(own_ledger)
    with pytest.raises(Refused):
        write(visit)


def test_an_old_form_is_refused_with_what_changed(own_ledger: Path) -> None:
    """Two tabs: the second form was made for a ledger that has grown since."""
    desk = Workspace(own_ledger, clock)
    one, two = visit_of(desk, fields(desk)), visit_of(desk, fields(desk))
    write(one)
    before = size(own_ledger)
    with pytest.raises(Stale) as stale:
        write(two)
    assert [(entry.seq, entry.by, entry.subjects) for entry in stale.value.since] == [
        (before, "tests", ("aircraft/New 1",))
    ]
    assert size(own_ledger) == before


def test_a_form_overtaken_by_another_process_is_refused(own_ledger: Path) -> None:
    """The other one writes after the head was looked at: the store itself refuses, and so does the form."""
    desk = Workspace(own_ledger, clock)
    visit = visit_of(desk, fields(desk))

    def overtaken(book: Ledger) -> object:
        with Ledger(own_ledger) as other:
            other.append([DRAFT], clock)
        return book.append([DRAFT], clock, after=ticket_of(visit).head)

    with pytest.raises(Stale) as stale:
        write_once(visit, overtaken, lambda _: "/")
    assert len(stale.value.since) == 1


@pytest.mark.parametrize(
    "said",
    [
        {},
        {HEAD: f"0::{NO_ENTRIES}"},
        {HEAD: "0", NONCE: "a" * 24},
        {HEAD: f"-1::{NO_ENTRIES}", NONCE: "a" * 24},
        {HEAD: f"²::{NO_ENTRIES}", NONCE: "a" * 24},
        {HEAD: "0::" + "g" * 64, NONCE: "a" * 24},
        {HEAD: f"0::{NO_ENTRIES}", NONCE: "short"},
    ],
)
def test_a_form_without_its_ticket_is_refused(own_ledger: Path, said: dict[str, str]) -> None:
    with pytest.raises(Refused):
        write_once(
            visit_of(Workspace(own_ledger, clock), said),
            lambda book: book.append([DRAFT], clock),
            lambda _: "/",
        )


@pytest.mark.parametrize("query", [{"on": "2025-01-01"}, {"known": "2026-11-01"}, {"on": "2027-01-01"}])
def test_nothing_is_written_on_another_day(own_ledger: Path, query: dict[str, str]) -> None:
    desk = Workspace(own_ledger, clock)
    before = size(own_ledger)
    with pytest.raises(Refused):
        write(visit_of(desk, fields(desk), **query))
    assert size(own_ledger) == before


def test_what_failed_may_be_sent_again(own_ledger: Path) -> None:
    """A form whose write failed is not remembered as done."""
    desk = Workspace(own_ledger, clock)
    visit = visit_of(desk, fields(desk))

    def failing(book: Ledger) -> object:
        raise OSError("the disk is full")

    with pytest.raises(OSError, match="full"):
        write_once(visit, failing, lambda _: "/")
    assert write(visit).to.startswith("/e/")


def fill(client: TestClient, own: dict[str, str], **query: str) -> int:
    """Send the first run's form; the status of the answer."""
    return client.post("/first-run", data={"way": "demo", **own}, params=query).status_code


def test_the_first_run_fills_a_ledger_once(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    client = visitor(path)
    page = client.get("/today")
    assert "An empty ledger" in page.text
    own, other = own_fields(page.text), own_fields(client.get("/today").text)
    assert own[NONCE] != other[NONCE]
    assert fill(client, own, on="2025-01-01") == 409
    assert fill(client, own) == 303
    filled = size(path)
    assert fill(client, own) == 303
    old = client.post("/first-run", data={"way": "demo", **other, "note": "typed <b>"})
    assert old.status_code == 409
    assert "typed &lt;b&gt;" in old.text
    assert size(path) == filled
    assert "Tarn &amp; Fell" in client.get("/today").text


def test_the_title_of_a_form_in_trouble_says_so() -> None:
    assert Typed({}, {}).title("Enter") == "Enter"
    assert Typed({}, {"day": "isn't a date"}).title("Enter") == "Trouble: Enter"


@pytest.mark.parametrize(
    ("ahead", "asked"), [(timedelta(days=1), False), (timedelta(days=1, seconds=1), True)]
)
def test_a_clock_far_ahead_of_the_last_entry_is_asked_about(
    own_ledger: Path, ahead: timedelta, asked: bool
) -> None:
    with Ledger(own_ledger) as book:
        later = book.last_moment() + ahead
    desk = Workspace(own_ledger, lambda: later)
    visit = Visit(desk, asked_of({}, later), "/log-flight", {}, {}, {**fields(desk), "minutes": "14"})
    before = size(own_ledger)
    if asked:
        with pytest.raises(ClockAsked, match="The last entry was recorded 1 day earlier"):
            write(visit)
        assert size(own_ledger) == before
        visit = replace(visit, said={**visit.said, CLOCK: IS_RIGHT})
    assert write(visit).to == f"/e/{before + 1}"
    assert write(visit).to == f"/e/{before + 1}"
    assert size(own_ledger) == before + 1


def test_the_page_asks_and_sends_the_form_again_as_it_was(own_ledger: Path) -> None:
    later = NOW + timedelta(days=300)
    client = client_of(Workspace(own_ledger, lambda: later, "tests"))
    own = own_fields(client.get("/log-flight").text)
    flight = {
        "aircraft": "Alder 3",
        "pilot": "Maris Tolland",
        "day": "2026-11-20",
        "minutes": "14",
        "landings": "1",
    }
    page = client.post("/log-flight", data={**own, **flight, "defect": 'a "crack" <b>', "way": "write"})
    assert page.status_code == 409, page.text
    assert "Is the clock right?" in page.text
    found = re.findall(r'<input type="hidden" name="([^"]*)" value="([^"]*)">', page.text)
    hidden = {name: html.unescape(value) for name, value in found}
    assert hidden["defect"] == 'a "crack" <b>'
    assert hidden["made_for"] == own["made_for"]
    before = size(own_ledger)
    assert client.post("/log-flight", data={**hidden, CLOCK: IS_RIGHT}).status_code == 303
    assert size(own_ledger) == before + 1
