"""DataFlash logs: the estimate of the aircraft (POS) where there is one, else what its receiver says (GPS).

UTC comes from the receiver's week and milliseconds and our own table of leap seconds, as the median over all fixes; week 0 is a
receiver that doesn't know the week. A log without a GPS message has no date, its heights count all the same. GPS.Alt is above
sea level (from memory), RelHomeAlt above home; BARO.Alt is pressure height since start. What EV 18 and 28 mean is from memory.
"""

from __future__ import annotations

from typing import Any, BinaryIO, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.messages.dataflash_frames import DataflashFrames, frames_of
from airwrit.tracks.readers.messages.joining import (
    ClockOffset,
    between,
    held,
    offset_of,
)
from airwrit.tracks.readers.numbers import HORIZONTAL_95, VERTICAL_95, floats
from airwrit.tracks.readers.reading import LogAnswers, LogFile, Reading
from airwrit.tracks.readers.samples import Samples, noted, track_of
from airwrit.tracks.readers.serials import labeled_serials
from airwrit.tracks.readers.utc import SECOND_US, WEEK_US, day_us, leap_seconds, utc_of_gps
from airwrit.tracks.track import HeightDatum, TimeSource, TrackDoubt, TrackProblem

_FIXED = 3
_LANDED, _NOT_LANDED = 18, 28
_STEADY_US = SECOND_US
_LATEST_WEEK = 10_000
_LATEST = 2**50
_WHOLE_FLIGHT_US = 2**40

Columns = dict[str, NDArray[Any]]


class _Receiver(NamedTuple):
    """The rows of one receiver: clock since start, fixes, and UTC where it knows the week."""

    name: str
    columns: Columns
    t_us: NDArray[np.int64]
    fixed: NDArray[np.bool_]
    utc_us: NDArray[np.int64]
    dated: NDArray[np.bool_]


def read_dataflash(file: BinaryIO, log: LogFile, answers: LogAnswers) -> Reading:
    """The track of a log. UnreadableFile where it holds no place of the aircraft."""
    size = log.path.stat().st_size
    data = np.memmap(file, dtype=np.uint8, mode="r") if size else np.zeros(0, dtype=np.uint8)
    frames = frames_of(data)
    receivers = _receivers(frames)
    base = frames.columns_of("POS")
    from_gps = not {"Lat", "Lng"} <= base.keys()
    if from_gps and not receivers:
        raise log.refused("the DataFlash log has no aircraft position")
    samples = _of_receiver(frames, receivers[0]) if from_gps else _of_estimate(frames, base)
    samples = _dated(_with_states(samples, frames, receivers), receivers).noting(*_of_file(frames, receivers))
    samples = samples.having(serials=_serials(frames))
    track = track_of(samples, log, answers)
    if track is None:
        raise log.refused("no row of the DataFlash log has a time")
    return Reading((track,))


def _of_file(frames: DataflashFrames, receivers: list[_Receiver]) -> list[TrackProblem]:
    """Problems of the log as a whole."""
    problems = []
    if frames.is_cut_short:
        problems.append(TrackProblem(TrackFault.CUT_SHORT, 1))
    if frames.junk_bytes:
        problems.append(TrackProblem(TrackFault.DAMAGED, 0, -1, f"{frames.junk_bytes} bytes"))
    if not receivers:
        problems.append(TrackProblem(TrackFault.NO_GPS))
    if len(receivers) > 1:
        problems.append(TrackProblem(TrackFault.OTHER_RECEIVER, len(receivers) - 1))
    homes = frames.columns_of("ORGN")
    if {"Type", "Alt"} <= homes.keys():
        alts = homes["Alt"][homes["Type"] == 1]
        moves = int(np.count_nonzero(np.diff(alts)))
        problems += [TrackProblem(TrackFault.HOME_MOVED, moves)] if moves else []
    return problems


def _serials(frames: DataflashFrames) -> tuple[str, ...]:
    """The serial numbers that its texts name; no field of the log is one."""
    texts = frames.columns_of("MSG").get("Message", np.zeros(0, dtype="S64"))
    return labeled_serials("\n".join(one.decode("ascii", "replace") for one in np.unique(texts).tolist()))


