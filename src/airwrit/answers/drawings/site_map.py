"""What a map of a planned flight shows: its area, the airspace on file around it, and the cells of the facility map."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import NamedTuple

from airwrit.airspace.grid import PER_DEGREE
from airwrit.airspace.here import layers_on
from airwrit.airspace.kinds import AreaKind
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.base.places import Place
from airwrit.geo.earth import place_from
from airwrit.geo.fixed import DEGREE, FixedBox
from airwrit.geo.footprint import Footprint, box_of_footprint
from airwrit.geo.outlines import OutlineRing, counties_in

_AROUND_M = 900.0
_CORNERS = 72
_MOST_AREAS = 30
_MOST_CELLS = 60
_POINTS_ACROSS = 12

Ring = tuple[Place, ...]
"""Places in order; the last is joined to the first."""


class MapArea(NamedTuple):
    """An area on the map: its name as the file has it, what kind it is, and its rings."""

    name: str
    kind: AreaKind
    rings: tuple[Ring, ...]


class MapCell(NamedTuple):
    """A cell of the facility map: its south-west corner, its side in degrees, its number of feet."""

    corner: Place
    side_deg: float
    number_ft: int


class MapCounty(NamedTuple):
    """A county on the map: its name and where that stands, and its outline, good for orientation only."""

    name: str
    at: Place
    rings: tuple[Ring, ...]


class SiteMap(NamedTuple):
    """The frame (south, north, west, east in degrees), the flight's own rings, the areas and cells around it, the counties."""

    south: float
    north: float
    west: float
    east: float
    flight: tuple[Ring, ...]
    areas: tuple[MapArea, ...]
    cells: tuple[MapCell, ...]
    counties: tuple[MapCounty, ...] = ()


def site_map(plan: FlightPlan, folder: Path | None) -> SiteMap:
    """The map of a plan, by the editions in force on its day; without a folder only the area itself."""
    inner = box_of_footprint(plan.footprint)
    wide_m = (inner.north - inner.south) / DEGREE * 111_000
    box = box_of_footprint(plan.footprint, max(_AROUND_M, wide_m / 2))
    day = plan.starts.astimezone(plan.zone.info).date()
    return map_around(box, day, folder, rings_of((plan.footprint,)))


def map_around(box: FixedBox, day: date, folder: Path | None, flight: tuple[Ring, ...]) -> SiteMap:
    """The map of a frame, with the airspace on file for a day; `flight` are the rings of a planned area."""
    areas: list[MapArea] = []
    cells: list[MapCell] = []
    layers = [] if folder is None or not folder.exists() else layers_on(folder, day)
    for layer in layers:
        edition = layer.edition
        if edition is None:
            continue
        cells += [
            MapCell(Place(cell.row / PER_DEGREE, cell.column / PER_DEGREE), 1 / PER_DEGREE, cell.number_ft)
            for cell in edition.grid.cells_in(box)
        ]
        if edition.kind is not AreaKind.GRID:
            found = ((area, rings_of(area.footprints)) for area in edition.areas.near(box))
            areas += [MapArea(area.facts.name, edition.kind, rings) for area, rings in found if rings]
    return SiteMap(
        box.south / DEGREE,
        box.north / DEGREE,
        box.west / DEGREE,
        box.east / DEGREE,
        flight,
        tuple(areas[:_MOST_AREAS]),
        tuple(cells[:_MOST_CELLS]),
        _counties(box),
    )


def _counties(box: FixedBox) -> tuple[MapCounty, ...]:
    """The counties in a frame; one alone needs no outline."""
    corners = Place(box.south / DEGREE, box.west / DEGREE), Place(box.north / DEGREE, box.east / DEGREE)
    found = counties_in(*corners, _POINTS_ACROSS)
    return tuple(
        MapCounty(one.name, at, tuple(_ring(ring) for ring in one.rings) if len(found) > 1 else ())
        for one, at in found
    )


def _ring(ring: OutlineRing) -> Ring:
    return tuple(Place(latitude, longitude) for latitude, longitude in ring.tolist())


def rings_of(footprints: tuple[Footprint, ...]) -> tuple[Ring, ...]:
    """The outlines of footprints: circles as rings of many corners, polygons as they are, corridors by their line."""
    found: list[Ring] = []
    for one in footprints:
        if not one.is_filled and len(one.points) == 1:
            middle = Place(*(float(part) / DEGREE for part in one.points[0]))
            step = 360 / _CORNERS
            found.append(
                tuple(place_from(middle, at * step, max(one.radius_m, 1.0)) for at in range(_CORNERS))
            )
        else:
            found += [
                tuple(Place(float(a) / DEGREE, float(b) / DEGREE) for a, b in ring) for ring in one.rings
            ]
    return tuple(found)
