"""Nothing that the command line can put on record is missing on the page: each option that writes has its field."""

from __future__ import annotations

import html
import re
from collections.abc import Iterator, Mapping
from importlib import import_module
from pathlib import Path

import click
import pytest

from airwrit.answers.acts.catalog import ACTS
from airwrit.cli.main import COMMANDS
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import ALL_KEYS, TABLES
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.site import JOB_NAMES, PAGES
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

SAID_TWICE = frozenset({"ledger", "by", "clock_is_right", "yes", "as_json"})
"""What every command that writes takes: where, who, and whether to ask; the page knows these by itself."""

LOOKS = frozenset(
    {
        "house",
        "private",
        "listed",
        "acts",
        "keys",
        "save",
        "worksheet",
        "questions_to",
        "typed",
        "kept",
        "port",
    }
)
"""What only shows or makes a file."""

JOB = {"words": "name", "note": "note"}
ON_PAGE: Mapping[str, tuple[str, Mapping[str, str]]] = {
    "new-aircraft": ("/new-aircraft", JOB),
    "renew": ("/renew", {"words": "which", "note": "note"}),
    "filed-with-faa": ("/filed-with-faa", {"words": "which", "note": "note"}),
    "new-person": ("/new-person", JOB),
    "person-leaves": ("/person-leaves?of=person/Maris%20Tolland", {"words": "left_on", "note": "note"}),
    "record-change": (
        "/record-change?of=aircraft/Gorse&fact=mark_place",
        {"words": "value", "start": "since", "until": "until", "note": "note"},
    ),
    "log-flight": (
        "/log-flight",
        {
            "aircraft": "aircraft",
            "pilot": "pilot",
            "landed": "landed",
            "minutes": "minutes",
            "landings": "landings",
            "packs": "packs",
            "defect": "defect",
            "use": "use",
            "against": "against",
            "nth": "nth",
            "correct": "corrects",
            "note": "note",
        },
    ),
    "import": (
        "/import",
        {
            "sheets": "files",
            "use": "use",
            "owner": "owner",
            "dates": "dates",
            "start": "start",
            "corrects": "corrects",
            "takes_back": "takes_back",
            "replaces": "replaces",
            "note": "note",
        },
    ),
    "attach-file": (
        "/attach-file/aircraft/Alder%202",
        {"file": "file", "shows": "shows", "on": "made_on", "correct": "corrects", "note": "note"},
    ),
    "legal-hold": ("/legal-hold?of=aircraft/Larch", {"subject": "of", "kind": "kind", "why": "why"}),
    "erase-personal-data": (
        "/erase-personal-data/Maris%20Tolland",
        {"why": "why", "asked_by": "asked_by", "approved_by": "approved_by"},
    ),
    "fix-entry-dates": ("/fix-entry-dates", {}),
    "before-flight": (
        "/before-flight",
        {
            "place": "place",
            "aircraft": "aircraft",
            "pilot": "pilot",
            "height": "height",
            "against": "against",
        },
    ),
    "after-flight": ("/after-flight", {"log": "file"}),
    "incident": ("/incident", {}),
}
"""The page of each command that writes, and the field of each option that says what goes on record."""

FLIGHTS = ("before-flight", "after-flight", "incident")
"""Pages that ask more than fits a table here; their own tests hold them to their commands."""

ELSEWHERE: Mapping[tuple[str, str], str] = {
    ("attach-file", "subject"): "/attach-file/aircraft/Alder%202",
    ("record-change", "on"): "/record-change/mark/aircraft/Gorse",
    ("record-change", "correct"): "/record-change/mark/aircraft/Gorse",
    ("record-change", "take_back"): "/take-back/1",
    ("record-change", "facts"): "/import",
    ("record-change", "beside"): "",
    ("log-flight", "release"): "/log-flight",
    ("import", "mapping"): "/import",
    ("import", "answers"): "/import",
    ("legal-hold", "released"): "/legal-hold?of=aircraft/Larch",
    ("erase-personal-data", "person"): "/erase-personal-data/Maris%20Tolland",
    ("erase-personal-data", "files"): "/erase-personal-data/Maris%20Tolland",
    ("erase-personal-data", "entries"): "",
    ("erase-personal-data", "finish"): "",
    ("fix-entry-dates", "back"): "/fix-entry-dates",
    ("fix-entry-dates", "note"): "/fix-entry-dates",
}
"""Options whose page is another one, or whose field is there only once a file was sent or something was shown.

Empty: the page does without. It never keeps two values of one fact side by side: it asks which one counts. It takes a person's
private facts out as a whole; single entries, and the rest of a run that was stopped, are for who has the file in hand.
"""


def writing() -> Iterator[tuple[str, click.Command]]:
    """The commands that say who writes."""
    for name, (place, _) in COMMANDS.items():
        module, _, command = place.partition(":")
        found = getattr(import_module(module), command or "command")
        if any(one.name == "by" for one in found.params) and name != "open-page":
            yield name, found


WRITING = dict(writing())


def test_every_command_that_writes_has_a_page_with_a_form() -> None:
    forms = {page.path.split("/")[1] for page in PAGES if page.act}
    assert set(WRITING) == set(ON_PAGE)
    assert {name for name in WRITING if name not in forms} == set()


