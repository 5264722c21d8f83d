"""How many intervals noise makes of a hover near a limit, by each way to count them; the table of docs/tracks.md.

    PYTHONPATH=src python benchmarks/noise_tracks.py [FLIGHTS]

A hover of 20 minutes at 10 Hz at a true height, with an error of 2 m that wanders within a minute (a first-order Gauss-Markov
process) and 0.3 m of white noise. Counted are runs over the limit of 400 ft: bare; joined over dips of under 1.5 m; those of 2
seconds and more; with a median of five samples; and those that all of the doubt of 4 m lies past. The last column is the
answer: past the limit, can't tell, inside. A second table gives the answers for errors that wander faster and slower, and for
flights that stay 6 m under the limit but for one minute over it.
"""

from __future__ import annotations

import sys

import numpy as np
from numpy.typing import NDArray

from airwrit.tracks.excursions import CLIMBING, SECOND_US, excursions, median_of_5

FLIGHTS = int(sys.argv[1]) if len(sys.argv) > 1 else 200
LIMIT_M, DOUBT_M = 121.92, 4.0
SAMPLES, HZ = 12_000, 10
WANDER_M, WANDER_S, WHITE_M = 2.0, 60.0, 0.3
GENERATOR = np.random.default_rng(20261202)

Floats = NDArray[np.float64]


def hover(below_m: float | Floats, wander_s: float = WANDER_S) -> Floats:
    """The heights of a hover so far below the limit, one figure for all of it or (n,)."""
    stays = np.exp(-1 / (wander_s * HZ))
    steps = GENERATOR.normal(0, WANDER_M * np.sqrt(1 - stays**2), SAMPLES)
    wander, at = np.empty(SAMPLES), GENERATOR.normal(0, WANDER_M)
    for number, step in enumerate(steps):
        at = at * stays + step
        wander[number] = at
    return LIMIT_M - below_m + wander + GENERATOR.normal(0, WHITE_M, SAMPLES)


def runs(heights: Floats, hysteresis_m: float = 0.0) -> list[tuple[int, int]]:
    """First and last sample of each run over the limit, joined over dips that stay within the hysteresis."""
    edges = np.flatnonzero(np.diff(np.concatenate(([False], heights > LIMIT_M, [False]))))
    found: list[tuple[int, int]] = []
    for first, last in zip(edges[::2].tolist(), (edges[1::2] - 1).tolist(), strict=True):
        if found and heights[found[-1][1] : first].min() > LIMIT_M - hysteresis_m:
            found[-1] = (found[-1][0], last)
        else:
            found.append((first, last))
    return found


def counted(heights: Floats) -> tuple[int, ...]:
    """The number of intervals by each way to count them."""
    smooth = heights.copy()
    smooth[2:-2] = median_of_5(heights[:-4], heights[1:-3], heights[2:-2], heights[3:-1], heights[4:])
    joined = runs(heights, 1.5)
    long = [one for one in joined if one[1] - one[0] >= 2 * HZ]
    calm = [one for one in runs(smooth, 1.5) if one[1] - one[0] >= 2 * HZ]
    past = [one for one in calm if (smooth[one[0] : one[1] + 1] > LIMIT_M + DOUBT_M).any()]
    return len(runs(heights)), len(joined), len(long), len(calm), len(past)


def answer(heights: Floats) -> str:
    """What airwrit answers."""
    moments = np.arange(SAMPLES, dtype=np.int64) * (SECOND_US // HZ)
    found = excursions(heights, DOUBT_M, moments, LIMIT_M, CLIMBING)
    return "past" if found.is_beyond else "open" if found.is_open else "inside"


def shares(flights: list[Floats]) -> str:
    """The share of flights with each answer, in percent."""
    answers = [answer(one) for one in flights]
    return ", ".join(
        f"{100 * answers.count(word) / len(flights):.0f} %" for word in ("past", "open", "inside")
    )


def a_minute_over(over_m: float) -> Floats:
    """How far below the limit a flight is that goes over it for one minute only, up and down within 5 seconds."""
    at = np.arange(SAMPLES) / HZ
    up = np.clip((at - 600) / 5, 0, 1) * np.clip((670 - at) / 5, 0, 1)
    below: Floats = 6.0 - up * (6.0 + over_m)
    return below


def main() -> None:
    """Print the tables."""
    print(
        "| true height | bare | joined | 2 s and more | median of five | past all doubt | past, can't tell, inside |"
    )
    print("|---|---|---|---|---|---|---|")
    for below_m in (10.0, 6.0, 4.0, 2.0, 0.5, -2.0, -6.0, -12.0):
        flights = [hover(below_m) for _ in range(FLIGHTS)]
        table = np.array([counted(one) for one in flights])
        cells = [
            f"{mean:.{0 if mean >= 10 else 1 if mean >= 1 else 2}f} ({share:.0f} %)" if mean else "0"
            for mean, share in zip(table.mean(axis=0), 100 * (table > 0).mean(axis=0), strict=True)
        ]
        where = f"{abs(below_m):g} m {'under' if below_m > 0 else 'over'} the limit"
        print(f"| {where} | {' | '.join(cells)} | {shares(flights)} |")
    print("\n| flight of 20 minutes | wander of 20 s | 60 s | 300 s |\n|---|---|---|---|")
    rows: list[tuple[str, float | Floats]] = [
        ("at the limit", 0.0),
        ("0.5 m under", 0.5),
        ("2 m under", 2.0),
        ("4 m over", -4.0),
        ("6 m over", -6.0),
        *((f"6 m under, for one minute {over:g} m over", a_minute_over(over)) for over in (4.0, 8.0, 12.0)),
    ]
    for name, below in rows:
        cells = [shares([hover(below, wander) for _ in range(FLIGHTS)]) for wander in (20.0, 60.0, 300.0)]
        print(f"| {name} | {' | '.join(cells)} |")


if __name__ == "__main__":
    main()
