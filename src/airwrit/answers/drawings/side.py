"""The side of a planned flight, drawn in ink: the ground, the limit that follows it, the planned height, clouds, airspace.

Names out of files are escaped; all else is numbers and fixed words. The same stands in words beside it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import groupby, pairwise

from markupsafe import Markup

from airwrit.answers.drawings.side_view import SidePoint, SideView

WIDE, HIGH = 760, 250
_LEFT, _RIGHT, _TOP, _BOTTOM = 64, 14, 16, 34
_STEPS_FT = (50, 100, 200, 500, 1_000, 2_000, 5_000, 10_000)
_LONGEST, _LABELLED = 28, 14
_WIDEST = 80.0
"""How wide the last distance under the drawing may be."""
_ROW = 15
"""How far the names of airspace stand under one another, above all that is drawn."""
_CLOSE = 24.0
"""So little under the limit, the planned height is named under its line."""
Point = tuple[float, float]


class _SidePaper:
    """The frame: feet along and feet up to points on paper. Without ground all heights stand on a level line."""

    def __init__(self, view: SideView) -> None:
        """Fit what is drawn into the frame."""
        self.has_ground = view.has_ground
        self.names = list(dict.fromkeys(name for one in view.points for name in one.airspace))
        self.top = _TOP + _ROW * len(self.names)
        self.last = view.points[-1].along_ft or 1.0
        grounds = [self.ground(one) for one in view.points]
        top = max(view.height_ft, float(view.limit_ft or 0))
        if view.clouds_ft is not None:
            top = max(top, min(view.clouds_ft + 50, top * 3))
        self.low, self.high = min(grounds) - top * 0.08, max(grounds) + top * 1.15

    def ground(self, one: SidePoint) -> float:
        """The ground under a point, or the level line."""
        return one.ground_ft if self.has_ground and one.ground_ft is not None else 0.0

    def x(self, along_ft: float) -> float:
        """From the left edge."""
        return round(_LEFT + along_ft / self.last * (WIDE - _LEFT - _RIGHT), 1)

    def y(self, feet: float) -> float:
        """From the upper edge, never above the frame."""
        share = (feet - self.low) / (self.high - self.low)
        return round(max(self.top - 8.0, HIGH - _BOTTOM - share * (HIGH - self.top - _BOTTOM)), 1)

    def over(self, points: Iterable[SidePoint], feet: float) -> list[Point]:
        """A line at a height above the ground of some points."""
        return [(self.x(one.along_ft), self.y(self.ground(one) + feet)) for one in points]


def side_of(view: SideView) -> Markup:
    """The drawing."""
    paper = _SidePaper(view)
    points = view.points
    ground = paper.over(points, 0.0)
    parts = [
        Markup(
            '<svg class="map side" viewBox="0 0 {} {}" role="img" aria-label="The flight from the side">'
        ).format(WIDE, HIGH),
        *_axis(paper),
        _line(ground, "ground"),
        *(_stroke(point) for point in ground[::3]),
        *_clouds(view, paper),
        *_walls(points, paper),
        *_cells(points, paper),
    ]
    if view.limit_ft is not None:
        line = paper.over(points, view.limit_ft)
        parts += [
            _line(line, "limit"),
            Markup('<text class="limit-name" text-anchor="end" x="{}" y="{}">{}</text>').format(
                WIDE - _RIGHT, round(line[-1][1] - 5, 1), f"limit, {view.limit_ft} ft above ground"
            ),
        ]
    parts += [*_flown(view, paper), *_takeoff(view, paper), *_miles(paper)]
    return Markup("").join([*parts, Markup("</svg>")])


def _line(points: Sequence[Point], kind: str) -> Markup:
    drawn = "M" + "L".join(f"{x} {y}" for x, y in points)
    return Markup('<path class="{}" d="{}"/>').format(kind, drawn)


def _text(at: Point, said: str, kind: str = "", *, up: float = 5.0) -> Markup:
    return Markup('<text class="{}" x="{}" y="{}">{}</text>').format(
        kind, round(at[0] + 4, 1), round(at[1] - up, 1), said
    )


def _stroke(at: Point) -> Markup:
    return Markup('<path class="soil" d="M{} {}l-4 6"/>').format(round(at[0], 1), round(at[1] + 2, 1))


def _axis(paper: _SidePaper) -> Iterator[Markup]:
    """Heights at the left: above sea level where the ground is known, else above ground."""
    said = "ft above sea level" if paper.has_ground else "ft above ground"
    yield Markup('<text class="axis-name" x="4" y="11">{}</text>').format(said)
    span = paper.high - paper.low
    step = next((one for one in _STEPS_FT if span / one <= 5), _STEPS_FT[-1])
    feet = (int(paper.low) // step + 1) * step
    while feet < paper.high:
        y = paper.y(feet)
        if y > paper.top + 8:
            yield Markup('<path class="hair" d="M{} {}H{}"/>').format(_LEFT, y, WIDE - _RIGHT)
            yield Markup('<text class="end" x="{}" y="{}">{}</text>').format(_LEFT - 6, y + 4, f"{feet:,}")
        feet += step


def _flown(view: SideView, paper: _SidePaper) -> Iterator[Markup]:
    """The planned height between posts, over every stretch that the flight covers."""
    named = False
    for is_flown, group in groupby(view.points, key=lambda one: one.is_flown):
        line = paper.over(group, view.height_ft)
        if not is_flown:
            continue
        yield _line(line, "flight")
        for x, y in (line[0], line[-1]):
            yield Markup('<path class="flight" d="M{} {}v16"/>').format(x, y - 8)
        if not named:
            above = line[0][1] - paper.over(view.points[:1], float(view.limit_ft or 0))[0][1]
            up = -16 if view.limit_ft is not None and 0 <= above < _CLOSE else 9
            yield _text(line[0], f"planned, {view.height_ft:,.0f} ft above ground", "name", up=up)
        named = True


def _clouds(view: SideView, paper: _SidePaper) -> Iterator[Markup]:
    """Scallops at the lowest clouds reported, and the line that a flight has to stay under."""
    if view.clouds_ft is None:
        return
    middle = paper.ground(view.points[len(view.points) // 2])
    y = paper.y(middle + view.clouds_ft)
    arcs = "q6 9 12 0" * ((WIDE - _LEFT - _RIGHT) // 12)
    yield Markup('<path class="cloud" d="M{} {}{}"/>').format(_LEFT, y, arcs)
    yield _text((WIDE / 2, y), f"clouds from {view.clouds_ft:,.0f} ft, as reported", up=4)
    if view.clear_ft is not None and view.clouds_ft > view.clear_ft:
        below = paper.y(middle + view.clouds_ft - view.clear_ft)
        yield Markup('<path class="under" d="M{} {}H{}"/>').format(_LEFT, below, WIDE - _RIGHT)
        yield _text((WIDE / 2, below), f"{view.clear_ft} ft below the clouds", up=4)


def _walls(points: Sequence[SidePoint], paper: _SidePaper) -> Iterator[Markup]:
    """An upright line where an airspace begins or ends, with teeth that point inside."""
    for row, name in enumerate(paper.names):
        edges = [(a, b) for a, b in pairwise(points) if (name in a.airspace) != (name in b.airspace)]
        for before, after in edges:
            x = paper.x((before.along_ft + after.along_ft) / 2)
            turn = 5 if name in after.airspace else -5
            teeth = "".join(f"M{x} {y}h{turn}" for y in range(_TOP, HIGH - _BOTTOM, 12))
            yield Markup('<path class="wall" d="M{0} {1}V{2}{3}"/>').format(x, _TOP, HIGH - _BOTTOM, teeth)
        first = next(one for one in points if name in one.airspace)
        shown = name if len(name) <= _LONGEST else f"{name[: _LONGEST - 1]}…"
        where = "" if edges else ", all of it"
        yield _text((paper.x(first.along_ft), _TOP + 12 + _ROW * row), shown + where, "name", up=0)


def _cells(points: Sequence[SidePoint], paper: _SidePaper) -> Iterator[Markup]:
    """The number of the map cell over each stretch, dotted."""
    for number, group in groupby(points, key=lambda one: one.cell_ft):
        line = paper.over(group, number or 0)
        if number is not None and len(line) > 1:
            yield _line(line, "cell")
            if len(line) > _LABELLED:
                yield _text((line[-1][0] - 8, line[-1][1]), f"{number} ft at most", "cell-name", up=-15)


def _takeoff(view: SideView, paper: _SidePaper) -> Iterator[Markup]:
    if view.takeoff_ft is None or not 0 <= view.takeoff_ft <= paper.last:
        return
    nearest = min(view.points, key=lambda one: abs(one.along_ft - (view.takeoff_ft or 0)))
    x, y = paper.x(view.takeoff_ft), paper.y(paper.ground(nearest))
    yield Markup('<path class="post" d="M{0} {1}v-16M{2} {3}h10"/>').format(x, y, round(x - 5, 1), y - 16)
    yield _text((x + 6, y - 6), "takeoff", up=0)


def _miles(paper: _SidePaper) -> Iterator[Markup]:
    """The distance along, from west to east."""
    step = next((one for one in (*_STEPS_FT, 20_000, 50_000) if paper.last / one <= 5), 50_000)
    base = HIGH - _BOTTOM + 6
    yield Markup('<path class="neat" d="M{} {}H{}"/>').format(_LEFT, base, WIDE - _RIGHT)
    for number in range(int(paper.last // step) + 1):
        x = paper.x(number * step)
        said = f"{number * step:,} ft" + (" east" if number == int(paper.last // step) else "")
        yield Markup('<path class="neat" d="M{} {}v6"/>').format(x, base)
        kind, at = ("far" if number % 2 else "mid"), x
        if x > WIDE - _WIDEST / 2:
            kind, at = "end", WIDE - 2.0
        yield Markup('<text class="{}" x="{}" y="{}">{}</text>').format(kind, at, base + 20, said)
