"""Outlines of the States and counties, for orientation only: in which of them a place lies, and how its State looks.

Source: US Census Bureau, cartographic boundary files, 2017 edition, in the public domain, as the npm package us-atlas 3.0.1
(ISC license) quantizes and simplifies them for maps of 1 to 10 million; packed by `tools/us_outlines.py`. A line may lie some
miles off, so a place near one may lie in the area beside it.
"""

from __future__ import annotations

import json
import lzma
from functools import cache
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.base.places import Place
from airwrit.geo.earth import m_per_degree

OUTLINES = Path(__file__).with_name("us_outlines.xz")
DOUBT_M = 5_000.0
"""How far off a line may lie at places; worked out with a map of 1 to 10 million in mind, from memory."""

_ON_CIRCLE = 16
"""So many points of a circle are tried: lines of a map of 1 to 10 million have no corner that reaches between two."""

OutlineRing = NDArray[np.float64]
"""Latitude and longitude of each corner (n, 2), the first again at the end."""


class OutlineArea(NamedTuple):
    """A State or county: its number (2 or 5 digits), its name, its outer rings."""

    number: str
    name: str
    rings: tuple[OutlineRing, ...]


class WhereInStates(NamedTuple):
    """The State and the county a place lies in, and whether it is so near a line that it may be the one beside it."""

    state: OutlineArea
    county: OutlineArea
    near_line: bool


@cache
def _read() -> tuple[tuple[OutlineArea, ...], tuple[OutlineArea, ...]]:
    """The States and the counties."""
    told: dict[str, Any] = json.loads(lzma.decompress(OUTLINES.read_bytes()))
    scale, corner = np.array(told["scale"]), np.array(told["translate"])
    arcs = [(np.cumsum(np.array(arc), axis=0) * scale + corner)[:, ::-1] for arc in told["arcs"]]

    def ring(numbers: list[int]) -> OutlineRing:
        parts = [arcs[number] if number >= 0 else arcs[~number][::-1] for number in numbers]
        return np.concatenate([parts[0], *(part[1:] for part in parts[1:])])

    def areas(kind: str) -> tuple[OutlineArea, ...]:
        return tuple(
            OutlineArea(number, name, tuple(ring(polygon[0]) for polygon in polygons))
            for number, name, polygons in told[kind]
        )

    return areas("states"), areas("counties")


def where_in_states(place: Place) -> WhereInStates | None:
    """The State and county of a place; None outside all of them."""
    states, counties = _read()
    county = next((one for one in counties if _is_in(one, place)), None)
    if county is None:
        return None
    state = next(one for one in states if one.number == county.number[:2])
    return WhereInStates(state, county, _away_m(county, place) < DOUBT_M)


def states_around(place: Place, reach_m: float) -> frozenset[str]:
    """The names of the States that a circle may reach into, its lines as far off as they may be; "" for outside them all."""
    far = reach_m + DOUBT_M
    along, over = m_per_degree(place.latitude_deg)
    near = [one for one in _read()[0] if _is_near(one, place, far / along, far / over)]
    found = {one.name for one in near if _is_in(one, place) or _away_m(one, place) < far}
    turns = np.linspace(0, 2 * np.pi, _ON_CIRCLE, endpoint=False)
    circle = [
        Place(
            place.latitude_deg + far * np.sin(turn) / along, place.longitude_deg + far * np.cos(turn) / over
        )
        for turn in turns
    ]
    inside_all = all(any(_is_in(one, each) for one in near) for each in (place, *circle))
    return frozenset(found) if inside_all else frozenset({*found, ""})


def _is_near(area: OutlineArea, place: Place, high_deg: float, wide_deg: float) -> bool:
    """Whether a box around the place meets the box around one of an area's rings."""
    latitude, longitude = place
    return any(
        ring[:, 0].min() - high_deg <= latitude <= ring[:, 0].max() + high_deg
        and ring[:, 1].min() - wide_deg <= longitude <= ring[:, 1].max() + wide_deg
        for ring in area.rings
    )


def counties_of(state: OutlineArea) -> tuple[OutlineArea, ...]:
    """The counties of a State."""
    return tuple(one for one in _read()[1] if one.number[:2] == state.number)


def counties_in(corner: Place, opposite: Place, across: int) -> tuple[tuple[OutlineArea, Place], ...]:
    """The counties that points across a box between two corners lie in, each with the middle of those that do."""
    latitudes, longitudes = (
        np.linspace(*ends, across + 2)[1:-1] for ends in zip(corner, opposite, strict=True)
    )
    points = [Place(float(one), float(other)) for one in latitudes for other in longitudes]
    middle = Place(*(float(sum(ends)) / 2 for ends in zip(corner, opposite, strict=True)))
    high, wide = (abs(b - a) / 2 for a, b in zip(corner, opposite, strict=True))
    near = [one for one in _read()[1] if _is_near(one, middle, high, wide)]
    held = [(one, [point for point in points if _is_in(one, point)]) for one in near]
    return tuple(
        (one, Place(*(float(value) for value in np.mean(inside, axis=0)))) for one, inside in held if inside
    )


def _is_in(area: OutlineArea, place: Place) -> bool:
    return any(_ring_holds(ring, place) for ring in area.rings)


def _ring_holds(ring: OutlineRing, place: Place) -> bool:
    """Whether a ring winds around a place: it is crossed an odd number of times to the east of it."""
    latitude, longitude = place
    if not (
        ring[:, 0].min() <= latitude <= ring[:, 0].max() and ring[:, 1].min() <= longitude <= ring[:, 1].max()
    ):
        return False
    (y0, x0), (y1, x1) = ring[:-1].T, ring[1:].T
    across = (y0 > latitude) != (y1 > latitude)
    with np.errstate(divide="ignore", invalid="ignore"):
        east = longitude < x0 + (latitude - y0) * (x1 - x0) / (y1 - y0)
    return bool(np.count_nonzero(across & east) % 2)


def _away_m(area: OutlineArea, place: Place) -> float:
    """Meters to the nearest line of an area, on the plane."""
    along, over = m_per_degree(place.latitude_deg)
    found = np.inf
    for ring in area.rings:
        points = (ring - np.array(place)) * np.array([along, over])
        start, way = points[:-1], np.diff(points, axis=0)
        length = np.maximum((way**2).sum(axis=1), 1e-9)
        share = np.clip(-(start * way).sum(axis=1) / length, 0.0, 1.0)
        found = min(found, float(np.hypot(*(start + share[:, None] * way).T).min()))
    return found
