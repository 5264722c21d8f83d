"""Samples as a log has them, and the track they make: ordered by their clock, with everything odd counted, nothing mended.

What is done to every log, whatever its format. A sample without a time can't be placed and is left out. Samples are sorted
where the clock goes back; the same sample twice counts once. A place of 0/0 or off the earth is no place, the sample stays.
Dates outside what a log can be of are not taken. Each of these is a problem with its count.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.faults import TrackFault
from airwrit.tracks.readers.reading import LogAnswers, LogFile
from airwrit.tracks.readers.utc import DAY_US, FIRST_DAY, SECOND_US, WEEK_US, WEEKS_LOST, day_us
from airwrit.tracks.track import HeightDatum, TimeSource, Track, TrackDoubt, TrackProblem

NEAR_ZERO_DEG = 1e-3
"""Within this of 0/0 a place is a number that was never set: no one flies there."""
FAR_HEIGHT_M = 100_000.0
"""No height beyond this is one of an aircraft."""
LATEST_CLOCK_US = 2**60
"""Some 36,000 years: what is beyond it is no time."""
_APART_US = 3600 * SECOND_US
_FEW, _MANY_TIMES = 2, 10


@dataclass(frozen=True, slots=True)
class Samples:
    """n samples in the order of the file. Missing numbers are NaN; `timed` says where `clock_us` counts.

    `clock_us` is the log's clock; adding `utc_less_clock_us` to it gives UTC, None where the log has none.
    """

    clock_us: NDArray[np.int64]
    timed: NDArray[np.bool_]
    time_from: TimeSource
    utc_less_clock_us: int | None
    lat_deg: NDArray[np.float64]
    lon_deg: NDArray[np.float64]
    row: NDArray[np.int64]
    heights_m: Mapping[HeightDatum, NDArray[np.float64]] = field(default_factory=dict)
    doubt_m: Mapping[TrackDoubt, NDArray[np.float64]] = field(default_factory=dict)
    speed_mps: NDArray[np.float64] | None = None
    battery: NDArray[np.float64] | None = None
    remote_id: NDArray[np.int8] | None = None
    satellites: NDArray[np.int16] | None = None
    fix: NDArray[np.int8] | None = None
    on_ground: NDArray[np.int8] | None = None
    segment: NDArray[np.int32] | None = None
    pilot_lat_deg: NDArray[np.float64] | None = None
    pilot_lon_deg: NDArray[np.float64] | None = None
    serials: tuple[str, ...] = ()
    problems: tuple[TrackProblem, ...] = ()

    def taken(self, rows: NDArray[Any]) -> Samples:
        """These samples alone, in this order; `rows` is a mask or row numbers."""
        columns: dict[str, Any] = {
            name: values[rows] for name in _COLUMNS if (values := getattr(self, name)) is not None
        }
        return replace(
            self,
            heights_m={datum: heights[rows] for datum, heights in self.heights_m.items()},
            doubt_m={whose: doubts[rows] for whose, doubts in self.doubt_m.items()},
            **columns,
        )

    def with_utc(self, utc_less_clock_us: int, time_from: TimeSource) -> Samples:
        """With what to add to the clock for UTC, and where that is from."""
        return replace(self, utc_less_clock_us=utc_less_clock_us, time_from=time_from)

    def having(self, **columns: Any) -> Samples:
        """With these columns in place of those there are."""
        return replace(self, **columns)

    def noting(self, *problems: TrackProblem | None) -> Samples:
        """With these problems behind those there are; None is none."""
        return replace(self, problems=self.problems + tuple(one for one in problems if one is not None))


_COLUMNS = (
    "clock_us",
    "timed",
    "lat_deg",
    "lon_deg",
    "row",
    "speed_mps",
    "battery",
    "remote_id",
    "satellites",
    "fix",
    "on_ground",
    "segment",
    "pilot_lat_deg",
    "pilot_lon_deg",
)


def noted(
    fault: TrackFault, where: NDArray[np.bool_], row: NDArray[np.int64], detail: str = ""
) -> TrackProblem | None:
    """The problem of the rows that are marked, None where none is."""
    count = int(np.count_nonzero(where))
    return TrackProblem(fault, count, int(row[np.argmax(where)]), detail) if count else None


def track_of(
    samples: Samples, log: LogFile, answers: LogAnswers, part: str = "", vehicle: str = ""
) -> Track | None:
    """The track that samples make, None where none of them has a time. `part` names one of several in a file."""
    samples = _in_order(_timed_alone(samples))
    if not len(samples.row):
        return None
    samples = _each_once(_placed_alone(_without_wild_heights(samples)))
    samples, utc_us = _dated(samples, answers)
    lat, lon, placed = _e7(samples.lat_deg, samples.lon_deg)
    pilot = (
        (None, None, None)
        if samples.pilot_lat_deg is None or samples.pilot_lon_deg is None
        else _e7(samples.pilot_lat_deg, samples.pilot_lon_deg)
    )
    heights = _named(_without_all_zero(samples), answers.heights_from)
    return Track(
        name=f"{log.name} {part}".rstrip(),
        format=log.format,
        digest=log.digest,
        time_from=samples.time_from,
        mono_us=samples.clock_us - samples.clock_us[0],
        utc_us=utc_us,
        lat_e7=lat,
        lon_e7=lon,
        placed=placed,
        heights_m=heights.heights_m,
        doubt_m=samples.doubt_m,
        row=samples.row,
        speed_mps=samples.speed_mps,
        battery=samples.battery,
        remote_id=samples.remote_id,
        satellites=samples.satellites,
        fix=samples.fix,
        on_ground=samples.on_ground,
        segment=samples.segment,
        pilot_lat_e7=pilot[0],
        pilot_lon_e7=pilot[1],
        pilot_placed=pilot[2],
        vehicle=vehicle,
        serials=samples.serials,
        problems=heights.problems,
    )


def _timed_alone(samples: Samples) -> Samples:
    timed = samples.timed & (samples.clock_us < LATEST_CLOCK_US) & (samples.clock_us > -LATEST_CLOCK_US)
    if timed.all():
        return samples
    return samples.noting(noted(TrackFault.NO_TIME, ~timed, samples.row)).taken(timed)


def _in_order(samples: Samples) -> Samples:
    """Sorted by the clock, with how often it went back; single samples hours away from all others are left out."""
    clock = samples.clock_us
    back = np.zeros(len(clock), dtype=np.bool_)
    back[1:] = clock[1:] < clock[:-1]
    if back.any():
        most = int((clock[:-1] - clock[1:]).max())
        samples = samples.noting(
            noted(TrackFault.CLOCK_BACKWARDS, back, samples.row, f"{most / SECOND_US:g} s")
        ).taken(np.argsort(clock, kind="stable"))
    lonely = _lonely(samples.clock_us)
    if lonely.any():
        samples = samples.noting(noted(TrackFault.CLOCK_OUTLIER, lonely, samples.row)).taken(~lonely)
    return samples


def _lonely(clock: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Which samples, of a sorted clock, are one or two that stand an hour apart from a stretch of many."""
    if not len(clock):
        return np.zeros(0, dtype=np.bool_)
    with np.errstate(over="ignore"):
        steps = np.diff(clock)
    stretch = np.concatenate([[0], np.cumsum((steps > _APART_US) | (steps < 0))])
    sizes = np.bincount(stretch)
    few = (sizes <= _FEW) & (sizes * _MANY_TIMES <= sizes.max())
    lonely: NDArray[np.bool_] = few[stretch]
    return lonely


