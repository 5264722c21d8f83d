"""Runs past a limit: crossings in closed form, three kinds, gaps, spikes, and what noise makes of a hover."""

from __future__ import annotations

import numpy as np
import pytest
from numpy.typing import NDArray

from airwrit.tracks.excursions import CLIMBING, Sieve, excursions, median_of_5, widening

LIMIT = 121.92
"""400 ft."""


def seconds(count: int, hz: float = 1.0) -> NDArray[np.int64]:
    return np.round(np.arange(count) / hz * 1e6).astype(np.int64)


def test_crossings_of_a_straight_climb_are_where_the_line_meets_the_limit() -> None:
    """A climb of 3 m/s from 100 m at 0 s meets 121.92 m at 7.3067 s, and the descent mirrors it."""
    times = seconds(31)
    x = 100 + 3 * np.minimum(np.arange(31), 30 - np.arange(31)).astype(float)
    (one,) = excursions(x, 0.0, times, LIMIT, CLIMBING).found
    assert one.start_us / 1e6 == pytest.approx(21.92 / 3, abs=1e-6)
    assert one.until_us / 1e6 == pytest.approx(30 - 21.92 / 3, abs=1e-6)
    assert one.peak == 145.0
    assert one.peak_us == 15_000_000
    assert one.sure


@pytest.mark.parametrize(
    ("top", "doubt", "kinds"),
    [
        (LIMIT, 0.0, []),
        (LIMIT + 0.01, 0.0, [True]),
        (LIMIT - 5, 4.9, []),
        (LIMIT - 5, 5.1, [False]),
        (LIMIT + 5, 5.1, [False]),
        (LIMIT + 5, 4.9, [True]),
    ],
)
def test_beyond_within_doubt_and_inside(top: float, doubt: float, kinds: list[bool]) -> None:
    x = np.where((np.arange(100) > 30) & (np.arange(100) < 60), top, 50.0)
    found = excursions(x, doubt, seconds(100), LIMIT, Sieve(1.5, 1000.0))
    assert [one.sure for one in found.found] == kinds
    assert found.is_beyond == (kinds == [True])
    assert found.is_open == (kinds == [False])


def test_dips_above_the_hysteresis_make_no_second_run_and_deeper_ones_do() -> None:
    at = np.arange(120)
    for dip, count in ((1.0, 1), (2.0, 2)):
        x = np.where((at > 20) & (at < 100), LIMIT + 3.0, 50.0)
        x[55:60] = LIMIT - dip
        assert len(excursions(x, 0.0, seconds(120), LIMIT, CLIMBING).found) == count


def test_a_run_too_short_to_count_is_in_doubt_and_never_inside() -> None:
    x = np.full(200, 100.0)
    x[100:104] = LIMIT + 4
    found = excursions(x, 0.5, seconds(200, hz=10), LIMIT, Sieve(1.5, 1000.0))
    assert not found.is_beyond
    assert found.is_open
    assert found.value - found.doubt <= LIMIT < found.value + found.doubt


def test_nothing_is_taken_straight_over_a_gap() -> None:
    times = seconds(60)
    times[30:] += 40_000_000
    x = np.full(60, LIMIT + 10)
    found = excursions(x, 0.0, times, LIMIT, CLIMBING)
    assert [(one.start_us, one.until_us) for one in found.found] == [
        (0, 29_000_000),
        (70_000_000, 99_000_000),
    ]
    assert found.coverage == pytest.approx(58 / 99)
    assert found.open_gaps == ((29_000_000, 70_000_000),)


def test_a_gap_is_open_only_where_the_limit_could_have_been_reached() -> None:
    """Two samples at 60 m, 8 s apart: at 15 m/s up and down it gets to 120 m, in 9 s to 127.5 m."""
    for lasts, is_open in ((8, False), (9, True)):
        times = np.array([0, 1, 2, 2 + lasts, 3 + lasts, 4 + lasts], dtype=np.int64) * 1_000_000
        assert excursions(np.full(6, 60.0), 0.0, times, LIMIT, CLIMBING).is_open is is_open


