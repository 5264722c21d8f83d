"""Heights of a flown track above its takeoff, above the ground under it and above sea level, each with what it may be off.

A height above takeoff is taken from the rows on the ground before takeoff, never from the first row. A height above ground is
that, with the ground at takeoff and the ground here: what all heights of a log are off alike cancels. Where the log begins in
the air, only a height above sea level can tell, less well.
"""

from __future__ import annotations

from collections.abc import Callable
from enum import StrEnum
from typing import NamedTuple

import numpy as np

from airwrit.geo.geoid import undulation_m
from airwrit.tracks.excursions import SECOND_US, Floats
from airwrit.tracks.path import Doubts, FlownPath
from airwrit.tracks.track import HeightDatum, TrackDoubt

Grounds = Callable[[Floats, Floats], Floats]
"""Meters of ground above sea level under places (n,), NaN where none is known."""

_BY_PRESSURE = (HeightDatum.TAKEOFF, HeightDatum.HOME, HeightDatum.ORIGIN, HeightDatum.PRESSURE)
_BY_SATELLITE = (HeightDatum.SEA_LEVEL, HeightDatum.ELLIPSOID, HeightDatum.UNKNOWN)
_FROM_TAKEOFF = (HeightDatum.TAKEOFF, HeightDatum.HOME)
_LEAST_ROWS, _LEAST_US = 3, SECOND_US
_OFF_GROUND_M = 2.0
_LOOKED_AT_US = 10 * SECOND_US
_AVERAGED_US = 30 * SECOND_US
_GOOD_SATELLITES = 8


class HeightFrom(StrEnum):
    """What the heights above ground rest on."""

    TAKEOFF = "takeoff"
    """rows on the ground before takeoff"""
    AIRCRAFT = "aircraft"
    """the takeoff as the aircraft set it, without rows on the ground"""
    SEA_LEVEL = "sea_level"
    """height above sea level alone"""
    LOG = "log"
    """a height above ground that the log tells"""
    NOTHING = "nothing"


class FlownHeights(NamedTuple):
    """Meters (n,) with doubts: above takeoff, above ground, above sea level; NaN where it can't be told.

    `datum` is the log's height they come from, `ground_rows` how many rows stood on the ground before takeoff, `drift_m` how
    far the height at landing is off that at takeoff, with the ground taken off; NaN where it doesn't end on the ground.
    """

    based_on: HeightFrom
    datum: HeightDatum | None
    takeoff_m: Floats
    takeoff_doubt_m: Floats
    agl_m: Floats
    agl_doubt_m: Floats
    sea_m: Floats
    sea_doubt_m: Floats
    ground_m: Floats
    ground_rows: int
    drift_m: float


def heights_of(path: FlownPath, grounds: Grounds | None = None, doubts: Doubts = Doubts()) -> FlownHeights:  # noqa: B008
    """All heights of a way, with the ground that `grounds` tells; above ground is NaN without it."""
    count = len(path)
    nothing = np.full(count, np.nan)
    ground = nothing if grounds is None else grounds(path.latitude_deg, path.longitude_deg)
    sea, sea_doubt = _above_sea(path, doubts)
    chosen = _chosen(path, doubts)
    if chosen is None:
        return _without_takeoff(path, ground, sea, sea_doubt, doubts)
    datum, above, doubt, rows, based_on = chosen
    drift = _drift(path, above, ground, rows)
    if np.isfinite(drift) and count > 1:
        share = (path.t_us - path.t_us[0]) / max(1, int(path.t_us[-1] - path.t_us[0]))
        doubt = np.maximum(doubt, abs(drift) * share)
    below = ground[0] if not rows else np.median(ground[:rows])
    agl, off = above + below - ground, doubts.ground_difference_m
    if doubts.level_ground_m is not None and np.isnan(ground).all():
        agl, off = above, doubts.level_ground_m
    if _begins_in_the_air(path, above, agl, doubt, doubts):
        return _without_takeoff(path, ground, sea, sea_doubt, doubts)
    if np.isnan(sea).all():
        sea, sea_doubt = above + below, np.hypot(doubt, doubts.ground_m)
    return FlownHeights(
        based_on,
        datum,
        above,
        doubt,
        agl,
        np.hypot(doubt, off),
        sea,
        sea_doubt,
        ground,
        rows,
        float(drift),
    )


