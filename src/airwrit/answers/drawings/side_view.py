"""A planned flight from the side, west to east through its middle: the ground, the limits over it, what is in it.

All heights are in feet above the ground but that of the ground itself, which is above sea level, None where nothing tells it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from decimal import Decimal
from pathlib import Path
from typing import NamedTuple

from airwrit.airspace.hours import ActiveState
from airwrit.airspace.limits import Reach
from airwrit.answers.before_flight.check import FlightCheck
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.drawings.site_map import Ring, SiteMap
from airwrit.base.places import Place
from airwrit.base.verdict import Undecided
from airwrit.geo.earth import M_PER_FT, m_per_degree
from airwrit.geo.fixed import DEGREE, point_of
from airwrit.geo.footprint import box_of_footprint, depth_m, filled, holds_point
from airwrit.geo.shapes import unwrapped
from airwrit.geo.terrain import ground_at
from airwrit.law.flight.limits import CLOUD_BELOW
from airwrit.law.parameters import Law
from airwrit.law.shared_parameters import HEIGHT_LIMIT

_STEPS, _BESIDE = 96, 0.25
_OFF = (Reach.BELOW_FLOOR, Reach.ABOVE_CEILING)


class SidePoint(NamedTuple):
    """A place on the line: feet from its west end, the ground, whether the flight is over it, the lowest cell, the airspace."""

    along_ft: float
    ground_ft: float | None
    is_flown: bool
    cell_ft: int | None
    airspace: tuple[str, ...]


class SideView(NamedTuple):
    """The line with what is over it; clouds as the report has them, None without; where the takeoff lies, None if not told."""

    points: tuple[SidePoint, ...]
    height_ft: float
    limit_ft: int | None
    clouds_ft: float | None
    clear_ft: int | None
    takeoff_ft: float | None

    @property
    def has_ground(self) -> bool:
        """Whether the ground is known all along."""
        return all(one.ground_ft is not None for one in self.points)


def side_view(check: FlightCheck, site: SiteMap, folder: Path | None) -> SideView:
    """The view; terrain lies beside the folder of airspace data, and a ground typed stands in where there is none."""
    plan = check.plan
    law = Law(plan.starts.astimezone(plan.zone.info).date())
    box = box_of_footprint(plan.footprint)
    latitude = (box.south + box.north) / 2 / DEGREE
    wide = (box.east - box.west) / DEGREE
    west = box.west / DEGREE - wide * _BESIDE
    per_degree = m_per_degree(latitude)[1] / M_PER_FT
    step = wide * (1 + 2 * _BESIDE) / (_STEPS - 1)
    places = [Place(latitude, west + step * number) for number in range(_STEPS)]
    grounds = list(_grounds(places, plan, folder))
    areas = dict(_areas_met(check, site))
    points = (
        SidePoint(
            step * number * per_degree,
            grounds[number],
            depth_m(plan.footprint, place) >= 0,
            _lowest_cell(place, site),
            tuple(name for name, rings in areas.items() if any(_holds(ring, place) for ring in rings)),
        )
        for number, place in enumerate(places)
    )
    takeoff = None if plan.takeoff is None else (plan.takeoff.longitude_deg - west) * per_degree
    try:
        limit, clear = int(law[HEIGHT_LIMIT]), int(law[CLOUD_BELOW])
    except Undecided:
        limit, clear = None, None
    return SideView(tuple(points), float(plan.height_ft), limit, _clouds(check), clear, takeoff)


def _grounds(places: Iterable[Place], plan: FlightPlan, folder: Path | None) -> Iterator[float | None]:
    tiles = None if folder is None else folder.with_name("terrain")
    for place in places:
        found = None if tiles is None or not tiles.exists() else ground_at(tiles, place)
        typed = None if plan.ground_ft is None else float(plan.ground_ft)
        yield typed if found is None else found / M_PER_FT


def _areas_met(check: FlightCheck, site: SiteMap) -> Iterator[tuple[str, tuple[Ring, ...]]]:
    """The airspace on the map that the flight's height reaches, by name."""
    here = check.around.here
    met = (
        set()
        if here is None
        else {
            one.area.name
            for one in here.touched
            if one.reach not in _OFF and one.times.state is not ActiveState.NOT
        }
    )
    for area in site.areas:
        if area.name in met:
            yield area.name, area.rings


def _holds(ring: Ring, place: Place) -> bool:
    return holds_point(filled((unwrapped([point_of(one) for one in (*ring, ring[0])]),)), place)


def _lowest_cell(place: Place, site: SiteMap) -> int | None:
    numbers = (
        cell.number_ft
        for cell in site.cells
        if 0 <= place.latitude_deg - cell.corner.latitude_deg <= cell.side_deg
        and 0 <= place.longitude_deg - cell.corner.longitude_deg <= cell.side_deg
    )
    return min(numbers, default=None)


def _clouds(check: FlightCheck) -> float | None:
    """The lowest clouds of the reports given, feet above the station's ground."""
    answers = () if check.around.weather is None else check.around.weather.answers
    found = [one.lowest_clouds_ft for one in answers if one.lowest_clouds_ft is not None]
    return float(min(found, default=Decimal(-1))) if found else None
