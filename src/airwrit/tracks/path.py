"""The way of a flown track in order of time: meters around its takeoff, speed over the ground, what it may be off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import m_per_degree
from airwrit.tracks.excursions import SECOND_US, Floats, Moments
from airwrit.tracks.track import HeightDatum, Track, TrackDoubt

_E7 = 1e-7
_NULL_ISLAND = 10_000
"""Degrees times 10,000,000: what lies that near to latitude and longitude 0 is a place that was not known."""
LOGGED_STILL_MPS, DERIVED_STILL_MPS = 0.5, 1.5
"""Slower than that over the ground it stands still, by a logged speed and by one taken from positions."""


class Doubts(NamedTuple):
    """What values may be off at 95 percent where the log doesn't say; each can be set. Our own proposal, no standard.

    Sources of the figures, at second hand: the GPS performance standard of 2020 for places and unknown heights (8 and 13 m) and
    speed (0.2 m/s an axis); the survey's own figures for the ground. A pressure height may be off by the greater of meters and
    a share, which air as warm as it may be asks for, and by meters an hour of weather. `level_ground_m` is what somebody said
    that the ground differs from that at takeoff at most, for a place without terrain data.
    """

    place_m: float = 8.0
    good_height_m: float = 5.0
    height_m: float = 13.0
    pressure_least_m: float = 3.0
    pressure_share: float = 0.07
    weather_m_an_hour: float = 3.0
    speed_mps: float = 0.4
    derived_speed_mps: float = 1.0
    ground_difference_m: float = 10.0
    ground_m: float = 16.0
    level_ground_m: float | None = None


@dataclass(frozen=True, slots=True, eq=False)
class FlownPath:
    """n samples with a place, in order of time, each moment once. `sample` is its number in the track.

    `x_m`, `y_m` are meters east and north of the first of them. `conflicting` counts samples at a moment that another one tells
    otherwise, `unplaced` those without a place.
    """

    track: Track
    sample: NDArray[np.intp]
    t_us: Moments
    latitude_deg: Floats
    longitude_deg: Floats
    x_m: Floats
    y_m: Floats
    speed_mps: Floats
    speed_is_logged: bool
    place_doubt_m: Floats | float
    speed_doubt_mps: float
    conflicting: int
    unplaced: int
    breaks: NDArray[np.bool_] | None = None
    """where the log itself parts a sample from the one before it"""

    def __len__(self) -> int:
        """How many samples there are."""
        return len(self.t_us)

    @property
    def start(self) -> Place:
        """Where it begins."""
        return self.place(0)

    @property
    def still(self) -> NDArray[np.bool_]:
        """Whether it stands still over the ground, as far as its speed tells."""
        bound = LOGGED_STILL_MPS if self.speed_is_logged else DERIVED_STILL_MPS
        found: NDArray[np.bool_] = self.speed_mps < bound
        return found

    @property
    def pilot_at(self) -> Place | None:
        """Where the log places the pilot most of the time; None where it doesn't."""
        track = self.track
        if track.pilot_lat_e7 is None or track.pilot_lon_e7 is None or track.pilot_placed is None:
            return None
        known = track.pilot_placed
        if not known.any():
            return None
        return Place(
            *(float(np.median(one[known])) * _E7 for one in (track.pilot_lat_e7, track.pilot_lon_e7))
        )

    @property
    def length_m(self) -> float:
        """Meters along the way."""
        return float(np.hypot(np.diff(self.x_m), np.diff(self.y_m)).sum())

    def place(self, at: int) -> Place:
        """The place of a sample."""
        return Place(float(self.latitude_deg[at]), float(self.longitude_deg[at]))

    def utc_us(self, t_us: int) -> int | None:
        """A moment of the log in microseconds since 1970, taken straight between samples; None where the log tells no day."""
        utc = self.track.utc_us
        if utc is None or not len(self):
            return None
        near = min(max(int(np.searchsorted(self.t_us, t_us)), 0), len(self) - 1)
        return int(utc[self.sample[near]]) + t_us - int(self.t_us[near])

    def height(self, datum: HeightDatum) -> Floats | None:
        """The heights that the log tells from a datum, for these samples."""
        found = self.track.heights_m.get(datum)
        return None if found is None else found[self.sample]

    def doubt(self, of: TrackDoubt) -> Floats | None:
        """What the log says that heights or places may be off; None where it says nothing."""
        found = self.track.doubt_m.get(of)
        if found is None or not np.isfinite(found).any():
            return None
        return found[self.sample]

    def from_place_m(self, place: Place) -> Floats:
        """Meters over the ground from a place."""
        x, y = self.local_m(np.array([place.latitude_deg]), np.array([place.longitude_deg]))
        found: Floats = np.hypot(self.x_m - x, self.y_m - y)
        return found

    def local_m(self, latitude_deg: Floats, longitude_deg: Floats) -> tuple[Floats, Floats]:
        """Meters east and north of the first sample, of places (n,)."""
        return local_m(latitude_deg, longitude_deg, self.start)


