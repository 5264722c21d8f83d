"""ULog, read through pyulog: which topics and fields there are decides by their name and type in the file's own formats.

Source: the published ULog format and message definitions. `lat` as int32 is 1e-7 degrees beside an `alt` in millimeters;
`latitude_deg` is beside `altitude_msl_m`. `vehicle_local_position.z` points down from the origin; a reset of the estimate is
told by a counter and the step it made, and the rows before it are moved by that step. eph and epv are standard deviations.
"""

from __future__ import annotations

import contextlib
import io
import struct
from typing import Any, BinaryIO, NamedTuple

import numpy as np
from numpy.typing import NDArray
from pyulog import ULog
from pyulog.exceptions import ULogException

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.messages.joining import (
    ClockOffset,
    between,
    held,
    offset_of,
)
from airwrit.tracks.readers.numbers import HORIZONTAL_95, VERTICAL_95, floats
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, noted, track_of
from airwrit.tracks.readers.serials import told_serials
from airwrit.tracks.readers.utc import SECOND_US
from airwrit.tracks.track import HeightDatum, TimeSource, TrackDoubt, TrackProblem

_FUSED, _LOCAL, _GPS = (
    "vehicle_global_position",
    "vehicle_local_position",
    ("vehicle_gps_position", "sensor_gps"),
)
_TOPICS = [
    _FUSED,
    _LOCAL,
    *_GPS,
    "battery_status",
    "vehicle_land_detected",
    "vehicle_air_data",
    "open_drone_id_arm_status",
    "open_drone_id_basic_id",
    "open_drone_id_system",
]
_BROKEN = (
    ULogException,
    struct.error,
    ValueError,
    KeyError,
    IndexError,
    TypeError,
    AttributeError,
    OverflowError,
    MemoryError,
    EOFError,
    OSError,
)
_ENOUGH = 0.9
_HEAD = 3
_MOST_CUTS = 8
_UNIX_US = 10**15
"""A clock since start beyond this is no clock since start: simulators log Unix time there."""
_FIXED = 3
_STEADY_US = SECOND_US
_ID_LENGTH, _SERIAL_NUMBER = 20, 1

_Topics = dict[str, list[dict[str, NDArray[Any]]]]


class _UlogBase(NamedTuple):
    """The topic whose rows are the samples: their times, places and heights, and which rows of them count."""

    t_us: NDArray[np.int64]
    lat: NDArray[np.float64]
    lon: NDArray[np.float64]
    heights: dict[HeightDatum, NDArray[np.float64]]
    doubts: dict[TrackDoubt, NDArray[np.float64]]
    problems: tuple[TrackProblem | None, ...]


class _WatchedFile(io.BufferedReader):
    """A file that notes whether it ended inside something: pyulog stops there without a word, or goes back and forth at it."""

    cuts = 0

    def read(self, size: int | None = -1, /) -> bytes:
        """The next bytes; fewer than asked for at the end, where none at all in place of a head is a clean one.

        EOFError where the end was met more often than a log has parts.
        """
        data = super().read(size)
        if size is not None and len(data) < size and (data or size != _HEAD):
            self.cuts += 1
            if self.cuts > _MOST_CUTS:
                raise EOFError("it never ends")
        return data


