"""Papers looked at as pictures: dark dots, lengths in millimetres, and the text of a PDF."""

from __future__ import annotations

import io
import re

from PIL import Image
from pypdf import PdfReader

PPI = 508
"""20 dots to the millimetre."""
DOTS_PER_MM = PPI / 25.4
_DARK = re.compile(b"\xff+")


def opened(png: bytes) -> Image.Image:
    """A page as a picture of two tones: 255 where dark."""
    return Image.open(io.BytesIO(png)).convert("L").point(lambda tone: 255 if tone < 128 else 0)


def dark_runs(line: bytes) -> list[tuple[int, int]]:
    """Where a line of dots is dark: first dot and length of each run."""
    return [(run.start(), run.end() - run.start()) for run in _DARK.finditer(line)]


def row(page: Image.Image, y: int) -> bytes:
    """A row of dots, 255 where dark."""
    return page.crop((0, y, page.width, y + 1)).tobytes()


def column(page: Image.Image, x: int) -> bytes:
    """A column of dots, 255 where dark."""
    return page.crop((x, 0, x + 1, page.height)).tobytes()


def text_of(pdf: bytes) -> str:
    """The text of all pages, without the places where a long word may break."""
    pages = PdfReader(io.BytesIO(pdf)).pages
    return " ".join(" ".join(page.extract_text() for page in pages).replace("\u200b", "").split())


def sizes_mm(pdf: bytes) -> set[tuple[float, float]]:
    """Width and height of the pages."""
    boxes = [page.mediabox for page in PdfReader(io.BytesIO(pdf)).pages]
    return {
        (round(float(box.width) / 72 * 25.4, 1), round(float(box.height) / 72 * 25.4, 1)) for box in boxes
    }
