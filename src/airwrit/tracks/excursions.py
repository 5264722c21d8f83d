"""How far a value of a flight went past a limit, from when to when, and what the log can't tell: arrays in, intervals out.

A value is beyond where all that it may be lies past the limit, within doubt where only some of it does. What a value may be off
is told for one moment. Long near a limit, its error has many chances to go past it once, so that more is asked of a run that
counts as beyond. Intervals are those of the value itself, with crossings taken straight between samples. Runs that are parted
by less than the hysteresis are one.
Nothing is taken straight over a gap. What is too short to count as beyond is kept as within doubt, never as inside.
"""

from __future__ import annotations

import math
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

Floats: TypeAlias = NDArray[np.float64]
Moments: TypeAlias = NDArray[np.int64]

SECOND_US = 1_000_000
_ONE_MOMENT, _ONE_SIDE = 1.96, 0.025
"""Standard deviations that 95 percent of errors stay within, and the share of them beyond it on one side."""
_MEDIAN_SPAN_US = 2 * SECOND_US
"""Five samples that span more are not smoothed: a peak of some seconds would be cut off."""


class Sieve(NamedTuple):
    """How noise is kept from making intervals; in the unit of the value, seconds, and units a second.

    `hysteresis` joins runs, `least_s` is the shortest run that counts as beyond, `gap_s` the longest time between two samples
    that is taken straight, and `fastest` what the value can change in a second: a single sample that goes faster to and fro is
    a spike, and a gap is open where the value could have gone past the limit in it. The error of a value takes about `wander_s`
    to become another one; our own figures.
    """

    hysteresis: float
    fastest: float
    least_s: float = 2.0
    gap_s: float = 2.0
    wander_s: float = 60.0


CLIMBING = Sieve(hysteresis=1.5, fastest=15.0)
"""For heights in meters: no aircraft here climbs faster than 15 m/s."""
MOVING = Sieve(hysteresis=0.5, fastest=10.0, wander_s=10.0)
"""For speeds in m/s: no aircraft here gains or loses more than 10 m/s in a second."""
IN_OR_OUT = Sieve(hysteresis=3.0, fastest=60.0)
"""For meters inside an area: no aircraft here goes faster than 60 m/s."""


class Excursion(NamedTuple):
    """One run past a limit: microseconds of the log, the worst value with its doubt and when, first and last sample.

    `sure` tells that it was beyond; else this log can't tell.
    """

    start_us: int
    until_us: int
    peak: float
    doubt: float
    peak_us: int
    first: int
    last: int
    at: int
    sure: bool


class Excursions(NamedTuple):
    """All runs in order of time, the gaps in which it may have been past the limit, and what was looked at.

    `worst` is the sample that speaks most against the flight (-1 without any), with `value` and `doubt`. `seen_us` of
    `whole_us` microseconds are covered by samples.
    """

    found: tuple[Excursion, ...]
    open_gaps: tuple[tuple[int, int], ...]
    worst: int
    value: float
    doubt: float
    spikes: int
    seen_us: int
    whole_us: int

    @property
    def is_beyond(self) -> bool:
        """Whether any run surely was past the limit."""
        return any(one.sure for one in self.found)

    @property
    def is_open(self) -> bool:
        """Whether any run, gap or the lack of samples leaves it open."""
        return self.worst < 0 or bool(self.open_gaps) or any(not one.sure for one in self.found)

    @property
    def coverage(self) -> float:
        """The share of the time that samples cover."""
        return self.seen_us / self.whole_us if self.whole_us else float(self.worst >= 0)


