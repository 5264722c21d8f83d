"""Whatever a ledger, an address or a form says: on every page it is text, never an element, an attribute or a fault of ours."""

from __future__ import annotations

import re
from collections.abc import Iterator
from hashlib import sha256
from pathlib import Path
from typing import Any
from urllib.parse import quote

import html5lib
import pytest
from httpx2 import Response

from airwrit.answers.acts.catalog import ACTS
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS, TABLES
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.site import PAGES
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor, own_fields

HOSTILE = (
    "<script>alert(1)</script>",
    "\"'><img src=x onerror=alert(1)>",
    "</title></textarea></select><svg onload=alert(1)>",
    "{{ 7777 * 7777 }}{% raw %}",
    "javascript:alert(1)",
    "\u202egnp.exe\u202c \u0591\ufeff",
    "\x1b[31mred\x07",
    "../..//?on=x#y%00&known=<b>",
    "n" * 10_000,
)
ADDRESSED = ("href", "src", "action", "formaction", "srcset", "poster", "data")
UNSEEN = re.compile("[\u202a-\u202e\u2066-\u2069\ufeff\x00-\x08\x0b-\x1f\x7f]")
KINDS_OF_ACT = tuple({act.about: act for act in ACTS}.values())
"""One act of each kind of subject: the form is the same for all."""
_OF_ITS_FORM = re.compile(r'<input type="hidden"[^>]* value="[\w-]{20,}"[^>]*>')
_LOOKED_THROUGH: set[bytes] = set()
"""Pages that hold only text, by what they are but for the numbers of their forms."""
_FIELD = re.compile(r'<(?:input|select|textarea)[^>]* name="([^"]+)"')

every_text = pytest.mark.parametrize("text", HOSTILE, ids=range(len(HOSTILE)))


@pytest.fixture(scope="module")
def hostile_ledger(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A ledger in which, for each text, every fact that takes a text says it, as does every name."""
    path = tmp_path_factory.mktemp("hostile") / "hostile.airwrit"
    with Ledger.begin(path) as book:
        book.append([draft for text in HOSTILE for draft in hostile_drafts(text)], clock)
    return path


def hostile_drafts(text: str) -> Iterator[Draft]:
    """The entries that say one text."""
    said: dict[str, list[Statement]] = {}
    for key in KEYS.values():
        if key.kind is str:
            subject = f"{TABLES[key.table]}/{text}"
            said.setdefault(subject, []).append(Statement(subject, key.name, text))
    said[f"aircraft/{text}"].append(Statement(f"aircraft/{text}", "used_for", "work"))
    said[f"flight/{text}"].append(Statement(f"flight/{text}", "flown_on", "2026-11-20"))
    yield from (Draft(text, "record", tuple(mine), note=text) for mine in said.values())


def named_addresses(text: str) -> Iterator[tuple[str, str]]:
    """Every address of the site that holds a name, with `text` for it, and the page that it belongs to."""
    name = quote(text, safe="")
    for page in PAGES:
        if page.path == "/record-change/{act}/{subject:path}":
            yield from ((f"/record-change/{one.name}/{one.about}/{name}", page.path) for one in KINDS_OF_ACT)
        elif "{" in page.path and page.path != "/record-change/{act}":
            path = page.path.replace("{subject:path}", f"aircraft/{name}").replace("{digest}", "0" * 64)
            path = path.replace("{kind}", "html")
            yield re.sub(r"\{\w+(:path)?\}", lambda _: name, path), page.path


def plain_addresses() -> Iterator[str]:
    """Every other address of the site: what they list holds every text."""
    yield from (page.path for page in PAGES if "{" not in page.path)
    yield from (f"/record-change/{one.name}" for one in KINDS_OF_ACT if one.may_be_new)
    yield "/take-back/1"


def only_text(source: str, where: str) -> None:
    """Fail where anything of a page but its words, and the fields that hold them, can come from the user's text."""
    tree = html5lib.parse(source, namespaceHTMLElements=False)
    for element in tree.iter():
        attributes: dict[str, Any] = dict(element.attrib)
        assert not any(name.startswith("on") or name == "style" for name in attributes), where
        for name in ADDRESSED:
            assert attributes.get(name, "/").startswith(("/", "#", "https://", "?", "tel:911")), (
                where,
                attributes,
            )
        if element.tag == "script":
            assert attributes["src"].startswith("/static/"), where
            assert not element.text, where
        seen = [element.text, element.tail, *(attributes.get(name) for name in ("title", "aria-label"))]
        if element.tag != "textarea":
            unseen = [words for words in seen if words and UNSEEN.search(words)]
            assert unseen == [], (where, element.tag)
    assert not list(tree.iter("img")), where
    assert "60481729" not in source, where


def test_on_every_page_it_stays_text(visitor: Visitor, hostile_ledger: Path) -> None:
    client = visitor(hostile_ledger)
    for path in plain_addresses():
        answer = client.get(path)
        assert answer.status_code == 200, (path, answer.text[-600:])
        look_through(answer, path)
        look_through(client.get(f"{path}.json"), path)


@every_text
def test_on_every_page_that_it_names_it_stays_text(visitor: Visitor, hostile_ledger: Path, text: str) -> None:
    client = visitor(hostile_ledger)
    for path, page in named_addresses(text):
        look_through(client.get(path), page)
        if text in HOSTILE[::4]:
            look_through(client.get(f"{path}.json"), page)


def look_through(answer: Response, where: str) -> None:
    """Fail where an answer is a fault of ours, or holds anything of a text but words."""
    assert answer.status_code < 500, (where, answer.text[-600:])
    assert answer.headers["x-content-type-options"] == "nosniff"
    page = sha256(_OF_ITS_FORM.sub("", answer.text).encode()).digest()
    if answer.headers.get("content-type", "").startswith("text/html") and page not in _LOOKED_THROUGH:
        only_text(answer.text, where)
        _LOOKED_THROUGH.add(page)


@every_text
def test_in_every_field_it_stays_text_and_writes_no_fault(
    visitor: Visitor, tmp_path: Path, text: str
) -> None:
    """Each form of each page, sent with the text in all its fields."""
    ledger = tmp_path / "hostile.airwrit"
    with Ledger.begin(ledger) as book:
        book.append(list(hostile_drafts(text)), clock)
    client = visitor(ledger)
    acting = {page.path for page in PAGES if page.act}
    forms = [path for path in plain_addresses() if path in acting or path.startswith("/record-change/")]
    for path in [*forms, *(path for path, page in named_addresses(text) if page in acting)]:
        source = client.get(path).text
        own, fields = own_fields(source), set(_FIELD.findall(source))
        for way in ("show", "write"):
            look_through(client.post(path, data=dict.fromkeys(fields, text) | own | {"way": way}), path)


@every_text
def test_in_an_address_it_stays_text(visitor: Visitor, text: str) -> None:
    """On the invented program, in every part of the query that a page may read."""
    client = visitor()
    parts = (
        "find",
        "standing",
        "page",
        "written",
        "aircraft",
        "pilot",
        "landed",
        "all",
        "of",
        "act",
        "subject",
    )
    for page in PAGES:
        if "{" in page.path:
            continue
        for asked in (("on",), ("known",), parts):
            look_through(client.get(page.path, params=dict.fromkeys(asked, text[:4_000])), page.path)
