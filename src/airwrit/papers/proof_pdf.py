"""A proof as a PDF/A-3 file: pages to read, and the machine part attached, from which the pages are made and can be again."""

from __future__ import annotations

import base64
from functools import cache
from hashlib import sha256
from importlib.metadata import version

from airwrit.answers.proof.proof import MACHINE_PART, Proof, installed_digest, proof_in
from airwrit.base.days import day_of
from airwrit.base.errors import AirwritError, BadProof
from airwrit.intake.reader.apart import Broke, TookTooLong, told_apart
from airwrit.intake.reader.limits import Limits
from airwrit.ledger.excerpt.form import LARGEST
from airwrit.papers.proof_pages import page_data
from airwrit.papers.typeset import FONT_PACKAGES, archive_of

TEMPLATE = "proof.typ"

PROOF_LIMITS = Limits(file_bytes=LARGEST, unpacked_bytes=LARGEST, seconds=20, memory_bytes=2**30)
"""64 MB a proof file, and as much for the machine part in it; 20 seconds to find that."""

_BROKEN = (ArithmeticError, AttributeError, LookupError, OSError, RuntimeError, TypeError, ValueError)
"""What setting a stranger's answers may raise."""
_ANEW = "get the original file again"


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
        raise BadProof(
            "we can't make pages from its answers or photos", do="get the original file again"
        ) from fault


def _photos(proof: Proof) -> dict[str, str]:
    """The small copies, byte by byte as signs: inputs of a template are texts."""
    return {f"photo-{digest}": copy.decode("latin-1") for digest, copy in proof.copies.items()}


def machine_part_in(pdf: bytes, limits: Limits = PROOF_LIMITS) -> bytes:
    """The machine part attached to a proof file, read in a process of its own.

    BadProof when the bytes are no PDF, hold none or more than one, or cannot be read within the limits.
    """
    if len(pdf) > limits.file_bytes:
        raise BadProof(
            f"the file is {len(pdf):,} bytes. A proof can be up to {limits.file_bytes:,}",
            do="enter the name of a proof file",
        )
    try:
        told = told_apart("attachment", pdf, limits, MACHINE_PART)
    except TookTooLong as fault:
        raise BadProof(f"we gave up after {limits.seconds} seconds of reading", do=_ANEW) from fault
    except Broke as fault:
        raise BadProof(
            "the file is damaged, or was built to crash the program that opens it", do=_ANEW
        ) from fault
    if "fault" in told:
        raise BadProof(told["fault"][0], do=told["fault"][1])
    if told["count"] != 1:
        raise BadProof(
            f"it has {told['count'] or 'no'} {MACHINE_PART}", do="use the original proof, unchanged"
        )
    return base64.b64decode(told["bytes"])
