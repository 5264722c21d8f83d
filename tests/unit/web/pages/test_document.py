"""Documents by their digest: a photo alone and harmless, all else a file to be saved, and nothing that is no document."""

from __future__ import annotations

import hashlib
from datetime import UTC, date, datetime
from pathlib import Path

import pytest

from airwrit.answers.documents.attaching import Attachment, attaching
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.statement import Statement
from airwrit.intake.reader.document import document_of
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.intake.documents import photo
from tests.unit.web.conftest import Visitor

SHEET = b"name\nH-01\n"


def clock() -> datetime:
    """A moment at which all is written."""
    return datetime(2026, 11, 20, tzinfo=UTC)


@pytest.fixture(scope="module")
def attached(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, str]:
    """A ledger with an aircraft and the photo of its mark, and the photo's digest."""
    path = tmp_path_factory.mktemp("documents") / "d.airwrit"
    document = document_of(photo(), "mark <b>.jpg")
    with Ledger.begin(path) as book:
        said = (Statement("aircraft/H-01", "used_for", "work"),)
        source = f"fleet.csv sha256:{hashlib.sha256(SHEET).hexdigest()}"
        book.append([Draft("t", "import", said, (), source)], clock, files=[KeptFile("fleet.csv", SHEET)])
        assert book.file(hashlib.sha256(SHEET).hexdigest()) is not None
        said_of_it = Attachment("aircraft/H-01", DocumentShows.MARK, date(2026, 1, 2))
        taking = attaching(book, document, said_of_it, "t")
        book.append(taking.drafts, clock, files=[KeptFile(document.name, document.data)])
    return path, document.sha256


def test_a_photo_is_sent_as_nothing_else(visitor: Visitor, attached: tuple[Path, str]) -> None:
    path, digest = attached
    answer = visitor(path).get(f"/document/{digest}")
    assert answer.headers["content-type"] == "image/jpeg"
    assert answer.headers["x-content-type-options"] == "nosniff"
    assert "sandbox" in answer.headers["content-security-policy"]
    assert hashlib.sha256(answer.content).hexdigest() == digest


def test_the_sheet_shows_it(visitor: Visitor, attached: tuple[Path, str]) -> None:
    path, digest = attached
    page = visitor(path).get("/aircraft/H-01").text
    assert f'<img src="/document/{digest}" alt="Photo of the number, taken on 2026-01-02"' in page
    assert "<b>.jpg" not in page


def test_a_file_that_is_no_document_is_not_sent(visitor: Visitor, attached: tuple[Path, str]) -> None:
    digest = hashlib.sha256(SHEET).hexdigest()
    assert visitor(attached[0]).get(f"/document/{digest}").status_code == 404


@pytest.mark.parametrize("name", ["0" * 64, "nothing", "..%2f..%2fetc", "A" * 64])
def test_no_such_document(visitor: Visitor, attached: tuple[Path, str], name: str) -> None:
    assert visitor(attached[0]).get(f"/document/{name}").status_code == 404


def test_what_is_not_a_photo_is_saved(visitor: Visitor, tmp_path: Path) -> None:
    """However it came on record: bytes that are no photo are never shown."""
    data = b"<html><script>alert(1)</script></html>"
    digest = hashlib.sha256(data).hexdigest()
    said = (
        Statement("document/x", "document_sha256", digest),
        Statement("document/x", "document_of", "aircraft/A"),
    )
    with Ledger.begin(tmp_path / "x.airwrit") as book:
        book.append(
            [Draft("t", "record", said, (), f"mark.html sha256:{digest}")],
            clock,
            files=[KeptFile("mark.html", data)],
        )
    answer = visitor(tmp_path / "x.airwrit").get(f"/document/{digest}")
    assert answer.headers["content-type"] == "application/octet-stream"
    assert answer.headers["content-disposition"].startswith("attachment")
