"""Documents in the ledger: kept once, attached to whom they show, said again only where something is new, gone when blanked."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from airwrit.answers.documents.attaching import ATTACH, Attachment, attaching, documents_of, kept_document
from airwrit.base.errors import UsageError
from airwrit.facts.keys.document import DocumentShows, DocumentType
from airwrit.intake.reader.document import Document, document_of
from airwrit.ledger.entry import Entry
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.blanking import blank
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.intake.documents import photo
from tests.unit.ledger.books import Clock, draft, said

MARK = Attachment("aircraft/H-01", DocumentShows.MARK, date(2026, 1, 2))
DAY = date(2026, 11, 25)
CLOCK = Clock()


@pytest.fixture
def book(tmp_path: Path) -> Iterator[Ledger]:
    """A ledger with two aircraft."""
    with Ledger.begin(tmp_path / "program.airwrit") as made:
        facts = [said(f"aircraft/{name}", "used_for", "work") for name in ("H-01", "H-02")]
        made.append([draft(*facts)], CLOCK)
        yield made


@pytest.fixture(scope="module")
def mark() -> Document:
    """A photo."""
    return document_of(photo(), "mark.jpg")


def kept(book: Ledger, document: Document, what: Attachment) -> tuple[Entry, ...]:
    """The entries that attaching keeps."""
    taking = attaching(book, document, what, "ada")
    CLOCK.on()
    files = [KeptFile(document.name, document.data)]
    return book.append(taking.drafts, CLOCK, after=taking.after, files=files) if taking.drafts else ()


def test_a_document_is_one_entry_and_its_bytes(book: Ledger, mark: Document) -> None:
    (entry,) = kept(book, mark, MARK)
    assert (entry.act, entry.by, entry.source) == (ATTACH, "ada", f"mark.jpg sha256:{mark.sha256}")
    (found,) = documents_of(book, ["aircraft/H-01"], DAY, CLOCK())
    assert found.document == f"document/{mark.sha256[:16]} aircraft/H-01"
    assert (found.shows, found.made_on) == (DocumentShows.MARK, date(2026, 1, 2))
    assert (found.type, found.sha256, found.name) == (DocumentType.JPEG, mark.sha256, "mark.jpg")
    assert found.origins == (f"entry {entry.seq}",)
    assert kept_document(book, mark.sha256[:8]).data == mark.data
    assert kept_document(book, f"sha256:{mark.sha256.upper()}".replace("SHA", "sha")).data == mark.data


def test_the_same_again_adds_nothing(book: Ledger, mark: Document) -> None:
    kept(book, mark, MARK)
    assert kept(book, mark, MARK) == ()
    assert kept(book, mark._replace(name="copy of mark.jpg"), MARK) == ()


def test_another_day_is_a_contradiction_until_corrected(book: Ledger, mark: Document) -> None:
    kept(book, mark, MARK)
    other = MARK._replace(made_on=date(2026, 1, 3))
    assert len(attaching(book, mark, other, "ada").contradictions) == 1
    kept(book, mark, other)
    assert documents_of(book, ["aircraft/H-01"], DAY, CLOCK())[0].made_on is None
    kept(book, mark, other._replace(corrects=True))
    assert documents_of(book, ["aircraft/H-01"], DAY, CLOCK())[0].made_on == date(2026, 1, 3)


def test_one_file_may_show_several(book: Ledger, mark: Document) -> None:
    kept(book, mark, MARK)
    kept(book, mark, MARK._replace(subject="aircraft/H-02"))
    found = documents_of(book, ["aircraft/H-02", "aircraft/H-01"], DAY, CLOCK())
    assert [one.subject for one in found] == ["aircraft/H-02", "aircraft/H-01"]
    assert len({one.sha256 for one in found}) == 1
    assert documents_of(book, ["aircraft/H-03"], DAY, CLOCK()) == []


def test_what_was_not_known_then_is_not_listed(book: Ledger, mark: Document) -> None:
    before = CLOCK()
    kept(book, mark, MARK)
    assert documents_of(book, ["aircraft/H-01"], DAY, before) == []


@pytest.mark.parametrize(
    ("digest", "says"),
    [("abc", "isn't part"), ("no such digest", "isn't part"), ("0" * 64, "No document")],
)
def test_a_digest_that_is_none_is_told(book: Ledger, mark: Document, digest: str, says: str) -> None:
    kept(book, mark, MARK)
    with pytest.raises(UsageError, match=says):
        kept_document(book, digest)


def test_a_blanked_document_is_gone_and_does_not_come_back(book: Ledger, mark: Document) -> None:
    (entry,) = kept(book, mark, MARK)
    CLOCK.on()
    blank(book, [entry.seq], CLOCK, "ada", "request")
    file = book.file(mark.sha256)
    assert file is not None
    assert file.data is None
    with pytest.raises(UsageError, match="No document"):
        kept_document(book, mark.sha256)
    with pytest.raises(UsageError, match="removed on request"):
        attaching(book, mark, MARK, "ada")


def test_where_there_is_no_ledger_yet_all_is_new(mark: Document) -> None:
    taking = attaching(None, mark, MARK, "ada")
    assert (taking.after, len(taking.changes), taking.same) == (0, 6, 0)
