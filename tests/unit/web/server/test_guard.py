"""The door: who is let in, what a stranger gets, and what every answer carries."""

from __future__ import annotations

from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.web.pages.write.import_file import MOST_BYTES
from airwrit.web.server.guard import POLICY, Session
from airwrit.web.server.site import PAGES
from tests.browser.serving import TOKEN
from tests.unit.web.conftest import PORT, Visitor

OPEN_PATHS = [page.path for page in PAGES if "{" not in page.path]


@pytest.mark.parametrize(
    "host", ["", "evil.example", "127.0.0.1", "127.0.0.1:9", "localhost", f"evil.example:{PORT}"]
)
def test_another_host_name_gets_nothing(visitor: Visitor, host: str) -> None:
    """A name elsewhere that points at this machine is refused, even with the cookie."""
    answer = visitor().get("/today", headers={"host": host})
    assert answer.status_code == 403
    assert "another name" in answer.text
    assert "Alder" not in answer.text


@pytest.mark.parametrize("host", [f"127.0.0.1:{PORT}", f"localhost:{PORT}"])
def test_our_own_names_are_taken(visitor: Visitor, host: str) -> None:
    assert visitor().get("/today", headers={"host": host}).status_code == 200


@pytest.mark.parametrize("peer", ["10.0.0.8", "192.168.1.20", "2001:db8::1", "testclient"])
def test_another_machine_gets_nothing(visitor: Visitor, peer: str) -> None:
    assert visitor(client=(peer, 50_000)).get("/today").status_code == 403


@pytest.mark.parametrize("path", ["/", "/today", "/today.json", "/rules", "/nowhere"])
def test_without_the_cookie_nothing_is_shown(visitor: Visitor, path: str) -> None:
    answer = visitor(come_in=False).get(path)
    assert answer.status_code == 403
    assert "Alder" not in answer.text
    assert "Tarn" not in answer.text


@pytest.mark.parametrize("cookie", ["", "x", TOKEN, "a" * 10_000])
def test_a_wrong_cookie_is_none(visitor: Visitor, cookie: str) -> None:
    client = visitor(come_in=False)
    assert client.get("/today", headers={"cookie": f"airwrit-{PORT}={cookie}"}).status_code == 403


def test_the_token_works_once(visitor: Visitor) -> None:
    client = visitor(come_in=False)
    assert client.get("/open/wrong").status_code == 403
    first = client.get(f"/open/{TOKEN}")
    assert first.status_code == 303
    assert first.headers["location"] == "/today"
    cookie = first.headers["set-cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Strict" in cookie
    assert TOKEN not in cookie
    assert client.get("/today").status_code == 200
    client.cookies.clear()
    assert client.get(f"/open/{TOKEN}").status_code == 403


def test_the_token_is_not_spent_by_a_form_or_a_stranger(visitor: Visitor) -> None:
    client = visitor(come_in=False)
    assert client.post(f"/open/{TOKEN}").status_code == 403
    assert client.get(f"/open/{TOKEN}", headers={"host": "evil.example"}).status_code == 403
    assert client.get(f"/open/{TOKEN}", headers={"sec-fetch-site": "cross-site"}).status_code == 403
    assert client.get(f"/open/{TOKEN}").status_code == 303


def test_two_sessions_differ() -> None:
    assert Session("a").secret != Session("a").secret


@pytest.mark.parametrize("site", ["cross-site", "same-site", "nonsense"])
def test_a_request_that_another_site_made_is_refused(visitor: Visitor, site: str) -> None:
    assert visitor().get("/today", headers={"sec-fetch-site": site}).status_code == 403


@pytest.mark.parametrize(
    "headers",
    [
        {"origin": "https://evil.example"},
        {"origin": "null"},
        {"origin": f"https://127.0.0.1:{PORT}"},
        {"origin": "http://127.0.0.1:9"},
        {"origin": f"http://localhost:{PORT}"},
        {"origin": f"http://127.0.0.1:{PORT}.evil.example"},
    ],
)
def test_a_form_from_elsewhere_writes_nothing(
    visitor: Visitor, tmp_path: Path, headers: dict[str, str]
) -> None:
    client = visitor(tmp_path / "new.airwrit")
    answer = client.post("/first-run", data={"way": "demo"}, headers=headers)
    assert answer.status_code == 403
    assert not (tmp_path / "new.airwrit").exists()


def test_a_form_without_origin_needs_the_browser_to_vouch(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    del client.headers["origin"]
    assert client.post("/first-run", data={"way": "demo"}).status_code == 403
    vouched = client.post("/first-run", data={"way": "x"}, headers={"sec-fetch-site": "same-origin"})
    assert vouched.status_code == 400


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_other_methods_are_refused(visitor: Visitor, method: str) -> None:
    assert visitor().request(method, "/today").status_code == 405


def test_a_form_sent_to_a_page_without_one_is_refused(visitor: Visitor) -> None:
    answer = visitor().post("/today")
    assert answer.status_code == 405
    assert "What to do" in answer.text


def test_a_body_over_the_limit_is_refused(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")
    assert client.post("/first-run", data={"way": "x" * 100_000}).status_code == 413
    assert client.post("/rules", content=b"x").status_code == 413
    large = client.post("/import", content=b"x" * (MOST_BYTES + 1))
    assert large.status_code == 413
    assert "larger than 55 MB," in large.text


def test_a_body_that_lies_about_its_length_is_refused(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(tmp_path / "new.airwrit")

    def endless() -> object:
        for _ in range(100):
            yield b"x" * 10_000

    form = {"content-type": "application/x-www-form-urlencoded"}
    answer = client.post("/first-run", content=endless(), headers=form)  # type: ignore[arg-type]
    assert answer.status_code == 413


@pytest.mark.parametrize("length", ["-1", "1e3", "9" * 40, "²"])
def test_a_length_that_is_none_is_refused(visitor: Visitor, length: str) -> None:
    answer = visitor().get("/today", headers={b"content-length": length.encode()})
    assert answer.status_code in (400, 413)


def answers(client: TestClient) -> list[tuple[str, int, dict[str, str]]]:
    """Answers of every kind: pages, twins, troubles, files of ours, the way in."""
    paths = [
        *OPEN_PATHS,
        *(f"{path}.json" for path in OPEN_PATHS),
        "/",
        "/nowhere",
        "/nowhere.json",
        "/static/none",
    ]
    paths += ["/today?on=never", "/rules/none", "/static/sheet.css", "/static/text.ttf", "/open/wrong"]
    got = [(path, client.get(path)) for path in paths]
    got.append(("host", client.get("/today", headers={"host": "evil.example"})))
    got.append(("post", client.post("/today")))
    return [(path, answer.status_code, dict(answer.headers)) for path, answer in got]


def test_every_answer_carries_the_headers(visitor: Visitor) -> None:
    for path, status, headers in answers(visitor()):
        assert headers["content-security-policy"] == POLICY, path
        assert headers["x-content-type-options"] == "nosniff", path
        assert headers["referrer-policy"] == "same-origin", path
        kept = path.startswith("/static/") and status == 200
        assert headers["cache-control"].startswith("public" if kept else "no-store"), path


def test_the_policy_lets_nothing_inline_run() -> None:
    assert "unsafe" not in POLICY
    assert POLICY.startswith("default-src 'none'")
    for part in (
        "form-action 'self'",
        "frame-ancestors 'none'",
        "base-uri 'none'",
        "script-src 'self'",
        "style-src 'self'",
    ):
        assert part in POLICY.split("; ")
