"""A temporary flight restriction's XML as features, one for each of its areas.

The final outline (`abdMergedArea`) counts before the shapes that it was made of; edges told as geodesics get places between
their ends, so that straight lines in latitude and longitude stay on them. Document types and entities are refused.
Source: a published file, shortened by its publisher.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple
from xml.parsers import expat

from airwrit.airspace.readers.features import Feature
from airwrit.base.errors import UnreadableFile
from airwrit.base.places import Place
from airwrit.geo.earth import M_PER_NM, places_between

_ROOT = "XNOTAM-Update"
_DEEPEST, _MOST_ELEMENTS = 40, 500_000
_STEP_M = 5_000.0
_METERS = {"NM": M_PER_NM, "KM": 1000.0}
_STRAIGHT = ("GRC", "RHL", "FNT")
_REFERENCES = {"ALT": "MSL", "HEI": "AGL", "STD": "STD"}
_HALF = re.compile(r"(?P<degrees>\d{1,3}(?:\.\d{1,12})?)(?P<letter>[NSEW])")
_SIGN = {"N": 1, "E": 1, "S": -1, "W": -1}


class Element(NamedTuple):
    """An element of XML: its name, its own text, the elements in it."""

    name: str
    text: list[str]
    inside: list[Element]

    def said(self, *path: str) -> str:
        """The text of the first element at a path of names; "" where there is none."""
        found = self.first(*path)
        return "" if found is None else " ".join("".join(found.text).split())

    def first(self, *path: str) -> Element | None:
        """The first element at a path of names."""
        found: Element | None = self
        for name in path:
            found = None if found is None else next((one for one in found.inside if one.name == name), None)
        return found

    def every(self, name: str) -> Iterator[Element]:
        """Every element of a name, however deep."""
        for one in self.inside:
            if one.name == name:
                yield one
            yield from one.every(name)


def tfr_features(path: Path, data: bytes, zones: Mapping[str, float]) -> Iterator[Feature]:
    """The areas of every restriction in a file. UnreadableFile where it is no such file, or is damaged."""
    root = tree_of(path, data)
    if root.name != _ROOT:
        raise _refused(
            path, f"this XML file isn't a temporary flight restriction. It starts with {root.name[:40]}"
        )
    at = 0
    for notice in root.every("Not"):
        common = _of_notice(notice, zones)
        groups = list(notice.every("TFRAreaGroup"))
        for group in groups or [Element("", [], [])]:
            at += 1
            yield Feature(f"{path.name} area {at}", common | _heights(group), _geometry(group))


def tree_of(path: Path, data: bytes) -> Element:
    """The outermost element. UnreadableFile for what is damaged, too deep, too large, or has entities of its own."""
    top = Element("", [], [])
    open_ones = [top]
    count = 0

    def start(name: str, _: dict[str, str]) -> None:
        nonlocal count
        count += 1
        if len(open_ones) > _DEEPEST or count > _MOST_ELEMENTS:
            raise _refused(path, "the file has far more parts than it should")
        element = Element(name, [], [])
        open_ones[-1].inside.append(element)
        open_ones.append(element)

    def end(_: str) -> None:
        open_ones.pop()

    def inside(text: str) -> None:
        open_ones[-1].text.append(text)

    def doctype(*_: Any) -> None:
        raise _refused(path, "the file declares its own document type, which can hide what is in it")

    parser = expat.ParserCreate()
    parser.StartElementHandler = start
    parser.EndElementHandler = end
    parser.CharacterDataHandler = inside
    parser.StartDoctypeDeclHandler = doctype
    parser.EntityDeclHandler = doctype
    try:
        parser.Parse(data, True)
    except (expat.ExpatError, ValueError, LookupError) as error:
        raise _refused(path, f"the XML is damaged ({error})") from None
    return top.inside[0]


def _of_notice(notice: Element, zones: Mapping[str, float]) -> dict[str, Any]:
    name, zone = notice.said("NotUid", "txtLocalName"), notice.said("codeTimeZone")
    places = [
        ", ".join(filter(None, (one.said("txtNameCity"), one.said("txtNameUSState"))))
        for one in notice.every("AffLocGroup")
    ]
    types = list(dict.fromkeys(one.said("codeType") for one in notice.every("TfrNot")))
    return {
        "NAME": " ".join(filter(None, (f"TFR {name}".strip(), "; ".join(places)))),
        "TYPE": ", ".join(filter(None, types)),
        "BEGINS": instant_of(notice.said("dateEffective"), zone, zones),
        "ENDS": instant_of(notice.said("dateExpire"), zone, zones),
        "TEXT": notice.said("txtDescrPurpose") or notice.said("txtDescrTraditional"),
    }


def instant_of(text: str, zone: str, zones: Mapping[str, float]) -> datetime | str | None:
    """An instant of a date and time in a zone by its letters; None where nothing is told, the text where it can't be read."""
    if not text:
        return None
    offset = zones.get(zone.upper())
    try:
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is None:
            if offset is None:
                return f"{text} {zone}"
            moment = moment.replace(tzinfo=timezone(timedelta(hours=offset)))
        return moment.astimezone(UTC)
    except (ValueError, OverflowError):
        return f"{text} {zone}"


