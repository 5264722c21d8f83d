"""Outlines in well-known binary, and GeoPackage files around them, as features. Source: OGC 06-103r4, OGC 12-128r15."""

from __future__ import annotations

import sqlite3
import struct
from collections.abc import Iterator
from contextlib import closing
from decimal import Decimal
from pathlib import Path
from typing import Any

from airwrit.airspace.readers.features import Feature
from airwrit.base.errors import UnreadableFile

GEOPACKAGE = b"SQLite format 3\0"
_KINDS = {1: "Point", 3: "Polygon", 6: "MultiPolygon"}
_MORE = {0: 0, 1: 1, 2: 1, 3: 2}
"""Numbers of a point beside the two, by the thousands of a kind: height, measure, both."""
_ENVELOPES = (0, 32, 48, 48, 64)
_WGS84 = 4326
_MOST_POINTS = 5_000_000


def geopackage_features(path: Path, data: bytes) -> Iterator[Feature]:
    """The features of every table of features. UnreadableFile where it is damaged, or not in WGS-84 degrees."""
    try:
        with closing(sqlite3.connect(":memory:")) as book:
            book.deserialize(data)
            book.execute("PRAGMA trusted_schema = OFF")
            yield from _features(path, book)
    except (sqlite3.Error, OverflowError, UnicodeDecodeError) as error:
        raise _refused(path, f"the GeoPackage is damaged ({error})") from None


def _features(path: Path, book: sqlite3.Connection) -> Iterator[Feature]:
    tables = book.execute("SELECT table_name, column_name, srs_id FROM gpkg_geometry_columns").fetchall()
    for table, column, reference in tables:
        if reference != _WGS84:
            raise _refused(path, "the coordinates aren't WGS 84 degrees")
        rows = book.execute(f'SELECT * FROM "{str(table).replace(chr(34), chr(34) * 2)}"')
        names = [str(one[0]) for one in rows.description]
        for at, row in enumerate(rows, 1):
            fields = {name.upper(): value for name, value in zip(names, row, strict=True) if name != column}
            blob = row[names.index(column)] if column in names else None
            yield Feature(f"{path.name} {table} {at}", fields, geometry_of(blob))


def geometry_of(blob: Any) -> Any:
    """The geometry of a GeoPackage's cell as GeoJSON has it; None where there is none, or it is damaged."""
    if not isinstance(blob, bytes) or blob[:2] != b"GP" or len(blob) < 8:
        return None
    envelope = (blob[3] >> 1) & 7
    if envelope >= len(_ENVELOPES):
        return None
    try:
        found, _ = _well_known(blob, 8 + _ENVELOPES[envelope])
    except (struct.error, ValueError, LookupError, RecursionError):
        return None
    return found


def _well_known(blob: bytes, at: int) -> tuple[dict[str, Any], int]:
    """A geometry of well-known binary, and the place behind it. Heights and measures are left out."""
    order = "<" if blob[at] == 1 else ">"
    (code,) = struct.unpack_from(order + "I", blob, at + 1)
    kind, width = _KINDS[code % 1000], 2 + _MORE[code // 1000]
    at += 5
    if kind == "Point":
        points, at = _points(blob, at, order, width, 1)
        return {"type": kind, "coordinates": points[0]}, at
    count, at = _count(blob, at, order)
    if kind == "MultiPolygon":
        parts = []
        for _ in range(count):
            part, at = _well_known(blob, at)
            parts.append(part["coordinates"])
        return {"type": kind, "coordinates": parts}, at
    rings = []
    for _ in range(count):
        size, at = _count(blob, at, order)
        ring, at = _points(blob, at, order, width, size)
        rings.append(ring)
    return {"type": kind, "coordinates": rings}, at


def _count(blob: bytes, at: int, order: str) -> tuple[int, int]:
    (count,) = struct.unpack_from(order + "I", blob, at)
    if count > _MOST_POINTS:
        raise ValueError("more parts than the cell can hold")
    return count, at + 4


def _points(blob: bytes, at: int, order: str, width: int, count: int) -> tuple[list[list[Decimal]], int]:
    numbers = struct.unpack_from(f"{order}{width * count}d", blob, at)
    points = [
        [Decimal(repr(numbers[one])), Decimal(repr(numbers[one + 1]))]
        for one in range(0, width * count, width)
    ]
    return points, at + 8 * width * count


def _refused(path: Path, what: str) -> UnreadableFile:
    return UnreadableFile(what, where=path.name, do="export the data again as GeoJSON in EPSG:4326")
