"""A document's bytes: a photo as a photo, a PDF as a file to be saved, nothing as a page."""

from __future__ import annotations

import re

from airwrit.answers.documents.attaching import kept_document
from airwrit.base.errors import UsageError
from airwrit.facts.keys.document import DocumentType
from airwrit.intake.reader.document import also_read_as, plain_name, sniffed
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, Download, Picture, Visit

_DIGEST = re.compile(r"[0-9a-f]{64}")
_PICTURES = {
    DocumentType.JPEG: "image/jpeg",
    DocumentType.PNG: "image/png",
    DocumentType.WEBP: "image/webp",
}


def show(visit: Visit) -> Answer:
    """The document with that digest; only what its own bytes show to be a photo, and nothing else, is shown as one."""
    digest = visit.named["digest"]
    if not _DIGEST.fullmatch(digest):
        raise _refused(visit, "no document matches this link")
    try:
        with visit.desk.opened() as book:
            file = kept_document(book, digest)
    except UsageError as fault:
        raise _refused(visit, fault.what) from fault
    data = file.data or b""
    kind = sniffed(data)
    if kind in _PICTURES and not also_read_as(data, kind):
        return Picture(_PICTURES[kind], data)
    return Download(plain_name(file.name), "application/octet-stream", data, "copy of a document")


def _refused(visit: Visit, what: str) -> Refused:
    return Refused(
        Trouble(
            404,
            "No such document",
            what,
            visit.path,
            NOTHING_WRITTEN,
            "open it from the page it is attached to",
        )
    )
