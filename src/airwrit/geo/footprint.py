"""Footprints: all that lies within a radius of a point, of a line or of a polygon; what meets, how far apart, how deep inside.

An edge runs straight in latitude and longitude, as the file that wrote it draws it. Edges count as inside, exactly.
Distances are geodesic: the nearest places are found on a plane fitted between them, good to a part in a million within 20 km
and to a part in ten thousand within 100 km up to 80 degrees of latitude, and measured on the ellipsoid.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import ECCENTRICITY_SQUARED, EQUATOR_M, geodesic_m, m_per_degree
from airwrit.geo.fixed import DEGREE, TURN, FixedBox, FixedPoint, point_of
from airwrit.geo.shapes import Polygon, Whole, side_of_ring, unwrapped

Floats: TypeAlias = NDArray[np.float64]

_MILLIMETER = 0.001
_TURNS = (-TURN, 0, TURN)
_MEASURED = 8
"""So many of the nearest places found on the plane are measured on the ellipsoid."""
_PARALLEL = 1e-18
"""Squared degrees: edges whose ends are that near to each other's line are left to the distances."""
_MOST_PAIRS = 2_000_000
_SAMPLES = 60
"""About so many places along a line are looked at for how deep it goes."""


class Footprint(NamedTuple):
    """Rings of fixed points (n, 2), latitude first: filled they are a polygon with holes, else one line or point."""

    rings: tuple[Whole, ...]
    is_filled: bool
    radius_m: float = 0.0

    @property
    def points(self) -> Whole:
        """The points of every ring."""
        return self.rings[0] if len(self.rings) == 1 else np.concatenate(self.rings)


def filled(polygon: Polygon) -> Footprint:
    """A polygon's footprint."""
    return Footprint(tuple(np.array(ring, dtype=np.int64) for ring in polygon), is_filled=True)


def within_of(places: Sequence[Place], radius_m: float) -> Footprint:
    """What lies within a radius of a place, or of the line through several: a circle or a corridor."""
    line = unwrapped([point_of(place) for place in places])
    return Footprint((np.array(line, dtype=np.int64),), is_filled=False, radius_m=radius_m)


def box_of_footprint(footprint: Footprint, more_m: float = 0.0) -> FixedBox:
    """A box that holds a footprint and so many meters more around it; every longitude where a pole is that near."""
    south, west = (int(low) for low in footprint.points.min(axis=0))
    north, east = (int(high) for high in footprint.points.max(axis=0))
    reach = footprint.radius_m + more_m
    if reach <= 0:
        return FixedBox(south, north, west, east)
    high = int(reach / m_per_degree(0.0)[0] * 1.02 * DEGREE) + 1
    farthest = (max(abs(south), abs(north)) + high) / DEGREE
    if farthest > 89:
        return FixedBox(south - high, north + high, -TURN, TURN)
    wide = int(reach / m_per_degree(farthest)[1] * 1.02 * DEGREE) + 1
    return FixedBox(south - high, north + high, west - wide, east + wide)


def boxes_meet(one: FixedBox, other: FixedBox) -> bool:
    """Whether two boxes share a point, edges included."""
    return (
        one.south <= other.north
        and other.south <= one.north
        and one.west <= other.east
        and other.west <= one.east
    )


def apart_m(one: Footprint, other: Footprint, within_m: float = 0.0) -> float:
    """Meters between two footprints, 0 where they touch; infinite where that is certainly more than `within_m`."""
    nearest, radii = np.inf, one.radius_m + other.radius_m
    room = box_of_footprint(one, other.radius_m + within_m + 1.0)
    for turn in _TURNS:
        moved = turned(other, turn)
        if boxes_meet(room, box_of_footprint(moved)):
            if _meet(one, moved):
                return 0.0
            nearest = min(nearest, _between_m(one, moved, room))
    return max(0.0, nearest - radii) if nearest > radii + _MILLIMETER else 0.0


def depth_m(footprint: Footprint, place: Place) -> float:
    """Meters from a place inside a footprint to its edge; below zero the meters from a place outside."""
    return max(_depth_m(turned(footprint, turn), point_of(place)) for turn in _turns_near(footprint, place))


def margin_m(outer: Footprint, inner: Footprint) -> float | None:
    """Meters that a footprint which lies wholly in another keeps from its edge; None where it doesn't, or can't be told.

    A corridor of several legs isn't asked to hold anything: that can't be told here.
    """
    for turn in _TURNS:
        moved = turned(inner, turn)
        if outer.is_filled:
            found = _margin_in_polygon(outer, moved)
        elif len(outer.points) == 1:
            away = max(geodesic_m(_place(outer.points[0]), _place(point)) for point in moved.points)
            found = outer.radius_m - moved.radius_m - away
        else:
            return None
        if found is not None and found >= -_MILLIMETER:
            return max(found, 0.0)
    return None


