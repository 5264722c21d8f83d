"""A flown track told in another order, twice, with zero rows or with holes: no verdict gets better by it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.verdict import Verdict
from airwrit.tracks.track import Track
from tests.unit.answers.after_flight.asking import answered, clause
from tests.unit.tracks.made import bump, chosen, made

SEEDS = st.integers(0, 2**32 - 1)
PEAKS = st.sampled_from((60.0, 118.0, 121.0, 123.0, 130.0, 160.0))


def verdicts(track: Track) -> tuple[Verdict, Verdict]:
    found = answered(track)
    return clause(found, "height_limit").verdict, clause(found, "speed_limit").verdict


@given(SEEDS, PEAKS)
def test_order_and_doubles_and_zero_rows_change_no_verdict(seed: int, peak: float) -> None:
    rng = np.random.default_rng(seed)
    track = made(bump(60, 250, peak, 60), seconds=300)
    count = len(track.mono_us)
    rows = rng.permutation(np.concatenate([np.arange(count), rng.integers(0, count, 50)]))
    mixed = chosen(track, rows)
    latitude, longitude = mixed.lat_e7.copy(), mixed.lon_e7.copy()
    doubles = np.flatnonzero(np.bincount(rows)[rows] > 1)
    first = np.unique(rows[doubles], return_index=True)[1]
    latitude[doubles[first]], longitude[doubles[first]] = 0, 0
    assert verdicts(track) == verdicts(replace(mixed, lat_e7=latitude, lon_e7=longitude))


@given(SEEDS, PEAKS, st.integers(1, 120))
def test_a_hole_makes_no_yes_and_no_new_no(seed: int, peak: float, wide: int) -> None:
    rng = np.random.default_rng(seed)
    track = made(bump(60, 250, peak, 60), seconds=300)
    start = int(rng.integers(40, 300 - wide + 1)) if wide < 260 else 40
    kept = np.setdiff1d(np.arange(len(track.mono_us)), np.arange(start, start + wide))
    for before, after in zip(verdicts(track), verdicts(chosen(track, kept)), strict=True):
        if after is Verdict.MET:
            assert before is Verdict.MET
        if after is Verdict.NOT_MET:
            assert before is Verdict.NOT_MET
