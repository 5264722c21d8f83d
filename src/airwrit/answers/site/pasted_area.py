"""An area pasted from another program, GeoJSON or KML, as the text that a person would type. Both write longitude first."""

from __future__ import annotations

import io
import json
from collections.abc import Iterator, Sequence
from typing import Any

from airwrit.answers.site.area import read_area
from airwrit.base.errors import AirwritError, BadFact
from airwrit.base.places import Place, is_in_united_states
from airwrit.facts.keys.flights.planning import SITE_AREA
from airwrit.facts.statement import Statement
from airwrit.geo.footprint import Footprint
from airwrit.tracks.readers.xml_events import XmlEvents

_ONE = "paste one area at a time"
_MOST_TEXT = 200_000
_HELD = {"Feature": "geometry", "FeatureCollection": "features", "GeometryCollection": "geometries"}


def area_pasted(text: str) -> str:
    """The text itself where it is typed; corners, or a place, of GeoJSON or KML. BadFact says what it can't be."""
    said = text.strip().removeprefix("\ufeff").lstrip()
    if len(said) > _MOST_TEXT:
        raise BadFact("this text is too long for an area", do=_ONE)
    if said.startswith("{"):
        return _typed(_of_geojson(said), "GeoJSON")
    if said.startswith("<"):
        return _typed(_of_kml(said), "KML")
    return text


def read_any_area(text: str) -> Footprint:
    """The area that a typed or pasted text tells. BadFact for what is none."""
    return read_area(area_pasted(text))


def check_site(statement: Statement) -> None:
    """Nothing, unless a statement gives a saved site an area that can't be read: then BadFact names the site."""
    if statement.key != SITE_AREA.name or type(statement.value) is not str:
        return
    try:
        read_any_area(statement.value)
    except BadFact as fault:
        raise BadFact(fault.what, where=f"{statement.subject}, {SITE_AREA.meaning}", do=fault.do) from fault


def _typed(shapes: Sequence[Sequence[tuple[float, float]]], form: str) -> str:
    if not shapes:
        raise BadFact(f"there is no area in this {form}", do="paste a polygon or a point")
    if len(shapes) > 1:
        raise BadFact(f"there are {len(shapes)} areas in this {form}", do=_ONE)
    if not shapes[0]:
        raise BadFact(f"the area in this {form} has no coordinates", do="paste a polygon with its corners")
    places = [Place(latitude, longitude) for longitude, latitude in shapes[0]]
    turned = [Place(one.longitude_deg, one.latitude_deg) for one in places]
    if not any(map(is_in_united_states, places)) and all(map(is_in_united_states, turned)):
        raise BadFact(
            f"the coordinates in this {form} look swapped",
            do=f"{form} puts longitude first. Paste it in that format, or type it as latitude, longitude",
        )
    if len(places) > 1 and places[0] == places[-1]:
        places = places[:-1]
    return "; ".join(f"{one.latitude_deg:.7f}, {one.longitude_deg:.7f}" for one in places)


def _of_geojson(text: str) -> list[list[tuple[float, float]]]:
    try:
        return [_positions(ring) for ring in _rings(json.loads(text), 0)]
    except (ValueError, KeyError, TypeError, IndexError, RecursionError) as fault:
        raise BadFact("we can't read this GeoJSON", do="paste the whole of it, with one polygon") from fault


def _rings(told: dict[str, Any], depth: int) -> Iterator[Any]:
    """The outer ring of each polygon, each point. BadFact for a polygon with holes and for lines."""
    kind = told["type"]
    if kind in _HELD and depth < 9:
        held = told[_HELD[kind]]
        for one in held if isinstance(held, list) else [held]:
            yield from _rings(one, depth + 1)
        return
    if kind == "Point":
        yield [told["coordinates"]]
        return
    polygons = {"Polygon": [told["coordinates"]], "MultiPolygon": told["coordinates"]}.get(kind)
    if polygons is None:
        raise BadFact(f"a {str(kind)[:40]} isn't an area", do="paste a polygon or a point")
    for polygon in polygons:
        if len(polygon) > 1:
            raise BadFact("this area has holes", do="paste its outer edge alone")
        yield polygon[0] if polygon else []


def _positions(ring: Sequence[Sequence[float]]) -> list[tuple[float, float]]:
    return [(float(position[0]), float(position[1])) for position in ring]


def _of_kml(text: str) -> list[list[tuple[float, float]]]:
    """The outer ring of each polygon and each point of a KML document."""
    found: list[list[tuple[float, float]]] = []
    inside: list[str] = []

    def end(name: str, told: str) -> None:
        inside.pop()
        if name != "coordinates":
            return
        if "innerBoundaryIs" in inside:
            raise BadFact("this area has holes", do="paste its outer edge alone")
        if "Polygon" in inside or "Point" in inside:
            found.append([_kml_position(part) for part in told.split()])

    events = XmlEvents(lambda name, _: inside.append(name), end)
    try:
        whole = events.read(io.BytesIO(text.encode("utf-8", "replace")), "KML")
    except BadFact:
        raise
    except AirwritError as fault:
        raise BadFact(fault.what, do=fault.do) from fault
    if not whole:
        raise BadFact("this KML is broken off", do="paste the whole of it")
    return found


def _kml_position(text: str) -> tuple[float, float]:
    try:
        longitude, latitude = (float(part) for part in text.split(",")[:2])
    except ValueError as fault:
        raise BadFact(f"{text[:40]!r} isn't a position", do="KML writes longitude,latitude") from fault
    return longitude, latitude