def _clock(columns: Columns) -> NDArray[np.int64] | None:
    """Microseconds since start: TimeUS, in older logs T or TimeMS in milliseconds."""
    for name, scale in (("TimeUS", 1), ("T", 1000), ("TimeMS", 1000)):
        values = columns.get(name)
        if values is not None and values.dtype.kind in "iu":
            wide = np.minimum(values, np.iinfo(np.int64).max) if values.dtype == np.uint64 else values
            return np.clip(wide.astype(np.int64), -_LATEST, _LATEST) * scale
    return None


def _receivers(frames: DataflashFrames) -> list[_Receiver]:
    """The receivers with places, the one with the most fixes first."""
    found = []
    for name in ("GPS", "GPS2"):
        columns = frames.columns_of(name)
        if not {"Lat", "Lng"} <= columns.keys():
            continue
        numbers = columns.get("I", np.zeros(len(columns["at"]), dtype=np.uint8))
        for number in np.unique(numbers):
            one = {key: values[numbers == number] for key, values in columns.items()}
            receiver = _receiver(name, one)
            found += [] if receiver is None else [receiver]
    return sorted(found, key=lambda one: -int(np.count_nonzero(one.fixed)))


def _receiver(name: str, columns: Columns) -> _Receiver | None:
    t_us = _clock(columns)
    if t_us is None:
        return None
    nothing = np.zeros(len(t_us), dtype=np.int64)
    status = columns.get("Status", np.full(len(t_us), _FIXED))
    week = columns.get("GWk", columns.get("Week", nothing)).astype(np.int64)
    of_week_ms = columns.get("GMS", columns.get("TimeMS", nothing)).astype(np.int64)
    dated = (status >= _FIXED) & (week > 0) & (week < _LATEST_WEEK) & (of_week_ms >= 0)
    dated &= of_week_ms * 1000 <= WEEK_US
    utc = utc_of_gps(np.where(dated, week, 0), np.where(dated, of_week_ms, 0) * 1000)
    return _Receiver(name, columns, t_us, status >= _FIXED, utc, dated)


def _of_estimate(frames: DataflashFrames, columns: Columns) -> Samples:
    heights = {
        datum: values
        for datum, name in (
            (HeightDatum.SEA_LEVEL, "Alt"),
            (HeightDatum.HOME, "RelHomeAlt"),
            (HeightDatum.ORIGIN, "RelOriginAlt"),
        )
        if (values := frames.scaled("POS", columns, name)) is not None
    }
    return _begun(columns, _clock(columns), heights)


def _of_receiver(frames: DataflashFrames, receiver: _Receiver) -> Samples:
    columns = receiver.columns
    heights = {
        datum: np.where(receiver.fixed, values, np.nan)
        for datum, column in ((HeightDatum.SEA_LEVEL, "Alt"), (HeightDatum.HOME, "RelAlt"))
        if (values := frames.scaled(receiver.name, columns, column)) is not None
    }
    samples = _begun(columns, receiver.t_us, heights)
    unfixed = ~receiver.fixed
    samples.lat_deg[unfixed] = np.nan
    samples.lon_deg[unfixed] = np.nan
    return samples.noting(noted(TrackFault.NO_FIX, unfixed, samples.row))


def _begun(
    columns: Columns, t_us: NDArray[np.int64] | None, heights: dict[HeightDatum, NDArray[np.float64]]
) -> Samples:
    """Samples with places and heights; what else there is follows."""
    row = columns["at"]
    return Samples(
        clock_us=np.zeros(len(row), dtype=np.int64) if t_us is None else t_us,
        timed=np.full(len(row), t_us is not None),
        time_from=TimeSource.NONE,
        utc_less_clock_us=None,
        lat_deg=floats(columns["Lat"]) / 1e7,
        lon_deg=floats(columns["Lng"]) / 1e7,
        row=row,
        heights_m=heights,
    )


