"""A proof as a PDF/A-3 file: pages to read, and the machine part attached, from which the pages are made and can be again."""

from __future__ import annotations

import io
import logging
from functools import cache
from hashlib import sha256
from importlib.metadata import version

from pypdf import PdfReader
from pypdf.errors import PyPdfError

from airwrit.answers.proof import MACHINE_PART, Proof, installed_digest, proof_in
from airwrit.base.errors import AirwritError, BadProof
from airwrit.base.times import day_of
from airwrit.papers.proof_data import page_data
from airwrit.papers.typeset import FONT_PACKAGES, archive_of

TEMPLATE = "proof.typ"

_SILENT = logging.NullHandler()
"""Keeps what the reader remarks about broken files off the terminal: the error says it."""

_BROKEN = (ArithmeticError, AttributeError, LookupError, OSError, RuntimeError, TypeError, ValueError)
"""What reading a stranger's bytes may raise."""


@cache
def typesetter() -> str:
    """What sets the pages here: Typst's version, and a digest of what else the pages come from, the fonts among it."""
    fonts = "".join(f"{package} {version(package.replace('_', '-'))}\n" for package in FONT_PACKAGES)
    pages = sha256((installed_digest("papers", "facts") + fonts).encode()).hexdigest()
    return f"typst {version('typst')}, pages {pages[:12]}"


def render(machine_part: bytes) -> bytes:
    """The proof file of a machine part: the same bytes each time. BadProof when it is none, or cannot be set."""
    proof = proof_in(machine_part)
    try:
        data = page_data(proof)
        parts = {"machine": machine_part.decode(), **_photos(proof)}
        return archive_of(TEMPLATE, data, day_of(proof.question.known_at), parts)
    except AirwritError:
        raise
    except _BROKEN as fault:
        raise BadProof("its answers or its photos cannot be set as pages", do="get the file anew") from fault


def _photos(proof: Proof) -> dict[str, str]:
    """The small copies, byte by byte as signs: inputs of a template are texts."""
    return {f"photo-{digest}": copy.decode("latin-1") for digest, copy in proof.copies.items()}


def machine_part_in(pdf: bytes) -> bytes:
    """The machine part attached to a proof file. BadProof when the bytes are no PDF, or hold none."""
    logging.getLogger("pypdf").addHandler(_SILENT)
    try:
        attached = PdfReader(io.BytesIO(pdf)).attachments
        found = [data for name, all_of_it in attached.items() if name == MACHINE_PART for data in all_of_it]
    except (*_BROKEN, PyPdfError, RecursionError) as fault:
        raise BadProof("it is no PDF that can be read", do="name a proof file") from fault
    if len(found) != 1:
        raise BadProof(
            f"it holds {len(found) or 'no'} {MACHINE_PART}", do="name a proof file, whole as it was made"
        )
    return bytes(found[0])
