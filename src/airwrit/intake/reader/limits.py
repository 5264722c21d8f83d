"""How much of a file the reader takes on, and how it says that it cannot; nothing is cut off in silence."""

from __future__ import annotations

from typing import NamedTuple

ZIP, OLE = b"PK\x03\x04", bytes.fromhex("d0cf11e0a1b11ae1")
"""The first bytes of workbooks: a zip archive (.xlsx, .ods), an OLE container (.xls, or a locked .xlsx)."""


class Limits(NamedTuple):
    """Bytes of the file, bytes it unpacks to, cells, seconds of wall clock, bytes of memory of the process, pixels, rows.

    The reading process is bound by all of them. Ours is bound by rows, by `filled` cells and by what is `judged`, of all files
    read at once: an import takes up to 1.6 kB for each filled cell, and an aircraft or person that is judged 42 kB, as
    `docs/speed.md` has it measured. So either stays near 1.5 GB.
    """

    file_bytes: int = 50 * 2**20
    unpacked_bytes: int = 600 * 2**20
    cells: int = 2_000_000
    seconds: int = 60
    memory_bytes: int = 2 * 2**30
    pixels: int = 100_000_000
    rows: int = 200_000
    filled: int = 1_000_000
    judged: int = 30_000


LIMITS = Limits()
"""What is used unless a test asks for less."""

LONGEST_COPY = 1200
"""Pixels of the longer side of a photo's small copy: 13 to the millimetre at the width of half a page."""


class Fault(Exception):
    """Raised in the reading process, told as JSON: why the bytes cannot be read, and what to do."""

    def __init__(self, what: str, do: str) -> None:
        """Both in plain words."""
        self.what, self.do = what, do
        super().__init__(what)


def too_many_cells(limits: Limits) -> Fault:
    """The fault of a workbook whose table has more cells than are read."""
    return Fault(
        f"the file has more than {limits.cells:,} cells",
        "delete empty rows and columns far from the table, or split the file",
    )
