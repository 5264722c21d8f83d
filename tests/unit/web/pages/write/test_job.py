"""Jobs on the page: shown before they are saved, saved as one entry, refused with what is wrong where it is wrong."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.answers.jobs.catalog import JOBS
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.site import JOB_NAMES
from tests.unit.web.conftest import Visitor, own_fields

NEW = {
    "name": "Maple 1",
    "model": "Korrin Sarvo 4",
    "owner": "Tarn & Fell Land Services",
    "used_for": "work",
    "got_on": "2026-11-20",
    "weight": "3.1 lb",
    "serial": "ZZ9Z8SURV4A77",
    "remote_id": "standard, listed",
    "number": "FA00TEST16",
    "issued_on": "2026-11-24",
    "listed": "yes",
    "mark": "outside",
}


def size_of(ledger: Path) -> int:
    """The number of entries."""
    with Ledger(ledger) as book:
        return book.head().size


def test_every_job_has_its_page() -> None:
    assert set(JOB_NAMES) == set(JOBS)


def test_a_new_aircraft_is_shown_then_saved_as_one_entry(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    own = own_fields(client.get("/new-aircraft").text)
    shown = client.post("/new-aircraft", data={**own, **NEW, "way": "show"}).text
    assert "expires" in shown
    assert "Nov 24, 2029" in shown
    assert size_of(own_ledger) == size
    done = client.post("/new-aircraft", data={**own, **NEW, "way": "write"})
    assert done.headers["location"] == f"/aircraft/Maple%201?written={size + 1}"
    assert size_of(own_ledger) == size + 1
    twin = client.get("/aircraft/Maple%201.json").json()
    assert not [one for one in twin["findings"] if one["verdict"] == "not met" and one["rule"] != "covered"]


def test_a_name_that_is_taken_is_said(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    own = own_fields(client.get("/new-aircraft").text)
    answer = client.post("/new-aircraft", data={**own, **NEW, "name": "Alder 1", "way": "write"})
    assert answer.status_code == 422
    assert "is on file already" in answer.text
    assert size_of(own_ledger) == size


def test_a_renewal_is_worked_out_before_it_is_saved(visitor: Visitor, own_ledger: Path) -> None:
    page = visitor(own_ledger).get("/renew?of=registration/FA00TEST03").text
    assert "Feb 13, 2030" in page
    assert "This would save one entry" in page


def test_all_changes_are_filed_as_one_entry(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    page = client.get("/filed-with-faa").text
    which = [part.partition('"')[0] for part in page.split('name="which" value="')[1:]]
    assert len(which) > 3
    said = {**own_fields(page), "which": which, "filed_on": "2026-11-25", "way": "write"}
    assert client.post("/filed-with-faa", data=said).status_code == 303
    assert size_of(own_ledger) == size + 1
    assert "There is no change to file" in client.get("/filed-with-faa").text


def test_who_leaves_hands_over_and_nobody_unknown_leaves(visitor: Visitor, own_ledger: Path) -> None:
    client, size = visitor(own_ledger), size_of(own_ledger)
    path = "/person-leaves?of=person/Maris%20Tolland"
    said = {
        **own_fields(client.get(path).text),
        "left_on": "2026-11-25",
        "taker": "Nela Quist",
        "way": "write",
    }
    assert client.post(path, data=said).status_code == 303
    assert size_of(own_ledger) == size + 1
    assert "Maris Tolland" not in client.get("/person-leaves").text
    assert "Nela Quist" in client.get("/person-leaves").text
    for wrong in ("/person-leaves?of=person/Nobody", "/person-leaves?of=aircraft/Larch"):
        assert client.get(wrong).status_code == 404


@pytest.mark.parametrize("path", ["/new-aircraft", "/new-person", "/renew"])
def test_a_first_form_opens_without_an_error(visitor: Visitor, path: str) -> None:
    answer = visitor().get(path)
    assert answer.status_code == 200
    assert "keeps this from being saved" not in answer.text
    assert "Trouble" not in answer.text


@pytest.mark.parametrize("path", ["/new-aircraft", "/new-person", "/renew", "/filed-with-faa"])
def test_it_opens_where_there_is_no_ledger_yet(visitor: Visitor, tmp_path: Path, path: str) -> None:
    assert visitor(tmp_path / "new.airwrit").get(path).status_code == 200


def test_the_first_aircraft_of_all_begins_a_ledger(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "new.airwrit"
    client = visitor(path)
    own = own_fields(client.get("/new-aircraft").text)
    assert (
        "This would save one entry" in client.post("/new-aircraft", data={**own, **NEW, "way": "show"}).text
    )
    assert not path.exists()
    assert client.post("/new-aircraft", data={**own, **NEW, "way": "write"}).status_code == 303
    assert size_of(path) == 1