def _heights(group: Element) -> dict[str, Any]:
    area = group.first("aseTFRArea") or group
    found: dict[str, Any] = {"AREA": area.said("txtName")}
    for ours, theirs in (("LOWER", "Lower"), ("UPPER", "Upper")):
        value, code = area.said(f"valDistVer{theirs}"), area.said(f"codeDistVer{theirs}")
        at_surface = ours == "LOWER" and value.strip("0.") == "" and value != ""
        found[f"{ours}_VAL"] = value
        found[f"{ours}_UOM"] = area.said(f"uomDistVer{theirs}")
        found[f"{ours}_CODE"] = "SFC" if at_surface else _REFERENCES.get(code, code)
    schedules = [" ".join(_words(one)) for one in area.every("ScheduleGroup")]
    return found | {"HOURS": "; ".join(filter(None, schedules))}


def _words(element: Element) -> Iterator[str]:
    """All the texts in an element, each with the name it is under."""
    text = " ".join("".join(element.text).split())
    if text:
        yield f"{element.name} {text}"
    for one in element.inside:
        yield from _words(one)


def _geometry(group: Element) -> Any:
    merged = group.first("abdMergedArea")
    corners = [] if merged is None else list(merged.every("Avx"))
    if len(corners) >= 3:
        return _polygon(corners)
    shapes = group.first("aseShapes")
    made = [] if shapes is None else list(shapes.every("Avx"))
    if len(made) == 1 and made[0].said("codeType") == "CIR":
        return _circle(made[0])
    return _polygon(made) if len(made) >= 3 else None


def _polygon(corners: list[Element]) -> Any:
    """A closed ring. Arcs among the edges are told as no area, since where they run is not read."""
    if any(one.said("codeType") not in _STRAIGHT for one in corners):
        return {"type": "arcs", "coordinates": True}
    places = [_place(one) for one in corners]
    if None in places:
        return {"type": "Polygon", "coordinates": [[["", ""]]]}
    known = [place for place in places if place is not None]
    if known[0] != known[-1]:
        known.append(known[0])
    ring: list[Place] = known[:1]
    for one, other in pairwise(known):
        ring += [*places_between(one, other, _STEP_M), other]
    points = [[Decimal(repr(place.longitude_deg)), Decimal(repr(place.latitude_deg))] for place in ring]
    return {"type": "Polygon", "coordinates": [points]}


def _circle(corner: Element) -> Any:
    center = _place(corner)
    meters = _METERS.get(corner.said("uomRadiusArc").upper())
    try:
        radius = float(corner.said("valRadiusArc"))
    except ValueError:
        return None
    if center is None or meters is None or not 0 < radius < 1000:
        return None
    return {"type": "Circle", "center": center, "radius_m": radius * meters}


def _place(corner: Element) -> Place | None:
    halves = [_HALF.fullmatch(corner.said(name).strip().upper()) for name in ("geoLat", "geoLong")]
    if halves[0] is None or halves[1] is None:
        return None
    if halves[0]["letter"] not in "NS" or halves[1]["letter"] not in "EW":
        return None
    latitude, longitude = (
        float(half["degrees"]) * _SIGN[half["letter"]] for half in halves if half is not None
    )
    return Place(latitude, longitude) if abs(latitude) <= 90 and abs(longitude) <= 180 else None


def _refused(path: Path, what: str) -> UnreadableFile:
    return UnreadableFile(what, where=path.name, do="download the XML of the restriction again")
