"""Photos and papers attached on the page: shown before they are kept, kept once, lying and hostile files refused."""

from __future__ import annotations

import hashlib
import re
from pathlib import Path

import pytest
from starlette.testclient import TestClient

from airwrit.answers.documents.attaching import documents_of
from airwrit.answers.sheets.difference import EVER
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import NOW
from tests.unit.intake.documents import photo
from tests.unit.web.conftest import Visitor, own_fields

OF = "aircraft/Alder 2"
PLACE = "/attach-file/aircraft/Alder%202"
_TRAY = re.compile(r'name="tray" value="([^"]+)"')


def sent(client: TestClient, data: bytes, name: str = "as .jpg", **told: str) -> str:
    """The page after a file was sent to be looked at."""
    own = own_fields(client.get(PLACE).text)
    answer = client.post(PLACE, data={**own, "way": "look", **told}, files={"file": (name, data)})
    assert answer.status_code == 303
    return client.get(answer.headers["location"]).text


def fields(source: str, **told: str) -> dict[str, str]:
    """What the shown form carries, and what is told with it."""
    found = _TRAY.search(source)
    assert found is not None
    return {**own_fields(source), "tray": found[1], "way": "keep", **told}


def kept(path: Path) -> list[tuple[str, str]]:
    """What the documents of the aircraft show, and their names."""
    with Ledger(path) as book:
        found = documents_of(book, [OF], NOW.date(), EVER)
    return [(one.shows.value if one.shows else "", one.name or "") for one in found]


def test_a_photo_is_shown_then_kept_once(visitor: Visitor, own_ledger: Path) -> None:
    client, before = visitor(own_ledger), kept(own_ledger)
    told = {"shows": "mark", "made_on": "2026-11-02"}
    page = sent(client, photo(), **told)
    assert hashlib.sha256(photo()).hexdigest() in page
    assert "This would save one file" in page
    assert kept(own_ledger) == before
    form = fields(page, **told)
    first, second = client.post(PLACE, data=form), client.post(PLACE, data=form)
    assert first.status_code == second.status_code == 303
    assert first.headers["location"] == second.headers["location"]
    assert kept(own_ledger) == [*before, ("mark", "as .jpg")]
    sheet = client.get(first.headers["location"]).text
    assert f"/document/{hashlib.sha256(photo()).hexdigest()}" in sheet
    again = client.get("/attach-file/aircraft/Alder%202.json").json()
    assert again["documents"][0]["kept"] is True


def test_the_picture_is_sent_as_nothing_else(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    page = sent(client, photo(), shows="mark")
    answer = client.get(f"{PLACE}?tray={fields(page)['tray']}&picture=yes")
    assert answer.headers["content-type"] == "image/jpeg"
    assert "sandbox" in answer.headers["content-security-policy"]
    assert answer.content == photo()


def test_what_was_told_anew_is_shown_before_it_is_kept(visitor: Visitor, own_ledger: Path) -> None:
    client, before = visitor(own_ledger), kept(own_ledger)
    page = sent(client, photo(), shows="mark")
    answer = client.post(PLACE, data=fields(page, shows="serial number"))
    assert answer.status_code == 303
    assert kept(own_ledger) == before
    shown = client.get(answer.headers["location"]).text
    assert '<option value="serial number" selected>' in shown
    client.post(PLACE, data=fields(shown, shows="serial number"))
    assert kept(own_ledger) == [*before, ("serial number", "as .jpg")]


def test_another_word_of_the_same_file_is_told_as_contradicted(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    client.post(PLACE, data=fields(sent(client, photo(), shows="mark"), shows="mark"))
    assert "Nothing would be saved" in sent(client, photo(), shows="mark")
    page = sent(client, photo(), shows="test")
    assert "Contradicted" in page
    corrected = {"shows": "test", "corrects": "yes"}
    client.post(PLACE, data=fields(sent(client, photo(), **corrected), **corrected))
    assert ("test", "as .jpg") in kept(own_ledger)


@pytest.mark.parametrize(
    ("told", "says"),
    [({}, "Choose what it shows"), ({"shows": "mark", "made_on": "31.5."}, "Write the day like")],
)
def test_what_is_not_told_is_asked_with_the_file_at_hand(
    visitor: Visitor, own_ledger: Path, told: dict[str, str], says: str
) -> None:
    client, before = visitor(own_ledger), kept(own_ledger)
    page = sent(client, photo(), **told)
    assert says in page
    assert "Not saved yet" in page
    client.post(PLACE, data=fields(page, **told))
    assert kept(own_ledger) == before


@pytest.mark.parametrize(
    ("name", "data", "says"),
    [
        ("as .jpg", b"", "The file is empty."),
        ("as .jpg", b"<script>alert(1)</script>", "a JPEG,"),
        ("mark.pdf", photo(), "Its name ends in .pdf,"),
        ("as .jpg", photo() + b"PK\x05\x06" + bytes(18), "zip archive"),
        ("as .jpg", photo()[:200], "as .jpg"),
        ("<script>\u202egpj.x.txt", b"nothing", "a JPEG,"),
        ("../../etc/m.jpg", b"%PDF-1.7 no more", ".jpg,"),
    ],
)
def test_files_that_lie_or_break_are_refused(
    visitor: Visitor, own_ledger: Path, name: str, data: bytes, says: str
) -> None:
    client, before = visitor(own_ledger), kept(own_ledger)
    answer = client.post(
        PLACE, data={**own_fields(client.get(PLACE).text), "shows": "mark"}, files={"file": (name, data)}
    )
    assert answer.status_code == 422
    assert says in answer.text
    assert "<script>" not in answer.text
    assert "\u202e" not in answer.text
    assert "etc" not in answer.text
    assert kept(own_ledger) == before


@pytest.mark.parametrize("subject", ["aircraft/Nothing", "document/x", "aircraft", "<script>"])
def test_what_is_not_on_record_has_no_documents(visitor: Visitor, subject: str) -> None:
    answer = visitor().get(f"/attach-file/{subject}")
    assert answer.status_code == 404
    assert "<script>" not in answer.text


def test_others_who_wrote_meanwhile_are_told(visitor: Visitor, own_ledger: Path) -> None:
    client = visitor(own_ledger)
    page = sent(client, photo(), shows="mark")
    own = own_fields(client.get("/record-change/lose/aircraft/Alder%203").text)
    client.post("/record-change/lose/aircraft/Alder%203", data={**own, "day": "2026-11-25", "way": "write"})
    answer = client.post(PLACE, data=fields(page, shows="mark"))
    assert answer.status_code == 409
    assert "Someone else saved a change first" in answer.text


def test_nothing_is_attached_on_another_day(visitor: Visitor, own_ledger: Path) -> None:
    client, before = visitor(own_ledger), kept(own_ledger)
    page = sent(client, photo(), shows="mark")
    assert 'method="post"' not in client.get(f"{PLACE}?on=2026-01-01").text
    assert client.post(f"{PLACE}?on=2026-01-01", data=fields(page, shows="mark")).status_code == 409
    assert kept(own_ledger) == before