@pytest.mark.parametrize("name", [name for name in ON_PAGE if name not in FLIGHTS])
def test_each_of_its_options_has_a_field(name: str, visitor: Visitor) -> None:
    address, fields = ON_PAGE[name]
    said = {str(one.name) for one in WRITING[name].params} - SAID_TWICE - LOOKS
    assert said - set(fields) == {option for command, option in ELSEWHERE if command == name}
    source = visitor().get(address).text
    assert {field for field in fields.values() if f'name="{field}"' not in source} == set()


@pytest.mark.parametrize("address", sorted(set(filter(None, ELSEWHERE.values()))))
def test_the_other_pages_are_there(address: str, visitor: Visitor) -> None:
    answer = visitor().get(address)
    assert answer.status_code == 200
    assert "<form" in answer.text


def test_every_act_has_its_form_with_all_its_fields(visitor: Visitor, own_ledger: Path) -> None:
    of = {
        "aircraft": "Alder 1",
        "registration": "FA00TEST01",
        "person": "Maris Tolland",
        "owner": "Tarn & Fell Land Services",
        "paper": "Liability policy",
    }
    kinds = {act.about for act in ACTS} - set(of)
    texts = {
        TABLES[key.table]: key.name for key in ALL_KEYS if key.kind is str and TABLES[key.table] in kinds
    }
    some = tuple(Statement(f"{kind}/Z 1", texts[kind], "some") for kind in sorted(kinds))
    with Ledger(own_ledger) as book:
        book.append([Draft("tests", "record", some)], clock)
    client = visitor(own_ledger)
    for act in ACTS:
        name = of.get(act.about, "Z 1").replace("&", "%26")
        source = client.get(f"/record-change/{act.name}/{act.about}/{name}").text
        assert [one.name for one in act.fields if f'name="{one.name}"' not in source] == [], act.name
        assert 'name="note"' in source, act.name


def test_every_fact_has_its_field(visitor: Visitor) -> None:
    client = visitor()
    kinds = dict.fromkeys(TABLES[key.table] for key in ALL_KEYS)
    for kind in kinds:
        page = html.unescape(client.get(f"/record-change?of={kind}/Z").text)
        listed = set(re.findall(r"fact=(\w+)", page))
        assert {key.name for key in ALL_KEYS if TABLES[key.table] == kind} - listed == set(), kind


def test_every_job_of_the_command_line_is_a_page() -> None:
    assert set(JOB_NAMES) <= set(WRITING)


def last_entry(path: Path) -> tuple[str, str, tuple[object, ...]]:
    """The act, note and statements of the last entry."""
    with Ledger(path) as book:
        entry = book.entry(book.head().size)
    assert entry is not None
    return entry.act, entry.note, entry.statements


def test_a_note_and_a_correction_of_an_act_are_kept(visitor: Visitor, own_ledger: Path) -> None:
    client, address = visitor(own_ledger), "/record-change/mark/aircraft/Elm 1"
    said = {"day": "2026-11-25", "place": "outside", "note": "seen on the bench", "way": "write"}
    assert client.post(address, data={**own_fields(client.get(address).text), **said}).status_code == 303
    assert last_entry(own_ledger)[:2] == ("mark", "seen on the bench")
    again = {**said, "place": "not marked", "corrects": "yes", "note": ""}
    assert client.post(address, data={**own_fields(client.get(address).text), **again}).status_code == 303
    state = client.get("/aircraft/Elm 1.json").json()
    assert "not marked" in str(state)
    other = "/record-change/mark/aircraft/Birch 1"
    wrong = client.post(other, data={**own_fields(client.get(other).text), **again})
    assert "nothing like it is on record" in html.unescape(wrong.text).lower()


def test_a_fact_ends_or_holds_until_a_day(visitor: Visitor, own_ledger: Path) -> None:
    client, address = visitor(own_ledger), "/record-change?of=aircraft/Alder%201&fact=mark_place"
    said = {"fact": "mark_place", "for": "aircraft/Alder 1", "way": "write"}

    def saved(**more: str) -> int:
        form = own_fields(client.get(address).text)
        return client.post("/record-change", data={**form, **said, **more}).status_code

    assert saved(ended="yes", since="2026-11-20") == 303
    (ended,) = last_entry(own_ledger)[2]
    assert (ended.value, str(ended.valid_from)) == (None, "2026-11-20")  # type: ignore[attr-defined]
    assert saved(value="outside", since="2026-11-21", until="2027-01-01") == 303
    (until,) = last_entry(own_ledger)[2]
    assert str(until.valid_until) == "2027-01-01"  # type: ignore[attr-defined]
    assert saved(value="outside", since="2026-11-21", until="2026-11-01") == 422


def test_a_file_of_facts_is_imported(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    text = b'[aircraft]\nid = "Gorse"\n[mark]\naircraft = "Gorse"\nmark_place = "outside"\n'
    form = own_fields(client.get("/import").text)
    moved = client.post("/import", data={**form, "way": "look"}, files={"files": ("facts.toml", text)})
    page = client.get(moved.headers["location"]).text
    assert "This would save one fact" in page
    hidden = dict(re.findall(r'<input type="hidden" name="(tray|seen)" value="([^"]*)"', page))
    kept = client.post("/import", data={**own_fields(page), **hidden, "way": "keep"})
    assert kept.status_code == 303
    assert last_entry(own_ledger)[2][0][:3] == ("aircraft/Gorse", "mark_place", "outside")  # type: ignore[index]