def _placed_alone(samples: Samples) -> Samples:
    """Places of 0/0 and those off the earth are taken away and counted; the samples stay."""
    lat, lon = samples.lat_deg, samples.lon_deg
    given = np.isfinite(lat) & np.isfinite(lon)
    zero = given & (np.abs(lat) < NEAR_ZERO_DEG) & (np.abs(lon) < NEAR_ZERO_DEG)
    off = given & ((np.abs(lat) > 90) | (np.abs(lon) > 180))
    bad = zero | off | ~given
    if not bad.any():
        return samples
    return replace(samples, lat_deg=np.where(bad, np.nan, lat), lon_deg=np.where(bad, np.nan, lon)).noting(
        noted(TrackFault.ZERO_PLACE, zero, samples.row),
        noted(TrackFault.OFF_THE_EARTH, off, samples.row),
        noted(TrackFault.NO_PLACE, ~given, samples.row),
    )


def _without_wild_heights(samples: Samples) -> Samples:
    """Heights that no aircraft reaches are missing ones."""
    heights, problems = {}, []
    for datum, values in samples.heights_m.items():
        wild = ~np.isnan(values) & ~(np.abs(values) < FAR_HEIGHT_M)
        problems.append(noted(TrackFault.HEIGHT_NOT_EARTH, wild, samples.row, datum))
        heights[datum] = np.where(wild, np.nan, values) if wild.any() else values
    return replace(samples, heights_m=heights).noting(*problems)


