"""Taking out and holds on the page: shown first, never the value, stopped by a hold, and done once."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.answers.sheets.difference import before
from airwrit.answers.sheets.importing import ImportOptions, keep, preview_of, read_files
from airwrit.ledger.checking.check import check
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

CREW = (
    b"Name,Role,Certificate number,Born,Initial test\n"
    b"Jo Test,pilot,0000071,1990-01-22,2024-01-02\nAl Test,pilot,0000072,1991-02-03,2024-01-03\n"
)
FLEET = b"Aircraft,Model,Notes\nT-1,One,cert 0000071\n"
VALUES = (b"0000071", b"1990-01-22")
PAGE = "/erase-personal-data/Jo%20Test"
SAID = {"asked_by": "Jo Test", "approved_by": "Dana Reyes", "why": "request 1"}


@pytest.fixture
def path(tmp_path: Path) -> Path:
    """A ledger with a person whose values stand in two sheets."""
    made = tmp_path / "own.airwrit"
    with Ledger.begin(made) as book:
        for name, data in (("crew.csv", CREW), ("fleet.csv", FLEET)):
            wish = ImportOptions("ada", clock().date())
            keep(book, preview_of(read_files([(name, data)]), before(book), wish), clock)
    return made


def test_a_person_is_taken_out_on_the_page(visitor: Visitor, path: Path) -> None:
    client = visitor(path)
    assert 'href="/erase-personal-data/Jo%20Test"' in client.get("/people/Jo%20Test").text
    page = client.get(PAGE)
    assert page.status_code == 200
    assert all(name in page.text for name in ("crew.csv", "fleet.csv", "birthday", "What we can't remove"))
    assert not any(value.decode() in page.text for value in VALUES)
    told = client.get(f"{PAGE}.json").json()
    assert {one["name"] for one in told["files"]} == {"crew.csv", "fleet.csv"}
    assert all(value in path.read_bytes() for value in VALUES)
    done = client.post(PAGE, data={**own_fields(page.text), **SAID})
    assert done.status_code == 303, done.text
    assert done.headers["location"].endswith("left=nothing")
    after = client.get(done.headers["location"]).text
    assert "A search of the file&#39;s bytes finds none of it." in after or "finds none of it" in after
    assert not any(value in path.read_bytes() for value in VALUES)
    again = client.post(PAGE, data={**own_fields(page.text), **SAID})
    assert again.headers["location"] == done.headers["location"]
    with Ledger(path) as book:
        assert check(book).faults == []
        entry = book.entry(book.head().size)
    assert entry is not None
    said = {one.key: one.value for one in entry.statements}
    assert (said["request_asked_by"], said["request_approved_by"]) == ("Jo Test", "Dana Reyes")


def test_files_saved_from_the_page_are_out_of_reach_and_listed(visitor: Visitor, path: Path) -> None:
    client = visitor(path)
    saved = {
        "/pilot-papers/html?pilot=Jo%20Test": "carry-jo-test-2026-11-25.html",
        "/pilot-papers/pdf?pilot=Al%20Test": "carry-al-test-2026-11-25.pdf",
        "/registration-sheets/aircraft/T-1": "worksheet.pdf",
        "/deadlines.ics": "deadlines.ics",
    }
    for where, name in saved.items():
        assert client.head(where).status_code == 200
        assert name in client.get(where).headers["content-disposition"]
    assert client.get("/which-registration.pdf").status_code == 200
    assert client.post("/proof", data={"of": "person/Jo Test"}).status_code == 200
    told = client.get(f"{PAGE}.json").json()["not_reached"]
    listed = [(one["what"], one["name"]) for one in told if one["what"] != "the original, where it came from"]
    assert listed == [
        ("carry pack", "carry-jo-test-2026-11-25.html"),
        ("worksheet", "worksheet.pdf"),
        ("calendar", "deadlines.ics"),
        ("proof", "proof-2026-11-25.pdf"),
    ]
    with Ledger(path) as book:
        assert check(book).faults == []


@pytest.mark.parametrize(
    ("change", "says"),
    [
        ({"why": ""}, "at most 200"),
        ({"asked_by": ""}, "at most 200"),
        ({"why": "the number 0000071"}, "Write the reason without it"),
        ({"why": "born 01/22/1990"}, "Write the reason without it"),
    ],
)
def test_a_form_that_does_not_say_why_or_repeats_the_value_takes_nothing_out(
    visitor: Visitor, path: Path, change: dict[str, str], says: str
) -> None:
    client = visitor(path)
    page = client.post(PAGE, data={**own_fields(client.get(PAGE).text), **SAID, **change})
    assert page.status_code == 422
    assert says.casefold() in page.text.casefold()
    assert not any(value.decode() in page.text for value in (*VALUES, b"01/22/1990"))
    assert all(value in path.read_bytes() for value in VALUES)


def test_a_hold_set_on_the_page_blocks_it_until_released(visitor: Visitor, path: Path) -> None:
    client = visitor(path)
    held = {"of": "person/Jo Test", "kind": "litigation", "who": "Dana Reyes", "why": "a claim"}
    page = client.get("/legal-hold?of=person/Jo+Test").text
    assert 'value="person/Jo Test"' in page
    done = client.post("/legal-hold", data={**own_fields(page), **held})
    assert done.status_code == 303, done.text
    blocked = client.get(PAGE).text
    assert "On hold." in blocked
    assert "Set by Dana Reyes" in blocked
    refused = client.post(PAGE, data={**own_fields(blocked), **SAID})
    assert refused.status_code == 422
    assert all(value in path.read_bytes() for value in VALUES)
    number = client.get("/legal-hold.json").json()["holds"][0]["hold"]
    form = client.get(f"/legal-hold?hold={number}").text
    assert f"Release hold {number}" in form
    released = client.post(
        "/legal-hold", data={**own_fields(form), "hold": str(number), "who": "Lee Osei", "why": "settled"}
    )
    assert released.status_code == 303, released.text
    assert "Lee Osei" in client.get("/legal-hold").text
    page = client.get(PAGE).text
    assert client.post(PAGE, data={**own_fields(page), **SAID}).status_code == 303
    assert not any(value in path.read_bytes() for value in VALUES)


@pytest.mark.parametrize(
    ("values", "says"),
    [
        (
            {"of": "aircraft/nothing", "kind": "litigation", "who": "x", "why": "y"},
            "There is no record named",
        ),
        ({"of": "person/Jo Test", "kind": "whim", "who": "x", "why": "y"}, "what kind of hold"),
        ({"of": "person/Jo Test", "kind": "litigation", "who": "", "why": "y"}, "at most 200"),
        ({"hold": "99", "who": "x", "why": "y"}, "<p>No hold"),
    ],
)
def test_a_wrong_form_of_a_hold_writes_nothing(
    visitor: Visitor, path: Path, values: dict[str, str], says: str
) -> None:
    client = visitor(path)
    before_it = path.read_bytes()
    page = client.post("/legal-hold", data={**own_fields(client.get("/legal-hold").text), **values})
    assert page.status_code == 422
    assert says in page.text
    assert path.read_bytes() == before_it


def test_nobody_and_an_empty_ledger_are_told(visitor: Visitor, path: Path, tmp_path: Path) -> None:
    assert visitor(path).get("/erase-personal-data/Nobody").status_code == 404
    assert visitor(tmp_path / "none.airwrit").get(PAGE).status_code == 404
    assert visitor(tmp_path / "none.airwrit").get("/legal-hold").status_code == 200
    assert "Removed." not in visitor(path).get(f"{PAGE}?entry=1&left=nothing").text
