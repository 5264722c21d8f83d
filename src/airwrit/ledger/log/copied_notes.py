"""A checkpoint out of text copied from its page: what a reader of PDFs or a clipboard adds and leaves out is put right.

Copying drops empty lines, breaks long ones, puts spaces and page ends in, and brings the text around the note along. The
note is found again by its form alone. Nothing is believed for it: whoever changes a sign of it changes what it is held against.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from airwrit.base.errors import BadProof
from airwrit.ledger.log.notes import DASH, ORIGIN, Note, checkpoint_of, note_of

_UNSEEN = re.compile("[\u00ad\u200b-\u200f\u2060\ufeff]")
_ORIGIN = re.compile(re.escape(ORIGIN) + r"[0-9A-Za-z._-]{1,64}")
_SIZE = re.compile(r"[0-9]{1,16}")
_ROOT = re.compile(r"[0-9A-Za-z+/]{43}=")
_OWN = re.compile(rf"subjects {_ROOT.pattern}|last [0-9T:.Z-]{{10,40}}")
_SIGNED = re.compile(r"[\u2012-\u2015-] (\S+) ([0-9A-Za-z+/]+={0,2})")
_SIGNATURE = 92
"""Signs of base64 that 4 bytes of a key's number and 64 of an Ed25519 signature make (RFC 4648, section 4)."""


def copied_note(text: str) -> str:
    """The note in copied text, in its own form; empty where none is found."""
    shown = _UNSEEN.sub("", text.replace("\f", "\n"))
    lines = [line for line in (" ".join(raw.split()) for raw in shown.splitlines()) if line]
    for at, line in enumerate(lines):
        rest = lines[at + 1 : at + 3]
        if (
            _ORIGIN.fullmatch(line)
            and len(rest) == 2
            and _SIZE.fullmatch(rest[0])
            and _ROOT.fullmatch(rest[1])
        ):
            return _note(lines[at:])
    return ""


def _note(lines: Sequence[str]) -> str:
    end = 3
    while end < len(lines) and _OWN.fullmatch(lines[end]):
        end += 1
    text = "".join(line + "\n" for line in lines[:end])
    signed = "".join(line + "\n" for line in _signatures(lines[end:]))
    return f"{text}\n{signed}" if signed else text


def _signatures(lines: Sequence[str]) -> Iterator[str]:
    """The signature lines, each whole again where it was broken."""
    at = 0
    while at < len(lines) and (found := _SIGNED.fullmatch(lines[at])):
        name, value = found.groups()
        at += 1
        while at < len(lines) and len(value) < _SIGNATURE and re.fullmatch("[0-9A-Za-z+/]+={0,2}", lines[at]):
            value += lines[at]
            at += 1
        yield f"{DASH}{name} {value}"


def checkpoint_note_in(data: bytes, name: str) -> Note:
    """The checkpoint in the bytes of a file of that name, its ends of line put right, or copied from its page.

    BadProof when it is none.
    """
    try:
        text = data.decode().replace("\r\n", "\n")
    except UnicodeDecodeError as fault:
        raise BadProof("this isn't text", where=name, do="enter the name of a checkpoint file") from fault
    exact = text if text.endswith("\n") else text + "\n"
    try:
        note = _read(exact)
        return note if _is_as_written(exact, note) else _read(copied_note(text) or exact)
    except BadProof as fault:
        try:
            return _read(copied_note(text) or exact)
        except BadProof:
            raise BadProof(
                fault.what, where=name, do=fault.do or "enter the name of a checkpoint file"
            ) from fault


def _read(text: str) -> Note:
    note = note_of(text)
    checkpoint_of(note.text)
    return note


def _is_as_written(text: str, note: Note) -> bool:
    """Whether a text that can be read as a note shows no trace of having been copied from a page."""
    lines = note.text.splitlines()
    is_plain = not _UNSEEN.search(text) and all(line == " ".join(line.split()) for line in lines)
    return is_plain and not any(_SIGNED.fullmatch(line) for line in lines)
