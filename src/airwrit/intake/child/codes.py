"""Codes in a photo, in the reading process: a ladder of ever stronger preparations, up to the first that shows any code.

A code that is read has passed its own error correction or check sum, and lines are read more than once. Kinds without any
such guard (Codabar, Interleaved 2 of 5) and the retail kinds, which hold no number of an aircraft, are not looked for.
"""

from __future__ import annotations

import math
import warnings
from collections.abc import Iterator
from typing import Any

import zxingcpp
from PIL import Image, ImageFilter

from airwrit.intake.child.pixels import opened
from airwrit.intake.reader.limits import Limits

_READABLE = ("PNG", "JPEG", "WEBP", "BMP", "TIFF", "GIF")
_FORMAT = zxingcpp.BarcodeFormat
_LINEAR = (_FORMAT.Code128, _FORMAT.Code39, _FORMAT.Code93)
_MATRIX = (
    _FORMAT.QRCode,
    _FORMAT.MicroQRCode,
    _FORMAT.RMQRCode,
    _FORMAT.DataMatrix,
    _FORMAT.Aztec,
    _FORMAT.PDF417,
    _FORMAT.MicroPDF417,
)
_TILTS_DEG = (20, -20, 40, -40)
_QUICK_PIXELS, _SLOW_PIXELS = 4_000_000, 16_000_000
"""A larger photo is tried as a quick copy of at most so many pixels, and at last once as a slow one."""
_LONGEST_TEXT = 4096


def read(data: bytes, limits: Limits) -> dict[str, Any]:
    """The codes of a picture, its size and how many pictures the file has. Fault when it cannot be opened."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")  # of odd parts that bear on no pixel
        picture, pictures = opened(
            data, limits, kinds=_READABLE, mode="L", smaller="crop the photo to the label, and use that"
        )
    size = list(picture.size)
    gray = _gray(picture)
    for step, prepared, formats in _ladder(gray):
        found = zxingcpp.read_barcodes(prepared, formats=formats, text_mode=zxingcpp.TextMode.Plain)
        codes = [_code(code) for code in found if code.bytes and len(code.bytes) <= _LONGEST_TEXT]
        if codes:
            alone = list({(code["format"], code["text"], code["hex"]): code for code in codes}.values())
            return {"size": size, "pictures": pictures, "step": step, "codes": alone}
    return {"size": size, "pictures": pictures, "step": "", "codes": []}


def _gray(picture: Image.Image) -> Image.Image:
    """The picture in 256 grays; what is transparent is white, and deeper grays are scaled, not cut off."""
    if picture.mode.startswith(("I", "F")):
        deep = picture.convert("F")
        low, high = deep.getextrema()
        span = (high - low) or 1  # type: ignore[operator]
        return deep.point(lambda value: value * (255 / span) - low * 255 / span).convert("L")  # type: ignore[operator]
    if picture.mode in ("LA", "PA", "RGBA", "La", "RGBa") or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        white = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(white, clear).convert("L")
    return picture.convert("L")


def _ladder(gray: Image.Image) -> Iterator[tuple[str, Image.Image, Any]]:
    """Each step's name, picture and the kinds of code looked for; each is made only when the one before showed nothing."""
    every = [*_MATRIX, *_LINEAR]
    whole, gray = gray, _at_most(_QUICK_PIXELS, gray)
    yield "as it is" if gray is whole else "as it is, smaller", gray, every
    yield "half size", gray.reduce(2), every
    sharp = ImageFilter.UnsharpMask(radius=3, percent=200, threshold=2)
    clean = gray.filter(ImageFilter.MedianFilter(3))
    yield "cleaned and sharpened", clean.filter(sharp), every
    smaller = gray.resize(
        (max(1, gray.width * 2 // 3), max(1, gray.height * 2 // 3)), Image.Resampling.LANCZOS
    )
    yield "smaller and sharpened", smaller.filter(sharp), every
    for tilt_deg in _TILTS_DEG:
        turned = smaller.rotate(tilt_deg, Image.Resampling.BICUBIC, expand=True, fillcolor=255)
        yield f"turned by {tilt_deg} degrees", turned, list(_LINEAR)
    larger = gray.resize((gray.width * 3 // 2, gray.height * 3 // 2), Image.Resampling.BICUBIC)
    strong = ImageFilter.UnsharpMask(radius=3.5, percent=400, threshold=0)
    yield "larger, smoothed and sharpened", larger.filter(ImageFilter.GaussianBlur(1)).filter(strong), every
    if gray is not whole:
        yield "as it is, larger", _at_most(_SLOW_PIXELS, whole), every


def _at_most(pixels: int, gray: Image.Image) -> Image.Image:
    """The picture itself, or a copy smaller by a whole number so that it has at most so many pixels."""
    factor = math.ceil(math.sqrt(gray.width * gray.height / pixels))
    return gray.reduce(factor) if factor > 1 else gray


def _code(code: zxingcpp.Barcode) -> dict[str, Any]:
    """One code as plain data: kind, text (empty when it holds no text), bytes, and its corners in the prepared picture."""
    is_text = code.content_type in (
        zxingcpp.ContentType.Text,
        zxingcpp.ContentType.GS1,
        zxingcpp.ContentType.ISO15434,
    )
    return {"format": str(code.format), "text": code.text if is_text else "", "hex": code.bytes.hex()}
