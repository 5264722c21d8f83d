"""Frames in a stream of bytes: of all places that look like the start of one, those that are, each ending where one begins."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray


def chain(starts: NDArray[np.int64], ends: NDArray[np.int64], size: int) -> tuple[NDArray[np.int64], int]:
    """Which candidates are frames, and how many bytes between them are junk. `starts` rise, `ends` are where each would end.

    A candidate behind which no other stands is a frame unless one that is followed by another begins inside it.
    """
    count = len(starts)
    if not count:
        return np.zeros(0, dtype=np.int64), size
    follow = np.searchsorted(starts, ends)
    is_followed = np.zeros(count, dtype=np.bool_)
    inside = follow < count
    is_followed[inside] = starts[follow[inside]] == ends[inside]
    is_followed |= ends == size
    plain = is_followed & (follow == np.arange(1, count + 1))
    breaks = np.append(np.flatnonzero(~plain), count)
    solid = np.concatenate([[0], np.cumsum(is_followed)])
    stretches, junk, at, covered = [], 0, 0, 0
    while at < count:
        junk += max(0, int(starts[at]) - covered)
        stop = int(breaks[np.searchsorted(breaks, at)])
        if stop >= count:
            stretches.append(np.arange(at, count))
            covered = int(ends[-1])
            break
        following = int(follow[stop])
        good = is_followed[stop] or solid[following] == solid[stop + 1]
        stretches.append(np.arange(at, stop + 1 if good else stop))
        covered = int(ends[stop]) if good else int(starts[stop])
        at = following if good else stop + 1
    return np.concatenate(stretches).astype(np.int64), junk + max(0, size - covered)
