"""A flown track: what a log of a flight says, sample by sample, as arrays that know what is missing."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray


class LogFormat(StrEnum):
    """The formats that are read, by what is inside a file and never by its name."""

    ULOG = "ulog"
    DATAFLASH = "dataflash"
    TELEMETRY = "mavlink_telemetry"
    GPX = "gpx"
    KML = "kml"
    GEOJSON = "geojson"
    CSV = "csv"
    SUBTITLES = "subtitles"


class TimeSource(StrEnum):
    """Where the times of a track come from."""

    FILE_UTC = "file_utc"
    GPS_WEEK = "gps_week"
    RECORDER_CLOCK = "recorder_clock"
    LOCAL_CLOCK = "local_clock"
    VIDEO = "video"
    NONE = "none"


class HeightDatum(StrEnum):
    """What a height is measured from."""

    SEA_LEVEL = "sea_level"
    ELLIPSOID = "ellipsoid"
    PRESSURE = "pressure"
    HOME = "home"
    ORIGIN = "origin"
    TAKEOFF = "takeoff"
    GROUND = "ground"
    UNKNOWN = "unknown"


class TrackDoubt(StrEnum):
    """Whose doubt an array of doubts is."""

    HORIZONTAL = "horizontal"
    VERTICAL = "vertical"


class TrackProblem(NamedTuple):
    """Something wrong with a log: a code, how many rows it spoils, the first of them, and what was written there."""

    code: str
    rows: int = 0
    first_row: int = -1
    detail: str = ""


@dataclass(frozen=True, slots=True, eq=False)
class Track:
    """n samples of one flight by one aircraft, in the order of their clock. What is missing is NaN or masked, never 0.

    `mono_us` counts microseconds from the first sample. `utc_us` counts microseconds since 1970 in UTC, and is None where the
    log can't say the day. `lat_e7`, `lon_e7` are degrees times 10,000,000 on WGS 84 and count only where `placed`.
    Heights are meters, each by what it is measured from; doubts are meters at 95 %, where the log states them.
    `speed_mps` is ground speed; `battery` what remains, 0 to 1; `remote_id` 1 on, 0 off, -1 not said. `row` is the row, or
    for DataFlash and telemetry logs the byte, of the source that a sample was read from.
    `segment` numbers the stretches that the log keeps apart: nothing is known between two of them. `fix` is the receiver's own
    word for its fix, 3 and more with height; `on_ground` 1 on the ground, 0 in the air, -1 not said. `pilot_*` is where the log
    places the pilot or the control station. `serials` are serial numbers of the aircraft that the log tells.
    """

    name: str
    format: LogFormat
    digest: str
    time_from: TimeSource
    mono_us: NDArray[np.int64]
    utc_us: NDArray[np.int64] | None
    lat_e7: NDArray[np.int32]
    lon_e7: NDArray[np.int32]
    placed: NDArray[np.bool_]
    heights_m: Mapping[HeightDatum, NDArray[np.float64]]
    doubt_m: Mapping[TrackDoubt, NDArray[np.float64]]
    row: NDArray[np.int64]
    speed_mps: NDArray[np.float64] | None = None
    battery: NDArray[np.float64] | None = None
    remote_id: NDArray[np.int8] | None = None
    satellites: NDArray[np.int16] | None = None
    fix: NDArray[np.int8] | None = None
    on_ground: NDArray[np.int8] | None = None
    segment: NDArray[np.int32] | None = None
    pilot_lat_e7: NDArray[np.int32] | None = None
    pilot_lon_e7: NDArray[np.int32] | None = None
    pilot_placed: NDArray[np.bool_] | None = None
    vehicle: str = ""
    serials: tuple[str, ...] = ()
    problems: tuple[TrackProblem, ...] = ()
