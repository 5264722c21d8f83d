"""What the columns of a table are: a mapping that a person confirmed, kept as TOML under the headings it is for.

Nothing is assumed: a column's unit, what a height is measured from, the order of day and month and the zone of the times are
in the mapping, or there is none.
"""

from __future__ import annotations

import hashlib
import json
import tomllib
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.track import HeightDatum


class CsvColumn(StrEnum):
    """What a column of a table can be."""

    TIME = "time"
    DATE = "date"
    TIME_OF_DAY = "time_of_day"
    ELAPSED = "elapsed"
    GPS_WEEK = "gps_week"
    GPS_SECONDS = "gps_seconds"
    LATITUDE = "latitude"
    LONGITUDE = "longitude"
    NORTH_SOUTH = "north_south"
    EAST_WEST = "east_west"
    HEIGHT = "height"
    SPEED = "speed"
    BATTERY = "battery"
    SATELLITES = "satellites"
    HORIZONTAL_DOUBT = "horizontal_doubt"
    VERTICAL_DOUBT = "vertical_doubt"
    REMOTE_ID = "remote_id"
    SERIAL = "serial"


TIME_FORMS = ("iso", "unix_s", "unix_ms", "unix_us", "unix_ns", "excel_days", "mdy", "dmy", "ymd")
DAY_FORMS = ("mdy", "dmy", "ymd")
UNITS: dict[CsvColumn, dict[str, float]] = {
    CsvColumn.HEIGHT: {"m": 1.0, "ft": 0.3048, "cm": 0.01, "mm": 0.001},
    CsvColumn.HORIZONTAL_DOUBT: {"m": 1.0, "ft": 0.3048, "cm": 0.01, "mm": 0.001},
    CsvColumn.VERTICAL_DOUBT: {"m": 1.0, "ft": 0.3048, "cm": 0.01, "mm": 0.001},
    CsvColumn.SPEED: {
        "m/s": 1.0,
        "km/h": 1 / 3.6,
        "mph": 0.44704,
        "kt": 1852 / 3600,
        "ft/s": 0.3048,
        "cm/s": 0.01,
    },
    CsvColumn.BATTERY: {"percent": 0.01, "fraction": 1.0},
    CsvColumn.ELAPSED: {"s": 1e6, "ms": 1e3, "us": 1.0, "min": 6e7},
    CsvColumn.GPS_SECONDS: {"s": 1e6, "ms": 1e3},
}
"""The units a column can be in, each with what it is in meters, meters per second, the whole, or microseconds."""
PLACE_FORMS = ("deg", "degE7", "dms", "ddmm")
NO_ZONE = "unknown"


class MappedColumn(NamedTuple):
    """A column: its heading, what it is, its unit or form, and for a height what it is measured from."""

    heading: str
    column: CsvColumn
    unit: str = ""
    datum: HeightDatum | None = None


class CsvMapping(NamedTuple):
    """What the columns of tables with these headings are; `zone` of times that name none, `unknown` where nobody knows it.

    `decimal` is the sign in front of decimals.
    """

    headings: tuple[str, ...]
    columns: tuple[MappedColumn, ...]
    zone: str = ""
    decimal: str = "."

    def of(self, column: CsvColumn) -> MappedColumn | None:
        """The column that is this, None where there is none."""
        return next((one for one in self.columns if one.column is column), None)

    def unit_of(self, column: CsvColumn) -> str:
        """The unit or form of a column; "" where there is none."""
        one = self.of(column)
        return "" if one is None else one.unit


def key_of_headings(headings: tuple[str, ...]) -> str:
    """The name that a mapping for these headings is kept under; spaces and capitals don't matter."""
    plain = json.dumps([" ".join(heading.split()).casefold() for heading in headings])
    return hashlib.sha256(plain.encode()).hexdigest()[:16]


def mapping_toml(mapping: CsvMapping) -> str:
    """A mapping as the text of a TOML file."""
    headings = ", ".join(map(_quoted, mapping.headings))
    lines = [f"headings = [{headings}]", f"decimal = {_quoted(mapping.decimal)}"]
    if mapping.zone:
        lines.append(f"zone = {_quoted(mapping.zone)}")
    for one in mapping.columns:
        lines += ["", "[[columns]]", f"heading = {_quoted(one.heading)}", f'is = "{one.column}"']
        lines += [f"unit = {_quoted(one.unit)}"] if one.unit else []
        lines += [f'from = "{one.datum}"'] if one.datum else []
    return "\n".join(lines) + "\n"


def _quoted(text: str) -> str:
    """A text as TOML has it: as JSON, but for the one sign that JSON leaves bare."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def mapping_of_toml(text: str, where: str) -> CsvMapping:
    """The mapping that a TOML file is. UnreadableFile where it breaks its form."""
    try:
        told = tomllib.loads(text)
        mapping = CsvMapping(
            tuple(_texts(told["headings"])),
            tuple(_column(one) for one in told.get("columns", [])),
            _text(told.get("zone", "")),
            _text(told.get("decimal", ".")),
        )
    except (tomllib.TOMLDecodeError, KeyError, TypeError, ValueError, AttributeError) as fault:
        raise UnreadableFile(
            f"the mapping isn't written correctly ({fault})", where=where, do="map the columns again"
        ) from None
    unknown = [one.heading for one in mapping.columns if one.heading not in mapping.headings]
    if unknown or mapping.decimal not in {".", ","}:
        raise UnreadableFile(
            f"the mapping names something that isn't there: {', '.join(unknown) or mapping.decimal}",
            where=where,
            do="map the columns again",
        )
    return mapping


def _column(told: dict[str, Any]) -> MappedColumn:
    extra = told.keys() - {"heading", "is", "unit", "from"}
    if extra:
        raise ValueError(", ".join(sorted(extra)))
    datum = told.get("from")
    return MappedColumn(
        _text(told["heading"]),
        CsvColumn(told["is"]),
        _text(told.get("unit", "")),
        None if datum is None else HeightDatum(datum),
    )


def _texts(told: object) -> list[str]:
    if not isinstance(told, list):
        raise TypeError("headings")
    return [_text(one) for one in told]


def _text(told: object) -> str:
    if not isinstance(told, str):
        raise TypeError(str(told))
    return told
