"""Opening a stranger's picture, in the reading process: its size is looked at before anything is decoded."""

from __future__ import annotations

import io
import struct
import zlib
from collections.abc import Sequence

from PIL import Image

from airwrit.intake.reader.limits import Fault, Limits

KEPT = ("PNG", "JPEG", "WEBP")
"""Pillow's names of the pictures that are kept."""
DAMAGED = (
    ArithmeticError,
    AttributeError,
    EOFError,
    LookupError,
    OSError,
    RuntimeError,
    SyntaxError,
    TypeError,
    ValueError,
    struct.error,
    zlib.error,
)
"""What readers raise on a damaged file."""


def opened(
    data: bytes,
    limits: Limits,
    *,
    kinds: Sequence[str] = KEPT,
    mode: str = "",
    longest: int = 0,
    smaller: str = "keep a smaller copy",
) -> tuple[Image.Image, int]:
    """The first picture, all its bytes decoded, and how many pictures there are. Fault when it is damaged or too large.

    `mode` and `longest` tell what is wanted of a JPEG, so that no more of it is decoded; `smaller` what to do about size.
    """
    Image.MAX_IMAGE_PIXELS = None  # our own limit stands below
    try:
        picture = Image.open(io.BytesIO(data), formats=tuple(kinds))
    except DAMAGED as fault:
        raise Fault(
            "we can't read this kind of picture", "save the photo as .jpg or .png, and use that"
        ) from fault
    width, height = picture.size
    if width * height > limits.pixels:
        raise Fault(
            f"the photo is {width:,} by {height:,} pixels. We read up to {limits.pixels:,} pixels", smaller
        )
    try:
        pictures: int = getattr(picture, "n_frames", 1)
        if mode:
            picture.draft(mode, (longest, longest) if longest else picture.size)
        picture.load()
    except DAMAGED as fault:
        raise Fault(
            "the picture is incomplete or damaged", "take the picture or copy the file again"
        ) from fault
    return picture, pictures