class _Chosen(NamedTuple):
    datum: HeightDatum
    above_m: Floats
    doubt_m: Floats
    rows: int
    based_on: HeightFrom


def _chosen(path: FlownPath, doubts: Doubts) -> _Chosen | None:
    """The height above takeoff that is the least off, by the log's own figures or the defaults."""
    found = [
        one
        for datum in (*_BY_SATELLITE[:2], *_BY_PRESSURE, _BY_SATELLITE[2])
        if (one := _above_takeoff(path, datum, doubts)) is not None
    ]
    sure = [one for one in found if one.based_on is HeightFrom.TAKEOFF] or found
    return min(sure, key=lambda one: float(np.nanmedian(one.doubt_m)), default=None)


def _above_takeoff(path: FlownPath, datum: HeightDatum, doubts: Doubts) -> _Chosen | None:
    heights = path.height(datum)
    if heights is None or not np.isfinite(heights).any():
        return None
    rows = ground_rows(path, heights)
    based_on = HeightFrom.TAKEOFF
    if rows:
        above = heights - np.nanmedian(heights[:rows])
    elif datum in _FROM_TAKEOFF:
        above, based_on = heights, HeightFrom.AIRCRAFT
    else:
        return None
    by_pressure = datum in _BY_PRESSURE
    doubt = (
        _pressure_doubt(path, above, doubts) if by_pressure else _satellite_doubt(path, datum, rows, doubts)
    )
    return _Chosen(datum, above, doubt, rows, based_on)


