"""Areas as people type them, a place with a radius or corners, and whether one lies in another."""

from __future__ import annotations

import re

from airwrit.base.errors import BadFact, BadPlace
from airwrit.base.places import Place, read_place
from airwrit.base.verdict import Outcome, Why
from airwrit.geo.corridor import corridor_holds
from airwrit.geo.earth import geodesic_m
from airwrit.geo.fixed import DEGREE, point_of
from airwrit.geo.footprint import Footprint, apart_m, filled, margin_m, within_of
from airwrit.geo.shapes import ring_faults, unwrapped
from airwrit.intake.cell.measures import read_measure
from airwrit.law.rule import met, not_met, unknown

_WITHIN = re.compile(r"(?P<places>.+?)\s*\b(?:within|radius)\s+(?P<radius>.+)", re.IGNORECASE | re.DOTALL)
_UNIT = re.compile(r"[a-z]", re.IGNORECASE)
_MOST_CORNERS = 500
_MOST_RADIUS_M = 200_000.0
_FORMS = 'write it like "40.0150, -105.2705 within 0.5 nm", or corners like "40.01, -105.27; 40.02, -105.27; 40.02, -105.25"'
_TWO = (
    "add a third corner, or a radius for a line between the two points, like "
    '"40.01, -105.27; 40.02, -105.27 within 200 ft"'
)


def read_area(text: str) -> Footprint:
    """The area a text tells: a circle, a line with a radius, or three corners and more. BadFact for what is none."""
    found = _WITHIN.fullmatch(text.strip())
    places = _places(found["places"] if found else text)
    if found is not None:
        return within_of(places, _radius_m(found["radius"]))
    if len(places) == 2:
        raise BadFact("two corners don't make an area", do=_TWO)
    if len(places) < 2:
        raise BadFact("a place alone isn't an area. Add its radius", do=_FORMS, field="radius")
    ring = unwrapped([point_of(place) for place in (*places, places[0])])
    if ring_faults(ring):
        raise BadFact("these corners don't make an area. They cross, or they are all on one line", do=_FORMS)
    return filled((ring,))


def contained(inner: str, outer: str) -> Outcome:
    """Whether one typed area lies wholly in another; unknown where one can't be read, or a corridor is too close to call."""
    try:
        part, whole = read_area(inner), read_area(outer)
    except BadFact:
        return unknown(Why.DAMAGED, "area_unreadable")
    return lies_in(part, whole)


def lies_in(part: Footprint, whole: Footprint) -> Outcome:
    """The same of two areas that were read."""
    if margin_m(whole, part) is not None:
        return met("inside_area")
    apart = apart_m(whole, part) > 0
    if not apart and not whole.is_filled and len(whole.points) > 1:
        held = corridor_holds(whole, part)
        if held is None:
            return unknown(Why.OUTSIDE_THIS_TOOL, "corridor")
        if held:
            return met("inside_area")
    return not_met("outside_area" if apart else "partly_outside")


def corners(area: Footprint) -> list[Place]:
    """The middle of a circle, or the corners of a line or polygon."""
    return [Place(int(latitude) / DEGREE, int(longitude) / DEGREE) for latitude, longitude in area.points]


def farthest_m(place: Place, area: Footprint) -> float:
    """The most meters from a place to any point of an area."""
    return max(geodesic_m(place, corner) for corner in corners(area)) + area.radius_m


def _places(text: str) -> list[Place]:
    parts = [part for part in text.split(";") if part.strip()]
    if len(parts) > _MOST_CORNERS:
        raise BadFact(f"the area has more than {_MOST_CORNERS} corners", do="leave out those you don't need")
    try:
        return [read_place(part) for part in parts]
    except BadPlace as fault:
        raise BadFact(fault.what, do=fault.do or _FORMS) from fault


def _radius_m(text: str) -> float:
    """Meters of a radius; one without its unit is refused, since feet, meters and miles are all common."""
    if not _UNIT.search(text):
        raise BadFact(
            f"the radius {text.strip()!r} has no unit",
            do="write it like 0.5 nm, 500 ft or 150 m",
            field="radius",
        )
    meters = float(read_measure(text, "m"))
    if not 0 < meters <= _MOST_RADIUS_M:
        raise BadFact(
            f"we can't use a radius of {text.strip()}",
            do=f"use more than 0 and up to {_MOST_RADIUS_M / 1000:.0f} km",
            field="radius",
        )
    return meters
