"""A photo of a label: the codes in it, read apart from us. What a code says is never more than read, to be confirmed."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from airwrit.base.errors import UnreadableFile
from airwrit.facts.statement import Source
from airwrit.intake.reader.apart import IfUnreadable, bytes_of, told_of_file
from airwrit.intake.reader.limits import Limits

PHOTO_LIMITS = Limits(seconds=20)
READABLE = frozenset({".png", ".jpg", ".jpeg", ".webp", ".bmp", ".tif", ".tiff", ".gif"})
OTHERS = frozenset({".heic", ".heif", ".avif", ".jxl", ".dng", ".pdf", ".svg", ".psd"})
"""Names that say picture, of kinds that are not read."""

_CUT_OUT = "crop the photo to the label, and use that"


@dataclass(frozen=True, slots=True)
class Code:
    """One code: its kind as printed on no label but known to scanners, its text, or its bytes where it holds no text."""

    kind: str
    text: str
    raw: bytes


@dataclass(frozen=True, slots=True)
class Photo:
    """A photo as read: its file, size, how many pictures the file has (the first was read), the step that read it, codes."""

    source: Source
    width: int
    height: int
    pictures: int
    step: str
    codes: tuple[Code, ...]


def is_photo_name(text: str) -> bool:
    """True when the text ends as the name of a picture does, and is no web address."""
    return Path(text).suffix.lower() in READABLE | OTHERS and "://" not in text


def read_photo(path: Path, limits: Limits = PHOTO_LIMITS) -> Photo:
    """The codes of a photo. UnreadableFile when it is missing, empty, no picture, cut off, too large or takes too long."""
    if path.suffix.lower() in OTHERS:
        raise UnreadableFile(
            f"we can't read {path.suffix.lower()} pictures",
            where=path.name,
            do="save the photo as .jpg or .png, and use that",
        )
    return photo_of(bytes_of(path, limits, _CUT_OUT), path.name, limits)


def photo_of(data: bytes, name: str, limits: Limits = PHOTO_LIMITS) -> Photo:
    """The codes of a photo's bytes. UnreadableFile when they are empty, no picture, cut off, too many or take too long."""
    if len(data) > limits.file_bytes:
        raise UnreadableFile(f"the photo is larger than {limits.file_bytes:,} bytes", where=name, do=_CUT_OUT)
    told = _told(data, name, limits)
    if "fault" in told:
        raise UnreadableFile(told["fault"][0], where=name, do=told["fault"][1])
    width, height = told["size"]
    codes = tuple(Code(code["format"], code["text"], bytes.fromhex(code["hex"])) for code in told["codes"])
    source = Source(name, hashlib.sha256(data).hexdigest())
    return Photo(source, width, height, told["pictures"], told["step"], codes)


def _told(data: bytes, name: str, limits: Limits) -> dict[str, Any]:
    if not data:
        raise UnreadableFile("the file is empty", where=name, do="take or copy the photo again")
    said = IfUnreadable(_CUT_OUT, "the file is damaged or far too large", _CUT_OUT)
    return told_of_file("codes", data, name, limits, said)
