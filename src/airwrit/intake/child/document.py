"""A photo or a PDF, in the reading process: its size once all of it was decoded, its pages, what a photo says of itself."""

from __future__ import annotations

import io
import logging
import warnings
from datetime import date
from typing import Any

from PIL import Image
from pypdf import PdfReader
from pypdf.errors import PyPdfError

from airwrit.intake.child.pixels import DAMAGED, opened
from airwrit.intake.reader.limits import Fault, Limits

_TAKEN_AT, _EXIF, _POSITION = 0x9003, 0x8769, 0x8825
"""Tags of Exif 2.32: DateTimeOriginal (4.6.5), the pointers to its own and to the GPS part (4.6.3)."""
_MOST_PAGES = 5_000


def read(data: bytes, limits: Limits) -> dict[str, Any]:
    """Width and height or pages, and the day and the place that a photo tells. Fault when it is damaged or too large."""
    told: dict[str, Any] = {"width": 0, "height": 0, "pages": 0, "says_on": "", "has_position": False}
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of odd parts that bear on nothing told here
        if data.startswith(b"%PDF-"):
            return told | {"pages": _pages(data)}
        picture, _ = opened(data, limits)
        return told | {"width": picture.width, "height": picture.height} | _said(picture)


def _pages(data: bytes) -> int:
    logging.disable()
    try:
        pages = len(PdfReader(io.BytesIO(data)).pages)
    except (*DAMAGED, PyPdfError, RecursionError) as fault:
        raise Fault("the PDF is damaged or locked with a password", "save a copy without it") from fault
    if not 0 < pages <= _MOST_PAGES:
        raise Fault(f"the PDF has {pages} pages", f"use a PDF with 1 to {_MOST_PAGES:,} pages")
    return pages


def _said(picture: Image.Image) -> dict[str, Any]:
    """The day and the position in a photo's own notes; nothing where they cannot be read."""
    try:
        exif = picture.getexif()
        taken = str(exif.get_ifd(_EXIF).get(_TAKEN_AT, ""))
        position = bool(exif.get_ifd(_POSITION))
    except DAMAGED:
        return {}
    try:
        day = date.fromisoformat(taken[:10].replace(":", "-")).isoformat()
    except ValueError:
        day = ""
    return {"says_on": day, "has_position": position}
