"""PDFs with something attached, written object by object, so that they can lie: about lengths, names, depths and sizes."""

from __future__ import annotations

import zlib
from collections.abc import Sequence

NAME = "machine.json"
"""What the attachments here are called."""


def pdf(objects: Sequence[bytes]) -> bytes:
    """The objects as a PDF, the first of them its catalog."""
    out, places = b"%PDF-1.7\n", []
    for number, one in enumerate(objects, 1):
        places.append(len(out))
        out += b"%d 0 obj\n%b\nendobj\n" % (number, one)
    table = b"".join(b"%010d 00000 n \n" % place for place in places)
    size = len(objects) + 1
    tail = b"trailer\n<</Size %d/Root 1 0 R>>\nstartxref\n%d\n%%%%EOF\n" % (size, len(out))
    return out + b"xref\n0 %d\n0000000000 65535 f \n" % size + table + tail


def stream(data: bytes, members: bytes = b"", length: int | None = None) -> bytes:
    """A stream whose dictionary holds `members`, and says another length than it has when one is given."""
    told = len(data) if length is None else length
    return b"<<%b/Length %d>>\nstream\n%b\nendstream" % (members, told, data)


def attached(content: bytes, names: bytes = b"", name: str = NAME) -> bytes:
    """A PDF without pages to which a stream is attached; `names` in place of the array that names it once."""
    called = name.encode()
    return pdf(
        [
            b"<</Type/Catalog/Pages 2 0 R/Names<</EmbeddedFiles 3 0 R>>>>",
            b"<</Type/Pages/Kids[]/Count 0>>",
            b"<</Names%b>>" % (names or b"[(%b) 4 0 R]" % called),
            b"<</Type/Filespec/F(%b)/UF(%b)/EF<</F 5 0 R>>>>" % (called, called),
            content,
        ]
    )


def packed(size: int, times: int = 1) -> bytes:
    """A stream of zeros, packed `times` over."""
    data = bytes(size)
    for _ in range(times):
        data = zlib.compress(data, 9)
    return stream(data, b"/Filter[%b]" % (b"/FlateDecode" * times))
