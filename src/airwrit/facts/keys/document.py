"""Keys of a document: a photo or a PDF kept in the ledger, what it shows, and the subject it is attached to."""

from __future__ import annotations

from datetime import date
from enum import StrEnum

from airwrit.facts.key import Key


class DocumentShows(StrEnum):
    """What a document shows."""

    MARK = "mark"
    SERIAL = "serial number"
    CERTIFICATE = "certificate"
    REGISTRATION = "registration"
    WAIVER = "waiver"
    INSURANCE = "insurance"
    TRAINING = "training"
    TEST = "test"
    OTHER = "other"


class DocumentType(StrEnum):
    """What the bytes of a document are."""

    JPEG = "JPEG photo"
    PNG = "PNG picture"
    WEBP = "WebP picture"
    PDF = "PDF"


DOCUMENT_OF = Key(
    "document_of",
    str,
    "document",
    "record the document is attached to, as kind/name",
    "Which aircraft, person, registration or paper is it about?",
    ("attached to", "document of"),
)
DOCUMENT_SHOWS = Key(
    "document_shows",
    DocumentShows,
    "document",
    "what the document shows",
    "What does it show: the number, a serial number, a certificate, a registration, a waiver, insurance, training or a test?",
    ("shows", "document shows"),
)
DOCUMENT_MADE_ON = Key(
    "document_made_on",
    date,
    "document",
    "date of the photo or document",
    "When was the photo taken, or the paper dated?",
    ("taken on", "dated", "document date"),
)
DOCUMENT_TYPE = Key(
    "document_type",
    DocumentType,
    "document",
    "file type",
    "Is it a JPEG, PNG or WebP picture, or a PDF?",
    ("document type", "file type"),
)
DOCUMENT_SHA256 = Key(
    "document_sha256",
    str,
    "document",
    "SHA-256 of the file, in hex",
    "What is the SHA-256 of the file?",
    ("sha-256", "document sha-256"),
    digits=True,
)
DOCUMENT_NAME = Key(
    "document_name",
    str,
    "document",
    "name of the attached file",
    "What was the file called?",
    ("file name", "document name"),
)

DOCUMENT_KEYS = (
    DOCUMENT_OF,
    DOCUMENT_SHOWS,
    DOCUMENT_MADE_ON,
    DOCUMENT_TYPE,
    DOCUMENT_SHA256,
    DOCUMENT_NAME,
)


def document_subject(sha256: str, subject: str) -> str:
    """The name of a document as attached to a subject: one file may be attached to several."""
    return f"document/{sha256[:16]} {subject}"


def attached_to(document: str) -> str:
    """The subject that a document's name says it is attached to; empty when it says none."""
    return document.partition(" ")[2]