def excursions(
    x: Floats,
    doubt: Floats | float,
    t_us: Moments,
    limit: float,
    sieve: Sieve,
    breaks: NDArray[np.bool_] | None = None,
) -> Excursions:
    """The runs of a value `(n,)` past an upper limit at moments `(n,)` in order; the limit itself keeps to it.

    `doubt` is what the value may be off on either side, `(n,)` or one for all. NaN is missing. `breaks` tells where the log
    itself parts a sample from the one before it, `(n,)`.
    """
    doubts = np.broadcast_to(np.asarray(doubt, dtype=np.float64), x.shape)
    whole = int(t_us[-1] - t_us[0]) if len(t_us) else 0
    high = x + doubts
    missing = not len(x) or not np.isfinite(high.sum())
    kept = np.flatnonzero(np.isfinite(high)) if missing else np.arange(len(x))
    if not len(kept):
        return Excursions((), (), -1, np.nan, np.nan, 0, 0, whole)
    if missing:
        x, doubts, high = x[kept], doubts[kept], high[kept]
    times = t_us[kept] if missing else t_us
    at = int(high.argmax())
    spiked = _spikes(x, times, sieve.fastest) if high[at] > limit or _is_spike(x, at) else kept[:0]
    if len(spiked):
        keep = np.ones(len(x), dtype=bool)
        keep[spiked] = False
        kept, x, times, doubts = kept[keep], x[keep], times[keep], doubts[keep]
        high = x + doubts
    steps = np.diff(times)
    joins = steps <= sieve.gap_s * SECOND_US
    if breaks is not None and breaks.any():
        parts = np.cumsum(breaks)[kept]
        joins &= np.diff(parts) == 0
    is_past = float(high.max()) > limit
    is_mixed = is_past and float((x - doubts).min()) <= limit
    series = _Series(x, _smoothed(x, times, steps) if is_mixed else x, doubts, times, kept, limit)
    gaps = _open_gaps(series, joins, t_us, sieve)
    found = _runs(series, joins, sieve) if is_past else []
    seen = int(steps.sum() if joins.all() else steps[joins].sum())
    return Excursions(tuple(found), gaps, *_worst(series, found), len(spiked), seen, whole)


def _is_spike(x: Floats, at: int) -> bool:
    """Whether a greatest sample may stand out from both of its neighbors by a jump; a look at it alone."""
    return 0 < at < len(x) - 1 and float(min(x[at] - x[at - 1], x[at] - x[at + 1])) > 1.0


class _Series(NamedTuple):
    """Samples that count: as logged, smoothed, their doubts and moments, and their numbers in the whole."""

    raw: Floats
    x: Floats
    doubt: Floats
    t_us: Moments
    kept: NDArray[np.intp]
    limit: float

    def value_at(self, at: int) -> float:
        """The smoothed value, or the raw one where only that is near the limit."""
        smooth, raw = float(self.x[at]), float(self.raw[at])
        return raw if smooth + self.doubt[at] <= self.limit < raw + self.doubt[at] else smooth


