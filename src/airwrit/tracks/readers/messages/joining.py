"""Values of one message at the times of another: held from the last one before, or between two; too old ones are missing."""

from __future__ import annotations

from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.readers.utc import SECOND_US

HELD_US = 10 * SECOND_US
"""How long a state that was logged last still counts, where a log says it only now and then."""
BETWEEN_US = 2 * SECOND_US
"""Between two values further apart than this nothing is known."""


def held(
    at_us: NDArray[np.int64],
    t_us: NDArray[np.int64],
    values: NDArray[Any],
    missing: float,
    most_us: int = HELD_US,
) -> NDArray[Any]:
    """The last value at or before each time, `missing` where there is none that recent. `t_us` in any order."""
    if not len(t_us):
        return np.full(len(at_us), missing, dtype=values.dtype)
    order = np.argsort(t_us, kind="stable")
    t_us, values = t_us[order], values[order]
    last = np.searchsorted(t_us, at_us, side="right") - 1
    there = (last >= 0) & (at_us - t_us[last] <= most_us)
    return np.where(there, values[last], np.asarray(missing, dtype=values.dtype))


def between(
    at_us: NDArray[np.int64], t_us: NDArray[np.int64], values: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Values on the line between the neighbors of each time, NaN where those are too far apart or missing."""
    known = ~np.isnan(values)
    t_us, values = t_us[known], values[known]
    if not len(t_us):
        return np.full(len(at_us), np.nan)
    order = np.argsort(t_us, kind="stable")
    t_us, values = t_us[order], values[order]
    behind = np.clip(np.searchsorted(t_us, at_us, side="left"), 0, len(t_us) - 1)
    before = np.clip(np.searchsorted(t_us, at_us, side="right") - 1, 0, len(t_us) - 1)
    near = (t_us[behind] >= at_us) & (t_us[before] <= at_us) & (t_us[behind] - t_us[before] <= BETWEEN_US)
    return np.where(near, np.interp(at_us, t_us, values), np.nan)


class ClockOffset(NamedTuple):
    """What to add to a log's clock for UTC: the median over all fixes, and how far nine in ten of them agree with it."""

    us: int
    spread_us: int
    first_us: int


def offset_of(clock_us: NDArray[np.int64], utc_us: NDArray[np.int64]) -> ClockOffset | None:
    """UTC less the clock of a log, None where there is no pair of both."""
    if not len(clock_us):
        return None
    apart = np.sort(utc_us - clock_us)
    middle = int(apart[(len(apart) - 1) // 2])
    spread = int(np.sort(np.abs(apart - middle))[int(0.9 * (len(apart) - 1))])
    return ClockOffset(middle, spread, int(clock_us.min()))
