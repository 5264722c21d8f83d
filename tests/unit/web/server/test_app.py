"""Requests become pages: twins, days, troubles, and nothing of the user's unescaped."""

from __future__ import annotations

import json
from importlib import import_module
from pathlib import Path
from typing import Any, get_args, get_type_hints

import html5lib
import pytest

from airwrit.answers.standing.json import standing_json
from airwrit.base.faults import WHERE_IT_BROKE
from airwrit.web.server.app import site_of
from airwrit.web.server.guard import Session
from airwrit.web.server.site import NAMES, PAGES
from airwrit.web.server.visit import Answer, Visit
from airwrit.web.server.workspace import Workspace, asked_of
from tests.browser.serving import NOW, clock
from tests.unit.web.conftest import Visitor
from tests.unit.web.looping import result_of


def test_hostile_addresses_stay_text(visitor: Visitor) -> None:
    client = visitor()
    for path in (
        "/%3Cscript%3Ealert(1)%3C/script%3E",
        "/rules/%3Cscript%3E",
        "/today?on=%3Cscript%3E",
        "/today?known=%22%3E%3Cb%3E",
    ):
        answer = client.get(path)
        assert 400 <= answer.status_code < 500
        assert "<script>" not in answer.text.replace('<script type="module"', "")
        assert "<b>" not in answer.text


def test_the_twin_is_the_pages_data(visitor: Visitor, demo: tuple[Path, Path]) -> None:
    """The JSON twin is what the answer says, and the page shows every row of it."""
    client = visitor()
    twin = client.get("/today.json").json()
    real = standing_json(Workspace(demo[0], clock, "tests", (demo[1],)).standing(asked_of({}, NOW)))
    assert twin == json.loads(json.dumps(real))
    page = client.get("/today").text
    for row in twin["rows"]:
        assert f">{row['subject'].partition('/')[2]}<" in page


def test_every_page_is_where_it_is_said_to_be() -> None:
    """A page is loaded by name when it is first asked for; no name may be wrong until then."""
    for page in PAGES:
        module = import_module(f"airwrit.web.pages.{page.module}")
        for name in filter(None, (page.show, page.act)):
            hints = get_type_hints(getattr(module, name))
            given = hints.pop("return")
            assert hints == {"visit": Visit}, page.path
            assert set(get_args(given) or (given,)) <= set(get_args(Answer)), page.path
        assert not page.files or module.MOST_BYTES > 0


def test_every_page_has_a_twin(visitor: Visitor) -> None:
    client = visitor()
    for page in PAGES:
        if "{" not in page.path and "." not in page.path:  # a file to save has none
            answer = client.get(page.path + ".json")
            assert answer.headers["content-type"] == "application/json", page.path
            answer.json()


def test_every_name_leads_to_a_page(visitor: Visitor) -> None:
    client = visitor()
    for group in NAMES:
        for name in group:
            assert client.get(name.path).status_code == 200


def test_a_past_day_is_carried_by_every_link(visitor: Visitor) -> None:
    page = visitor().get("/today?on=2025-03-14&known=2026-11-25").text
    tree = html5lib.parse(page, namespaceHTMLElements=False)
    inside = [a.attrib["href"] for a in tree.iter("a") if a.attrib["href"].startswith("/")]
    back = [href for href in inside if "?" not in href]
    assert back == ["/today"]
    assert all("known=2026-11-25" in href for href in inside if href not in back)
    assert "You can save only on today's page" in page


def test_a_day_is_shown_as_known_at_a_moment(visitor: Visitor) -> None:
    """Before anything was recorded nothing is known; the ledger was written on 2026-11-25."""
    twin = visitor().get("/today.json?known=2026-11-24").json()
    assert twin["rows"] == []
    assert twin["known_at"] < "2026-11-25T"
    assert len(visitor().get("/today.json?known=2026-11-25T18:00:01Z").json()["rows"]) == 22


@pytest.mark.parametrize(
    ("query", "words"),
    [
        ("on=2026-02-30", "a date"),
        ("on=2015-12-31", "outside the dates we check"),
        ("known=2026-11-25T10:00", "a date, or a time with its zone"),
        ("known=yesterday", "a date, or a time with its zone"),
    ],
)
def test_a_day_that_is_none_is_told(visitor: Visitor, query: str, words: str) -> None:
    page = visitor().get(f"/today?{query}")
    assert page.status_code == 400
    assert words in page.text
    twin = visitor().get(f"/today.json?{query}")
    assert twin.status_code == 400
    assert words in twin.json()["what"]


def test_troubles_are_pages_that_say_what_to_do(visitor: Visitor) -> None:
    client = visitor()
    for path, status in (
        ("/nowhere", 404),
        ("/rules/no_rule", 404),
        ("/static/none", 404),
        ("/nowhere.json", 404),
    ):
        answer = client.get(path)
        assert answer.status_code == status
        if path.endswith(".json"):
            assert answer.json()["do"]
        else:
            assert all(words in answer.text for words in ("What was saved", "What to do", "<h1>"))


