"""The files attached to a PDF under one name, in the reading process; see `child.document` for the PDF itself."""

from __future__ import annotations

import base64
import io
import logging
from typing import Any

from pypdf import PdfReader
from pypdf.errors import FileNotDecryptedError, PyPdfError
from pypdf.generic import EmbeddedFile

from airwrit.intake.child.pixels import DAMAGED
from airwrit.intake.reader.limits import Fault, Limits

_WHOLE = "get the original file again"
_BROKEN = (*DAMAGED, PyPdfError, RecursionError)


def read(data: bytes, limits: Limits, name: str) -> dict[str, Any]:
    """How many files bear the name, and the bytes of the one that does, in base64. Fault when they cannot be read."""
    logging.disable()
    try:
        found = [one for one in PdfReader(io.BytesIO(data)).attachment_list if name in _names(one)]
    except FileNotDecryptedError as fault:
        raise Fault("the file is locked with a password", "save a copy without it") from fault
    except _BROKEN as fault:
        raise Fault("we can't read this PDF", _WHOLE) from fault
    return {
        "count": len(found),
        "bytes": base64.b64encode(_content(found[0], limits)).decode("ascii") if len(found) == 1 else "",
    }


def _names(one: EmbeddedFile) -> tuple[str, str]:
    """The name in the tree of names, and the one that the attachment bears itself."""
    return str(one.name), str(one.alternative_name)


def _content(one: EmbeddedFile, limits: Limits) -> bytes:
    try:
        found, told = one.content, one.size
    except _BROKEN as fault:
        raise Fault("the PDF's attachment is damaged or far too large", _WHOLE) from fault
    if len(found) > limits.unpacked_bytes:
        raise Fault(
            f"the PDF's attachment is {len(found):,} bytes. We read up to {limits.unpacked_bytes:,}",
            "have a proof made with fewer records in it",
        )
    if told is not None and told != len(found):
        raise Fault("the PDF's attachment isn't the size it says", _WHOLE)
    return found
