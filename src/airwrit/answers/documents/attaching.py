"""Documents of a subject: what attaching one would keep, which are attached, and their bytes back."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable
from datetime import date, datetime
from typing import Any, NamedTuple

from airwrit.answers.history.history import near
from airwrit.answers.sheets.difference import (
    EVER,
    NOTHING_HELD,
    Difference,
    HandEntry,
    OnRecord,
    Pair,
    saying_by_hand,
    seq_of,
)
from airwrit.base.errors import UsageError
from airwrit.facts.key import Key, T, raw_of
from airwrit.facts.keys.document import (
    DOCUMENT_MADE_ON,
    DOCUMENT_NAME,
    DOCUMENT_OF,
    DOCUMENT_SHA256,
    DOCUMENT_SHOWS,
    DOCUMENT_TYPE,
    DocumentShows,
    DocumentType,
    attached_to,
    document_subject,
)
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Source, Statement
from airwrit.facts.vocabulary import TELLABLE, id_of, kind_of
from airwrit.intake.reader.document import Document
from airwrit.ledger.checking.evidence_check import FileIs, file_is
from airwrit.ledger.entry import source_text
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.store import Ledger

Json = dict[str, Any]

ATTACH = "attach"
"""The act of an entry that attaches a document."""

_SHORTEST = 8
_LOOK = "run `airwrit check-records`. A backup may still have it"
_DO = {
    FileIs.KEPT: "nothing",
    FileIs.NOT_KEPT: "attach it",
    FileIs.TAKEN_OUT: "ask whoever gave it to you, and keep a new copy elsewhere",
    FileIs.CHANGED: _LOOK,
    FileIs.RENAMED: _LOOK,
    FileIs.GONE: _LOOK,
    FileIs.NOT_TOLD: _LOOK,
}
"""What to do about a file that is not as it was kept."""


class Attachment(NamedTuple):
    """What somebody says of a document: which subject it is about, what it shows, the day it was made; None if not told."""

    subject: str
    shows: DocumentShows
    made_on: date | None = None
    corrects: bool = False
    note: str = ""


def may_have_documents(ledger: Ledger, subject: str) -> None:
    """UsageError when a subject has no kind or no name, or nothing was ever said of it."""
    kinds = [kind for kind in dict.fromkeys(TELLABLE.values()) if kind != "document"]
    if kind_of(subject) not in kinds or not id_of(subject):
        raise UsageError(
            f"you can't attach documents to {subject!r}",
            where="SUBJECT",
            do=f"write kind/name, where the kind is {', '.join(kinds)}",
        )
    if not ledger.known(EVER, [subject]):
        like = near(ledger, subject)
        raise UsageError(
            f"there is no record named {subject!r}",
            where="SUBJECT",
            do=f"did you mean {like}?" if like else "record something about it first",
        )


class Attached(NamedTuple):
    """A document on file; what is contradicted, damaged or not told is None."""

    document: str
    subject: str
    shows: DocumentShows | None
    made_on: date | None
    type: DocumentType | None
    sha256: str | None
    name: str | None
    origins: tuple[str, ...]


def attaching(ledger: Ledger | None, document: Document, said: Attachment, by: str) -> Difference:
    """What attaching would do. What is on record already in the same words is not said again.

    UsageError when its bytes were blanked: what was taken out on lawful request does not come back this way.
    """
    file = None if ledger is None else ledger.file(document.sha256)
    if ledger is not None and file is not None and file.data is None:
        how = file_is(ledger, document.sha256)
        raise UsageError(f"this file was removed from the ledger: {how}", where=document.name, do=_DO[how])
    subject = document_subject(document.sha256, said.subject)
    values: list[tuple[Key[Any], object]] = [
        (DOCUMENT_OF, said.subject),
        (DOCUMENT_SHOWS, said.shows),
        (DOCUMENT_MADE_ON, said.made_on),
        (DOCUMENT_TYPE, document.type),
        (DOCUMENT_SHA256, document.sha256),
        (DOCUMENT_NAME, document.name),
    ]
    held = _before(ledger, subject)
    named = held.alive((subject, DOCUMENT_NAME.name))
    statements = tuple(
        Statement(subject, key.name, raw_of(value))
        for key, value in values
        if value is not None and not (key is DOCUMENT_NAME and named)
    )
    taking = saying_by_hand(held, HandEntry(statements, said.corrects, said.note), by)
    source = source_text(Source(document.name, document.sha256))
    drafts = tuple(draft._replace(act=ATTACH, source=source) for draft in taking.drafts)
    return Difference(held.after, taking.changes, drafts, taking.contradictions, same=taking.same)


def _before(ledger: Ledger | None, subject: str) -> OnRecord:
    """What the ledger holds of one subject; nothing where there is no ledger yet."""
    if ledger is None:
        return NOTHING_HELD
    groups: dict[Pair, list[Known]] = defaultdict(list)
    answered: dict[str, list[int]] = defaultdict(list)
    for item in ledger.known(EVER, [subject]):
        groups[item.statement.subject, item.statement.key].append(item)
        for number in item.answers:
            answered[number].append(seq_of(item))
    return OnRecord(ledger.head().size, groups, {}, answered)


def attached_in(state: State, subjects: Iterable[str]) -> list[Attached]:
    """The documents attached to some subjects, in the order of these and by the day they were made."""
    found = [_attached(state, document) for document in state.subjects("document")]
    return [
        one
        for subject in dict.fromkeys(subjects)
        for one in sorted(
            (one for one in found if one.subject == subject),
            key=lambda one: (one.made_on or date.max, one.document),
        )
    ]


def _attached(state: State, document: str) -> Attached:
    facts = state.held[document]

    def told(key: Key[T]) -> T | None:
        held = facts.get(key)
        value: T | None = None if held is None else held.value
        return value

    origins = tuple(dict.fromkeys(origin for held in facts.values() for origin in held.origins))
    return Attached(
        document,
        attached_to(document),
        told(DOCUMENT_SHOWS),
        told(DOCUMENT_MADE_ON),
        told(DOCUMENT_TYPE),
        told(DOCUMENT_SHA256),
        told(DOCUMENT_NAME),
        origins,
    )


def documents_of(ledger: Ledger, subjects: Iterable[str], on: date, known_at: datetime) -> list[Attached]:
    """The documents of a ledger that are attached to some subjects, as known at a moment."""
    wanted = list(dict.fromkeys(subjects))
    names = document_names(ledger, wanted, known_at)
    return attached_in(ledger.state(on, known_at, names), wanted)


def document_names(ledger: Ledger, subjects: Iterable[str], known_at: datetime) -> list[str]:
    """The names of the documents attached to some subjects up to a moment."""
    wanted = set(subjects)
    return [one for one in ledger.speaking(DOCUMENT_OF.name, known_at) if attached_to(one) in wanted]


def kept_document(ledger: Ledger, digest: str) -> KeptFile:
    """A document's file by its SHA-256, or the beginning of it. UsageError when there is none, several, or it was blanked."""
    wanted = digest.lower().removeprefix("sha256:")
    if len(wanted) < _SHORTEST or set(wanted) - set("0123456789abcdef"):
        raise UsageError(
            f"{digest!r} isn't part of a document's SHA-256",
            where="--save",
            do=f"enter at least {_SHORTEST} characters of the SHA-256 that `airwrit attach-file --list` shows",
        )
    names = ledger.speaking(DOCUMENT_SHA256.name, EVER)
    said = [
        item.statement.value
        for item in ledger.known(EVER, names)
        if item.statement.key == DOCUMENT_SHA256.name
    ]
    found = sorted({one for one in said if isinstance(one, str) and one.startswith(wanted)})
    if len(found) != 1:
        what = (
            f"{len(found)} documents start with those characters"
            if found
            else f"no document starts with {wanted[:16]}"
        )
        raise UsageError(what, where="--save", do="`airwrit attach-file --list SUBJECT` lists them")
    file, how = ledger.file(found[0]), file_is(ledger, found[0])
    if file is None or file.data is None or how is FileIs.CHANGED:
        raise UsageError(f"we don't have the file itself: {how}", where="--save", do=_DO[how])
    return file


def document_json(document: Document) -> Json:
    """A file as it would be kept."""
    return {
        "name": document.name,
        "type": document.type.value,
        "sha256": document.sha256,
        "bytes": len(document.data),
        "width": document.width or None,
        "height": document.height or None,
        "pages": document.pages or None,
        "says_on": document.says_on or None,
        "has_position": document.has_position,
    }


def attached_json(one: Attached, how: FileIs | None) -> Json:
    """A document on file, and what became of its bytes; None where it is not told which they are."""
    return {
        "document": one.document,
        "shows": one.shows and one.shows.value,
        "made_on": one.made_on and one.made_on.isoformat(),
        "type": one.type and one.type.value,
        "sha256": one.sha256,
        "name": one.name,
        "kept": how in (FileIs.KEPT, FileIs.RENAMED),
        "file": how and how.value,
    }


def files_of(ledger: Ledger, found: Iterable[Attached]) -> dict[str, FileIs | None]:
    """What became of the bytes of documents, by document."""
    return {one.document: file_is(ledger, one.sha256, one.document) if one.sha256 else None for one in found}
