"""The file of an edition: a line of form, a head in JSON, and tables that are read only where they are needed.

| bytes | what |
|---|---|
| 0 to 15 | `airwrit airspace`, without an end |
| 16 to 23 | the length of the head, little-endian |
| 24 on | the head: `form`, what the edition says of itself, and of each table its type, shape and place |
| by the head | the tables, each at a multiple of 64 |
"""

from __future__ import annotations

import json
import mmap
from collections.abc import Mapping
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from airwrit.airspace.areas import Areas, Table, problem_of
from airwrit.airspace.edition import Edition, EditionSource
from airwrit.airspace.grid import Grid
from airwrit.airspace.kinds import AreaKind
from airwrit.base.errors import UnreadableFile

FORM = 2
_MARK = b"airwrit airspace"
_HEAD = len(_MARK) + 8
_STEP = 64
_AREAS = ("points", "rings", "pieces", "areas", "filled", "radii_m", "boxes", "told", "lines")
_TYPES = ("|u1", "|b1", "<i2", "<i8", "<f8")


def as_bytes(edition: Edition) -> bytes:
    """The file of an edition."""
    tables = {name: getattr(edition.areas, name) for name in _AREAS}
    tables |= {"keys": edition.grid.keys, "numbers_ft": edition.grid.numbers_ft}
    places: dict[str, Any] = {}
    at = 0
    for name, table in tables.items():
        places[name] = [table.dtype.str, table.shape, at]
        at += -(-table.nbytes // _STEP) * _STEP
    head = {
        "form": FORM,
        "kind": edition.kind.value,
        "layer": edition.layer,
        "on": edition.on.isoformat(),
        "sources": edition.sources,
        "problems": edition.problems,
        "off": edition.grid.off,
        "tables": places,
    }
    told = json.dumps(head).encode("utf-8")
    told += b" " * (-(_HEAD + len(told)) % _STEP)
    parts = [_MARK, len(told).to_bytes(8, "little"), told]
    for table in tables.values():
        parts += [table.tobytes(), b"\0" * (-table.nbytes % _STEP)]
    return b"".join(parts)


def from_file(path: Path) -> Edition:
    """The edition of a file. UnreadableFile where it is damaged, or of another form."""
    try:
        with path.open("rb") as file:
            return from_bytes(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ))
    except (ValueError, KeyError, TypeError) as error:
        raise UnreadableFile(
            f"this file is damaged, or another version of airwrit wrote it ({error})",
            where=str(path),
            do="delete it and import the edition again",
        ) from None


def from_bytes(held: bytes | mmap.mmap) -> Edition:
    """The edition of a file's bytes. ValueError, KeyError or TypeError where they are none."""
    length = int.from_bytes(held[len(_MARK) : _HEAD], "little")
    if held[: len(_MARK)] != _MARK or length > len(held):
        raise ValueError("another form")
    head = json.loads(held[_HEAD : _HEAD + length])
    if head["form"] != FORM:
        raise ValueError("another form")
    return _edition(head, {name: _table(held, _HEAD + length, told) for name, told in head["tables"].items()})


def _table(held: bytes | mmap.mmap, start: int, told: Any) -> Table:
    kind, shape, at = told
    if kind not in _TYPES:
        raise ValueError("a table of an unknown type")
    count = int(np.prod(shape, dtype=np.int64))
    if min(at, count, *shape) < 0:
        raise ValueError("a table of no size")
    return np.frombuffer(held, dtype=kind, count=count, offset=start + at).reshape(shape)


def _edition(head: Mapping[str, Any], tables: Mapping[str, Table]) -> Edition:
    return Edition(
        AreaKind(head["kind"]),
        str(head["layer"]),
        date.fromisoformat(head["on"]),
        tuple(EditionSource(*one) for one in head["sources"]),
        Grid(tables["keys"], tables["numbers_ft"], int(head["off"])),
        Areas(*(tables[name] for name in _AREAS)),
        tuple(map(problem_of, head["problems"])),
    )