def _each_once(samples: Samples) -> Samples:
    """Samples that are equal in time, place and heights count once; others of one time stay and are counted."""
    same = np.zeros(len(samples.row), dtype=np.bool_)
    same[1:] = samples.clock_us[1:] == samples.clock_us[:-1]
    if not same.any():
        return samples
    among = np.flatnonzero(same | np.append(same[1:], False))
    columns = [samples.clock_us, samples.lat_deg, samples.lon_deg, *samples.heights_m.values()]
    told = np.stack([np.nan_to_num(column[among].astype(np.float64), nan=np.inf) for column in columns])
    _, first = np.unique(told, axis=1, return_index=True)
    again = np.zeros(len(samples.row), dtype=np.bool_)
    again[among] = True
    again[among[first]] = False
    samples = samples.noting(noted(TrackFault.DUPLICATE, again, samples.row)).taken(~again)
    shared = np.zeros(len(samples.row), dtype=np.bool_)
    shared[1:] = samples.clock_us[1:] == samples.clock_us[:-1]
    return samples.noting(noted(TrackFault.SAME_TIME, shared, samples.row))


def _dated(samples: Samples, answers: LogAnswers) -> tuple[Samples, NDArray[np.int64] | None]:
    """UTC of the samples, None where there is none or where no log can be of such a day."""
    if samples.utc_less_clock_us is None:
        return samples, None
    utc = samples.clock_us + samples.utc_less_clock_us
    first, last = day_us(FIRST_DAY), day_us(answers.last_day) + DAY_US
    later = WEEKS_LOST * WEEK_US
    can_be_later = utc[0] + later >= first and utc[-1] + later <= last
    if answers.add_weeks and can_be_later:
        return samples.noting(TrackProblem(TrackFault.WEEKS_ADDED, len(utc))), utc + later
    if first <= utc[0] and utc[-1] <= last:
        return samples, utc
    fault = TrackFault.WEEKS_LOST if can_be_later and utc[0] > 0 else TrackFault.IMPLAUSIBLE_DATE
    day = str(np.datetime64(int(utc[0]), "us"))[:10]
    return samples.noting(TrackProblem(fault, len(utc), int(samples.row[0]), day)), None


def _without_all_zero(samples: Samples) -> Samples:
    """Heights above sea level, the ellipsoid or nobody knows what that are all 0 were never measured."""
    told = {HeightDatum.SEA_LEVEL, HeightDatum.ELLIPSOID, HeightDatum.PRESSURE, HeightDatum.UNKNOWN}
    heights = dict(samples.heights_m)
    for datum in told & heights.keys():
        values = heights[datum]
        known = ~np.isnan(values)
        if np.count_nonzero(known) > 1 and not np.any(values[known]):
            heights[datum] = np.full_like(values, np.nan)
            samples = samples.noting(noted(TrackFault.HEIGHTS_ALL_ZERO, known, samples.row, datum))
    return replace(
        samples, heights_m={datum: values for datum, values in heights.items() if not np.isnan(values).all()}
    )


def _named(samples: Samples, heights_from: HeightDatum | None) -> Samples:
    """Heights that the log does not name go by the name a person gave them, where it is free; else that is a problem."""
    unnamed = samples.heights_m.get(HeightDatum.UNKNOWN)
    if unnamed is None:
        return samples
    if heights_from is None or heights_from in samples.heights_m:
        return samples.noting(noted(TrackFault.HEIGHTS_UNNAMED, ~np.isnan(unnamed), samples.row))
    heights = dict(samples.heights_m)
    heights[heights_from] = heights.pop(HeightDatum.UNKNOWN)
    return replace(samples, heights_m=heights)


def _e7(
    lat: NDArray[np.float64], lon: NDArray[np.float64]
) -> tuple[NDArray[np.int32], NDArray[np.int32], NDArray[np.bool_]]:
    """Degrees as whole ten-millionths, and where there are any."""
    placed = np.isfinite(lat) & np.isfinite(lon)
    return (
        np.rint(np.where(placed, lat, 0.0) * 1e7).astype(np.int32),
        np.rint(np.where(placed, lon, 0.0) * 1e7).astype(np.int32),
        placed,
    )
