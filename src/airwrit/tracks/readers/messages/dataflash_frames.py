"""The messages of a DataFlash log as columns: where each message begins, and the fields of those that are wanted.

A message is A3 95, its type, its fields. FMT (type 128) tells a type's length, name, field types and field names:

    byte 0-1   A3 95              byte 3   type            byte 5-8    name          byte 25-88   names of fields,
    byte 2     80 for FMT         byte 4   whole length    byte 9-24   field types                with commas

A field type gives the kind of number, and for c, C, e, E, L a factor. Where FMTU and MULT give a field a factor, it applies to
the number as stored and takes the place of the other. Source: the published format of the log, its structure file 001064f4.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.readers.messages.frame_chain import chain
from airwrit.tracks.readers.numbers import floats

_PIECE = 1 << 24
_FMT, _FMT_LENGTH = 0x80, 89
_HEAD = 3
_KINDS = {
    "b": "i1",
    "B": "u1",
    "M": "u1",
    "h": "<i2",
    "H": "<u2",
    "c": "<i2",
    "C": "<u2",
    "i": "<i4",
    "I": "<u4",
    "e": "<i4",
    "E": "<u4",
    "L": "<i4",
    "f": "<f4",
    "d": "<f8",
    "g": "<f2",
    "q": "<i8",
    "Q": "<u8",
    "n": "S4",
    "N": "S16",
    "Z": "S64",
    "a": "V64",
}
_FACTORS = {"c": 0.01, "C": 0.01, "e": 0.01, "E": 0.01, "L": 1e-7}
_NO_FACTOR = b"-?"

Bytes = NDArray[np.uint8]


class MessageForm(NamedTuple):
    """A type of message: its number, length, name, field names and their types, cut to what fits in its length."""

    number: int
    length: int
    name: str
    columns: tuple[str, ...]
    kinds: str


@dataclass(slots=True)
class DataflashFrames:
    """A log with the places of its messages, their forms, and what could not be read of it.

    `starts` and `types` have a place for each message, in the order of the file.
    """

    data: Bytes
    forms: dict[int, MessageForm]
    starts: NDArray[np.int64]
    types: NDArray[np.uint8]
    junk_bytes: int
    is_cut_short: bool
    factors: dict[int, tuple[float | None, ...]] = field(default_factory=dict)

    def starts_of(self, name: str) -> NDArray[np.int64]:
        """Where the messages of a name begin."""
        numbers = [form.number for form in self.forms.values() if form.name == name]
        return self.starts[np.isin(self.types, numbers)] if numbers else self.starts[:0]

    def columns_of(self, name: str) -> dict[str, NDArray[Any]]:
        """The fields of all messages of a name, numbers as stored; and `at`, the byte each begins at. Empty for none."""
        form = next((one for one in self.forms.values() if one.name == name), None)
        if form is None:
            return {}
        starts = self.starts[self.types == form.number]
        return _columns(self.data, starts, form) if len(starts) else {}

    def scaled(self, name: str, columns: dict[str, NDArray[Any]], column: str) -> NDArray[np.float64] | None:
        """A field in the unit that the log means, None where there is none."""
        values = columns.get(column)
        if values is None or values.dtype.kind not in "iuf":
            return None
        form = next(one for one in self.forms.values() if one.name == name)
        at = form.columns.index(column)
        told = self.factors.get(form.number, ())
        factor = told[at] if at < len(told) else None
        return floats(values) * (_FACTORS.get(form.kinds[at], 1.0) if factor is None else factor)


def frames_of(data: Bytes) -> DataflashFrames:
    """The messages of a log; what is between them that is no message is skipped and counted."""
    starts, types = _candidates(data)
    forms = _forms(data, starts[types == _FMT])
    lengths = np.zeros(256, dtype=np.int64)
    lengths[_FMT] = _FMT_LENGTH
    for form in forms.values():
        lengths[form.number] = form.length
    known = lengths[types] > 0
    starts, types = starts[known], types[known]
    ends = starts + lengths[types]
    kept, junk = chain(starts, ends, len(data))
    starts, types, ends = starts[kept], types[kept], ends[kept]
    whole = ends <= len(data)
    junk -= _padding(data, int(ends[-1]) if len(ends) else 0)
    frames = DataflashFrames(data, forms, starts[whole], types[whole], junk, not whole.all())
    frames.factors = _told_factors(frames)
    return frames


def _candidates(data: Bytes) -> tuple[NDArray[np.int64], NDArray[np.uint8]]:
    """Where A3 95 stands, and the byte behind it."""
    found = []
    for begin in range(0, len(data), _PIECE):
        piece = np.asarray(data[begin : begin + _PIECE + 2])
        heads = np.flatnonzero(piece[:-2] == 0xA3)
        found.append(heads[piece[heads + 1] == 0x95] + begin)
    starts = np.concatenate([np.zeros(0, dtype=np.int64), *found])
    return starts, np.asarray(data[starts + 2], dtype=np.uint8)


def _padding(data: Bytes, end: int) -> int:
    """The bytes behind the last message, where all of them are those of memory that was never written."""
    tail = data[end:]
    return len(tail) if len(tail) and tail[0] in {0x00, 0xFF} and bool((tail == tail[0]).all()) else 0


def _forms(data: Bytes, starts: NDArray[np.int64]) -> dict[int, MessageForm]:
    """The forms that FMT messages tell; the first of a type holds."""
    forms: dict[int, MessageForm] = {}
    for start in starts:
        told = bytes(data[start : start + _FMT_LENGTH])
        form = _form(told) if len(told) == _FMT_LENGTH else None
        if form is not None:
            forms.setdefault(form.number, form)
    return forms


def _form(told: bytes) -> MessageForm | None:
    try:
        name, kinds, columns = (
            told[begin:end].split(b"\0")[0].decode("ascii") for begin, end in ((5, 9), (9, 25), (25, 89))
        )
    except UnicodeDecodeError:
        return None
    names = tuple(columns.split(",")) if columns else ()
    length = told[4]
    if not name.isalnum() or length < _HEAD or any(kind not in _KINDS for kind in kinds):
        return None
    fitting, size = "", _HEAD
    for kind in kinds[: len(names)]:
        size += np.dtype(_KINDS[kind]).itemsize
        if size > length:
            break
        fitting += kind
    return MessageForm(told[3], length, name, names[: len(fitting)], fitting)


def _columns(data: Bytes, starts: NDArray[np.int64], form: MessageForm) -> dict[str, NDArray[Any]]:
    kind = np.dtype([(f"{at}", _KINDS[kind]) for at, kind in enumerate(form.kinds)])
    rows = np.empty((len(starts), kind.itemsize), dtype=np.uint8)
    for byte in range(kind.itemsize):
        rows[:, byte] = data[starts + _HEAD + byte]
    if not kind.itemsize:
        return {"at": starts}
    told: NDArray[Any] = rows.view(kind)[:, 0]
    columns: dict[str, NDArray[Any]] = {name: told[f"{at}"] for at, name in enumerate(form.columns)}
    return {**columns, "at": starts}


def _told_factors(frames: DataflashFrames) -> dict[int, tuple[float | None, ...]]:
    """The factors that FMTU and MULT give fields, None where they leave it to the field's type."""
    mults, units = frames.columns_of("MULT"), frames.columns_of("FMTU")
    if not {"Id", "Mult"} <= mults.keys() or not {"FmtType", "MultIds"} <= units.keys():
        return {}
    known = {int(one) & 0xFF: float(mult) for one, mult in zip(mults["Id"], mults["Mult"], strict=True)}
    return {
        int(number): tuple(None if sign in _NO_FACTOR else known.get(sign) for sign in bytes(signs))
        for number, signs in zip(units["FmtType"], units["MultIds"], strict=True)
    }
