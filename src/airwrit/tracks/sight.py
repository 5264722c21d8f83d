"""Whether the ground is in the way between the pilot and a flown aircraft: the line from the eyes to it, over terrain.

A sample each second is looked at, along its line in steps of some 45 m. Blocked is only what the ground hides by more than
the data may be off; all else is no yes, since a log can't show what somebody saw.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import EQUATOR_M
from airwrit.geo.terrain import DIFFERENCE_ERROR_M
from airwrit.tracks.excursions import SECOND_US, Floats
from airwrit.tracks.heights import FlownHeights, Grounds
from airwrit.tracks.path import FlownPath

EYE_M = 1.6
"""Height of the eyes of a person who stands; common practice, no source."""
_STEP_M, _MOST_STEPS = 45.0, 512


class SightFlown(NamedTuple):
    """Samples of the path that were looked at (n,), how far the line clears the ground there, and what that may be off.

    Meters above the highest ground under the line, below zero where the ground is in the way; NaN where it isn't known.
    """

    samples: NDArray[np.intp]
    clear_m: Floats
    doubt_m: Floats

    @property
    def blocked(self) -> NDArray[np.bool_]:
        """Whether the ground surely hides the aircraft, (n,)."""
        found: NDArray[np.bool_] = self.clear_m + self.doubt_m < 0
        return found

    @property
    def is_clear(self) -> bool:
        """Whether the ground on file is known all along and nowhere above the line."""
        return bool(len(self.clear_m)) and bool((self.clear_m >= 0).all())


def sight_along(path: FlownPath, heights: FlownHeights, pilot: Place, grounds: Grounds) -> SightFlown:
    """The line from a pilot on the ground to the aircraft, each second."""
    samples = _each_second(path)
    eye = float(grounds(np.array([pilot.latitude_deg]), np.array([pilot.longitude_deg]))[0]) + EYE_M
    top = heights.agl_m[samples] + heights.ground_m[samples]
    away = path.from_place_m(pilot)[samples]
    doubt = np.hypot(np.nan_to_num(heights.takeoff_doubt_m[samples], nan=0.0), DIFFERENCE_ERROR_M)
    steps = min(_MOST_STEPS, int(np.nanmax(away, initial=0.0) / _STEP_M) + 1)
    share = np.arange(1, steps) / steps
    latitude, longitude = path.latitude_deg[samples], path.longitude_deg[samples]
    clear = np.full(len(samples), np.nan if np.isnan(eye) else np.inf)
    for part in share:
        ground = grounds(
            pilot.latitude_deg + part * (latitude - pilot.latitude_deg),
            pilot.longitude_deg + part * _east(longitude, pilot.longitude_deg),
        )
        bend = part * (1 - part) * away**2 / (2 * EQUATOR_M)
        clear = np.minimum(clear, eye + part * (top - eye) - ground - bend)
    return SightFlown(samples, np.where(np.isnan(top), np.nan, clear), doubt)


def _east(longitude_deg: Floats, start_deg: float) -> Floats:
    """Degrees east of a place, the short way around."""
    found: Floats = (longitude_deg - start_deg + 180) % 360 - 180
    return found


def _each_second(path: FlownPath) -> NDArray[np.intp]:
    """The first sample of each second of the log."""
    return np.unique((path.t_us - path.t_us[0]) // SECOND_US, return_index=True)[1]
