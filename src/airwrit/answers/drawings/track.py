"""The track of a flown flight on a map: one line in ink, hatched where it was past a limit, dotted where the log can't tell."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from pathlib import Path

import numpy as np
from markupsafe import Markup
from numpy.typing import NDArray

from airwrit.answers.after_flight.flown import FlownAnswer, FlownInterval
from airwrit.answers.drawings.flight_map import EDGE, HIGH, WIDE, MapPaper, map_of
from airwrit.answers.drawings.site_map import SiteMap, map_around, rings_of
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.geo.earth import m_per_degree
from airwrit.geo.fixed import DEGREE, FixedBox
from airwrit.geo.footprint import box_of_footprint

_ROOM, _LEAST_ROOM_M = 0.15, 40.0
_APART = 0.8
"""Points on the paper nearer than that to the last one drawn are left out."""
_BEYOND = 20
_LABEL_DX, _LABEL_DY = 9, -9


def flown_map(answer: FlownAnswer, folder: Path | None) -> Markup:
    """The map of a flown flight, with the planned area and the airspace on file for its day."""
    return map_of(_site(answer, folder), lambda paper: _over(answer, paper), "Map of the track")


def _site(answer: FlownAnswer, folder: Path | None) -> SiteMap:
    """The frame around the track and the planned area, with some room."""
    path = answer.path
    south, north = float(path.latitude_deg.min()), float(path.latitude_deg.max())
    west, east = float(path.longitude_deg.min()), float(path.longitude_deg.max())
    along, across = m_per_degree((south + north) / 2)
    room_m = max(_LEAST_ROOM_M, _ROOM * max((north - south) * along, (east - west) * across))
    room, side = room_m / along, room_m / across
    box = FixedBox(*(int(one * DEGREE) for one in (south - room, north + room, west - side, east + side)))
    planned = None if answer.planned is None else answer.planned.plan.footprint
    areas = tuple(one for one in (planned, answer.asked.near) if one is not None)
    for area in areas:
        wide = box_of_footprint(area, room_m / 2)
        box = FixedBox(
            min(box.south, wide.south),
            max(box.north, wide.north),
            min(box.west, wide.west),
            max(box.east, wide.east),
        )
    rings = rings_of(areas)
    day = answer.plan.starts.astimezone(answer.plan.zone.info).date()
    return map_around(box, day, folder, rings)


def _over(answer: FlownAnswer, paper: MapPaper) -> Iterator[Markup]:
    xy = _on_paper(answer, paper)
    for one in answer.intervals:
        if one.sure:
            yield _line(_piece(xy, one), "past", 'stroke="url(#hatch)"')
    yield _line(_thinned(xy), "track")
    for one in answer.intervals:
        if one.verdict is Verdict.UNKNOWN:
            yield _line(_piece(xy, one), "in-doubt")
    yield _cross(xy[0])
    taken: list[tuple[float, float]] = []
    for one in answer.intervals:
        yield _number(one, paper, taken)


def _on_paper(answer: FlownAnswer, paper: MapPaper) -> NDArray[np.float64]:
    """The samples as points of the paper (n, 2), straight from degrees."""
    path = answer.path
    east = (path.longitude_deg - paper.middle.longitude_deg) * paper.across
    north = (path.latitude_deg - paper.middle.latitude_deg) * paper.along
    return np.column_stack([WIDE / 2 + east * paper.scale, HIGH / 2 - north * paper.scale])


def _piece(xy: NDArray[np.float64], one: FlownInterval) -> NDArray[np.float64]:
    return _thinned(xy[one.first : max(one.last, one.first + 1) + 1])


def _thinned(xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """The points without those that lie on the last one drawn, as far as the eye can tell."""
    kept, last = [0], xy[0]
    for at in range(1, len(xy)):
        if math.hypot(xy[at][0] - last[0], xy[at][1] - last[1]) >= _APART:
            kept.append(at)
            last = xy[at]
    if kept[-1] != len(xy) - 1:
        kept.append(len(xy) - 1)
    return xy[kept]


def _line(xy: NDArray[np.float64], kind: str, looks: str = "") -> Markup:
    drawn = "M" + "L".join(f"{x:.1f} {y:.1f}" for x, y in xy)
    return Markup('<path class="{}" {} d="{}"/>').format(kind, Markup(looks), drawn)


def _cross(start: Iterable[float]) -> Markup:
    """The takeoff."""
    x, y = start
    return Markup(
        '<path class="takeoff" d="M{x:.1f} {y0:.1f}v14M{x0:.1f} {y:.1f}h14"/>'
        '<text x="{tx:.1f}" y="{ty:.1f}">start</text>'
    ).format(x=x, y=y, x0=x - 7, y0=y - 7, tx=min(x + 8, WIDE - EDGE - 40), ty=min(y + 18, HIGH - EDGE - 6))


def _number(one: FlownInterval, paper: MapPaper, taken: list[tuple[float, float]]) -> Markup:
    """The number of an interval beside its worst place, moved down where another one stands already."""
    x, y = paper.point(Place(one.place.latitude_deg, one.place.longitude_deg))
    x, y = min(x + _LABEL_DX, WIDE - EDGE - 16), max(y + _LABEL_DY, EDGE + 16)
    while any(abs(x - other_x) < _BEYOND and abs(y - other_y) < _BEYOND - 4 for other_x, other_y in taken):
        y += _BEYOND - 4
    taken.append((x, y))
    kind = "past-number" if one.sure else "doubt-number"
    return Markup('<text class="{}" x="{:.1f}" y="{:.1f}">{}</text>').format(kind, x, y, one.number)