def _dated(samples: Samples, receivers: list[_Receiver]) -> Samples:
    """With UTC by the receiver that knows it best."""
    offsets = [
        (offset, one)
        for one in receivers
        if (offset := offset_of(one.t_us[one.dated], one.utc_us[one.dated])) is not None
    ]
    if not offsets:
        return samples.noting(TrackProblem(TrackFault.NO_DATE, len(samples.row)))
    offset = offsets[0][0]
    return samples.with_utc(offset.us, TimeSource.GPS_WEEK).noting(*_of_offset(samples, offset))


def _of_offset(samples: Samples, offset: ClockOffset) -> list[TrackProblem | None]:
    count = len(samples.row)
    problems = [noted(TrackFault.UTC_DERIVED, samples.clock_us < offset.first_us, samples.row)]
    if offset.spread_us > _STEADY_US:
        detail = f"{offset.spread_us / SECOND_US:g} s"
        problems.append(TrackProblem(TrackFault.CLOCKS_DISAGREE, count, -1, detail))
    if offset.us + offset.first_us > day_us(leap_seconds().expires):
        expires = leap_seconds().expires.isoformat()
        problems.append(TrackProblem(TrackFault.LEAP_SECONDS_EXPIRED, count, -1, expires))
    return problems


def _with_states(samples: Samples, frames: DataflashFrames, receivers: list[_Receiver]) -> Samples:
    """With what other messages say at the times of the samples."""
    at = samples.clock_us
    heights = dict(samples.heights_m)
    pressure = _series(frames, "BARO", "Alt")
    if pressure is not None:
        heights[HeightDatum.PRESSURE] = between(at, *pressure)
    found: dict[str, Any] = {"heights_m": heights, "doubt_m": _doubts(frames, at)}
    for receiver in receivers[:1]:
        columns = receiver.columns
        if "Status" in columns:
            found["fix"] = held(at, receiver.t_us, columns["Status"].astype(np.int8), -1)
        if "NSats" in columns:
            found["satellites"] = held(at, receiver.t_us, columns["NSats"].astype(np.int16), -1)
        speed = frames.scaled(receiver.name, columns, "Spd")
        if speed is not None:
            found["speed_mps"] = between(at, receiver.t_us, np.where(receiver.fixed, speed, np.nan))
    battery = _series(frames, "BAT", "RemPct")
    if battery is not None:
        share = np.where((battery[1] >= 0) & (battery[1] <= 100), battery[1] / 100, np.nan)
        found["battery"] = held(at, battery[0], share, np.nan)
    landed = _landed(frames)
    if landed is not None:
        found["on_ground"] = held(at, *landed, -1, _WHOLE_FLIGHT_US)
    return samples.having(**found)


def _series(
    frames: DataflashFrames, name: str, column: str
) -> tuple[NDArray[np.int64], NDArray[np.float64]] | None:
    """Times and values of a field of the first instance of a message."""
    columns = frames.columns_of(name)
    values = frames.scaled(name, columns, column)
    t_us = _clock(columns)
    if values is None or t_us is None:
        return None
    numbers = columns.get("I", columns.get("Inst"))
    first = np.ones(len(values), dtype=np.bool_) if numbers is None else numbers == numbers.min()
    return t_us[first], values[first]


def _doubts(frames: DataflashFrames, at: NDArray[np.int64]) -> dict[TrackDoubt, NDArray[np.float64]]:
    """What the receiver says of its own accuracy, as standard deviations."""
    found = {}
    for whose, column, scale in (
        (TrackDoubt.HORIZONTAL, "HAcc", HORIZONTAL_95),
        (TrackDoubt.VERTICAL, "VAcc", VERTICAL_95),
    ):
        series = _series(frames, "GPA", column)
        if series is not None:
            found[whose] = held(at, series[0], np.where(series[1] > 0, series[1] * scale, np.nan), np.nan)
    return found


def _landed(frames: DataflashFrames) -> tuple[NDArray[np.int64], NDArray[np.int8]] | None:
    """When the aircraft was on the ground and when not, by its events."""
    events = frames.columns_of("EV")
    t_us = _clock(events)
    if t_us is None or "Id" not in events:
        return None
    told = np.isin(events["Id"], (_LANDED, _NOT_LANDED))
    return t_us[told], (events["Id"][told] == _LANDED).astype(np.int8)
