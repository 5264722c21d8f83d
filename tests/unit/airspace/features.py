"""Invented features of the facility map, of volumes and of points, and an invented restriction's XML."""

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


def point(longitude: float, latitude: float, **fields: Any) -> dict[str, Any]:
    """A feature at a point."""
    geometry = {"type": "Point", "coordinates": [longitude, latitude]}
    return {"type": "Feature", "properties": fields, "geometry": geometry}


def stadium(longitude: float = -80.0, **fields: Any) -> dict[str, Any]:
    """A stadium at 36 degrees north."""
    told = {"NAME": "INVENTED PARK", "STATUS_CODE": "Open", "OPENING_ON": None}
    return point(longitude, 36.0, **told | fields)


def security(**fields: Any) -> dict[str, Any]:
    """A restriction around 36, -80 up to 400 ft above ground."""
    told = {
        "BASE": "INVENTED BASE",
        "FACILITY": "GATE",
        "REASON": "SECURITY",
        "FLOOR": "SFC",
        "CEILING": "400 FT AGL",
    }
    return feature(told | fields, square(35.95, -80.05, 0.1))


def restriction(path: Path, **told: str) -> Path:
    """The XML of a restriction within 5 nautical miles of 36, -80, on Nov 25, 2026 from 10:00 to 20:00 UTC."""
    said = {
        "name": "6/0001",
        "begins": "2026-11-25T10:00:00",
        "ends": "2026-11-25T20:00:00",
        "zone": "UTC",
        "lower": "0",
        "lower_code": "HEI",
        "upper": "3000",
        "upper_code": "ALT",
        "unit": "FT",
        "head": "",
        "merged": "",
        "schedule": "",
        "shape": "<Avx><codeType>CIR</codeType><geoLat>36.0N</geoLat><geoLong>080.0W</geoLong>"
        "<valRadiusArc>5</valRadiusArc><uomRadiusArc>NM</uomRadiusArc></Avx>",
    } | told
    path.write_text(
        f"""{said["head"]}<XNOTAM-Update version="0.1"><Group><Add><Not><NotUid><txtLocalName>{said["name"]}</txtLocalName>
</NotUid><dateEffective>{said["begins"]}</dateEffective><dateExpire>{said["ends"]}</dateExpire>
<codeTimeZone>{said["zone"]}</codeTimeZone><txtDescrPurpose>INVENTED</txtDescrPurpose>
<AffLocGroup><txtNameCity>Oakford</txtNameCity></AffLocGroup>
<TfrNot><codeType>91.137(a)(2)</codeType><TFRAreaGroup><aseTFRArea>
<codeDistVerUpper>{said["upper_code"]}</codeDistVerUpper><valDistVerUpper>{said["upper"]}</valDistVerUpper>
<uomDistVerUpper>{said["unit"]}</uomDistVerUpper><codeDistVerLower>{said["lower_code"]}</codeDistVerLower>
<valDistVerLower>{said["lower"]}</valDistVerLower><uomDistVerLower>FT</uomDistVerLower>{said["schedule"]}</aseTFRArea>
{said["merged"]}<aseShapes><Abd>{said["shape"]}</Abd></aseShapes></TFRAreaGroup></TfrNot></Not></Add></Group>
</XNOTAM-Update>""",
        encoding="utf-8",
    )
    return path
