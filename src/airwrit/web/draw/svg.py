"""Drawings made here: verdict marks and life lines. Lengths along time are percents, so one drawing serves every width.

Only numbers and fixed words go into a drawing, never a text of the user's. What a drawing shows also stands in words
beside it, so drawings are hidden from readers that speak.
"""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from markupsafe import Markup

from airwrit.base.days import add_months
from airwrit.base.verdict import Verdict
from airwrit.web.server.workspace import DayAsked


class Axis(NamedTuple):
    """A span of days along which lines are drawn: its first day, the day after its last, and the day shown."""

    start: date
    until: date
    now: date

    def at(self, day: date) -> float:
        """Where a day begins, in percent of the axis; days outside lie on its ends."""
        share = 100 * (day - self.start).days / (self.until - self.start).days
        return round(min(100.0, max(0.0, share)), 2)

    def holds(self, day: date) -> bool:
        """Whether a day lies on the axis."""
        return self.start <= day < self.until

    def months(self) -> tuple[tuple[date, float, float], ...]:
        """The first day of each month that begins on the axis, with where it begins and how wide it is."""
        first = self.start.replace(day=1)
        if first < self.start:
            first = add_months(first, 1)
        found = []
        while first < self.until:
            after = add_months(first, 1)
            found.append((first, self.at(first), round(self.at(after) - self.at(first), 2)))
            first = after
        return tuple(found)


class LineSegment(NamedTuple):
    """A part of a life line: its kind, its first day, and the day after its last.

    Kinds: `held`, `holds` (will hold until the post), `broken`, `open` (stays broken until put right), `unknown`, `renew`
    (the comb under the line).
    """

    kind: str
    start: date
    until: date


class Life(NamedTuple):
    """A life line: its stretches, the last days at which posts stand, and whether it goes on past the sheet."""

    stretches: tuple[LineSegment, ...] = ()
    posts: tuple[date, ...] = ()
    goes_on: bool = False


_LETTERS = "JFMAMJJASOND"
_KINDS = ("held", "holds", "broken", "open", "unknown", "renew")
_HATCHED = {"broken": 9, "open": 5}


def mark(verdict: Verdict) -> Markup:
    """The mark of a verdict: a piece of line between two posts. Its word stands beside it."""
    return Markup(
        '<svg class="mark" width="30" height="14" aria-hidden="true"><use href="#{}"/></svg>'
    ).format(f"m-{Verdict(verdict).value}")


def strip(life: Life, axis: Axis) -> Markup:
    """A life line as a drawing over the whole width of its cell."""
    parts = [Markup('<svg class="strip" aria-hidden="true"><use href="#months"/>')]
    parts += [_stretch(stretch, axis) for stretch in life.stretches if _is_seen(stretch, axis)]
    parts += [_post(day, axis) for day in life.posts if axis.holds(day)]
    if life.goes_on:
        parts.append(Markup('<svg x="100%" y="50%"><path class="head" d="M-7-4L-1 0l-6 4"/></svg>'))
    parts.append(
        Markup('<line class="now" x1="{0}%" x2="{0}%" y1="0" y2="100%"/></svg>').format(axis.at(axis.now))
    )
    return Markup("").join(parts)


def _is_seen(stretch: LineSegment, axis: Axis) -> bool:
    return stretch.start < axis.until and stretch.until > axis.start and stretch.kind in _KINDS


def _stretch(stretch: LineSegment, axis: Axis) -> Markup:
    left, right = axis.at(stretch.start), axis.at(stretch.until)
    if stretch.kind not in _HATCHED:
        return Markup('<line class="{}" x1="{}%" x2="{}%" y1="50%" y2="50%"/>').format(
            stretch.kind, left, right
        )
    drawn = Markup('<rect class="{}" x="{}%" y="50%" width="{}%" height="{}" fill="url(#hatch)"/>').format(
        stretch.kind, left, round(max(right - left, 0.6), 2), _HATCHED[stretch.kind]
    )
    if stretch.kind == "broken" and axis.holds(stretch.start):
        drawn += Markup('<svg x="{}%" y="50%"><path class="post broken" d="M0-7v14"/></svg>').format(left)
    return drawn


def _post(day: date, axis: Axis) -> Markup:
    """A post at the end of a last good day."""
    return Markup('<svg x="{}%" y="50%"><path class="post" d="M0-6v12"/></svg>').format(
        axis.at(day + timedelta(days=1))
    )


def months(axis: Axis) -> Markup:
    """The symbol of the months, every second one shaded, used behind each line of a page."""
    shaded = [
        Markup('<rect x="{}%" width="{}%" height="100%"/>').format(left, width)
        for number, (_, left, width) in enumerate(axis.months())
        if number % 2
    ]
    return Markup('<symbol id="months" class="band">{}</symbol>').format(Markup("").join(shaded))


def axis(of: Axis, asked: DayAsked) -> Markup:
    """The scale over the lines: the months, each a link that turns the sheet to its first day, and the day shown."""
    parts = [Markup('<span class="axis"><svg>')]
    year = 0
    for first, left, _ in of.months():
        told = Markup("<tspan>{}</tspan>").format(_LETTERS[first.month - 1])
        parts.append(
            Markup(
                '<a href="{}" tabindex="-1" aria-label="{}"><text x="{}%" y="95%" dx="3">{}</text></a>'
            ).format(asked.link("/today", first), f"Turn to {first}", left, told)
        )
        if first.year != year:
            year = first.year
            parts.append(Markup('<text x="{}%" y="40%" dx="3">{}</text>').format(left, year))
    parts.append(
        Markup('<line class="now" x1="{0}%" x2="{0}%" y1="55%" y2="100%"/></svg></span>').format(
            of.at(of.now)
        )
    )
    return Markup("").join(parts)