def test_what_the_log_parts_is_not_joined() -> None:
    x, breaks = np.full(60, LIMIT + 10), np.arange(60) == 30
    assert len(excursions(x, 0.0, seconds(60), LIMIT, CLIMBING, breaks).found) == 2


def test_a_single_spike_is_left_out_and_counted_and_a_step_is_not() -> None:
    x = np.full(100, 50.0)
    x[40] = 400.0
    found = excursions(x, 1.0, seconds(100), LIMIT, CLIMBING)
    assert (found.found, found.spikes, found.value) == ((), 1, 50.0)
    x[40:] = 400.0
    assert excursions(x, 1.0, seconds(100), LIMIT, CLIMBING).is_beyond


def test_without_a_sample_it_is_open() -> None:
    found = excursions(np.full(5, np.nan), 1.0, seconds(5), LIMIT, CLIMBING)
    assert found.is_open
    assert not found.is_beyond
    assert excursions(np.zeros(0), 1.0, seconds(0), LIMIT, CLIMBING).is_open


def test_the_median_of_five_is_that_of_a_sort() -> None:
    rows = np.random.default_rng(1).normal(size=(5, 500))
    assert np.array_equal(median_of_5(*rows), np.median(rows, axis=0))


def hovers(below: float | NDArray[np.float64], count: int = 20) -> list[NDArray[np.float64]]:
    """Hovers of 20 minutes at 10 Hz so far under the limit: 2 m of slow wander (60 s) and 0.3 m of noise."""
    rng, keep = np.random.default_rng(7), np.exp(-0.1 / 60)
    found = []
    for _ in range(count):
        steps = rng.normal(0, 2 * np.sqrt(1 - keep**2), 12_000)
        wander, value = np.empty(12_000), rng.normal(0, 2)
        for at, step in enumerate(steps.tolist()):
            value = keep * value + step
            wander[at] = value
        found.append(LIMIT - below + wander + rng.normal(0, 0.3, 12_000))
    return found


@pytest.mark.parametrize(("below", "raw_at_least"), [(0.0, 200), (0.5, 200), (2.0, 100), (4.0, 20), (6.0, 0)])
def test_noise_makes_nonsense_of_a_bare_comparison_and_no_hover_at_or_under_the_limit_past_it(
    below: float, raw_at_least: int
) -> None:
    """A bare `height > limit` makes hundreds of intervals. With the doubt of one moment, 4 m, none is past the limit."""
    times, flights = seconds(12_000, hz=10), hovers(below)
    raw = [int((np.diff((x > LIMIT).astype(int)) == 1).sum()) for x in flights]
    assert np.mean(raw) >= raw_at_least
    assert not any(excursions(x, 4.0, times, LIMIT, CLIMBING).is_beyond for x in flights)


def test_a_hover_well_over_the_limit_is_past_it_and_so_is_one_minute_well_over() -> None:
    at = np.arange(12_000) / 10
    minute = np.where((at > 600) & (at < 660), -9.0, 6.0)
    for below in (-6.0, minute):
        found = [excursions(x, 4.0, seconds(12_000, hz=10), LIMIT, CLIMBING) for x in hovers(below)]
        assert all(one.is_beyond for one in found)


@pytest.mark.parametrize(("looks", "deviations"), [(0, 1.96), (1, 2.795), (20, 3.767)])
def test_doubt_is_wider_for_the_worst_of_many_moments(looks: float, deviations: float) -> None:
    """The share beyond u standard deviations at one moment and the rate of going over it add up to 2.5 percent.

    Checked with tables of the normal distribution from memory: at 2.795, 0.0026 and 2.795 x 0.00803; at 3.767, 0.00008 and
    20 x 3.767 x 0.000331.
    """
    assert widening(looks) * 1.96 == pytest.approx(deviations, abs=0.002)
