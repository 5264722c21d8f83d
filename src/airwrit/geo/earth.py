"""Distances on the WGS-84 ellipsoid: meters between two places, and the place so many meters away."""

from __future__ import annotations

import math

from geographiclib.geodesic import Geodesic

from airwrit.base.measured import METERS
from airwrit.base.places import Place

M_PER_FT, M_PER_NM = (float(METERS[unit]) for unit in ("ft", "nm"))
"""Meters in a foot and in a nautical mile."""

_WGS84 = Geodesic.WGS84
EQUATOR_M = float(_WGS84.a)
"""The ellipsoid's radius at the equator."""
ECCENTRICITY_SQUARED = float(_WGS84.f * (2 - _WGS84.f))
"""How far the ellipsoid is from a sphere."""


def geodesic_m(one: Place, other: Place) -> float:
    """Meters of the shortest way between two places; good to 15 nanometers, for nearly opposite places too.

    Source: C. F. F. Karney, Algorithms for geodesics (2013), by geographiclib.
    """
    found = _WGS84.Inverse(*one, *other, Geodesic.DISTANCE)
    return float(found["s12"])


def azimuth_deg(start: Place, end: Place) -> float:
    """The azimuth, clockwise from true north, at which the shortest way from one place to another sets out."""
    return float(_WGS84.Inverse(*start, *end, Geodesic.AZIMUTH)["azi1"])


def place_from(start: Place, azimuth_deg: float, distance_m: float) -> Place:
    """The place at a distance from another, setting out at an azimuth clockwise from true north."""
    found = _WGS84.Direct(*start, azimuth_deg, distance_m)
    return Place(float(found["lat2"]), float(found["lon2"]))


def m_per_degree(latitude_deg: float) -> tuple[float, float]:
    """Meters of a degree of latitude and of longitude at a latitude, as the ellipsoid curves there."""
    latitude = math.radians(latitude_deg)
    bend = 1 - ECCENTRICITY_SQUARED * math.sin(latitude) ** 2
    along = EQUATOR_M * (1 - ECCENTRICITY_SQUARED) / bend**1.5
    across = EQUATOR_M / math.sqrt(bend) * math.cos(latitude)
    return math.radians(along), math.radians(across)


def places_between(one: Place, other: Place, step_m: float) -> list[Place]:
    """Places along the shortest way between two, so that no gap is longer than a step; neither end is among them."""
    line = _WGS84.InverseLine(*one, *other)
    parts = math.ceil(line.s13 / step_m)
    found = [line.Position(line.s13 * part / parts) for part in range(1, parts)]
    return [Place(float(place["lat2"]), float(place["lon2"])) for place in found]