def _spikes(x: Floats, t_us: Moments, fastest: float) -> NDArray[np.intp]:
    """Single samples to which the value jumps and from which it jumps back, faster than it can."""
    if len(x) < 3:
        return np.zeros(0, dtype=np.intp)
    step = np.diff(x)
    fast = np.abs(step) > fastest / SECOND_US * np.maximum(np.diff(t_us), SECOND_US // 10)
    if not fast.any():
        return np.zeros(0, dtype=np.intp)
    found: NDArray[np.intp] = np.flatnonzero(fast[:-1] & fast[1:] & (step[:-1] * step[1:] < 0)) + 1
    return found


def _smoothed(x: Floats, t_us: Moments, steps: Moments) -> Floats:
    """The median of five neighbors, where five samples are near one another in time."""
    count = len(x)
    if count < 5 or (
        int(t_us[-1] - t_us[0]) * 4 > _MEDIAN_SPAN_US * (count - 1) and np.median(steps) * 4 > _MEDIAN_SPAN_US
    ):
        return x
    found = x.copy()
    found[2:-2] = median_of_5(x[:-4], x[1:-3], x[2:-2], x[3:-1], x[4:])
    if int(steps.max()) * 4 > _MEDIAN_SPAN_US:
        far = t_us[4:] - t_us[:-4] > _MEDIAN_SPAN_US
        found[2:-2][far] = x[2:-2][far]
    return found


def median_of_5(a: Floats, b: Floats, c: Floats, d: Floats, e: Floats) -> Floats:
    """The middle of five arrays, by the least number of comparisons; a tenth of the time of a sort."""
    low = np.maximum(np.minimum(a, b), np.minimum(d, e))
    high = np.minimum(np.maximum(a, b), np.maximum(d, e))
    found: Floats = np.maximum(np.minimum(low, high), np.minimum(np.maximum(low, high), c))
    return found


def _open_gaps(
    series: _Series, joins: NDArray[np.bool_], t_us: Moments, sieve: Sieve
) -> tuple[tuple[int, int], ...]:
    """The gaps, those before the first and after the last sample too, in which the value could have gone past the limit."""
    times = series.t_us
    if joins.all() and t_us[0] == times[0] and t_us[-1] == times[-1]:
        return ()
    top = series.x + series.doubt
    found = []
    for first in np.flatnonzero(~joins):
        lasts_s = float(times[first + 1] - times[first]) / SECOND_US
        reach = (top[first] + top[first + 1] + sieve.fastest * lasts_s) / 2
        if reach > series.limit:
            found.append((int(times[first]), int(times[first + 1])))
    for start, end, value in ((t_us[0], times[0], top[0]), (times[-1], t_us[-1], top[-1])):
        lasts_s = float(end - start) / SECOND_US
        if lasts_s > sieve.gap_s and value + sieve.fastest * lasts_s > series.limit:
            found.append((int(start), int(end)))
    return tuple(sorted(found))


def _runs(series: _Series, joins: NDArray[np.bool_], sieve: Sieve) -> list[Excursion]:
    """The runs beyond the limit, and those within doubt that hold none of them."""
    limit, high = series.limit, series.x + series.doubt
    near = _joined(high, limit, joins, sieve.hysteresis)
    runs = _joined(series.x, limit, joins, sieve.hysteresis)
    surely = _surely(series, near, runs, joins, sieve)
    beyond = [
        _excursion(series, series.x, joins, first, last, sure=True)
        for first, last in runs
        if any(first <= at and until <= last for at, until in surely)
    ]
    maybe = [_excursion(series, high, joins, first, last, sure=False) for first, last in near]
    apart = [one for one in maybe if not any(_overlap(one, other) for other in beyond)]
    long = [one for one in apart if _lasts_us(one) >= sieve.least_s * SECOND_US]
    found = [*beyond, *(long or ([] if beyond else _briefest(apart, series, joins)))]
    return sorted(found)


def _surely(
    series: _Series,
    near: list[tuple[int, int]],
    runs: list[tuple[int, int]],
    joins: NDArray[np.bool_],
    sieve: Sieve,
) -> list[tuple[int, int]]:
    """The runs of the least time in which all that the value may be lies past the limit, less those that its error can make.

    `near` are the runs in which any of it does, `runs` those of the value itself. A run counts where it is past by a doubt
    widened for all of the time near the limit, or where the mean of the value's run is past by the plain doubt: one look alone.
    """
    low = series.x - series.doubt
    plain = _long(series, low, joins, sieve)
    if not plain:
        return []
    means = [(first, last) for first, last in runs if float(low[first : last + 1].mean()) > series.limit]
    by_mean = [one for one in plain if any(at <= one[0] and one[1] <= last for at, last in means)]
    if len(by_mean) == len(plain):
        return plain
    near_s = sum(float(series.t_us[last] - series.t_us[first]) for first, last in near) / SECOND_US
    strict = _long(series, series.x - series.doubt * widening(near_s / sieve.wander_s), joins, sieve)
    return [
        one
        for one in plain
        if one in by_mean or any(one[0] <= at and until <= one[1] for at, until in strict)
    ]


def _long(series: _Series, low: Floats, joins: NDArray[np.bool_], sieve: Sieve) -> list[tuple[int, int]]:
    """First and last sample of each run of `low` past the limit that lasts the least time."""
    return [
        (first, last)
        for first, last in _joined(low, series.limit, joins, 0.0)
        if _lasts_us(_excursion(series, low, joins, first, last, sure=True)) >= sieve.least_s * SECOND_US
    ]


def widening(looks: float) -> float:
    """How many times the doubt of one moment holds, as surely, for the worst of a stretch of so many wander times.

    The error is taken as a first-order Gauss-Markov process, which goes over a level of u standard deviations about
    u * density(u) times in one wander time (Ornstein and Uhlenbeck's process, for u of 2 and more). At 95 percent u is 1.96 for
    one moment, 3.8 for 20.
    """

    def exceeded(u: float) -> float:
        density = math.exp(-u * u / 2) / math.sqrt(2 * math.pi)
        return math.erfc(u / math.sqrt(2)) / 2 + looks * u * density

    low, high = _ONE_MOMENT, 12.0
    for _ in range(40):
        middle = (low + high) / 2
        low, high = (middle, high) if exceeded(middle) > _ONE_SIDE else (low, middle)
    return high / _ONE_MOMENT


def _briefest(apart: list[Excursion], series: _Series, joins: NDArray[np.bool_]) -> list[Excursion]:
    """The worst of runs that are too short to count: they leave it open, and so does a peak that was smoothed away."""
    if apart:
        return [max(apart, key=lambda one: one.peak + one.doubt)]
    at = int(np.argmax(series.raw + series.doubt))
    return [_excursion(series, series.raw + series.doubt, joins, at, at, sure=False)]


def _joined(v: Floats, limit: float, joins: NDArray[np.bool_], hysteresis: float) -> list[tuple[int, int]]:
    """First and last sample of each run over the limit; runs with no gap and no value under the hysteresis between are one."""
    over = v > limit
    edges = np.flatnonzero(np.diff(np.concatenate(([False], over, [False]))))
    starts, ends = edges[::2], edges[1::2] - 1
    breaks = np.flatnonzero(~joins)
    found: list[tuple[int, int]] = []
    for start, end in zip(starts.tolist(), ends.tolist(), strict=True):
        parts = _parted(start, end, breaks)
        if found and _is_one(v, found[-1][1], start, limit - hysteresis, joins):
            found[-1] = (found[-1][0], parts[0][1])
            parts = parts[1:]
        found += parts
    return found


def _parted(start: int, end: int, breaks: NDArray[np.intp]) -> list[tuple[int, int]]:
    """A run of samples cut at the gaps in it."""
    inside = breaks[(breaks >= start) & (breaks < end)].tolist()
    return list(zip([start, *(at + 1 for at in inside)], [*inside, end], strict=True))


def _is_one(v: Floats, last: int, first: int, low: float, joins: NDArray[np.bool_]) -> bool:
    return bool(joins[last:first].all()) and float(v[last : first + 1].min()) > low


def _excursion(
    series: _Series, v: Floats, joins: NDArray[np.bool_], first: int, last: int, *, sure: bool
) -> Excursion:
    """A run with its crossings of the limit, taken straight between the samples around each edge.

    What is too short to be sure of may be off by all that it is past the limit.
    """
    times, x = series.t_us, series.x
    start, until = int(times[first]), int(times[last])
    if first > 0 and joins[first - 1] and v[first - 1] <= series.limit:
        start = _crossing(v, times, first - 1, series.limit)
    if last + 1 < len(v) and joins[last] and v[last + 1] <= series.limit:
        until = _crossing(v, times, last, series.limit)
    run = slice(first, last + 1)
    speaks = x[run] - series.doubt[run] if sure else x[run] + series.doubt[run]
    at = first + int(np.argmax(speaks))
    peak, doubt = series.value_at(at), float(series.doubt[at])
    return Excursion(
        start,
        until,
        peak,
        doubt if sure else max(doubt, peak - series.limit),
        int(times[at]),
        int(series.kept[first]),
        int(series.kept[last]),
        int(series.kept[at]),
        sure,
    )


def _crossing(v: Floats, t_us: Moments, at: int, limit: float) -> int:
    """When the straight line from a sample to the next meets the limit."""
    part = (limit - float(v[at])) / (float(v[at + 1]) - float(v[at]))
    return int(t_us[at]) + round(part * int(t_us[at + 1] - t_us[at]))


def _lasts_us(one: Excursion) -> int:
    return one.until_us - one.start_us


def _overlap(one: Excursion, other: Excursion) -> bool:
    return one.first <= other.last and other.first <= one.last


def _worst(series: _Series, found: list[Excursion]) -> tuple[int, float, float]:
    """What speaks most against the flight: the sample's number, the value and what it may be off."""
    beyond = [one for one in found if one.sure] or found
    if beyond:
        worst = max(beyond, key=lambda one: one.peak - one.doubt if one.sure else one.peak + one.doubt)
        return worst.at, worst.peak, worst.doubt
    at = int(np.argmax(series.x + series.doubt))
    return int(series.kept[at]), float(series.x[at]), float(series.doubt[at])
