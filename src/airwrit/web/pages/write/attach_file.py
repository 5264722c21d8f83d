"""Attach: a photo or a PDF of what it shows, looked at before it is kept, and the list of those on file."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.documents.attaching import (
    Attached,
    Attachment,
    attached_json,
    attaching,
    document_json,
    documents_of,
    files_of,
    may_have_documents,
)
from airwrit.answers.sheets.difference import Difference, contradiction_text
from airwrit.answers.sheets.json import taking_json
from airwrit.base.days import parse_day
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.facts.keys.document import DocumentShows, DocumentType
from airwrit.facts.vocabulary import id_of
from airwrit.intake.reader.document import DOCUMENT_LIMITS, Document, document_of
from airwrit.ledger.checking.evidence_check import FileIs
from airwrit.ledger.ports import KeptFile
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.server.forms import Ticket, Typed, ticket, write_once
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.uploads import Laid
from airwrit.web.server.visit import Answer, Json, PageSheet, Picture, Redirect, Visit

MOST_BYTES = DOCUMENT_LIMITS.file_bytes + 2**20
"""What may be sent at once: a file of the largest size, and what a form says of it."""

_FIELDS = ("shows", "made_on", "corrects", "note")
_GONE = "we no longer have this file. Choose it again"
_MEDIA = {
    DocumentType.JPEG: "image/jpeg",
    DocumentType.PNG: "image/png",
    DocumentType.WEBP: "image/webp",
}


class FileShown(NamedTuple):
    """The file that was sent: what it is, the address of its picture, what to mind, and what stays open."""

    document: Document
    picture: str
    notes: tuple[str, ...]
    is_new: bool


@dataclass(frozen=True, slots=True)
class AttachPage:
    """The whole page; without `tray` only what is on file, and the question which file.

    `missing` are documents whose bytes are not as they were kept, and what became of each.
    """

    subject: str
    back: str
    form: Typed
    ticket: Ticket
    shows: tuple[str, ...]
    attached: tuple[Attached, ...]
    missing: tuple[tuple[str, str], ...]
    most: int = DOCUMENT_LIMITS.file_bytes // 2**20
    tray: str = ""
    shown: FileShown | None = None
    written: str = ""


def show(visit: Visit) -> Answer:
    """What is attached; of a file that was sent what it is and what keeping it would say."""
    subject = _subject(visit)
    name = visit.query.get("tray", "")
    laid = visit.desk.tray.found(name) if name else None
    if laid is None:
        return _sheet(visit, subject, Typed({}, {"file": _GONE} if name else {}))
    document = _document(laid)
    if visit.query.get("picture") and document.type in _MEDIA:
        return Picture(_MEDIA[document.type], document.data)
    wrong = _wrong(laid.told)
    if wrong:
        return _sheet(visit, subject, Typed(laid.told, wrong), name, document)
    with visit.desk.opened() as book:
        taking = attaching(book, document, _said(subject, laid.told), visit.by)
    return _sheet(visit, subject, Typed(laid.told), name, document, taking)


def act(visit: Visit) -> Answer:
    """Lay a sent file down and go on to what it is, or keep it with what stood beside it."""
    subject = _subject(visit)
    told = {name: visit.said[name].strip() for name in _FIELDS if visit.said.get(name, "").strip()}
    sent = next((one for one in visit.files.get("file", ()) if one.name), None)
    if sent is not None:
        try:
            document_of(sent.data, sent.name)
        except UnreadableFile as fault:
            return _sheet(visit, subject, Typed(told, {"file": f"{fault.where}: {fault.says}"}))
        return _onward(visit, visit.desk.tray.lay([(sent.name, sent.data)], told))
    name = visit.said.get("tray", "")
    laid = visit.desk.tray.found(name)
    if laid is None:
        return _sheet(visit, subject, Typed(told, {"file": _GONE if name else "choose a file"}))
    visit.desk.tray.tell(name, told)
    if visit.said.get("way") != "keep" or told != laid.told or _wrong(told):
        return _onward(visit, name)
    document = _document(laid)

    def write(book: Ledger) -> str:
        taking = attaching(book, document, _said(subject, told), visit.by)
        if not taking.drafts:
            return ""
        kept = [KeptFile(document.name, document.data)]
        return str(book.append(taking.drafts, visit.desk.clock, after=taking.after, files=kept)[-1].seq)

    return write_once(visit, write, lambda seq: _after(visit, subject, seq))


def _after(visit: Visit, subject: str, seq: str) -> str:
    more = {"written": seq} if seq else {}
    return visit.link(path_of(subject) or visit.path, None, **more)


def _onward(visit: Visit, name: str) -> Redirect:
    return Redirect(visit.link(visit.path, None, tray=name))


def _subject(visit: Visit) -> str:
    """The subject of an address. Refused when it can have no documents or nothing was ever said of it."""
    subject = visit.named["subject"]
    try:
        if visit.desk.is_empty:
            raise UsageError(
                "nothing is on record yet", where="SUBJECT", do="choose one of the three ways to start"
            )
        with visit.desk.opened() as book:
            may_have_documents(book, subject)
    except UsageError as fault:
        raise Refused(
            Trouble(404, "Nothing to attach to", fault.what, visit.path, NOTHING_WRITTEN, fault.do)
        ) from fault
    return subject


def _document(laid: Laid) -> Document:
    name, data = laid.files[0]
    return document_of(data, name)


def _wrong(told: Mapping[str, str]) -> dict[str, str]:
    wrong = {}
    if told.get("shows") not in {one.value for one in DocumentShows}:
        wrong["shows"] = "choose what it shows"
    try:
        parse_day(told.get("made_on", "2026-01-01"))
    except ValueError:
        wrong["made_on"] = "write the day like 2026-05-31, or leave it empty"
    return wrong


def _said(subject: str, told: Mapping[str, str]) -> Attachment:
    made_on = parse_day(told["made_on"]) if told.get("made_on") else None
    return Attachment(
        subject, DocumentShows(told["shows"]), made_on, told.get("corrects") == "yes", told.get("note", "")
    )


def _notes(document: Document, told: Mapping[str, str], taking: Difference | None) -> tuple[str, ...]:
    """What to mind of a file and of what is said of it."""
    notes = []
    says, made_on = document.says_on, told.get("made_on", "")
    if says and not made_on:
        notes.append(f"the photo says it was taken on {says}. You didn't enter a date")
    elif says and says != made_on:
        notes.append(f"the photo says it was taken on {says}, not {made_on}")
    if document.has_position:
        notes.append("the photo says where it was taken. Proof files leave that out, but the ledger keeps it")
    if taking is not None:
        notes += [f"contradicted: {contradiction_text(one)}" for one in taking.contradictions]
    return tuple(notes)


def _missing(
    attached: tuple[Attached, ...], kept: Mapping[str, FileIs | None]
) -> tuple[tuple[str, str], ...]:
    """The documents whose bytes are not as they were kept, and what became of each."""
    return tuple(
        (one.name or one.document, str(how))
        for one in attached
        if (how := kept[one.document]) not in (None, FileIs.KEPT)
    )


def _sheet(
    visit: Visit,
    subject: str,
    form: Typed,
    name: str = "",
    document: Document | None = None,
    taking: Difference | None = None,
) -> PageSheet:
    asked = visit.asked
    with visit.desk.opened() as book:
        known_at = visit.desk.known_at(book, asked)
        attached = tuple(documents_of(book, [subject], asked.on, known_at))
        kept = files_of(book, attached)
    shown = None
    if document is not None:
        picture = visit.link(visit.path, None, tray=name, picture="yes") if document.type in _MEDIA else ""
        shown = FileShown(
            document,
            picture,
            _notes(document, form.values, taking),
            taking is not None and bool(taking.drafts),
        )
    view = AttachPage(
        subject,
        visit.link(path_of(subject) or "/today"),
        form,
        ticket(visit.desk),
        tuple(one.value for one in DocumentShows),
        attached,
        _missing(attached, kept),
        tray=name,
        shown=shown,
        written=visit.query.get("written", ""),
    )

    def twin() -> Json:
        told = {} if taking is None else taking_json(taking)
        return {
            **told,
            "question": "attach",
            "subject": subject,
            "document": None if document is None else document_json(document),
            "documents": [attached_json(one, kept[one.document]) for one in attached],
            "wrong": dict(form.wrong),
        }

    return form.sheet("attach_file.html", f"Attach: {id_of(subject)[:80]}", view, twin)