def deepest_m(outer: Footprint, inner: Footprint) -> float:
    """The most meters that a corner of a footprint, or a place between two, lies inside another, and its radius; else 0.

    A point is measured on the ellipsoid, the others on the plane.
    """
    if len(inner.points) == 1:
        return max(0.0, inner.radius_m + depth_m(outer, _place(inner.points[0])))
    points, edges_alone = _along(inner), outer._replace(is_filled=False)
    away = nearness_m(edges_alone, points)
    if outer.is_filled:
        inside = [holds_point(outer, _place(point)) for point in points]
        depths = np.where(inside, away, -away)
    else:
        depths = outer.radius_m - away
    return max(0.0, inner.radius_m + float(depths.max()))


def nearness_m(footprint: Footprint, points: Whole) -> Floats:
    """Meters from each of fixed points (n, 2) to what is in the middle of a footprint, without its radius; (n,).

    On the plane alone: for sorting out, not for deciding.
    """
    found = np.full(len(points), np.inf)
    for turn in _TURNS:
        moved = turned(footprint, turn)
        starts, ends = _edges(moved)
        for at in range(0, len(points), max(1, _MOST_PAIRS // max(len(starts), 1))):
            some = slice(at, at + max(1, _MOST_PAIRS // max(len(starts), 1)))
            _, far = _nearest(points[some], starts, ends)
            found[some] = np.minimum(found[some], far.min(axis=1))
        if moved.is_filled:
            for at, point in enumerate(points.tolist()):
                found[at] = 0.0 if found[at] and is_in(moved, FixedPoint(*point)) else found[at]
    return found


def is_in(footprint: Footprint, point: FixedPoint) -> bool:
    """Whether a point lies in a polygon, as its longitudes are written. Every edge counts as inside, that of a hole too."""
    outer, *holes = footprint.rings
    return side_of_ring(outer, point) >= 0 and all(side_of_ring(hole, point) <= 0 for hole in holes)


def holds_point(footprint: Footprint, place: Place) -> bool:
    """Whether a place lies in a polygon; a full turn of longitude more or less makes no difference."""
    return any(is_in(turned(footprint, turn), point_of(place)) for turn in _TURNS)


def turned(footprint: Footprint, turn: int) -> Footprint:
    """The same footprint with its longitudes moved by a turn."""
    if not turn:
        return footprint
    return footprint._replace(
        rings=tuple(ring + np.array([0, turn], dtype=np.int64) for ring in footprint.rings)
    )


def _turns_near(footprint: Footprint, place: Place) -> list[int]:
    """The turns that bring a footprint next to a place: one, or two where it is half a turn away."""
    middle = int(footprint.points[:, 1].mean())
    away = [(abs(middle + turn - point_of(place).longitude), turn) for turn in _TURNS]
    return [turn for far, turn in away if far == min(away)[0]]


def _edges(footprint: Footprint) -> tuple[Whole, Whole]:
    """Where each edge starts and ends; a point alone is an edge of no length."""
    starts = [ring[:-1] if len(ring) > 1 else ring for ring in footprint.rings]
    ends = [ring[1:] if len(ring) > 1 else ring for ring in footprint.rings]
    return np.concatenate(starts), np.concatenate(ends)


def _meet(one: Footprint, other: Footprint) -> bool:
    """Whether the middles of two footprints share a point: one in the other, or edges that cross."""
    for whole, part in ((one, other), (other, one)):
        if whole.is_filled and any(is_in(whole, FixedPoint(*ring[0].tolist())) for ring in part.rings):
            return True
    return _cross(_edges(one), _edges(other))


def _cross(ones: tuple[Whole, Whole], others: tuple[Whole, Whole]) -> bool:
    """Whether any edge of some crosses one of others. Edges that merely touch are left to the distances."""
    if len(ones[0]) > len(others[0]):
        ones, others = others, ones
    origin = ones[0][0]
    start, end = ((side - origin) / float(DEGREE) for side in others)
    for first, last in zip(*((side - origin) / float(DEGREE) for side in ones), strict=True):
        step, steps = last - first, end - start
        sides = [_cross_product(step, side - first) for side in (start, end)]
        across = [_cross_product(steps, side - start) for side in (first, last)]
        apart = [(np.abs(a) > _PARALLEL) & (np.abs(b) > _PARALLEL) & (a * b < 0) for a, b in (sides, across)]
        if bool((apart[0] & apart[1]).any()):
            return True
    return False


def _cross_product(one: Floats, other: Floats) -> Floats:
    found: Floats = one[..., 1] * other[..., 0] - one[..., 0] * other[..., 1]
    return found


def _between_m(one: Footprint, other: Footprint, room: FixedBox) -> float:
    """Meters between the middles of two footprints that don't meet: from the corners of each to the edges of the other."""
    found = np.inf
    for corners, edges in ((one.points, _edges(other)), (other.points, _edges(one))):
        starts, ends = _edges_in(edges, room)
        inside = corners[_points_in(corners, room)]
        if len(starts) and len(inside):
            found = min(found, _least_m(inside, starts, ends))
    return found


def _edges_in(edges: tuple[Whole, Whole], room: FixedBox) -> tuple[Whole, Whole]:
    low, high = np.minimum(*edges), np.maximum(*edges)
    meets = (low[:, 0] <= room.north) & (high[:, 0] >= room.south)
    meets &= (low[:, 1] <= room.east) & (high[:, 1] >= room.west)
    return edges[0][meets], edges[1][meets]


def _points_in(points: Whole, room: FixedBox) -> NDArray[np.bool_]:
    latitude, longitude = points.T
    found: NDArray[np.bool_] = (latitude >= room.south) & (latitude <= room.north)
    found &= (longitude >= room.west) & (longitude <= room.east)
    return found


def _least_m(points: Whole, starts: Whole, ends: Whole) -> float:
    """The least geodesic distance from any of some points to any of some edges."""
    best = np.inf
    step = max(1, _MOST_PAIRS // len(starts))
    for at in range(0, len(points), step):
        some = points[at : at + step]
        share, far = _nearest(some, starts, ends)
        order = np.argsort(far, axis=None)[:_MEASURED]
        for point, edge in zip(*np.unravel_index(order, far.shape), strict=True):
            if far[point, edge] > best * 1.01:
                break
            there = starts[edge] + share[point, edge] * (ends[edge] - starts[edge])
            best = min(best, geodesic_m(_place(some[point]), _place(there)))
    return float(best)


def _nearest(points: Whole, starts: Whole, ends: Whole) -> tuple[Floats, Floats]:
    """For each point and edge the share of the edge at which it is nearest, and meters there on the plane between them."""
    scale = float(DEGREE)
    first = (starts[None, :, :] - points[:, None, :]) / scale
    steps = ((ends - starts) / scale)[None, :, :]
    latitude = points[:, 0, None] / scale
    share = np.zeros(first.shape[:2])
    for _ in range(3):
        middle = latitude + (first[..., 0] + share * steps[..., 0]) / 2
        along, across = _scales(middle)
        north, east = first[..., 0] * along, first[..., 1] * across
        step_north, step_east = steps[..., 0] * along, steps[..., 1] * across
        length = np.maximum(step_north**2 + step_east**2, _MILLIMETER**2)
        share = np.clip(-(north * step_north + east * step_east) / length, 0.0, 1.0)
    return share, np.hypot(north + share * step_north, east + share * step_east)


def _scales(latitude_deg: Floats) -> tuple[Floats, Floats]:
    """Meters of a degree of latitude and of longitude at latitudes, as `m_per_degree` for many."""
    latitude = np.radians(latitude_deg)
    bend = 1 - ECCENTRICITY_SQUARED * np.sin(latitude) ** 2
    across = EQUATOR_M / np.sqrt(bend)
    return np.radians(across * (1 - ECCENTRICITY_SQUARED) / bend), np.radians(across * np.cos(latitude))


def _depth_m(footprint: Footprint, point: FixedPoint) -> float:
    starts, ends = _edges(footprint)
    away = _least_m(np.array([point], dtype=np.int64), starts, ends)
    if footprint.is_filled:
        return away if is_in(footprint, point) else -away
    return footprint.radius_m - away


def _margin_in_polygon(outer: Footprint, inner: Footprint) -> float | None:
    corner = FixedPoint(*inner.points[0].tolist())
    if not is_in(outer, corner):
        return None
    if inner.is_filled and any(is_in(inner, FixedPoint(*ring[0].tolist())) for ring in outer.rings):
        return None
    if _cross(_edges(outer), _edges(inner)):
        return None
    if any(not is_in(outer, FixedPoint(*point)) for point in inner.points.tolist()):
        return None
    everywhere = FixedBox(-TURN, TURN, -3 * TURN, 3 * TURN)
    return _between_m(outer, inner, everywhere) - inner.radius_m


def _along(footprint: Footprint) -> Whole:
    """Fixed points along the line or the rings of a footprint: every corner, and some between where there are few."""
    starts, ends = _edges(footprint)
    parts = max(1, _SAMPLES // len(starts))
    steps = [starts + (ends - starts) // parts * part for part in range(parts)]
    return np.concatenate([*steps, ends[-1:]])


def _place(point: Whole | Floats) -> Place:
    return Place(float(point[0]) / DEGREE, float(point[1]) / DEGREE)
