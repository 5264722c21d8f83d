"""Documents for tests, made here: photos with what a camera writes into them, small PDFs, and files that lie."""

from __future__ import annotations

import io
import zlib

from PIL import Image
from pypdf import PdfWriter

PLACE = ((45.0, 12.0, 3.0), (100.0, 1.0, 2.0))
"""Where the photos say they were taken: open country."""


def photo(
    kind: str = "JPEG",
    size: tuple[int, int] = (320, 240),
    *,
    turned: int = 1,
    taken: str = "2026:10:02 10:11:12",
    tone: str = "white",
) -> bytes:
    """A picture, dark in its upper left quarter, with position, moment and a comment in it where its kind can hold them."""
    picture = Image.new("RGB", size, tone)
    picture.paste("black", (0, 0, size[0] // 2, size[1] // 2))
    exif = Image.Exif()
    exif[0x0112] = turned
    exif[0x010F] = "invented maker"
    exif.get_ifd(0x8769)[0x9003] = taken
    gps = exif.get_ifd(0x8825)
    gps[1], gps[2], gps[3], gps[4] = "N", PLACE[0], "W", PLACE[1]
    out = io.BytesIO()
    if kind == "JPEG":
        picture.save(
            out, kind, exif=exif, comment=b"a word about the place", xmp=b"<x:xmpmeta>45.2</x:xmpmeta>"
        )
    else:
        picture.save(out, kind, exif=exif)
    return out.getvalue()


def paper(pages: int = 2, password: str = "") -> bytes:
    """A PDF of blank pages."""
    writer = PdfWriter()
    for _ in range(pages):
        writer.add_blank_page(width=200, height=200)
    if password:
        writer.encrypt(password, algorithm="AES-256")
    out = io.BytesIO()
    writer.write(out)
    return out.getvalue()


def bomb(width: int = 30_000, height: int = 30_000) -> bytes:
    """A PNG of a few hundred bytes whose head says that it is huge."""
    small = io.BytesIO()
    Image.new("L", (8, 8)).save(small, "PNG")
    data = bytearray(small.getvalue())
    data[16:24] = width.to_bytes(4, "big") + height.to_bytes(4, "big")
    crc = zlib.crc32(data[12:29])
    data[29:33] = crc.to_bytes(4, "big")
    return bytes(data)
