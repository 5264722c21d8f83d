"""Records of an .xls workbook that the library leaves out: conditional formats, and check boxes drawn over cells."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator, Sequence

from xlrd.compdoc import CompDoc

from airwrit.intake.markup.marks import Marks
from airwrit.intake.reader.looks import Unseen

_BOF, _EOF, _BOUNDSHEET, _DRAWING, _OBJECT = 0x0809, 0x000A, 0x0085, 0x00EC, 0x005D
_ROW, _COLUMN, _NOTE = 0x0208, 0x007D, 0x001C
_CONDITIONS = (0x01B0, 0x0879)
_WANTED = (_DRAWING, _OBJECT, _ROW, _COLUMN, _NOTE, *_CONDITIONS)
_HEIGHT, _ROW_HIDDEN = 0x7FFF, 0x20
_ANCHOR = struct.pack("<HI", 0xF010, 18)
_CHECK_BOX, _STATE = 0x0B, 0x12

Record = tuple[int, bytes]
"""A record's number and what is in it."""


def records_of(data: bytes) -> list[list[Record]]:
    """The records of each sheet that tell more than values. The library's errors or struct.error when damaged.

    Source: [MS-XLS] 2.4.18 (where sheets start), 2.4.42 (conditional formats), 2.4.53 and 2.4.221 (hidden columns and rows),
    2.4.179 (comments), 2.5.143 and 2.5.145 (objects), 2.5.193 (anchors), from memory.
    """
    stream, base, size = CompDoc(data, logfile=io.StringIO()).locate_named_stream("Workbook")
    if not stream:
        return []
    stream = stream[base : base + size]
    starts = [
        struct.unpack_from("<I", body)[0]
        for number, body in _records(stream, 0, (_BOUNDSHEET,))
        if number == _BOUNDSHEET and body[5:6] == b"\0"
    ]
    return [list(_records(stream, start, _WANTED)) for start in starts]


def needs_library(records: Sequence[Record]) -> bool:
    """Whether a sheet has a comment, or a row or column that is hidden: what they say is the library's to read."""
    for number, body in records:
        if number == _ROW:
            height, flags = struct.unpack_from("<H4xH", body, 6)
            hidden = not height & _HEIGHT or flags & _ROW_HIDDEN
        elif number == _COLUMN:
            width, flags = struct.unpack_from("<H2xH", body, 4)
            hidden = not width or flags & 1
        else:
            hidden = number == _NOTE
        if hidden:
            return True
    return False


def add_objects(records: Sequence[Record], marks: Marks) -> None:
    """Add to a sheet what its records tell of conditional formats and check boxes."""
    anchor = b""
    for number, body in records:
        if number in _CONDITIONS:
            marks.unseen.add(Unseen.CONDITIONAL)
        elif number == _DRAWING:
            anchor = body
        elif number == _OBJECT:
            _add_box(anchor, body, marks)


def _records(stream: bytes, at: int, wanted: Sequence[int]) -> Iterator[Record]:
    """The wanted records from a place to the end of the part that starts there."""
    depth, end, header = 0, len(stream) - 4, struct.Struct("<HH").unpack_from
    while 0 <= at <= end:
        number, size = header(stream, at)
        if number in wanted:
            yield number, stream[at + 4 : at + 4 + size]
        elif number == _BOF:
            depth += 1
        elif number == _EOF:
            depth -= 1
            if depth <= 0:
                return
        at += 4 + size


def _add_box(drawing: bytes, body: bytes, marks: Marks) -> None:
    """Draw a check box that is on or off over the cell that has its middle."""
    found = drawing.rfind(_ANCHOR)
    parts = dict(_parts(body))
    if found < 0 or parts.get(0x15, b"")[:2] != struct.pack("<H", _CHECK_BOX) or _STATE not in parts:
        return
    left, dx, top, dy, _, _, bottom, dy2 = struct.unpack_from("<8H", drawing, found + 8)
    (state,) = struct.unpack_from("<H", parts[_STATE])
    if state in (0, 1):
        middle = (top + dy / 256 + bottom + dy2 / 256) / 2
        marks.canvas.add_box(int(middle), left + (dx > 896), checked=state == 1)


def _parts(body: bytes) -> Iterator[Record]:
    at = 0
    while at + 4 <= len(body):
        number, size = struct.unpack_from("<HH", body, at)
        yield number, body[at + 4 : at + 4 + size]
        at += 4 + size
