"""A checkpoint on one page, to be printed and kept where the ledger is not: the note, its numbers in groups, a code to scan."""

from __future__ import annotations

from datetime import date
from io import BytesIO

import segno

from airwrit.ledger.log.notes import checkpoint_of, note_of
from airwrit.papers.typeset import Json, moment_words, paper_name, pdf_of, printable

TEMPLATE = "checkpoint.typ"

_GROUP = 8
_LONGEST = 2000


def checkpoint_pdf(note: str, day: date, *, paper: str = "letter") -> bytes:
    """The page as PDF: the same note and day give the same bytes. BadProof when the note is no checkpoint."""
    return pdf_of(TEMPLATE, checkpoint_data(note, day, paper=paper), day)


def checkpoint_data(note: str, day: date, *, paper: str = "letter") -> Json:
    """What the template is filled with."""
    read = note_of(note)
    told = checkpoint_of(read.text)
    root = told.root.hex()
    return {
        "title": "Checkpoint",
        "program": "airwrit",
        "day": day.isoformat(),
        "paper": paper_name(paper),
        "foot": printable(f"checkpoint of {told.size} entries, printed {day.isoformat()}", 110),
        "origin": printable(told.origin, 100),
        "size": str(told.size),
        "last": moment_words(told.last) or None,
        "root": [root[at : at + _GROUP] for at in range(0, len(root), _GROUP)],
        "signed": [printable(f"{one.name}, key number {one.number.hex()}", 120) for one in read.signatures],
        "note": [printable(line, _LONGEST) for line in note.splitlines()],
        "code": _code(note),
    }


def _code(note: str) -> str | None:
    """The note itself as a QR code; None when it is too long for one."""
    drawn = BytesIO()
    try:
        made = segno.make(note, error="m", micro=False)
    except ValueError:
        return None
    made.save(drawn, kind="svg", border=4, xmldecl=False, svgns=True)
    return drawn.getvalue().decode()
