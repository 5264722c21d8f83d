"""Features of files, whatever their form: fields as written, and the outline or the point that they tell.

Coordinates are longitude, latitude in WGS-84 degrees, as in GeoJSON. What is damaged is its whole box, or is named.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal, InvalidOperation
from typing import Any, NamedTuple

from airwrit.airspace.problems import FeatureFault, FeatureProblem
from airwrit.base.errors import BadPlace
from airwrit.base.places import Place, is_in_united_states, read_place
from airwrit.geo.fixed import FixedPoint, fixed
from airwrit.geo.footprint import Footprint, filled, within_of
from airwrit.geo.shapes import Polygon, polygon_faults, unwrapped, whole_box

_BEYOND_USE = 1000
_SAME_DEG = 0.01
_NORTH_SOUTH, _EAST_WEST = ("N", "S"), ("E", "W")
_NO_NUMBERS = "coordinates that are no numbers"
_LONGEST = 300


class Feature(NamedTuple):
    """A feature as written: how to name it, its fields in capitals, its geometry."""

    name: str
    fields: dict[str, Any]
    geometry: Any


class Outline(NamedTuple):
    """The polygons of a feature, and what is wrong with them. A damaged polygon is its whole box."""

    polygons: tuple[Polygon, ...]
    problems: tuple[FeatureProblem, ...]

    @property
    def footprints(self) -> tuple[Footprint, ...]:
        """The polygons as footprints."""
        return tuple(map(filled, self.polygons))


class Located(NamedTuple):
    """The footprints of a feature. Without any, problems say why."""

    footprints: tuple[Footprint, ...]
    problems: tuple[FeatureProblem, ...]


def field(feature: Feature, names: Iterable[str]) -> Any:
    """The first of the named fields that a feature has a value in; None where it has none."""
    return next((found for name in names if (found := feature.fields.get(name)) not in (None, "")), None)


def field_text(feature: Feature, names: Iterable[str], longest: int = _LONGEST) -> str:
    """A field as one line of printable text."""
    value = field(feature, names)
    text = "" if value is None else str(value)
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())[:longest]


def located(feature: Feature, point: dict[str, list[str]], radius_m: float = 0.0) -> Located:
    """The footprints of a feature: its polygons, its circle, or what lies within a radius of its point.

    `point` names the fields that tell a point; where the geometry tells one too, both have to agree.
    """
    geometry = feature.geometry if isinstance(feature.geometry, dict) else {}
    kind = geometry.get("type")
    if kind == "Circle":
        return Located((within_of([geometry["center"]], geometry["radius_m"]),), ())
    if kind not in (None, "Point"):
        outline = outline_of(feature)
        return Located(outline.footprints, outline.problems)
    told = [place for place in (_of_geometry(geometry), _of_fields(feature, point)) if place is not None]
    fault = _misplaced_point(told)
    if fault is not None:
        return Located((), (FeatureProblem(fault, feature.name),))
    return Located((within_of(told[:1], radius_m),), ())


def outline_of(feature: Feature) -> Outline:
    """The polygons of a feature. Without any, problems say why."""
    geometry = feature.geometry if isinstance(feature.geometry, dict) else {}
    kind, written = geometry.get("type"), geometry.get("coordinates")
    if not written:
        return Outline((), (FeatureProblem(FeatureFault.NO_PLACE, feature.name),))
    if kind not in ("Polygon", "MultiPolygon"):
        return Outline((), (FeatureProblem(FeatureFault.NOT_AN_AREA, feature.name, str(kind)[:40]),))
    try:
        rings = [
            [_ring(ring) for ring in polygon] for polygon in ([written] if kind == "Polygon" else written)
        ]
    except (TypeError, ValueError, LookupError):
        return Outline((), (FeatureProblem(FeatureFault.NO_PLACE, feature.name, _NO_NUMBERS),))
    points = [point for polygon in rings for ring in polygon for point in ring]
    fault = _misplaced(points, empty=not all(polygon and all(polygon) for polygon in rings))
    if fault is not None:
        return Outline((), (FeatureProblem(fault, feature.name),))
    polygons, problems = [], []
    for polygon in rings:
        made, faults = _polygon(polygon)
        polygons.append(made)
        if faults:
            problems.append(FeatureProblem(FeatureFault.DAMAGED_OUTLINE, feature.name, ", ".join(faults)))
    return Outline(tuple(polygons), tuple(problems))


def _of_geometry(geometry: dict[str, Any]) -> Place | None:
    try:
        longitude, latitude, *_ = geometry["coordinates"]
        return Place(float(_degrees(latitude)), float(_degrees(longitude)))
    except (TypeError, ValueError, LookupError):
        return None


def _of_fields(feature: Feature, point: dict[str, list[str]]) -> Place | None:
    """The point of two fields, in decimal degrees or in degrees, minutes and seconds with a letter."""
    latitude, longitude = (field(feature, point[name]) for name in ("latitude", "longitude"))
    if latitude is None or longitude is None:
        return None
    try:
        return Place(float(_degrees(Decimal(latitude))), float(_degrees(Decimal(longitude))))
    except (TypeError, ValueError, InvalidOperation):
        pass
    if str(latitude)[-1:] not in _NORTH_SOUTH or str(longitude)[-1:] not in _EAST_WEST:
        return None  # cut short, it would be somewhere else
    try:
        return read_place(f"{str(latitude)[:30]}, {str(longitude)[:30]}")
    except BadPlace:
        return None


def _misplaced_point(told: list[Place]) -> FeatureFault | None:
    if not told:
        return FeatureFault.NO_PLACE
    fault = _misplaced([FixedPoint(*(fixed(Decimal(one)) for one in place)) for place in told], empty=False)
    apart = any(abs(one - other) % 360 > _SAME_DEG for one, other in zip(told[0], told[-1], strict=True))
    return fault or (FeatureFault.OTHER_PLACE if apart else None)


def _polygon(rings: list[list[FixedPoint]]) -> tuple[Polygon, list[str]]:
    """A polygon, or the whole box of one that is damaged, with what is wrong."""
    polygon = tuple(map(unwrapped, rings))
    faults = polygon_faults(polygon)
    return whole_box(polygon) if faults else polygon, [fault.value for fault in faults]


def _ring(written: Any) -> list[FixedPoint]:
    return [FixedPoint(fixed(_degrees(one[1])), fixed(_degrees(one[0]))) for one in written]


def _degrees(written: Any) -> Decimal:
    """A coordinate as written. TypeError for what is no number, ValueError for one beyond any use."""
    if isinstance(written, bool) or not isinstance(written, int | Decimal):
        raise TypeError("no number")
    degrees = Decimal(written)
    if not degrees.is_finite() or abs(degrees) >= _BEYOND_USE:
        raise ValueError("too large")
    return degrees


def _misplaced(points: list[FixedPoint], *, empty: bool) -> FeatureFault | None:
    """What makes the points useless as a place: none at all, off the earth, or axes that look swapped."""
    if empty or not points:
        return FeatureFault.NO_PLACE
    degrees = [Place(point.latitude / 1e15, point.longitude / 1e15) for point in points]
    if any(abs(one.latitude_deg) > 90 for one in degrees):
        turned = all(abs(one.longitude_deg) <= 90 for one in degrees)
        return FeatureFault.SWAPPED if turned else FeatureFault.OFF_THE_EARTH
    if any(abs(one.longitude_deg) > 360 for one in degrees):
        return FeatureFault.OFF_THE_EARTH
    first = degrees[0]
    if not is_in_united_states(first) and is_in_united_states(Place(first.longitude_deg, first.latitude_deg)):
        return FeatureFault.SWAPPED
    return None
