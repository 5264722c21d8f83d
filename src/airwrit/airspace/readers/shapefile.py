"""Shapefiles out of the zip archive they are published in, as features; needs pyshp, which the extra `gis` brings."""

from __future__ import annotations

import io
import struct
from collections.abc import Iterator, Mapping
from decimal import Decimal
from pathlib import Path
from typing import Any

from airwrit.airspace.readers.features import Feature
from airwrit.base.errors import UnreadableFile

try:
    import shapefile
except ImportError:  # the extra was left out
    shapefile = None

_WGS84 = ("GCS_WGS_1984", "WGS 84", "WGS_1984")
_POLYGON, _POINT = (5, 15, 25), (1, 11, 21)
_DAMAGED = (
    ValueError,
    LookupError,
    TypeError,
    AttributeError,
    OSError,
    EOFError,
    struct.error,
    ArithmeticError,
)


def shapefile_features(path: Path, parts: Mapping[str, bytes]) -> Iterator[Feature]:
    """The features of a shapefile by its parts (`.shp`, `.dbf`, `.prj`). UnreadableFile where one is missing or damaged."""
    if shapefile is None:
        raise UnreadableFile(
            "this is a shapefile, and the package that reads it isn't installed",
            where=path.name,
            do='install the extra "gis" (pip install "airwrit[gis]"), or get the same data as GeoJSON',
        )
    _check(path, parts)
    try:
        book = shapefile.Reader(
            shp=io.BytesIO(parts[".shp"]), dbf=io.BytesIO(parts[".dbf"]), encodingErrors="replace"
        )
        for at, one in enumerate(book.iterShapeRecords(), 1):
            fields = {str(name).upper(): value for name, value in one.record.as_dict().items()}
            yield Feature(f"{path.name} record {at}", fields, _geometry(one.shape))
    except (*_DAMAGED, shapefile.ShapefileException) as error:
        raise _refused(path, f"the shapefile is damaged ({type(error).__name__})") from None


def _check(path: Path, parts: Mapping[str, bytes]) -> None:
    missing = [part for part in (".shp", ".dbf", ".prj") if part not in parts]
    if missing:
        raise _refused(path, f"the file {' and the file '.join(missing)} is missing next to it")
    said = parts[".prj"].decode("utf-8", errors="replace")
    if said.upper().startswith("PROJCS") or not any(sign in said for sign in _WGS84):
        raise _refused(path, "the coordinates aren't WGS 84 degrees")


def _geometry(shape: Any) -> Any:
    """The outline as GeoJSON has it. Rings are told apart by their direction, as the form asks."""
    if shape.shapeType not in (*_POLYGON, *_POINT) or not shape.points:
        return None
    told = shape.__geo_interface__
    return {"type": told["type"], "coordinates": _decimals(told["coordinates"])}


def _decimals(told: Any) -> Any:
    if isinstance(told, int | float):
        return Decimal(repr(float(told)))
    return [_decimals(one) for one in told]


def _refused(path: Path, what: str) -> UnreadableFile:
    return UnreadableFile(what, where=path.name, do="get the same data as GeoJSON in EPSG:4326")
