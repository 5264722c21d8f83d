"""A photo or a PDF to be kept: told by its bytes and never by its name, refused when the two disagree, never opened here.

What has to be decoded is decoded in a process of its own, see `child.document`.
"""

from __future__ import annotations

import base64
import hashlib
import unicodedata
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.base.errors import UnreadableFile
from airwrit.facts.keys.document import DocumentType
from airwrit.intake.reader.apart import IfUnreadable, bytes_of, told_of_file
from airwrit.intake.reader.limits import LONGEST_COPY, Limits

DOCUMENT_LIMITS = Limits(file_bytes=20 * 2**20, seconds=20, pixels=60_000_000)
"""20 MB a file, 60 million pixels a picture."""

SUFFIXES: dict[DocumentType, tuple[str, ...]] = {
    DocumentType.JPEG: (".jpg", ".jpeg", ".jpe"),
    DocumentType.PNG: (".png",),
    DocumentType.WEBP: (".webp",),
    DocumentType.PDF: (".pdf",),
}
"""The ends of names that say a type; the first is the one given to a file without."""

_SMALLER = "keep a smaller copy"
_SAVE_AS = "save it as .jpg, .png or .pdf, and use that"
_HEAD, _FOOT = 1024, 65_557
_ZIP_END = b"PK\x05\x06"
_PAGES = (b"<!doctype", b"<html", b"<script", b"<svg", b"<?php")
"""Beginnings by which another program takes a file for a page or a script, wherever in its first bytes they stand."""
_RESERVED = {"con", "prn", "aux", "nul", *(f"{port}{n}" for port in ("com", "lpt") for n in range(1, 10))}
_LONGEST_NAME = 100
_BASELINE = 0xC0
_FRAMES = {marker for marker in range(0xC0, 0xD0) if marker not in (0xC4, 0xC8, 0xCC)}
"""The markers that begin a frame, by the way it is coded; the three left out begin other segments."""


class Document(NamedTuple):
    """A file fit to be kept: plain name, type, hash, bytes; size of the picture, or number of pages.

    `says_on` is the day that a photo itself says it was taken on, as text; `has_position` whether it tells where.
    """

    name: str
    type: DocumentType
    sha256: str
    data: bytes
    width: int = 0
    height: int = 0
    pages: int = 0
    says_on: str = ""
    has_position: bool = False


def read_document(path: Path, limits: Limits = DOCUMENT_LIMITS) -> Document:
    """A photo or PDF as it would be kept. UnreadableFile when it is too large, of no kept type, damaged, or lies."""
    data = bytes_of(path, limits, _SMALLER)
    return document_of(data, path.name, limits)


def document_of(data: bytes, name: str, limits: Limits = DOCUMENT_LIMITS) -> Document:
    """The same for bytes that came with a name. UnreadableFile as `read_document`."""
    shown = plain_name(name)
    if len(data) > limits.file_bytes:
        raise UnreadableFile(
            f"the file is {len(data):,} bytes. A photo or PDF can be up to {limits.file_bytes:,}",
            where=shown,
            do=_SMALLER,
        )
    found = sniffed(data)
    if found is None:
        what = "the file is empty" if not data else "this isn't a JPEG, PNG or WebP picture, or a PDF"
        raise UnreadableFile(what, where=shown, do=_SAVE_AS)
    _look_at_name(shown, found)
    other = also_read_as(data, found)
    if other:
        raise UnreadableFile(
            f"the file can be read as a {found} and also as {other}", where=shown, do=_SAVE_AS
        )
    told = _told("document", data, shown, limits)
    return Document(
        _with_suffix(shown, found),
        found,
        hashlib.sha256(data).hexdigest(),
        data,
        told["width"],
        told["height"],
        told["pages"],
        told["says_on"],
        told["has_position"],
    )


def reduced(data: bytes, name: str, limits: Limits = DOCUMENT_LIMITS) -> bytes:
    """A photo's small copy as a JPEG that holds pixels and nothing else: turned upright, no place, no time, no maker."""
    return base64.b64decode(_told("reduced", data, name, limits)["jpeg"])


