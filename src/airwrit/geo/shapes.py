"""Rings of points and polygons with holes as they are written, and what is wrong with them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from enum import StrEnum
from itertools import pairwise
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from airwrit.geo.fixed import DEGREE, TURN, FixedBox, FixedPoint

Ring = tuple[FixedPoint, ...]
"""Points in order; the last is the first again."""

Polygon = tuple[Ring, ...]
"""The outer ring, then its holes."""

Whole: TypeAlias = NDArray[np.int64]
"""Fixed points in a table (n, 2), latitude first."""


class RingFault(StrEnum):
    """What makes a ring useless for telling inside from outside."""

    UNCLOSED = "unclosed"
    TOO_FEW = "too_few_points"
    NO_AREA = "no_area"
    CROSSES_ITSELF = "crosses_itself"
    AROUND_A_POLE = "around_a_pole"
    HOLE_OUTSIDE = "hole_outside"


def unwrapped(points: Sequence[FixedPoint]) -> Ring:
    """The points with longitudes that go on past 180 degrees, each step taken the short way round."""
    made: list[FixedPoint] = []
    turn = 0
    for at, point in enumerate(points):
        if at:
            step = point.longitude - points[at - 1].longitude
            turn += TURN if step < -TURN // 2 else -TURN if step > TURN // 2 else 0
        made.append(FixedPoint(point.latitude, point.longitude + turn))
    return tuple(made)


def box_of(points: Iterable[FixedPoint]) -> FixedBox:
    """The least box that holds the points."""
    latitudes, longitudes = zip(*points, strict=True)
    return FixedBox(min(latitudes), max(latitudes), min(longitudes), max(longitudes))


def box_ring(box: FixedBox) -> Ring:
    """A box as a ring, counterclockwise."""
    south, north, west, east = box
    corners = ((south, west), (south, east), (north, east), (north, west), (south, west))
    return tuple(FixedPoint(*corner) for corner in corners)


def ring_faults(ring: Ring) -> list[RingFault]:
    """What is wrong with a ring whose longitudes go on past 180 degrees; empty where nothing is."""
    if len(ring) < 4:
        return [RingFault.TOO_FEW]
    if ring[0] != ring[-1]:
        same = ring[0].latitude == ring[-1].latitude and (ring[0].longitude - ring[-1].longitude) % TURN == 0
        return [RingFault.AROUND_A_POLE if same else RingFault.UNCLOSED]
    if doubled_area(ring) == 0:
        return [RingFault.NO_AREA]
    return [RingFault.CROSSES_ITSELF] if _crosses_itself(ring) else []


def polygon_faults(polygon: Polygon) -> list[RingFault]:
    """What is wrong with the rings of a polygon, each fault once; a hole that is not in its outer ring is one too."""
    found = {fault for ring in polygon for fault in ring_faults(ring)}
    outer, *holes = polygon
    if not found and not all(_is_hole_of(outer, hole) for hole in holes):
        found = {RingFault.HOLE_OUTSIDE}
    return sorted(found)


def whole_box(polygon: Polygon) -> Polygon:
    """The box around a damaged polygon, up to the pole where a ring goes around one."""
    points = [point for ring in polygon for point in ring]
    south, north, west, east = box_of(points)
    if RingFault.AROUND_A_POLE in polygon_faults(polygon):
        west, east = -TURN // 2, TURN // 2
        south, north = (south, 90 * DEGREE) if south + north > 0 else (-90 * DEGREE, north)
    return (box_ring(FixedBox(south, north, west, east)),)


def doubled_area(ring: Ring) -> int:
    """Twice the area in squared units, above zero where the ring runs counterclockwise."""
    return sum(
        one.longitude * other.latitude - other.longitude * one.latitude for one, other in pairwise(ring)
    )


def side_of_ring(ring: Whole, point: FixedPoint) -> int:
    """1 inside a ring, 0 on its edge, -1 outside: edges that can matter are found in the table, and settled exactly."""
    latitude, longitude = ring[:, 0] - point.latitude, ring[:, 1] - point.longitude
    above = latitude > 0
    crosses = above[:-1] != above[1:]
    holds = (np.minimum(latitude[:-1], latitude[1:]) <= 0) & (np.maximum(latitude[:-1], latitude[1:]) >= 0)
    holds &= (np.minimum(longitude[:-1], longitude[1:]) <= 0) & (
        np.maximum(longitude[:-1], longitude[1:]) >= 0
    )
    inside = False
    for at in np.flatnonzero(crosses | holds):
        south, west, north, east = (int(side[end]) for end in (at, at + 1) for side in (latitude, longitude))
        side = west * (north - south) - south * (east - west)
        if side == 0 and holds[at]:
            return 0
        if crosses[at]:
            inside ^= (side > 0) == (north > south)
    return 1 if inside else -1


def _side(start: FixedPoint, end: FixedPoint, point: FixedPoint) -> int:
    """Above zero where a point lies left of a way, below where right, zero on its line."""
    return (end.longitude - start.longitude) * (point.latitude - start.latitude) - (
        end.latitude - start.latitude
    ) * (point.longitude - start.longitude)


def _between(start: FixedPoint, end: FixedPoint, point: FixedPoint) -> bool:
    return min(start.latitude, end.latitude) <= point.latitude <= max(start.latitude, end.latitude) and min(
        start.longitude, end.longitude
    ) <= point.longitude <= max(start.longitude, end.longitude)


def _is_hole_of(outer: Ring, hole: Ring) -> bool:
    south, north, west, east = box_of(outer)
    box = box_of(hole)
    fits = south <= box.south and box.north <= north and west <= box.west and box.east <= east
    return fits and side_of_ring(np.array(outer, dtype=np.int64), hole[0]) >= 0


def _crosses_itself(ring: Ring) -> bool:
    """Whether edges that are no neighbors meet, or an edge runs back over the one before it."""
    points = [point for at, point in enumerate(ring) if at == 0 or point != ring[at - 1]]
    count = len(points) - 1
    table = np.array(points, dtype=np.int64)
    low, high = np.minimum(table[:-1], table[1:]), np.maximum(table[:-1], table[1:])
    for one in range(count):
        later = slice(one + 1, None)
        meets = ((low[later] <= high[one]) & (high[later] >= low[one])).all(axis=1)
        for other in np.flatnonzero(meets) + one + 1:
            if _meet_wrongly(points, one, int(other), count):
                return True
    return False


def _meet_wrongly(points: list[FixedPoint], one: int, other: int, count: int) -> bool:
    first, second = (points[one], points[one + 1]), (points[other], points[other + 1])
    if other == one + 1:
        return _runs_back(first[0], first[1], second[1])
    if one == 0 and other == count - 1:
        return _runs_back(second[0], second[1], first[1])
    sides = [_sign(_side(*first, point)) for point in second]
    across = [_sign(_side(*second, point)) for point in first]
    if sides[0] * sides[1] < 0 and across[0] * across[1] < 0:
        return True
    return any(
        side == 0 and _between(*way, point)
        for way, ends, signs in ((first, second, sides), (second, first, across))
        for point, side in zip(ends, signs, strict=True)
    )


def _runs_back(before: FixedPoint, corner: FixedPoint, after: FixedPoint) -> bool:
    if _side(before, corner, after) != 0:
        return False
    back = (before.latitude - corner.latitude) * (after.latitude - corner.latitude)
    return back + (before.longitude - corner.longitude) * (after.longitude - corner.longitude) > 0


def _sign(number: int) -> int:
    return (number > 0) - (number < 0)