def test_a_near_rule_is_named(visitor: Visitor) -> None:
    assert "did you mean marked_outside" in visitor().get("/rules/marked_outsid").text.lower()


def test_a_ledger_that_is_none_is_told(visitor: Visitor, tmp_path: Path) -> None:
    path = tmp_path / "broken.airwrit"
    path.write_bytes(b"this is no ledger" * 100)
    answer = visitor(path).get("/today")
    assert answer.status_code == 503
    assert "broken.airwrit" in answer.text


def test_a_fault_of_ours_is_a_page_without_its_inside(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    """The page says what to do; the terminal has one line, and the place in the code where that is asked for."""

    def broken(self: Workspace, asked: object) -> None:
        raise KeyError("secret-inside")

    monkeypatch.setattr(Workspace, "judged_on", broken)
    answer = visitor(raise_server_exceptions=False).get("/today")
    assert answer.status_code == 500
    assert "secret-inside" not in answer.text
    assert "What to do" in answer.text
    told = capsys.readouterr().err
    assert told.startswith("airwrit: Something went wrong in airwrit itself (KeyError)")
    assert told.count("\n") == 1
    assert "secret-inside" not in told
    monkeypatch.setenv(WHERE_IT_BROKE, "1")
    visitor(raise_server_exceptions=False).get("/today")
    assert "secret-inside" in capsys.readouterr().err


@pytest.mark.parametrize("fault", [OSError(28, "No space left on device"), MemoryError()])
def test_a_machine_that_cannot_go_on_is_told_in_a_line(
    visitor: Visitor, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], fault: Exception
) -> None:
    def full(self: Workspace, asked: object) -> None:
        raise fault

    monkeypatch.setattr(Workspace, "judged_on", full)
    answer = visitor().get("/today")
    assert answer.status_code == 507
    assert "This computer can&#39;t go on" in answer.text
    assert capsys.readouterr().err.count("\n") == 1


def test_an_upload_that_breaks_off_is_a_line(
    demo: tuple[Path, Path], capsys: pytest.CaptureFixture[str]
) -> None:
    """A browser that goes away in the middle of a form."""
    session, port = Session("t"), 8000
    app = site_of(Workspace(demo[0], clock), session, port)
    headers = {
        "host": f"127.0.0.1:{port}",
        "origin": f"http://127.0.0.1:{port}",
        "cookie": f"airwrit-{port}={session.secret}",
        "content-type": "multipart/form-data; boundary=b",
    }
    scope: dict[str, Any] = {
        "type": "http",
        "asgi": {"version": "3.0"},
        "http_version": "1.1",
        "method": "POST",
        "scheme": "http",
        "path": "/import",
        "raw_path": b"/import",
        "root_path": "",
        "query_string": b"",
        "headers": [(name.encode(), value.encode()) for name, value in headers.items()],
        "client": ("127.0.0.1", 50_000),
        "server": ("127.0.0.1", port),
    }
    part = b'--b\r\ncontent-disposition: form-data; name="files"; filename="a.csv"\r\n\r\nAircr'
    coming = iter([{"type": "http.request", "body": part, "more_body": True}, {"type": "http.disconnect"}])
    sent: list[Any] = []

    async def receive() -> Any:
        return next(coming)

    async def send(message: Any) -> None:
        sent.append(message)

    async def ask() -> None:
        await app(scope, receive, send)

    result_of(ask())
    assert sent[0]["status"] == 400
    told = capsys.readouterr().err
    assert told == "airwrit: a browser stopped in the middle of sending. Nothing from it was kept\n"


def test_house_rules_that_break_later_are_told(
    visitor: Visitor, demo: tuple[Path, Path], tmp_path: Path
) -> None:
    rules = tmp_path / "rules.toml"
    rules.write_text("nonsense = 1\n", encoding="utf-8")
    answer = visitor(demo[0], (rules,)).get("/today")
    assert answer.status_code >= 400
    assert "rules.toml" in answer.text


def test_an_area_of_a_house_rule_that_breaks_later_is_told(
    visitor: Visitor, demo: tuple[Path, Path], tmp_path: Path
) -> None:
    rules = tmp_path / "rules.toml"
    rule = (
        'name = "insured"\nabout = "flight"\nkind = "inside_area"\nclause = "2"\narea = "41, -105 within 5"'
    )
    rules.write_text(f'document = "Policy"\n[[rule]]\n{rule}\n', encoding="utf-8")
    answer = visitor(demo[0], (rules,)).get("/today")
    assert answer.status_code >= 400
    assert "has no unit" in answer.text


def test_only_http_is_served(visitor: Visitor) -> None:
    with pytest.raises(RuntimeError, match="websocket is not served"), visitor().websocket_connect("/"):
        pass