def local_m(latitude_deg: Floats, longitude_deg: Floats, start: Place) -> tuple[Floats, Floats]:
    """Meters east and north of a place, by the ellipsoid's radii halfway: good to 0.1 m within 5 km."""
    _, across = m_per_degree(start.latitude_deg)
    north = latitude_deg - start.latitude_deg
    east = longitude_deg - start.longitude_deg
    if abs(start.longitude_deg) > 90:
        east = (east + 180) % 360 - 180
    (below, _), (above, _) = (m_per_degree(start.latitude_deg + half) for half in (-0.5, 0.5))
    along = (below + above) / 2 + (above - below) * north / 2
    bend = m_per_degree(start.latitude_deg + 0.5)[1] - m_per_degree(start.latitude_deg - 0.5)[1]
    return east * (across + bend * north / 2), north * along


def path_of(track: Track, doubts: Doubts = Doubts()) -> FlownPath:  # noqa: B008  a NamedTuple never changes
    """The way of a track. Samples without a place are left out and counted; so are those at 0, 0."""
    zero = (np.abs(track.lat_e7) < _NULL_ISLAND) & (np.abs(track.lon_e7) < _NULL_ISLAND)
    counts = track.placed & ~zero
    chosen = np.flatnonzero(counts)
    order, conflicting = _in_order(track, chosen)
    latitude: Floats = track.lat_e7[order] * np.float64(_E7)
    longitude: Floats = track.lon_e7[order] * np.float64(_E7)
    times = track.mono_us[order]
    if len(order):
        x, y = local_m(latitude, longitude, Place(float(latitude[0]), float(longitude[0])))
    else:
        x, y = latitude, longitude
    logged = None if track.speed_mps is None else track.speed_mps[order]
    is_logged = logged is not None and bool(np.isfinite(logged).mean() > 0.5) if len(order) else False
    speed = logged if is_logged and logged is not None else derived_speed_mps(x, y, times)
    told = track.doubt_m.get(TrackDoubt.HORIZONTAL)
    place_doubt: Floats | float = doubts.place_m
    if told is not None and len(order):
        mine = told[order]
        place_doubt = np.where(np.isfinite(mine), mine, doubts.place_m)
    return FlownPath(
        track,
        order,
        times,
        latitude,
        longitude,
        x,
        y,
        speed,
        is_logged,
        place_doubt,
        doubts.speed_mps if is_logged else doubts.derived_speed_mps,
        conflicting,
        int(len(counts) - len(chosen)),
        _breaks(track, order),
    )


def _breaks(track: Track, order: NDArray[np.intp]) -> NDArray[np.bool_] | None:
    if track.segment is None or not len(order):
        return None
    return np.concatenate(([False], np.diff(track.segment[order]) != 0))


def _in_order(track: Track, chosen: NDArray[np.intp]) -> tuple[NDArray[np.intp], int]:
    """Numbers of samples by time, each moment once, whatever the order of the file; how many say otherwise at a moment."""
    times = track.mono_us[chosen]
    steps = np.diff(times)
    if (steps > 0).all():
        return chosen, 0
    keys: list[NDArray[Any]] = [track.lon_e7[chosen], track.lat_e7[chosen], times]
    for heights in track.heights_m.values():
        keys.insert(0, -np.nan_to_num(heights[chosen], nan=-np.inf))
    by_time = np.lexsort(keys)
    order, times = chosen[by_time], times[by_time]
    same = np.diff(times) == 0
    alike = (np.diff(track.lat_e7[order]) == 0) & (np.diff(track.lon_e7[order]) == 0)
    first = np.concatenate(([True], ~same))
    return order[first], int((same & ~alike).sum())


def derived_speed_mps(x_m: Floats, y_m: Floats, t_us: Moments) -> Floats:
    """Speed over the ground from places a second apart or more; a shorter step would mostly tell the noise of the places."""
    count = len(t_us)
    if count < 2:
        return np.full(count, np.nan)
    later = np.minimum(np.searchsorted(t_us, t_us + SECOND_US), count - 1)
    short = t_us[later] - t_us < SECOND_US
    earlier = np.arange(count)
    earlier[short] = np.minimum(np.searchsorted(t_us, t_us[later[short]] - SECOND_US, "right") - 1, count - 2)
    earlier = np.maximum(earlier, 0)
    lasts_s = (t_us[later] - t_us[earlier]) / SECOND_US
    away = np.hypot(x_m[later] - x_m[earlier], y_m[later] - y_m[earlier])
    with np.errstate(divide="ignore", invalid="ignore"):
        found: Floats = np.where(lasts_s > 0, away / lasts_s, np.nan)
    return found
