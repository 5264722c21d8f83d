"""A temporary flight restriction's XML as features, one for each outline of each of its areas.

The final outline (`abdMergedArea`) counts before the shapes that it was made of; each of several shapes counts, since which of
them is cut out isn't read. Edges told as geodesics and arcs get places between their ends, so that straight lines in latitude
and longitude stay on them, to 2 m at 30 nautical miles. Times in another zone than UTC count by both clocks, since the files
have been read either way: from the earlier begin to the later end. Document types and entities are refused.
Source: a published file, shortened by its publisher; the names of schedules and arcs as seen in public text, no sample.
"""

from __future__ import annotations

import math
import re
from collections.abc import Iterable, Iterator, Mapping
from datetime import UTC, datetime, timedelta, timezone
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple
from xml.parsers import expat

from airwrit.airspace.hours import ALL_WEEK, DAY_MINUTES, WEEKDAYS, WeeklyHours
from airwrit.airspace.readers.features import Feature
from airwrit.base.errors import UnreadableFile
from airwrit.base.places import Place
from airwrit.geo.earth import M_PER_NM, azimuth_deg, geodesic_m, place_from, places_between

_ROOT = "XNOTAM-Update"
_DEEPEST, _MOST_ELEMENTS = 40, 500_000
_STEP_M = 5_000.0
_METERS = {"NM": M_PER_NM, "KM": 1000.0}
_STRAIGHT = ("GRC", "RHL", "FNT")
_ARCS = {"CWA": 1, "CCA": -1}
_ARC_STEP_DEG = 1.0
_ARC_OFF = 0.02
"""Share of its radius by which the ends of an arc may miss it. Our own figure, no source."""
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
        return "" if found is None else _said_of(found)

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
            path, f"this XML file isn't a temporary flight restriction. It starts with <{root.name[:40]}>"
        )
    at = 0
    for notice in root.every("Not"):
        common = _of_notice(notice, zones)
        groups = list(notice.every("TFRAreaGroup"))
        for group in groups or [Element("", [], [])]:
            told = common | _heights(group) | schedule_of(group.first("aseTFRArea") or group, notice, zones)
            for geometry in _geometries(group):
                at += 1
                yield Feature(f"{path.name} area {at}", told, geometry)


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
        raise _refused(
            path, "the file has a DOCTYPE line, which can hide harmful content, so we don't read it"
        )

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
        "BEGINS": instant_of(notice.said("dateEffective"), zone, zones, last=False),
        "ENDS": instant_of(notice.said("dateExpire"), zone, zones, last=True),
        "TEXT": notice.said("txtDescrPurpose") or notice.said("txtDescrTraditional"),
    }


def instant_of(text: str, zone: str, zones: Mapping[str, float], *, last: bool) -> datetime | str | None:
    """The first or the last instant that a date and time may mean; None where none is told, the text of what can't be read."""
    if not text:
        return None
    offset = zones.get(zone.upper())
    try:
        moment = datetime.fromisoformat(text)
        if moment.tzinfo is not None:
            return moment.astimezone(UTC)
        if offset is None:
            return f"{text} {zone}"
        both = [moment.replace(tzinfo=timezone(timedelta(hours=hours))) for hours in (0, offset)]
        return (max if last else min)(both).astimezone(UTC)
    except (ValueError, OverflowError):
        return f"{text} {zone}"


def schedule_of(area: Element, notice: Element, zones: Mapping[str, float]) -> dict[str, Any]:
    """The hours of an area's schedules: understood, or as written, which then bound nothing."""
    groups = [one for one in area.inside if one.name == "ScheduleGroup"]
    is_scheduled = area.said("isScheduledTfrArea").upper() == "TRUE"
    if not groups:
        return {"HOURS": "on a schedule that the file doesn't tell" if is_scheduled else ""}
    try:
        days = _days_told([*area.inside, *(part for group in groups for part in group.inside)])
        zone = notice.said("codeTimeZone")
        return {
            "HOURS": "",
            "WEEKLY": tuple(one for group in groups for one in _hours_of(group, days, zone, zones)),
        }
    except ValueError:
        return {"HOURS": "; ".join(" ".join(_words(one)) for one in groups)}


def _hours_of(
    group: Element, days: tuple[int, ...], zone: str, zones: Mapping[str, float]
) -> Iterator[WeeklyHours]:
    """The hours of a schedule: each day from a time to another, or all of its days. ValueError where it can't be read.

    By which clock a day begins isn't told, so the day after each counts too.
    """
    first, last = (
        instant_of(group.said(name), zone, zones, last=late)
        for name, late in (("dateEffective", False), ("dateExpire", True))
    )
    if isinstance(first, str) or isinstance(last, str):
        raise ValueError("a day that can't be read")
    if group.said("isTimeSeparate").upper() != "TRUE":
        yield WeeklyHours(ALL_WEEK, 0, DAY_MINUTES, in_utc=True, first=first, last=last)
        return
    clocks = [datetime.fromisoformat(group.said(name)) for name in ("startTime", "endTime")]
    start, end = (clock.hour * 60 + clock.minute for clock in clocks)
    end += DAY_MINUTES if end <= start else 0
    around = tuple(sorted({(day + more) % 7 for day in days for more in (0, 1)}))
    for ahead in sorted({0, round(-60 * zones[zone.upper()]) if zone.upper() in zones else 0}):
        moved, over = (start + ahead) % DAY_MINUTES, (start + ahead) // DAY_MINUTES
        told = tuple(sorted((day + over) % 7 for day in around))
        yield WeeklyHours(told, moved, moved + end - start, in_utc=True, first=first, last=last)


