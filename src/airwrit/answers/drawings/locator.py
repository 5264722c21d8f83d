"""Where in its State a planned flight is: the outlines of the State and its counties with a mark, for orientation only."""

from __future__ import annotations

import math
from collections.abc import Iterable

import numpy as np
from markupsafe import Markup

from airwrit.base.places import Place
from airwrit.geo.outlines import OutlineArea, OutlineRing, WhereInStates, counties_of

WIDE, HIGH = 380, 250
_EDGE = 10
_LEAST = 1.2
"""Corners nearer than so many points to the one before aren't drawn."""


class _LocatorPaper:
    """The frame of a State on paper, with the same scale both ways; what lies west of 180 degrees stands at its left."""

    def __init__(self, state: OutlineArea) -> None:
        """Fit the State into the frame."""
        points = np.concatenate([_west(ring) for ring in state.rings])
        (self.south, self.west), (north, east) = points.min(axis=0), points.max(axis=0)
        self.shrunk = math.cos(math.radians((self.south + north) / 2))
        wide, high = (east - self.west) * self.shrunk, north - self.south
        self.scale = min((WIDE - 2 * _EDGE) / wide, (HIGH - 2 * _EDGE) / high)
        self.left = (WIDE - wide * self.scale) / 2
        self.top = (HIGH - high * self.scale) / 2
        self.north = north

    def points(self, ring: OutlineRing) -> OutlineRing:
        """Where the corners of a ring lie on the paper (n, 2): to the right, down."""
        moved = _west(ring)
        right = self.left + (moved[:, 1] - self.west) * self.shrunk * self.scale
        return np.column_stack([right, self.top + (self.north - moved[:, 0]) * self.scale])


def _west(ring: OutlineRing) -> OutlineRing:
    """A ring with every longitude counted from Greenwich westward, as all of the country but its last islands lies."""
    return np.column_stack([ring[:, 0], np.where(ring[:, 1] > 0, ring[:, 1] - 360, ring[:, 1])])


def locator_of(place: Place, where: WhereInStates) -> Markup:
    """The drawing."""
    paper = _LocatorPaper(where.state)
    head = Markup('<svg class="map locator" viewBox="0 {} {} {}" role="img" aria-label="Where in {}">')
    free = max(0, round(paper.top) - _EDGE)
    x, y = paper.points(np.array([place]))[0]
    return Markup("").join(
        [
            head.format(free, WIDE, HIGH - 2 * free, where.state.name),
            _drawn([ring for one in counties_of(where.state) for ring in one.rings], paper, "hair"),
            _drawn(where.county.rings, paper, "county"),
            _drawn(where.state.rings, paper, "state"),
            Markup('<path class="mark" d="M{0} {2}v10M{1} {3}h10"/>').format(
                round(x, 1), round(x - 5, 1), round(y - 5, 1), round(y, 1)
            ),
            Markup("</svg>"),
        ]
    )


def _drawn(rings: Iterable[OutlineRing], paper: _LocatorPaper, kind: str) -> Markup:
    """Rings as one path, without corners too near to one another to be seen."""
    parts = []
    for ring in rings:
        kept: list[tuple[float, float]] = []
        for x, y in paper.points(ring).tolist():
            if not kept or math.hypot(x - kept[-1][0], y - kept[-1][1]) >= _LEAST:
                kept.append((round(x, 1), round(y, 1)))
        if len(kept) > 2:
            parts.append("M" + "L".join(f"{x} {y}" for x, y in kept) + "Z")
    return Markup('<path class="{}" d="{}"/>').format(kind, " ".join(parts))
