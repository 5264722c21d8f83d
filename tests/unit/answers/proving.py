"""A ledger for proofs: an aircraft sold and told late, a module on two certificates, a person with a birthday, a photo."""

from __future__ import annotations

from datetime import UTC, date, datetime
from pathlib import Path

from airwrit.answers.documents.attaching import Attachment, attaching
from airwrit.facts.key import Raw
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS
from airwrit.intake.reader.document import document_of
from airwrit.ledger.entry import Entry
from airwrit.ledger.ports import Draft, KeptFile
from airwrit.ledger.sqlite.store import Ledger
from tests.unit.answers.told import firm_aircraft
from tests.unit.intake.documents import photo
from tests.unit.ledger.books import Clock, draft, said

FIRM = "Tarn & Fell Land Services"
JANUARY, JUNE, JULY, AUGUST = (
    datetime(2026, month, day, 9, tzinfo=UTC) for month, day in ((1, 5), (6, 10), (7, 1), (8, 1))
)
SOLD_ON = date(2026, 6, 1)
PILOT: dict[str, Raw] = {"flies_for": "work", "has_certificate": True, "certificate_number": "0000012"}


def subject_drafts(told: dict[str, dict[str, Raw]]) -> list[Draft]:
    """An entry for each subject, and one apart for what is private."""
    return [
        draft(*mine)
        for subject, facts in told.items()
        for private in (False, True)
        if (mine := [Statement(subject, k, v) for k, v in facts.items() if KEYS[k].private is private])
    ]


def program(path: Path) -> Ledger:
    """January: three aircraft, H-02 and H-03 with one serial, a pilot, a photo. June: H-01 was sold nine days ago."""
    book, clock = Ledger.begin(path), Clock(JANUARY)
    told = {
        **firm_aircraft("H-01", "FA00TEST01", "2025-11-15"),
        **firm_aircraft("H-02", "FA00TEST02", "2025-11-15", remote_id_way="module"),
        **firm_aircraft(
            "H-03", "FA00TEST03", "2025-11-15", remote_id_serial="ZZ9Z6TEST02", listed_serial="ZZ9Z6TEST02"
        ),
        "person/Ada": PILOT,
    }
    book.append([*subject_drafts(told), draft(said("person/Ada", "born_on", "1990-04-03"))], clock)
    attach(book, clock, "aircraft/H-01", photo(), date(2026, 1, 2))
    clock.at = JUNE
    book.append([draft(said("aircraft/H-01", "sold_on", SOLD_ON.isoformat(), SOLD_ON.isoformat()))], clock)
    return book


def attach(
    book: Ledger, clock: Clock, subject: str, data: bytes, day: date, name: str = "mark.jpg"
) -> tuple[Entry, ...]:
    """Attach a photo of a mark."""
    document = document_of(data, name)
    taking = attaching(book, document, Attachment(subject, DocumentShows.MARK, day), "ada")
    return book.append(taking.drafts, clock, files=[KeptFile(document.name, document.data)])
