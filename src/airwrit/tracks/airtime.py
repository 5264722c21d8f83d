"""When a track is in the air: takeoffs and landings, minutes flown, the battery at the end."""

from __future__ import annotations

from typing import NamedTuple

import numpy as np

from airwrit.tracks.excursions import SECOND_US, Floats
from airwrit.tracks.heights import FlownHeights
from airwrit.tracks.path import FlownPath

_UP_M = 2.0
_MOVES_MPS = 2.0
_SHORT_US = 5 * SECOND_US


class Airtime(NamedTuple):
    """Spans in the air, first and last sample each; a stay on the ground of under five seconds parts none.

    `ends_in_the_air` tells that the log stops before the landing, `begins_in_the_air` that it starts after the takeoff.
    """

    spans: tuple[tuple[int, int], ...]
    begins_in_the_air: bool
    ends_in_the_air: bool
    flown_us: int

    @property
    def landings(self) -> int:
        """How many landings the log has."""
        return len(self.spans) - int(self.ends_in_the_air)

    @property
    def first(self) -> int | None:
        """The sample of the takeoff, or the first where the log begins in the air."""
        return self.spans[0][0] if self.spans else None

    @property
    def last(self) -> int | None:
        """The sample of the last landing, or the last where it ends in the air."""
        return self.spans[-1][1] if self.spans else None


def airtime_of(path: FlownPath, heights: FlownHeights) -> Airtime:
    """When a track is in the air, by its height above takeoff or ground and its speed."""
    if not len(path):
        return Airtime((), begins_in_the_air=False, ends_in_the_air=False, flown_us=0)
    up = _height(heights)
    flying = (np.nan_to_num(up, nan=0.0) > _UP_M) | (np.nan_to_num(path.speed_mps, nan=0.0) > _MOVES_MPS)
    edges = np.flatnonzero(np.diff(np.concatenate(([False], flying, [False]))))
    spans: list[tuple[int, int]] = []
    for start, end in zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True):
        if spans and path.t_us[start] - path.t_us[spans[-1][1]] < _SHORT_US:
            spans[-1] = (spans[-1][0], end)
        else:
            spans.append((start, end))
    last = len(path) - 1
    whole = [span for span in spans if path.t_us[span[1]] - path.t_us[span[0]] >= _SHORT_US]
    return Airtime(
        tuple(whole),
        begins_in_the_air=bool(whole) and whole[0][0] == 0,
        ends_in_the_air=bool(whole) and whole[-1][1] == last,
        flown_us=sum(int(path.t_us[end] - path.t_us[start]) for start, end in whole),
    )


def _height(heights: FlownHeights) -> Floats:
    """The height that tells whether it flies: above takeoff, else above ground by more than that may be off."""
    if np.isfinite(heights.takeoff_m).any():
        rise = heights.agl_m if np.isfinite(heights.agl_m).any() else heights.takeoff_m
        return np.where(np.isfinite(rise), rise, heights.takeoff_m)
    return heights.agl_m - np.nan_to_num(heights.agl_doubt_m, nan=0.0)
