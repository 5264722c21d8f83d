"""Properties of every log: shuffled, doubled, with zero rows or gaps it gives the same samples, and says what it saw."""

from __future__ import annotations

import random
import tempfile
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
from hypothesis import given
from hypothesis import strategies as st

from airwrit.tracks.readers.utc import leap_seconds, utc_of_gps
from airwrit.tracks.track import HeightDatum, Track
from tests.unit.tracks.logs import ANSWERS, counts, only, read, utc

TIMES = st.lists(st.integers(0, 3000), min_size=2, max_size=40, unique=True)


def row(at: int, lat: str = "44.27", height: str | None = None) -> str:
    when = f"2026-06-01T12:{at // 600:02}:{at // 10 % 60:02}.{at % 10}Z"
    return f"{when},{lat},-71.3,{at / 10 if height is None else height}\n"


def of_rows(rows: list[str]) -> Track:
    head = "time,latitude,longitude,altitude_msl_m\n"
    with tempfile.TemporaryDirectory() as folder:
        return only(read(Path(folder), head + "".join(rows)))


def same(one: Track, other: Track) -> None:
    np.testing.assert_array_equal(one.mono_us, other.mono_us)
    np.testing.assert_array_equal(one.lat_e7, other.lat_e7)
    np.testing.assert_array_equal(one.placed, other.placed)
    np.testing.assert_array_equal(
        one.heights_m[HeightDatum.SEA_LEVEL], other.heights_m[HeightDatum.SEA_LEVEL]
    )


@given(TIMES, st.integers(0, 9))
def test_shuffled_rows_are_the_same_track(times: list[int], seed: int) -> None:
    rows = [row(at) for at in sorted(times)]
    mixed = rows.copy()
    random.Random(seed).shuffle(mixed)
    same(of_rows(rows), of_rows(mixed))


@given(TIMES)
def test_doubled_rows_count_once(times: list[int]) -> None:
    rows = [row(at) for at in sorted(times)]
    doubled = of_rows([one for one in rows for _ in range(2)])
    same(of_rows(rows), doubled)
    assert counts(doubled)["duplicate"] == len(rows)


@given(TIMES, st.data())
def test_zero_rows_are_no_place_and_counted(times: list[int], data: st.DataObject) -> None:
    zeros = data.draw(st.sets(st.sampled_from(times), min_size=1, max_size=len(times) - 1))
    rows = [row(at) if at not in zeros else row(at).replace("44.27,-71.3", "0.0,0.0") for at in sorted(times)]
    track = of_rows(rows)
    assert track.placed.tolist() == [at not in zeros for at in sorted(times)]
    assert counts(track)["zero_place"] == len(zeros)


@given(TIMES, st.data())
def test_gaps_stay_gaps(times: list[int], data: st.DataObject) -> None:
    kept = sorted(data.draw(st.sets(st.sampled_from(times), min_size=1)))
    track = of_rows([row(at) for at in kept])
    assert track.mono_us.tolist() == [(at - kept[0]) * 100_000 for at in kept]


def test_one_time_with_two_places_keeps_both_and_says_so() -> None:
    track = of_rows([row(1), row(1, lat="44.28"), row(2)])
    assert len(track.row) == 3
    assert counts(track)["same_time"] == 1


def test_a_date_that_no_log_can_be_of_is_not_taken(tmp_path: Path) -> None:
    old = "time,latitude,longitude\n1970-01-01T00:00:05Z,44.27,-71.3\n"
    assert only(read(tmp_path, old)).utc_us is None
    future = "time,latitude,longitude\n2026-12-05T00:00:00Z,44.27,-71.3\n"
    assert counts(only(read(tmp_path, future)))["implausible_date"] == 1
    assert only(read(tmp_path, future, replace(ANSWERS, today=date(2026, 12, 4)))).utc_us is not None


def test_weeks_that_were_lost_are_added_when_asked(tmp_path: Path) -> None:
    text = "time,latitude,longitude\n2000-10-16T12:00:00Z,44.27,-71.3\n"
    assert counts(only(read(tmp_path, text)))["weeks_lost"] == 1
    mended = only(read(tmp_path, text, replace(ANSWERS, add_weeks=True)))
    assert utc(mended) == ["2020-06-01T12:00:00.000"]
    assert counts(mended)["weeks_added"] == 1


def test_the_step_of_a_leap_second_is_at_its_second() -> None:
    week = 1930  # 2017-01-01 is the first day of week 1930
    told = utc_of_gps(np.array([week, week]), np.array([17_000_000, 18_000_000]))
    assert [str(one)[:19] for one in told.astype("datetime64[us]")] == ["2017-01-01T00:00:00"] * 2
    assert leap_seconds().expires > date(2026, 12, 1)
