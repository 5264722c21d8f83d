"""Invented features of the facility map and of volumes, as GeoJSON."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

SIDE = 1 / 120


def square(south: float, west: float, side: float = SIDE) -> list[list[float]]:
    """A ring around a square, longitude first, with eight decimals."""
    north, east = south + side, west + side
    corners = [(west, south), (east, south), (east, north), (west, north), (west, south)]
    return [[round(longitude, 8), round(latitude, 8)] for longitude, latitude in corners]


def feature(fields: dict[str, Any], *rings: list[list[float]]) -> dict[str, Any]:
    """A feature with a polygon."""
    geometry = {"type": "Polygon", "coordinates": list(rings)} if rings else None
    return {"type": "Feature", "properties": fields, "geometry": geometry}


def cell(number: Any, row: int, column: int, **fields: Any) -> dict[str, Any]:
    """A cell of the map: its number, and its place in cells north of 36 and east of -80 degrees."""
    told = {"CEILING": number, "UNIT": "Feet", "MAP_EFF": "9/3/2026", **fields}
    return feature(told, square(36 + row * SIDE, -80 + column * SIDE))


def volume(**fields: Any) -> dict[str, Any]:
    """Class D around 36, -80, from the ground to 2,500 ft above sea level unless told otherwise."""
    told = {
        "NAME": "INVENTED CLASS D",
        "TYPE_CODE": "CLASS",
        "LOCAL_TYPE": "CLASS_D",
        "LOWER_VAL": "0",
        "LOWER_UOM": "FT",
        "LOWER_CODE": "SFC",
        "UPPER_VAL": "2500",
        "UPPER_UOM": "FT",
        "UPPER_CODE": "MSL",
    }
    return feature(told | fields, square(35.95, -80.05, 0.1))


def written(path: Path, *features: dict[str, Any], **members: Any) -> Path:
    """A file of features."""
    path.write_text(
        json.dumps({"type": "FeatureCollection", **members, "features": list(features)}), encoding="utf-8"
    )
    return path
