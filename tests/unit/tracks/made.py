"""Synthetic tracks whose truth is known in closed form: heights, places and speeds are functions of the seconds flown."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import UTC, datetime, timedelta

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import m_per_degree
from airwrit.tracks.track import HeightDatum, LogFormat, TimeSource, Track, TrackDoubt

Floats = NDArray[np.float64]
Way = Callable[[Floats], Floats]
HOME = Place(38.5, -98.5)
STARTS = datetime(2026, 6, 10, 15, tzinfo=UTC)
"""10:00 in the morning in central Kansas, in daylight-saving time."""
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


def still(seconds: Floats) -> Floats:
    """Nowhere, at all times."""
    return np.zeros(len(seconds))


def bump(start: float, until: float, height: float, ramp: float) -> Way:
    """Zero, then up to a height within `ramp` seconds from `start`, and down to zero within `ramp` until `until`."""

    def way(seconds: Floats) -> Floats:
        up = np.clip((seconds - start) / ramp, 0, 1) * np.clip((until - seconds) / ramp, 0, 1)
        return height * up

    return way


def made(
    height_m: Way,
    *,
    seconds: float = 600.0,
    hz: float = 1.0,
    east_m: Way = still,
    north_m: Way = still,
    speed_mps: Way | None = None,
    starts: datetime | None = STARTS,
    home: Place = HOME,
    datum: HeightDatum = HeightDatum.SEA_LEVEL,
    zero_m: float = 500.0,
    vertical_m: float | None = 1.0,
    horizontal_m: float | None = 1.0,
    noise: Floats | None = None,
) -> Track:
    """A track of a flight whose height above takeoff, way east and way north are functions of seconds."""
    count = int(seconds * hz) + 1
    at = np.arange(count) / hz
    mono = np.round(at * 1e6).astype(np.int64)
    along, across = m_per_degree(home.latitude_deg)
    heights = zero_m + height_m(at) + (0.0 if noise is None else noise)
    told = {
        kind: np.full(count, off)
        for kind, off in ((TrackDoubt.VERTICAL, vertical_m), (TrackDoubt.HORIZONTAL, horizontal_m))
        if off is not None
    }
    utc = None if starts is None else mono + (starts - _EPOCH) // timedelta(microseconds=1)
    return Track(
        "made",
        LogFormat.CSV,
        "0" * 64,
        TimeSource.NONE if starts is None else TimeSource.FILE_UTC,
        mono,
        utc,
        np.round((home.latitude_deg + north_m(at) / along) * 1e7).astype(np.int32),
        np.round((home.longitude_deg + east_m(at) / across) * 1e7).astype(np.int32),
        np.ones(count, dtype=bool),
        {datum: heights},
        told,
        np.arange(count, dtype=np.int64) + 2,
        None if speed_mps is None else speed_mps(at),
    )


def chosen(track: Track, which: NDArray[np.intp]) -> Track:
    """The track with some of its samples, in the order given; a sample may come twice."""

    def of(values: Mapping[object, Floats]) -> dict[object, Floats]:
        return {key: one[which] for key, one in values.items()}

    return replace(
        track,
        mono_us=track.mono_us[which],
        utc_us=None if track.utc_us is None else track.utc_us[which],
        lat_e7=track.lat_e7[which],
        lon_e7=track.lon_e7[which],
        placed=track.placed[which],
        heights_m=of(track.heights_m),  # type: ignore[arg-type]
        doubt_m=of(track.doubt_m),  # type: ignore[arg-type]
        row=track.row[which],
        speed_mps=None if track.speed_mps is None else track.speed_mps[which],
        battery=None if track.battery is None else track.battery[which],
        remote_id=None if track.remote_id is None else track.remote_id[which],
    )
