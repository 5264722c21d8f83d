"""Proof files made, checked and refused on the page; the head of the log noted."""

from __future__ import annotations

import html
from pathlib import Path

import pytest

from airwrit.ledger.log.checkpoints import compared
from airwrit.ledger.log.key_files import key_path, write_key
from airwrit.ledger.log.notes import checkpoint_of, new_key, note_of, origin_of
from airwrit.ledger.sqlite.store import Ledger
from airwrit.papers.proof_pdf import machine_part_in
from tests.unit.web.conftest import Visitor

OF = "aircraft/Alder 2"


def test_what_it_would_say_is_the_standing_of_the_day(visitor: Visitor) -> None:
    client = visitor()
    told = client.get("/proof.json", params={"of": OF}).json()
    assert [row["headline"] for row in told["rows"]] == ["grounded"]
    page = html.unescape(client.get("/proof", params={"of": OF}).text)
    assert "Registration expired" in page
    past = client.get("/proof.json", params={"of": OF, "on": "2026-11-23"}).json()
    assert [row["headline"] for row in past["rows"]] == ["papers OK for work"]


def test_a_file_made_here_is_verified_here(visitor: Visitor) -> None:
    client = visitor()
    made = client.post("/proof?on=2026-11-23", data={"of": [OF, "person/Maris Tolland"]})
    assert made.headers["content-type"] == "application/pdf"
    assert made.headers["content-disposition"].startswith("attachment")
    page = client.post("/check-proof", files={"file": ("p.pdf", made.content)}).text
    assert "Nothing contradicts it, but the lines don&#39;t back up all of" in page
    assert "but nobody outside" in page
    assert "nobody outside confirmed" in page
    assert "Alder 2" in page


def test_a_changed_file_is_contradicted(visitor: Visitor) -> None:
    client = visitor()
    made = client.post("/proof", data={"of": OF}).content
    forged = machine_part_in(made).replace(b"FA00TEST02", b"FA00TEST09")
    assert forged != machine_part_in(made)
    page = client.post("/check-proof", files={"file": ("airwrit-proof.json", forged)}).text
    assert "Contradicted. Don&#39;t rely on" in page


def test_a_noted_head_anchors_a_proof(visitor: Visitor, own_ledger: Path) -> None:
    with Ledger(own_ledger) as book:
        key = new_key(origin_of(book.name))
    write_key(key_path(own_ledger), key)
    client = visitor(own_ledger)
    note = client.post("/seal-records", data={"way": "note"})
    assert note.headers["content-disposition"].startswith("attachment")
    assert note_of(note.text).signatures
    made = client.post("/proof", data={"of": OF}).content
    answer = client.post(
        "/check-proof",
        data={"key": key.public.text},
        files={"file": ("p.pdf", made), "checkpoint": ("c.checkpoint", note.content)},
    )
    assert "nobody outside confirmed" not in answer.text
    with Ledger(own_ledger) as book:
        assert checkpoint_of(note_of(note.text).text).size == book.head().size
        assert all(
            one.how.value != "contradicts" for one in compared(book, note_of(note.text), (key.public,))
        )


def test_a_page_of_the_head_can_be_printed(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    assert client.post("/seal-records", data={"way": "sheet"}).content.startswith(b"%PDF-")
    with Ledger(own_ledger) as book:
        assert client.get("/seal-records.json").json()["root"] == book.head().root.hex()


@pytest.mark.parametrize(
    ("files", "data", "says"),
    [
        ({}, {}, "Choose the proof file"),
        ({"file": ("p.pdf", b"%PDF-1.7 nothing")}, {}, "keeps this from being saved"),
        ({"file": ("p.json", b"{}")}, {}, "keeps this from being saved"),
        ({"file": ("p.json", b"\xff\xfe")}, {}, "keeps this from being saved"),
        ({"file": ("p.json", b"{}"), "checkpoint": ("c", b"\xff")}, {}, "t text"),
        ({"file": ("p.json", b"{}")}, {"key": "<script>+1+2"}, "keeps this from being saved"),
    ],
)
def test_what_cannot_be_checked_is_told(
    visitor: Visitor, files: dict[str, tuple[str, bytes]], data: dict[str, str], says: str
) -> None:
    answer = visitor().post("/check-proof", data={"x": "y", **data}, files=files or {"file": ("", b"")})
    assert answer.status_code == 422
    assert says in answer.text
    assert "<script>" not in answer.text


@pytest.mark.parametrize("of", ["aircraft/Nothing", "flight/x", "<script>", "aircraft/" + "x" * 9000])
def test_subjects_that_are_not_there_are_told(visitor: Visitor, of: str) -> None:
    client = visitor()
    answer = client.get("/proof", params={"of": of})
    assert answer.status_code == 422
    assert "<script>" not in answer.text
    assert client.post("/proof", data={"of": of}).status_code in (400, 404, 422)


def test_a_text_narrows_what_can_be_chosen(visitor: Visitor) -> None:
    client = visitor()
    assert client.get("/proof.json?find=alder").json()["choices"] == [
        "aircraft/Alder 1",
        "aircraft/Alder 2",
        "aircraft/Alder 3",
    ]
    assert "Nothing found." in client.get("/proof?find=zzzz").text


def test_private_facts_are_left_out_unless_put_in(visitor: Visitor) -> None:
    client = visitor()
    of, number = "person/Maris Tolland", b'"key\\":\\"certificate_number'
    open_ = machine_part_in(client.post("/proof", data={"of": of, "private": "put-in"}).content)
    closed = machine_part_in(client.post("/proof", data={"of": of}).content)
    assert number in open_
    assert number not in closed
    page = client.get("/proof", params={"of": of}).text
    assert "Left out for Maris Tolland: remote pilot certificate number." in page
    assert "Left out" not in client.get("/proof", params={"of": of, "private": "put-in"}).text
