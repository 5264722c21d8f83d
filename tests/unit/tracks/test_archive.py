"""Tracks kept in Parquet come back as they were, to a centimeter; what is no archive is refused."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from airwrit.base.errors import UnreadableFile
from airwrit.tracks.archive import groups_in, keep_tracks, tracks_in
from airwrit.tracks.track import HeightDatum, TrackProblem
from tests.unit.tracks.made import bump, made


def test_tracks_come_back(tmp_path: Path) -> None:
    one = made(bump(60, 500, 120.0, 60), speed_mps=lambda s: s / 100)
    count = len(one.mono_us)
    heights = one.heights_m[HeightDatum.SEA_LEVEL].copy()
    heights[7] = np.nan
    placed = one.placed.copy()
    placed[9] = False
    other = replace(
        made(bump(60, 500, 50.0, 60), starts=None),
        name="other",
        heights_m={HeightDatum.SEA_LEVEL: heights},
        placed=placed,
        battery=np.linspace(1, 0.3, count),
        remote_id=np.ones(count, dtype=np.int8),
        segment=(np.arange(count) > 200).astype(np.int32),
        problems=(TrackProblem("cut_short", 1, 5, "x"),),
    )
    path = tmp_path / "2026-06.parquet"
    assert keep_tracks(path, [one, other]) == 2
    back = [track for group in groups_in(path) for track in tracks_in(group)]
    assert [track.name for track in back] == ["made", "other"]
    for before, after in zip((one, other), back, strict=True):
        assert np.array_equal(before.mono_us, after.mono_us)
        assert np.array_equal(before.lat_e7[before.placed], after.lat_e7[after.placed])
        assert np.array_equal(before.placed, after.placed)
        assert (before.utc_us is None) == (after.utc_us is None)
        for datum, values in before.heights_m.items():
            assert after.heights_m[datum] == pytest.approx(values, abs=0.0051, nan_ok=True)
        assert before.problems == after.problems
    assert back[1].battery == pytest.approx(other.battery, abs=0.0051)
    assert np.array_equal(back[1].segment, other.segment)  # type: ignore[arg-type]


def test_what_is_no_archive_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "x.parquet"
    path.write_bytes(b"PAR1 no")
    with pytest.raises(UnreadableFile, match="Parquet"):
        groups_in(path)