def is_small_copy(data: bytes) -> bool:
    """Whether bytes are a JPEG as `reduced` makes it: sequential, in three colors, no larger; its pixels are not decoded.

    Source: ITU-T T.81 B.2.1 to B.2.4 (markers, segments with their lengths, the frame header).
    """
    at = 2
    while data[:2] == b"\xff\xd8" and data[at : at + 1] == b"\xff" and len(data) >= at + 10:
        marker, length = data[at + 1], int.from_bytes(data[at + 2 : at + 4], "big")
        if marker in _FRAMES:
            height, width = (int.from_bytes(data[at + place : at + place + 2], "big") for place in (5, 7))
            return (
                marker == _BASELINE
                and data[at + 9] == 3
                and 0 < min(width, height) <= max(width, height) <= LONGEST_COPY
            )
        at += 2 + max(length, 2)
    return False


def _told(reader: str, data: bytes, name: str, limits: Limits) -> dict[str, Any]:
    said = IfUnreadable(_SMALLER, "the file is damaged or far too large", _SAVE_AS)
    told = told_of_file(reader, data, name, limits, said)
    if "fault" in told:
        raise UnreadableFile(told["fault"][0], where=name, do=told["fault"][1])
    return told


def sniffed(data: bytes) -> DocumentType | None:
    """What the first bytes say a file is; None when it is nothing that is kept.

    Sources: ITU-T T.81 B.1.1.3 (FF D8 FF), RFC 2083 3.1 (PNG), RFC 9649 2.4 (WebP), ISO 32000-1 7.5.2 (PDF).
    """
    if data.startswith(b"\xff\xd8\xff"):
        return DocumentType.JPEG
    if data.startswith(b"\x89PNG\r\n\x1a\n"):
        return DocumentType.PNG
    if data[:4] == b"RIFF" and data[8:12] == b"WEBP":
        return DocumentType.WEBP
    if data.startswith((b"%PDF-1.", b"%PDF-2.")):
        return DocumentType.PDF
    return None


def also_read_as(data: bytes, found: DocumentType) -> str:
    """What else a program could take the bytes for; empty when nothing is known.

    A file that is two things at once shows one to whoever checks it and another to whoever uses it.
    """
    if data.rfind(_ZIP_END, max(0, len(data) - _FOOT)) >= 0:
        return "a zip archive"
    head = data[len(b"%PDF-") if found is DocumentType.PDF else 0 : _HEAD].lower()
    if b"%pdf-" in head:
        return "another PDF" if found is DocumentType.PDF else "a PDF"
    return "a page or a script" if any(sign in head for sign in _PAGES) else ""


def _look_at_name(name: str, found: DocumentType) -> None:
    suffix = Path(name).suffix.lower()
    if suffix and suffix not in SUFFIXES[found]:
        raise UnreadableFile(
            f"its name ends in {suffix}, but it is a {found}",
            where=name,
            do=f"if that's the file you want, rename it {Path(name).stem}{SUFFIXES[found][0]}",
        )


def _with_suffix(name: str, found: DocumentType) -> str:
    return name if Path(name).suffix else name + SUFFIXES[found][0]


def plain_name(name: str) -> str:
    """The name alone, as any system can hold it: no folders, no control or turning signs, no device names, not too long."""
    last = name.replace("\\", "/").rstrip("/").rpartition("/")[2]
    kept = "".join(_plain_sign(sign) for sign in unicodedata.normalize("NFC", last))
    kept = " ".join(kept.split()).strip(". ")
    stem, dot, suffix = kept.rpartition(".")
    if not dot:
        stem, suffix = kept, ""
    if stem.strip().lower().partition(".")[0] in _RESERVED:
        stem = f"_{stem}"
    whole = f"{stem[: _LONGEST_NAME - len(suffix[:8])]}{dot}{suffix[:8] if dot else ''}"
    return whole.strip(". ") or "document"


def _plain_sign(sign: str) -> str:
    if unicodedata.category(sign)[0] == "C":
        return "" if unicodedata.category(sign) == "Cf" else " "
    return "_" if sign in '<>:"|?*/' else sign
