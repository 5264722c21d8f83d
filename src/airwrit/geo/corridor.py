"""Whether a corridor of several legs holds a footprint, by looking at points close to one another.

No point between two looked at is farther from the legs than the nearer of them by more than half their distance. What that, and
half a percent for the plane, leave open stays open.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from itertools import pairwise

import numpy as np

from airwrit.base.places import Place
from airwrit.geo.earth import geodesic_m, m_per_degree, place_from, places_between
from airwrit.geo.fixed import DEGREE, point_of
from airwrit.geo.footprint import Footprint, box_of_footprint, holds_point, nearness_m

_PARTS = 150
_RIM = 32
_PLANE = 0.005


def corridor_holds(corridor: Footprint, inner: Footprint) -> bool | None:
    """Whether a corridor holds a footprint whole; None where looking doesn't decide it."""
    step_m = max(_size_m(inner) / _PARTS, 0.1)
    core = list(_core(inner, step_m))
    away = float(_away_m(corridor, core).max())
    most_m = corridor.radius_m * (1 - _PLANE)
    between_m = step_m * math.sqrt(0.5) if len(inner.points) > 1 else 0.0
    if away + between_m + inner.radius_m <= most_m:
        return True
    if inner.radius_m:
        rim = [
            place_from(one, 360 * at / _RIM, inner.radius_m) for one in _corners(inner) for at in range(_RIM)
        ]
        away = max(away, float(_away_m(corridor, rim).max()))
    return False if away > corridor.radius_m * (1 + _PLANE) else None


def _away_m(corridor: Footprint, places: list[Place]) -> np.ndarray:
    return nearness_m(corridor, np.array([point_of(place) for place in places], dtype=np.int64))


def _corners(footprint: Footprint) -> list[Place]:
    return [
        Place(int(latitude) / DEGREE, int(longitude) / DEGREE) for latitude, longitude in footprint.points
    ]


def _size_m(footprint: Footprint) -> float:
    """The length of a line, or how far it is across the box of an area."""
    if not footprint.is_filled:
        return sum(geodesic_m(*pair) for pair in pairwise(_corners(footprint)))
    box = box_of_footprint(footprint)
    along, across = m_per_degree((box.south + box.north) / 2 / DEGREE)
    return math.hypot((box.north - box.south) / DEGREE * along, (box.east - box.west) / DEGREE * across)


def _core(footprint: Footprint, step_m: float) -> Iterator[Place]:
    """Corners, places along the edges, and those of a lattice inside."""
    corners = _corners(footprint)
    yield from corners
    for pair in pairwise(corners):
        yield from places_between(*pair, step_m)
    if not footprint.is_filled:
        return
    box = box_of_footprint(footprint)
    along, across = m_per_degree((box.south + box.north) / 2 / DEGREE)
    for latitude in np.arange(box.south / DEGREE, box.north / DEGREE, step_m / along):
        for longitude in np.arange(box.west / DEGREE, box.east / DEGREE, step_m / across):
            place = Place(float(latitude), float(longitude))
            if holds_point(footprint, place):
                yield place