def _days_told(parts: Iterable[Element]) -> tuple[int, ...]:
    """The weekdays that are named. ValueError where one isn't known; every day where none is."""
    names = [_said_of(one)[:3].upper() for one in parts if one.name == "dayCode"]
    if not names or "DAI" in names:
        return ALL_WEEK
    return tuple(WEEKDAYS.index(name) for name in names)


def _heights(group: Element) -> dict[str, Any]:
    area = group.first("aseTFRArea") or group
    found: dict[str, Any] = {"AREA": area.said("txtName")}
    for ours, theirs in (("LOWER", "Lower"), ("UPPER", "Upper")):
        value, code = area.said(f"valDistVer{theirs}"), area.said(f"codeDistVer{theirs}")
        at_surface = ours == "LOWER" and value.strip("0.") == "" and value != ""
        found[f"{ours}_VAL"] = value
        found[f"{ours}_UOM"] = area.said(f"uomDistVer{theirs}")
        found[f"{ours}_CODE"] = "SFC" if at_surface else _REFERENCES.get(code, code)
    return found


def _words(element: Element) -> Iterator[str]:
    """All the texts in an element, each with the name it is under."""
    text = _said_of(element)
    if text:
        yield f"{element.name} {text}"
    for one in element.inside:
        yield from _words(one)


def _said_of(element: Element) -> str:
    return " ".join("".join(element.text).split())


def _geometries(group: Element) -> list[Any]:
    """The outlines of an area: the final ones, or those of its shapes; one that is none where it tells none."""
    merged = [list(one.every("Avx")) for one in group.inside if one.name == "abdMergedArea"]
    finals = [corners for corners in merged if len(corners) >= 3]
    if finals:
        return [_polygon(corners) for corners in finals]
    shapes = group.first("aseShapes") or Element("", [], [])
    parts = [one for one in shapes.inside if one.name == "Abd"] or [shapes]
    return [_shape(list(part.every("Avx"))) for part in parts]


def _shape(corners: list[Element]) -> Any:
    if len(corners) == 1 and corners[0].said("codeType") == "CIR":
        return _circle(corners[0])
    is_round = any(one.said("codeType") in _ARCS for one in corners)
    return _polygon(corners) if len(corners) >= 3 or is_round else None


def _polygon(corners: list[Element]) -> Any:
    """A closed ring. Where an edge can't be followed it is told as no area."""
    if any(one.said("codeType") not in (*_STRAIGHT, *_ARCS) for one in corners):
        return {"type": "edges", "coordinates": True}
    places = [_place(one) for one in corners]
    if None in places:
        return {"type": "Polygon", "coordinates": [[["", ""]]]}
    known = [place for place in places if place is not None]
    ring: list[Place] = known[:1]
    for corner, (one, other) in zip(corners, pairwise([*known, known[0]]), strict=True):
        edge = _edge(corner, one, other)
        if edge is None:
            return {"type": "arcs", "coordinates": True}
        ring += [*edge, other] if one != other or edge else []
    points = [[Decimal(repr(place.longitude_deg)), Decimal(repr(place.latitude_deg))] for place in ring]
    return {"type": "Polygon", "coordinates": [points]}


def _edge(corner: Element, one: Place, other: Place) -> list[Place] | None:
    """Places along the edge that leaves a corner; None for an arc whose center and ends don't fit."""
    turn = _ARCS.get(corner.said("codeType"))
    if turn is None:
        return places_between(one, other, _STEP_M)
    center = _place(corner, "geoLatArc", "geoLongArc")
    if center is None:
        return None
    radii = geodesic_m(center, one), geodesic_m(center, other)
    told = _radius_m(corner)
    fits = [abs(radius - radii[0]) <= _ARC_OFF * radii[0] for radius in (radii[1], told or radii[1])]
    if not all(fits) or min(radii) <= 0:
        return None
    begin, end = (azimuth_deg(center, place) for place in (one, other))
    sweep = (turn * (end - begin)) % 360 or 360.0
    steps = math.ceil(sweep / _ARC_STEP_DEG)
    return [
        place_from(center, begin + turn * sweep * at / steps, radii[0] + (radii[1] - radii[0]) * at / steps)
        for at in range(1, steps)
    ]


def _circle(corner: Element) -> Any:
    center, radius = _place(corner), _radius_m(corner)
    if center is None or radius is None:
        return None
    return {"type": "Circle", "center": center, "radius_m": radius}


def _radius_m(corner: Element) -> float | None:
    """The radius of a corner in meters; None where it tells none that can be."""
    meters = _METERS.get(corner.said("uomRadiusArc").upper())
    try:
        radius = float(corner.said("valRadiusArc"))
    except ValueError:
        return None
    return radius * meters if meters is not None and 0 < radius < 1000 else None


def _place(corner: Element, north: str = "geoLat", east: str = "geoLong") -> Place | None:
    halves = [_HALF.fullmatch(corner.said(name).strip().upper()) for name in (north, east)]
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