def read_ulog(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The track of a log. UnreadableFile where it is damaged beyond reading or holds no place."""
    watched = _WatchedFile(io.FileIO(file.fileno(), closefd=False))
    try:
        with contextlib.redirect_stdout(io.StringIO()), np.errstate(all="ignore"):
            told = ULog(watched, _TOPICS)
    except _BROKEN as fault:
        raise log.refused(f"the ULog is damaged ({type(fault).__name__})") from None
    topics: _Topics = {}
    for data in sorted(told.data_list, key=lambda one: int(one.multi_id)):
        if "timestamp" in data.data and len(data.data["timestamp"]):
            topics.setdefault(data.name, []).append(data.data)
    base = _base(topics)
    if base is None:
        raise log.refused("the ULog has no aircraft position")
    cut = TrackProblem(TrackFault.CUT_SHORT, 1) if watched.cuts else None
    samples = _samples(base, topics, told.msg_info_dict).noting(*base.problems, *_of_file(told, topics), cut)
    samples = samples.having(serials=_serials(topics))
    track = track_of(samples, log, answers, vehicle=str(told.msg_info_dict.get("sys_uuid", "")))
    if track is None:
        raise log.refused("no row of the ULog has a time")
    return Reading((track,))


def _of_file(told: Any, topics: _Topics) -> list[TrackProblem]:
    """Problems of the log as a whole."""
    problems = []
    if told.file_corruption:
        problems.append(TrackProblem(TrackFault.DAMAGED))
    if told.dropouts:
        lost_ms = sum(one.duration for one in told.dropouts)
        problems.append(TrackProblem(TrackFault.MISSING_PART, len(told.dropouts), -1, f"{lost_ms} ms"))
    receivers = max(len(topics.get(name, ())) for name in _GPS)
    if receivers > 1:
        problems.append(TrackProblem(TrackFault.OTHER_RECEIVER, receivers - 1))
    return problems


def _serials(topics: _Topics) -> tuple[str, ...]:
    """The serial numbers that its Remote ID sends, a character to a field."""
    found = []
    for one in topics.get("open_drone_id_basic_id", []):
        signs = [one[name] for at in range(_ID_LENGTH) if (name := f"uas_id[{at}]") in one]
        if len(signs) == _ID_LENGTH and "id_type" in one:
            own = np.stack(signs, axis=1)[one["id_type"] == _SERIAL_NUMBER].astype(np.uint8)
            found += [row.tobytes().decode("ascii", "replace") for row in np.unique(own, axis=0)]
    return told_serials(found)


def _clock(data: dict[str, NDArray[Any]]) -> NDArray[np.int64]:
    clock = data["timestamp"]
    return np.where(clock < 2**62, clock, np.uint64(2**62)).astype(np.int64)


def _column(data: dict[str, NDArray[Any]], name: str, scale: float = 1.0) -> NDArray[np.float64] | None:
    values = data.get(name)
    return None if values is None else floats(values) * scale


def _base(topics: _Topics) -> _UlogBase | None:
    """The estimate of the aircraft where it covers most of the flight, else what the receiver says."""
    fused = next((one for one in topics.get(_FUSED, []) if {"lat", "lon", "alt"} <= one.keys()), None)
    gps = next(
        (base for name in _GPS for one in topics.get(name, ()) if (base := _of_gps(one)) is not None), None
    )
    if fused is None:
        return gps
    ours = _of_fused(fused)
    if gps is None or np.ptp(ours.t_us) >= _ENOUGH * np.ptp(gps.t_us):
        return ours
    return gps


def _of_fused(data: dict[str, NDArray[Any]]) -> _UlogBase:
    clock = _clock(data)
    places = np.where(np.issubdtype(data["lat"].dtype, np.integer), 1e-7, 1.0)
    meters = 1e-3 if np.issubdtype(data["alt"].dtype, np.integer) else 1.0
    height = floats(data["alt"]) * meters
    height, resets = _without_steps(height, data, "alt_reset_counter", "delta_alt")
    heights = {HeightDatum.SEA_LEVEL: height}
    above = _column(data, "alt_ellipsoid", meters)
    if above is not None:
        heights[HeightDatum.ELLIPSOID] = _without_steps(above, data, "alt_reset_counter", "delta_alt")[0]
    moved = np.zeros(len(clock), dtype=np.bool_)
    if "lat_lon_reset_counter" in data:
        moved[1:] = np.diff(data["lat_lon_reset_counter"].astype(np.int64)) != 0
    return _UlogBase(
        clock,
        floats(data["lat"]) * places,
        floats(data["lon"]) * places,
        heights,
        _doubts(data),
        (
            noted(TrackFault.HEIGHTS_RESET, resets, np.arange(len(clock))),
            noted(TrackFault.ESTIMATE_RESET, moved, np.arange(len(clock))),
        ),
    )


def _of_gps(data: dict[str, NDArray[Any]]) -> _UlogBase | None:
    """Rows of a receiver, in whichever of its two forms; None where it never had a fix."""
    names = (
        ("latitude_deg", "longitude_deg", "altitude_msl_m", "altitude_ellipsoid_m", 1.0, 1.0)
        if "latitude_deg" in data
        else ("lat", "lon", "alt", "alt_ellipsoid", 1e-7, 1e-3)
    )
    lat, lon = _column(data, names[0], names[4]), _column(data, names[1], names[4])
    if lat is None or lon is None:
        return None
    fix = data.get("fix_type", np.full(len(lat), _FIXED))
    unfixed = fix < _FIXED
    if unfixed.all():
        return None
    heights = {
        datum: np.where(unfixed, np.nan, values)
        for datum, name in ((HeightDatum.SEA_LEVEL, names[2]), (HeightDatum.ELLIPSOID, names[3]))
        if (values := _column(data, name, names[5])) is not None
    }
    lat, lon = (np.where(unfixed, np.nan, values) for values in (lat, lon))
    missing = noted(TrackFault.NO_FIX, unfixed, np.arange(len(lat)))
    return _UlogBase(_clock(data), lat, lon, heights, _doubts(data), (missing,))


def _doubts(data: dict[str, NDArray[Any]]) -> dict[TrackDoubt, NDArray[np.float64]]:
    found = {}
    for whose, name, scale in (
        (TrackDoubt.HORIZONTAL, "eph", HORIZONTAL_95),
        (TrackDoubt.VERTICAL, "epv", VERTICAL_95),
    ):
        values = _column(data, name, scale)
        if values is not None:
            found[whose] = np.where(values > 0, values, np.nan)
    return found


def _without_steps(
    values: NDArray[np.float64], data: dict[str, NDArray[Any]], counter: str, step: str
) -> tuple[NDArray[np.float64], NDArray[np.bool_]]:
    """Values with the rows before each reset moved by the step that the reset made, and the rows at which there was one."""
    reset = np.zeros(len(values), dtype=np.bool_)
    if counter not in data or step not in data:
        return values, reset
    reset[1:] = np.diff(data[counter].astype(np.int64)) != 0
    steps = np.where(reset, np.nan_to_num(floats(data[step])), 0.0)
    return values + (steps.sum() - np.cumsum(steps)), reset


def _samples(base: _UlogBase, topics: _Topics, info: dict[str, Any]) -> Samples:
    at, row = base.t_us, np.arange(len(base.t_us), dtype=np.int64)
    offset, problems = _offset(topics, info, at, row)
    samples = Samples(
        clock_us=at,
        timed=np.ones(len(at), dtype=np.bool_),
        time_from=TimeSource.NONE if offset is None else TimeSource.FILE_UTC,
        utc_less_clock_us=offset,
        lat_deg=base.lat,
        lon_deg=base.lon,
        row=row,
        heights_m={**base.heights, **_other_heights(at, topics)},
        doubt_m=base.doubts,
        problems=problems,
        **_states(at, topics),
    )
    return samples.noting(_resets_of_local(topics))


def _offset(
    topics: _Topics, info: dict[str, Any], at: NDArray[np.int64], row: NDArray[np.int64]
) -> tuple[int | None, tuple[TrackProblem, ...]]:
    """What to add to the clock for UTC: by the receivers, else by when the log says it was started."""
    found = _offset_of_gps(topics)
    problems = []
    if at[0] > _UNIX_US:
        problems.append(TrackProblem(TrackFault.SIMULATED, len(at), 0))
        return (0 if found is None else found.us), tuple(problems)
    if found is None:
        booted = info.get("boot_time_utc_us")
        if isinstance(booted, int) and booted > 0:
            return booted, (TrackProblem(TrackFault.UTC_DERIVED, len(at), 0, "boot_time_utc_us"),)
        return None, (TrackProblem(TrackFault.NO_DATE, len(at), 0),)
    if found.spread_us > _STEADY_US:
        detail = f"{found.spread_us / SECOND_US:g} s"
        problems.append(TrackProblem(TrackFault.CLOCKS_DISAGREE, len(at), 0, detail))
    derived = noted(TrackFault.UTC_DERIVED, at < found.first_us, row)
    return found.us, (*problems, *([] if derived is None else [derived]))


def _offset_of_gps(topics: _Topics) -> ClockOffset | None:
    """The offset of the first receiver that knows the time: 0 is a receiver that doesn't."""
    for data in (one for name in _GPS for one in topics.get(name, ())):
        utc = data.get("time_utc_usec")
        if utc is None:
            continue
        known = (utc > 0) & (utc < 2**62) & (data.get("fix_type", np.full(len(utc), _FIXED)) >= _FIXED)
        found = offset_of(_clock(data)[known], utc[known].astype(np.int64))
        if found is not None:
            return found
    return None


def _other_heights(at: NDArray[np.int64], topics: _Topics) -> dict[HeightDatum, NDArray[np.float64]]:
    """Heights that other topics have at the times of the samples."""
    heights = {}
    for local in topics.get(_LOCAL, [])[:1]:
        down = _column(local, "z")
        if down is not None:
            down, _ = _without_steps(down, local, "z_reset_counter", "delta_z")
            heights[HeightDatum.ORIGIN] = between(at, _clock(local), -_where(local, "z_valid", down))
        ground = _column(local, "dist_bottom")
        if ground is not None and "dist_bottom_valid" in local:
            heights[HeightDatum.GROUND] = between(
                at, _clock(local), _where(local, "dist_bottom_valid", ground)
            )
    for air in topics.get("vehicle_air_data", [])[:1]:
        pressure = _column(air, "baro_alt_meter")
        if pressure is not None:
            heights[HeightDatum.PRESSURE] = between(at, _clock(air), pressure)
    return heights


def _where(data: dict[str, NDArray[Any]], flag: str, values: NDArray[np.float64]) -> NDArray[np.float64]:
    """Values where their flag says that they count."""
    return values if flag not in data else np.where(data[flag].astype(np.bool_), values, np.nan)


def _resets_of_local(topics: _Topics) -> TrackProblem | None:
    for local in topics.get(_LOCAL, [])[:1]:
        if "z" in local:
            _, reset = _without_steps(floats(local["z"]), local, "z_reset_counter", "delta_z")
            return noted(TrackFault.HEIGHTS_RESET, reset, np.arange(len(reset)), HeightDatum.ORIGIN)
    return None


def _states(at: NDArray[np.int64], topics: _Topics) -> dict[str, Any]:
    """What else is known at the times of the samples: speed, battery, receiver, ground, Remote ID, pilot."""
    found: dict[str, Any] = {"speed_mps": _speed(at, topics)}
    for gps in (one for name in _GPS for one in topics.get(name, [])[:1]):
        if "fix_type" in gps and "satellites_used" in gps:
            found["fix"] = held(at, _clock(gps), gps["fix_type"].astype(np.int8), -1)
            found["satellites"] = held(at, _clock(gps), gps["satellites_used"].astype(np.int16), -1)
            break
    for one in topics.get("battery_status", []):
        if "remaining" in one and ("connected" not in one or one["connected"].any()):
            values = floats(one["remaining"])
            whole = np.where((values >= 0) & (values <= 1), values, np.nan)
            found["battery"] = held(at, _clock(one), whole, np.nan)
            break
    for one in topics.get("vehicle_land_detected", [])[:1]:
        if "landed" in one:
            found["on_ground"] = held(at, _clock(one), one["landed"].astype(np.int8), -1)
    for one in topics.get("open_drone_id_arm_status", [])[:1]:
        if "status" in one:
            found["remote_id"] = held(at, _clock(one), (one["status"] == 0).astype(np.int8), -1)
    for one in topics.get("open_drone_id_system", [])[:1]:
        lat, lon = _column(one, "operator_latitude", 1e-7), _column(one, "operator_longitude", 1e-7)
        if lat is not None and lon is not None:
            unknown = (lat == 0) & (lon == 0)
            for name, values in (("pilot_lat_deg", lat), ("pilot_lon_deg", lon)):
                found[name] = held(at, _clock(one), np.where(unknown, np.nan, values), np.nan)
    return found


def _speed(at: NDArray[np.int64], topics: _Topics) -> NDArray[np.float64] | None:
    """Ground speed by the estimate where it is valid, else by the receiver."""
    for local in topics.get(_LOCAL, [])[:1]:
        if {"vx", "vy"} <= local.keys():
            speed = np.hypot(floats(local["vx"]), floats(local["vy"]))
            return between(at, _clock(local), _where(local, "v_xy_valid", speed))
    for gps in (one for name in _GPS for one in topics.get(name, [])[:1]):
        values = _column(gps, "vel_m_s")
        if values is not None:
            return between(at, _clock(gps), values)
    return None
