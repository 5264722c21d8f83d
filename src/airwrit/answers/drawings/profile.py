"""The height of a flown flight over time, and each rule over time: lines, a band of doubt, hatch past a limit."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import NamedTuple

import numpy as np
from markupsafe import Markup

from airwrit.answers.after_flight.flown import FlownAnswer, FlownClause, StripPart
from airwrit.base.verdict import Verdict
from airwrit.geo.earth import M_PER_FT
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE
from airwrit.tracks.excursions import SECOND_US, Floats

WIDE, HIGH, LEFT, RIGHT, TOP, LOW = 1200, 260, 52, 12, 26, 34
GROUND_HIGH = 90
_LINE_HIGH = 16
"""Figures nearer than that to one another would be written over one another."""
_COLUMNS = 600
"""Columns of the drawing; of each the lowest and the highest sample are drawn, so that no peak is lost."""
_STEPS_FT = (20, 50, 100, 200, 500, 1_000, 2_000, 5_000)
_STEPS_S = (10, 30, 60, 120, 300, 600, 900, 1_800, 3_600, 7_200, 21_600)
_MOST_TICKS = 7
_LEAST_SHARE = {Verdict.NOT_MET: 0.5, Verdict.UNKNOWN: 2.0}
"""Percent of a strip that a part takes at least, so that some seconds show."""


class _Scale(NamedTuple):
    """Time and feet to points of the drawing."""

    begin_us: int
    end_us: int
    low_ft: float
    high_ft: float
    top: int
    bottom: int

    def x(self, t_us: float) -> float:
        """Points from the left, of a moment."""
        return LEFT + (t_us - self.begin_us) / max(1, self.end_us - self.begin_us) * (WIDE - LEFT - RIGHT)

    def y(self, feet: float) -> float:
        """Points from the top, of a height."""
        share = (feet - self.low_ft) / max(1.0, self.high_ft - self.low_ft)
        return self.bottom - share * (self.bottom - self.top)


class HeightDrawing(NamedTuple):
    """The drawing of heights, whether they are above the ground under the aircraft, and whether the ground is drawn below."""

    drawn: Markup
    above_ground: bool
    has_ground: bool


def height_drawing(answer: FlownAnswer) -> HeightDrawing | None:
    """Height above ground over time, or above the takeoff where the ground is not known; None where there is neither."""
    heights, path = answer.heights, answer.path
    above_ground = bool(np.isfinite(heights.agl_m).any())
    values, doubt = (
        (heights.agl_m, heights.agl_doubt_m) if above_ground else (heights.takeoff_m, heights.takeoff_doubt_m)
    )
    if not np.isfinite(values).any() or len(path) < 2:
        return None
    feet, off = values / M_PER_FT, np.nan_to_num(doubt) / M_PER_FT
    clause = next((one for one in answer.clauses if one.name == HEIGHT_LIMIT_RULE.name), None)
    limit = _limit_ft(clause) if above_ground else None
    has_ground = bool(np.isfinite(heights.ground_m).any())
    low = min(0.0, float(np.nanmin(feet - off)))
    high = max(float(np.nanmax(feet + off)), limit or 0.0) * 1.12
    scale = _Scale(int(path.t_us[0]), int(path.t_us[-1]), low, high, TOP, HIGH - LOW)
    tall = HIGH + (GROUND_HIGH if has_ground else 0)
    parts = [
        Markup('<svg class="profile" viewBox="0 0 {} {}" role="img" aria-label="Height over time">').format(
            WIDE, tall
        ),
        *_levels(scale, limit),
        _band(answer, scale, feet, off),
        *(() if limit is None else _limit(scale, limit)),
        *(_over(answer, clause, scale, feet, limit) if clause is not None and limit is not None else ()),
        _curve(answer, scale, feet),
        *(_numbers(clause, scale) if clause is not None and above_ground else ()),
        *_times(answer, scale),
        *(_ground(answer, scale) if has_ground else ()),
        Markup("</svg>"),
    ]
    return HeightDrawing(Markup("").join(parts), above_ground, has_ground)


def _limit_ft(clause: FlownClause | None) -> float | None:
    return None if clause is None or clause.limit is None or clause.unit != "ft" else float(clause.limit.best)


def _levels(scale: _Scale, limit: float | None) -> Iterator[Markup]:
    """Lines at round heights, with their figures; the one of the limit is drawn by itself."""
    step = next((one for one in _STEPS_FT if (scale.high_ft - scale.low_ft) / one <= 6), _STEPS_FT[-1])
    at = -(-scale.low_ft // step) * step + 0.0
    while at <= scale.high_ft:
        if limit is None or abs(at - limit) > step / 8:
            yield Markup(
                '<path class="level" d="M{} {:.1f}H{}"/><text class="figure" x="{}" y="{:.1f}">{:,.0f}</text>'
            ).format(LEFT, scale.y(at), WIDE - RIGHT, LEFT - 8, scale.y(at) + 4, at)
        at += step
    yield Markup('<text x="{}" y="14">feet</text>').format(8)


def _columns(answer: FlownAnswer) -> tuple[list[int], list[int]]:
    """First and last sample number of each column of the drawing that has samples."""
    times = answer.path.t_us
    edges = np.linspace(float(times[0]), float(times[-1]) + 1, min(_COLUMNS, len(times)) + 1)
    starts = np.searchsorted(times, edges[:-1])
    ends = np.searchsorted(times, edges[1:])
    full = ends > starts
    return starts[full].tolist(), ends[full].tolist()


def _band(answer: FlownAnswer, scale: _Scale, feet: Floats, off: Floats) -> Markup:
    """How far the true height may be from the line."""
    upper, lower = [], []
    for first, end in zip(*_columns(answer), strict=True):
        mine, doubt = feet[first:end], off[first:end]
        if np.isfinite(mine).any():
            x = scale.x(float(answer.path.t_us[first]))
            upper.append(f"{x:.1f} {scale.y(float(np.nanmax(mine + doubt))):.1f}")
            lower.append(f"{x:.1f} {scale.y(float(np.nanmin(mine - doubt))):.1f}")
    return Markup('<path class="doubt-band" d="M{}Z"/>').format("L".join([*upper, *reversed(lower)]))


def _curve(answer: FlownAnswer, scale: _Scale, feet: Floats) -> Markup:
    """The heights; broken where the log has a gap of more than two seconds."""
    drawn, last_us = [], None
    for first, end in zip(*_columns(answer), strict=True):
        mine, times = feet[first:end], answer.path.t_us[first:end]
        known = np.flatnonzero(np.isfinite(mine))
        if not len(known):
            last_us = None
            continue
        gap = last_us is None or int(times[known[0]]) - last_us > 2 * SECOND_US
        chosen = sorted({int(known[0]), int(np.nanargmax(mine)), int(np.nanargmin(mine)), int(known[-1])})
        for at in chosen:
            sign = "M" if gap and at == chosen[0] else "L"
            drawn.append(f"{sign}{scale.x(float(times[at])):.1f} {scale.y(float(mine[at])):.1f}")
        last_us = int(times[known[-1]])
    return Markup('<path class="curve" d="{}"/>').format("".join(drawn))


def _limit(scale: _Scale, limit: float) -> Iterator[Markup]:
    y = scale.y(limit)
    yield Markup(
        '<path class="limit" d="M{} {:.1f}H{}"/><text class="figure strong" x="{}" y="{:.1f}">{:,.0f}</text>'
        '<text class="at-end" x="{}" y="{:.1f}">limit, {:,.0f} ft above ground</text>'
    ).format(LEFT, y, WIDE - RIGHT, LEFT - 8, y + 4, limit, WIDE - RIGHT, y - 7, limit)


def _over(
    answer: FlownAnswer, clause: FlownClause, scale: _Scale, feet: Floats, limit: float
) -> Iterator[Markup]:
    """The hatch between the limit and the line, where it was surely past."""
    for one in clause.past:
        first, last = one.first, max(one.last, one.first + 1)
        heights = np.maximum(np.nan_to_num(feet[first : last + 1], nan=limit), limit)
        x = [scale.x(float(t_us)) for t_us in answer.path.t_us[first : last + 1]]
        drawn = "L".join(f"{a:.1f} {scale.y(float(b)):.1f}" for a, b in zip(x, heights, strict=True))
        low = scale.y(limit)
        yield Markup('<path class="over" fill="url(#hatch)" d="M{:.1f} {:.1f}L{}L{:.1f} {:.1f}Z"/>').format(
            x[0], low, drawn, x[-1], low
        )


def _numbers(clause: FlownClause, scale: _Scale) -> Iterator[Markup]:
    """Number and figure of each interval over its peak."""
    for one in clause.intervals:
        if one.peak is not None:
            x = min(max(scale.x(float(one.peak_us)), LEFT + 50), WIDE - RIGHT - 90)
            kind = "past-number" if one.sure else "doubt-number"
            yield Markup('<text class="{} middle" x="{:.1f}" y="{:.1f}">{} ({:,.0f} ft)</text>').format(
                kind, x, max(scale.y(float(one.peak.best)) - 10, 14), one.number, one.peak.best
            )


def _times(answer: FlownAnswer, scale: _Scale) -> Iterator[Markup]:
    for share, words in time_ticks(answer):
        x = LEFT + share / 100 * (WIDE - LEFT - RIGHT)
        yield Markup(
            '<path class="tick" d="M{0:.1f} {1}v6"/><text class="middle" x="{0:.1f}" y="{2}">{3}</text>'
        ).format(x, scale.bottom, scale.bottom + 20, words)


def _ground(answer: FlownAnswer, scale: _Scale) -> Iterator[Markup]:
    """The ground under the aircraft above sea level, over the same time."""
    ground = answer.heights.ground_m / M_PER_FT
    low, high = float(np.nanmin(ground)), float(np.nanmax(ground))
    room = max(10.0, (high - low) * 0.15)
    under = scale._replace(
        low_ft=low - room, high_ft=high + room, top=HIGH + 8, bottom=HIGH + GROUND_HIGH - 8
    )
    yield _curve(answer, under, ground).replace('class="curve"', Markup('class="ground"'))
    is_flat = abs(under.y(low) - under.y(high)) < _LINE_HIGH
    for figure in dict.fromkeys((round(high),) if is_flat else (round(low), round(high))):
        yield Markup('<text class="figure" x="{}" y="{:.1f}">{:,.0f}</text>').format(
            LEFT - 8, under.y(figure) + 4, figure
        )
    yield Markup('<text class="at-end" x="{}" y="{}">ground, feet above sea level</text>').format(
        WIDE - RIGHT, HIGH + 6
    )


def time_ticks(answer: FlownAnswer) -> list[tuple[float, str]]:
    """Round moments over the log: percent of its time, and the clock of the place; minutes of the log where it tells no day."""
    begin, end = int(answer.path.t_us[0]), int(answer.path.t_us[-1])
    lasts_s = max(1.0, (end - begin) / SECOND_US)
    step = next((one for one in _STEPS_S if lasts_s / one <= _MOST_TICKS), _STEPS_S[-1])
    at = answer.at(begin)
    clock = _elapsed(begin) if at is None else _clock(answer)
    offset = 0.0
    if at is not None:
        local = at.astimezone(answer.plan.zone.info)
        seconds = local.hour * 3600 + local.minute * 60 + local.second + local.microsecond / 1e6
        offset = -seconds % step
    found = []
    while offset <= lasts_s:
        found.append((100 * offset / lasts_s, clock(begin + round(offset * SECOND_US), step)))
        offset += step
    return found


def _clock(answer: FlownAnswer) -> Callable[[int, int], str]:
    def words(t_us: int, step: int) -> str:
        at = answer.at(t_us)
        assert at is not None  # noqa: S101  asked only where the log tells the day
        local = at.astimezone(answer.plan.zone.info)
        return (
            f"{local.hour % 12 or 12}:{local:%M:%S}" if step < 60 else f"{local.hour % 12 or 12}:{local:%M}"
        )

    return words


def _elapsed(begin: int) -> Callable[[int, int], str]:
    def words(t_us: int, _: int) -> str:
        minutes, seconds = divmod(round((t_us - begin) / SECOND_US), 60)
        return f"{minutes}:{seconds:02d}"

    return words


def strip_drawing(parts: Sequence[StripPart], answer: FlownAnswer, size: str = "") -> Markup:
    """One rule over the time of the log: thick where it held, hatch between posts where it was past, dots where it isn't known.

    `size` are attributes of the drawing's own size, for a paper.
    """
    begin, end = int(answer.path.t_us[0]), int(answer.path.t_us[-1])
    span = max(1, end - begin)
    drawn = [Markup('<svg class="strip" aria-hidden="true" {}>').format(Markup(size))]
    for part in parts:
        left, right = 100 * (part.start_us - begin) / span, 100 * (part.until_us - begin) / span
        if part.verdict is Verdict.NOT_APPLICABLE:
            continue
        least = _LEAST_SHARE.get(part.verdict, 0.0)
        if right - left < least:
            left = max(0.0, min((left + right - least) / 2, 100 - least))
            right = left + least
        drawn.append(_strip_part(left, right, part.verdict))
    return Markup("").join([*drawn, Markup("</svg>")])


def _strip_part(left: float, right: float, verdict: Verdict) -> Markup:
    if verdict is Verdict.NOT_MET:
        return Markup(
            '<rect class="blank" x="{0:.2f}%" width="{2:.2f}%" y="1" height="16"/>'
            '<rect class="over" x="{0:.2f}%" width="{2:.2f}%" y="3" height="12" fill="url(#hatch)"/>'
            '<line class="post" x1="{0:.2f}%" x2="{0:.2f}%" y1="1" y2="17"/>'
            '<line class="post" x1="{1:.2f}%" x2="{1:.2f}%" y1="1" y2="17"/>'
        ).format(left, right, right - left)
    kind = "open" if verdict is Verdict.UNKNOWN else "held"
    blank = Markup('<rect class="blank" x="{:.2f}%" width="{:.2f}%" y="5" height="8"/>').format(
        left, right - left
    )
    line = Markup('<line class="{}" x1="{:.2f}%" x2="{:.2f}%" y1="9" y2="9"/>').format(kind, left, right)
    return blank + line if verdict is Verdict.UNKNOWN else line