def ground_rows(path: FlownPath, heights: Floats) -> int:
    """How many rows at the start stand on the ground: still, and at one height; 0 where they are too few or too short."""
    told = path.track.on_ground
    flying = (
        ~path.still if told is None else (told[path.sample] == 0) | (~path.still & (told[path.sample] < 0))
    )
    moving = np.flatnonzero(flying)
    lead = int(moving[0]) if len(moving) else len(path)
    early = (
        heights[: min(lead, int(np.searchsorted(path.t_us, path.t_us[0] + _LOOKED_AT_US)))]
        if lead
        else heights[:0]
    )
    if not len(early) or not np.isfinite(early).any():
        return 0
    level = np.nanmedian(early[: max(_LEAST_ROWS, len(early) // 2)])
    near = np.abs(heights[:lead] - level) <= _OFF_GROUND_M
    settled = int(near.argmax())
    left = settled + np.flatnonzero(~near[settled:])
    rows = int(left[0]) if len(left) else lead
    long = rows >= _LEAST_ROWS and int(path.t_us[rows - 1] - path.t_us[0]) >= _LEAST_US
    return rows if long else 0


def _pressure_doubt(path: FlownPath, above: Floats, doubts: Doubts) -> Floats:
    """What a pressure height may be off: a share of itself, at least some meters, and the weather's change since takeoff."""
    hours = (path.t_us - path.t_us[0]) / (3600 * SECOND_US)
    found: Floats = (
        np.maximum(doubts.pressure_least_m, doubts.pressure_share * np.abs(above))
        + doubts.weather_m_an_hour * hours
    )
    return found


def _satellite_doubt(path: FlownPath, datum: HeightDatum, rows: int, doubts: Doubts) -> Floats:
    """What a difference of two satellite heights may be off: as the log says of both, else by how good the fix was."""
    told = path.doubt(TrackDoubt.VERTICAL)
    if told is not None and datum is not HeightDatum.UNKNOWN:
        at_takeoff = np.nanmedian(told[:rows]) if np.isfinite(told[:rows]).any() else doubts.height_m
        return np.hypot(np.where(np.isfinite(told), told, doubts.height_m), at_takeoff)
    satellites = path.track.satellites
    mine = None if satellites is None else satellites[path.sample]
    long = rows and int(path.t_us[rows - 1] - path.t_us[0]) >= _AVERAGED_US
    if mine is not None and long and int(np.median(mine[:rows])) >= _GOOD_SATELLITES:
        return np.where(mine >= _GOOD_SATELLITES, doubts.good_height_m, doubts.height_m)
    return np.full(len(path), doubts.height_m)


def _drift(path: FlownPath, above: Floats, ground: Floats, rows: int) -> float:
    """The height at the end less that at takeoff, with the ground between them taken off; NaN unless it ends on the ground."""
    still, count = path.still, len(path)
    moving = np.flatnonzero(~still)
    tail = count - 1 - int(moving[-1]) if len(moving) else 0
    if not rows or tail < _LEAST_ROWS:
        return float("nan")
    last = slice(count - max(_LEAST_ROWS, tail // 2), None)
    level = float(np.nanmedian(above[last]))
    spread = float(np.nanmax(above[last]) - np.nanmin(above[last]))
    rise = float(np.median(ground[last]) - np.median(ground[:rows]))
    off = level - (rise if np.isfinite(rise) else 0.0)
    is_down = spread < _OFF_GROUND_M and np.isfinite(rise)
    same_place = float(np.hypot(path.x_m[last], path.y_m[last]).max()) < 30.0
    return off if spread < _OFF_GROUND_M and (is_down or same_place) and abs(off) < 15.0 else float("nan")


def _begins_in_the_air(path: FlownPath, above: Floats, agl: Floats, doubt: Floats, doubts: Doubts) -> bool:
    """Whether the takeoff can't have been on the ground: later it is far under it, or the aircraft's own zero is."""
    heights = agl if np.isfinite(agl).any() else above
    room = np.hypot(doubt, doubts.ground_difference_m) if heights is agl else doubt + 30.0
    if bool((heights < -room).any()):
        return True
    told = [path.height(datum) for datum in _FROM_TAKEOFF]
    return any(one is not None and len(one) > 0 and one[0] - above[0] > 2 * _OFF_GROUND_M for one in told)


def _above_sea(path: FlownPath, doubts: Doubts) -> tuple[Floats, Floats]:
    """Meters above sea level as the log tells them, from the ellipsoid where it tells only that."""
    told = path.height(HeightDatum.SEA_LEVEL)
    if told is None or not np.isfinite(told).any():
        ellipsoid = path.height(HeightDatum.ELLIPSOID)
        told = None if ellipsoid is None else ellipsoid - undulation_m(path.start)
    if told is None:
        return np.full(len(path), np.nan), np.full(len(path), np.nan)
    doubt = path.doubt(TrackDoubt.VERTICAL)
    if doubt is None:
        return told, np.full(len(path), doubts.height_m)
    return told, np.where(np.isfinite(doubt), doubt, doubts.height_m)


def _without_takeoff(
    path: FlownPath, ground: Floats, sea: Floats, sea_doubt: Floats, doubts: Doubts
) -> FlownHeights:
    """Heights above ground without a takeoff on the ground: from sea level, or as the log tells them."""
    nothing, told = np.full(len(path), np.nan), path.height(HeightDatum.GROUND)
    agl, doubt, based_on = sea - ground, np.hypot(sea_doubt, doubts.ground_m), HeightFrom.SEA_LEVEL
    datum: HeightDatum | None = HeightDatum.SEA_LEVEL
    if np.isnan(agl).all() and told is not None:
        off = float(np.hypot(doubts.height_m, doubts.ground_m))
        agl, doubt, based_on, datum = told, np.full(len(path), off), HeightFrom.LOG, HeightDatum.GROUND
    if np.isnan(agl).all():
        based_on, datum = HeightFrom.NOTHING, None
    return FlownHeights(
        based_on, datum, nothing, nothing, agl, doubt, sea, sea_doubt, ground, 0, float("nan")
    )
