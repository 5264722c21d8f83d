"""The file of an edition: a line of form, a head in JSON, and tables that are read only where they are needed.

| bytes | what |
|---|---|
| 0 to 15 | `airwrit airspace`, without an end |
| 16 to 19 | the length of the head, little-endian |
| 20 to 23 | the CRC-32 of the head, little-endian |
| 24 on | the head: `form`, what the edition says of itself, and of each table its type, shape, place and CRC-32 |
| by the head | the tables, each at a multiple of 64 |

The head and every table of at most 16 MB are checked when the file is opened. Larger ones are checked area by area as they are
read, by the table `sums`, or all at once where the whole file is asked for. The head's `sha256` is of all tables one after the
other. Form 2 had no sums and is still read.
"""

from __future__ import annotations

import hashlib
import json
import mmap
import zlib
from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import numpy as np

from airwrit.airspace.areas import Areas, Table, problem_of
from airwrit.airspace.edition import Edition, EditionSource
from airwrit.airspace.grid import Grid
from airwrit.airspace.kinds import AreaKind
from airwrit.base.errors import UnreadableFile

FORM = 3
_BEFORE_SUMS = 2
_MARK = b"airwrit airspace"
_HEAD = len(_MARK) + 8
_STEP = 64
_AREAS = ("points", "rings", "pieces", "areas", "filled", "radii_m", "boxes", "told", "lines", "sums")
_TYPES = ("|u1", "|b1", "<i2", "<u4", "<i8", "<f8")
_CHECKED_AT_ONCE = 16_000_000
_NO_SUMS = np.zeros(0, dtype=np.uint32)


def as_bytes(edition: Edition) -> bytes:
    """The file of an edition."""
    tables = {name: getattr(edition.areas, name) for name in _AREAS}
    tables["sums"] = edition.areas.sums_of_each()
    tables |= {"keys": edition.grid.keys, "numbers_ft": edition.grid.numbers_ft}
    places: dict[str, Any] = {}
    whole = hashlib.sha256()
    parts: list[bytes] = []
    at = 0
    for name, table in tables.items():
        held = table.tobytes()
        whole.update(held)
        places[name] = [table.dtype.str, table.shape, at, zlib.crc32(held)]
        at += -(-table.nbytes // _STEP) * _STEP
        parts += [held, b"\0" * (-table.nbytes % _STEP)]
    head = {
        "form": FORM,
        "kind": edition.kind.value,
        "layer": edition.layer,
        "on": edition.on.isoformat(),
        "sources": edition.sources,
        "problems": edition.problems,
        "off": edition.grid.off,
        "sha256": whole.hexdigest(),
        "tables": places,
    }
    told = json.dumps(head).encode("utf-8")
    told += b" " * (-(_HEAD + len(told)) % _STEP)
    sizes = len(told).to_bytes(4, "little") + zlib.crc32(told).to_bytes(4, "little")
    return b"".join([_MARK, sizes, told, *parts])


def from_file(path: Path, *, whole: bool = False) -> Edition:
    """The edition of a file, every table checked where the `whole` is asked for. UnreadableFile where it is damaged."""
    try:
        with path.open("rb") as file:
            found = from_bytes(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_READ), whole=whole)
    except (ValueError, KeyError, TypeError) as error:
        raise _damaged(
            path, f"this file is damaged, or another version of airwrit wrote it ({error})"
        ) from None
    return replace(found, areas=replace(found.areas, file=path.name))


def check_whole(path: Path) -> None:
    """Read a file to its end. UnreadableFile where any of it isn't as it was written; a file of form 2 can't tell."""
    edition = from_file(path)
    if not edition.sha256:
        return
    whole = hashlib.sha256()
    for table in (
        *(getattr(edition.areas, name) for name in _AREAS),
        edition.grid.keys,
        edition.grid.numbers_ft,
    ):
        whole.update(table.data)
    if whole.hexdigest() != edition.sha256:
        raise _damaged(path, "this file is damaged: its checksum doesn't match")


def from_bytes(held: bytes | mmap.mmap, *, whole: bool = False) -> Edition:
    """The edition of a file's bytes; tables of any size are checked where the `whole` is asked for.

    ValueError, KeyError or TypeError where they are none.
    """
    length, check = (int.from_bytes(held[at : at + 4], "little") for at in (len(_MARK), len(_MARK) + 4))
    if held[: len(_MARK)] != _MARK or length > len(held):
        raise ValueError("another form")
    told = held[_HEAD : _HEAD + length]
    if check not in (0, zlib.crc32(told)):
        raise ValueError("its checksum doesn't match")
    head = json.loads(told)
    if head["form"] != (FORM if check else _BEFORE_SUMS):
        raise ValueError("another form")
    checked = len(held) if whole else _CHECKED_AT_ONCE
    tables = {name: _table(held, _HEAD + length, one, checked) for name, one in head["tables"].items()}
    return _edition(head, {"sums": _NO_SUMS} | tables)


def _table(held: bytes | mmap.mmap, start: int, told: Any, checked: int) -> Table:
    """A table, held against its sum where it has no more than so many bytes."""
    kind, shape, at, *check = told
    if kind not in _TYPES:
        raise ValueError("a table of an unknown type")
    count = int(np.prod(shape, dtype=np.int64))
    if min(at, count, *shape) < 0:
        raise ValueError("a table of no size")
    table: Table = np.frombuffer(held, dtype=kind, count=count, offset=start + at).reshape(shape)
    if check and table.nbytes <= checked and zlib.crc32(table.data) != check[0]:
        raise ValueError("its checksum doesn't match")
    return table


def _edition(head: Mapping[str, Any], tables: Mapping[str, Table]) -> Edition:
    return Edition(
        AreaKind(head["kind"]),
        str(head["layer"]),
        date.fromisoformat(head["on"]),
        tuple(EditionSource(*one) for one in head["sources"]),
        Grid(tables["keys"], tables["numbers_ft"], int(head["off"])),
        Areas(*(tables[name] for name in _AREAS)),
        tuple(map(problem_of, head["problems"])),
        str(head.get("sha256", "")),
    )


def _damaged(path: Path, what: str) -> UnreadableFile:
    return UnreadableFile(what, where=str(path), do="delete it and import the edition again")
