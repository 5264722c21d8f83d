"""What a hostile visitor tries: other sites, paths, headers, fields nobody asked for; and that looking writes nothing.

Source: OWASP ASVS 5.0.0, the requirements that docs/security.md names beside each test.
"""

from __future__ import annotations

import base64
import re
from pathlib import Path
from urllib.parse import quote

import pytest

from airwrit.ledger.checking.check import check
from airwrit.ledger.given_out import copies_made
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.guard import Session
from airwrit.web.server.site import PAGES
from tests.unit.web.conftest import PORT, Visitor, own_fields

OPEN = [page.path for page in PAGES if "{" not in page.path]
SAVED = ["/deadlines.ics"]
OUT = (
    "/static/../guard.py",
    "/static/%2e%2e%2fguard.py",
    "/static/..%5cguard.py",
    "/static/%2fetc%2fpasswd",
    "/static/",
    "/static",
    "/.git/config",
    "/docs",
    "/openapi.json",
    "/document/..%2f..%2fprogram.airwrit",
    "/document/%00",
)


def test_no_answer_opens_itself_to_other_sites(visitor: Visitor) -> None:
    client = visitor()
    for path in (*OPEN, "/static/sheet.css"):
        answer = client.get(path)
        assert not any(name.startswith("access-control-") for name in answer.headers), path
        assert answer.headers["cross-origin-resource-policy"] == "same-origin"
        assert answer.headers["cross-origin-opener-policy"] == "same-origin"


def test_looking_writes_nothing(visitor: Visitor, own_ledger: Path) -> None:
    client, before = visitor(own_ledger), own_ledger.read_bytes()
    for path in OPEN:
        assert client.head(path).status_code < 500
        if path in SAVED:
            continue
        for way in ({}, {"way": "write"}, {"yes": "1", "written": "9"}):
            assert client.get(path, params=way).status_code < 500
    assert own_ledger.read_bytes() == before
    assert [one.name for one in own_ledger.parent.iterdir()] == [own_ledger.name]


@pytest.mark.parametrize("path", SAVED)
def test_a_file_saved_is_noted_and_changes_no_record(visitor: Visitor, own_ledger: Path, path: str) -> None:
    client = visitor(own_ledger)
    with Ledger(own_ledger) as book:
        head, lines = book.head(), [line.text for line in book.lines()]
        before = copies_made(book)
        assert client.get(path).status_code == 200
        assert [one.name for one in copies_made(book)[len(before) :]] == [path[1:]]
        assert (book.head(), [line.text for line in book.lines()]) == (head, lines)
        assert check(book).faults == []


@pytest.mark.parametrize(
    "path",
    [
        "/?on=2026-11-25",
        "/today/",
        "//evil.example/",
        "//evil.example/standing/",
        "/%5c%5cevil.example/",
        "/aircraft/",
    ],
)
def test_no_redirect_leaves_this_site(visitor: Visitor, path: str) -> None:
    to = visitor().get(f"http://127.0.0.1:{PORT}{path}").headers.get("location", "/")
    assert re.match(rf"(http://127\.0\.0\.1:{PORT})?/(?![/\\])", to), to


def test_every_answer_says_what_it_is(visitor: Visitor) -> None:
    client = visitor()
    for path in (*OPEN, *(f"{path}.json" for path in OPEN), "/nowhere", "/static/sheet.css"):
        answer = client.get(path)
        kind = answer.headers.get("content-type", "")
        assert kind or not answer.content, path
        if kind.startswith("text/"):
            assert "charset=utf-8" in kind, path
        if kind.startswith("application/json"):
            answer.json()


@pytest.mark.parametrize("name", ["x-forwarded-for", "forwarded", "x-real-ip", "x-forwarded-host"])
def test_a_forwarded_address_is_not_believed(visitor: Visitor, name: str) -> None:
    told = {"forwarded": "for=127.0.0.1"}.get(name, "127.0.0.1")
    assert visitor(client=("10.0.0.8", 50_000)).get("/today", headers={name: told}).status_code == 403
    evil = visitor().get("/today", headers={"x-forwarded-host": "evil.example"})
    assert "evil.example" not in evil.text


@pytest.mark.parametrize("path", OUT)
def test_no_path_leads_out_of_what_is_served(visitor: Visitor, path: str) -> None:
    answer = visitor().get(f"http://127.0.0.1:{PORT}{path}")
    assert answer.status_code in (303, 307, 403, 404, 405), path
    assert "import annotations" not in answer.text
    assert "root:" not in answer.text


def test_a_name_cannot_break_a_header(visitor: Visitor) -> None:
    client = visitor()
    for pilot in ('x"; filename=evil.exe', "Nela Quist\r\nset-cookie: a=b", "\u202eexe.\u4e2d"):
        answer = client.get(f"/pilot-papers/html?pilot={quote(pilot)}")
        assert "set-cookie" not in answer.headers
        assert "evil" not in answer.headers.get("content-disposition", "")
    saved = client.get("/pilot-papers/html?pilot=Nela%20Quist&aircraft=Alder%201")
    assert re.fullmatch(r"attachment; filename\*=UTF-8''[\w.%-]+\.html", saved.headers["content-disposition"])
    assert saved.headers["content-type"] == "application/octet-stream"


def test_a_field_nobody_asked_for_changes_nothing(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    fields = {
        "aircraft": "Alder 3",
        "pilot": "Maris Tolland",
        "landed": "2026-11-25T08:20",
        "minutes": "14",
        "landings": "1",
    }
    more = {
        "by": "mallory",
        "act": "blank",
        "source": "mallory",
        "recorded_at": "2020-01-01",
        "owner": "mallory",
    }
    own = own_fields(client.get("/log-flight").text)
    answer = client.post("/log-flight", data={**fields, **more, **own, "way": "write"})
    assert answer.status_code == 303, answer.text[-400:]
    with Ledger(own_ledger) as book:
        entry = book.entry(book.head().size)
    assert entry is not None
    assert "mallory" not in repr(entry)
    assert entry.recorded_at.year == 2026


def test_secrets_are_long_enough() -> None:
    """Source: ASVS 5.0.0 V7.2.3 and V11.5.1, at least 128 bits."""
    found = {Session("t").secret for _ in range(50)}
    assert len(found) == 50
    assert all(len(base64.urlsafe_b64decode(one + "==")) * 8 >= 128 for one in found)
