"""Areas read from features: volumes with floor, ceiling and hours; rings around stadiums; airports, obstacles, outlines.

What can't be read of a floor or a ceiling makes the volume reach from the ground up without end; what can't be read of its
times makes it active all the time.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import datetime
from typing import Any, NamedTuple

from airwrit.airspace.areas import Area, AreaFacts
from airwrit.airspace.hours import read_hours
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import (
    OPEN,
    SURFACE,
    HeightLimit,
    Reference,
    is_upside_down,
    read_limit,
    read_written_limit,
    whole_number,
)
from airwrit.airspace.problems import FeatureFault, FeatureProblem
from airwrit.airspace.readers.features import Feature, field, field_text, located
from airwrit.geo.earth import M_PER_FT, M_PER_NM

Names = Mapping[str, Any]

_DISMANTLED = "D"
_PARTS = ("", "_unit", "_reference")


class _VolumeRead(NamedTuple):
    """What the fields of a feature tell, the radius around its point, and what is wrong with them."""

    facts: AreaFacts
    radius_m: float = 0.0
    problems: tuple[FeatureProblem, ...] = ()


def read_volumes(
    features: Iterable[Feature], kind: AreaKind, names: Names
) -> tuple[list[Area], list[FeatureProblem]]:
    """The areas of features of a kind, and every problem found."""
    read = _READERS.get(kind, _outline)
    areas: list[Area] = []
    problems: list[FeatureProblem] = []
    for feature in features:
        told = read(feature, names)
        where = located(feature, names["point"], told.radius_m)
        found = (*where.problems, *told.problems)
        if where.footprints:
            areas.append(Area(told.facts._replace(problems=found), where.footprints))
        problems += found
    return areas, problems


def _published(feature: Feature, names: Names) -> _VolumeRead:
    """A volume with the fields of class and special use airspace."""
    known = names["volume"]
    floor, ceiling, problems = _limits(
        feature,
        [
            read_limit([field(feature, known[end + part]) for part in _PARTS], names, floor=low)
            for end, low in (("floor", True), ("ceiling", False))
        ],
    )
    told = {name: field_text(feature, known[name]) for name in ("name", "type", "letter", "hours", "remark")}
    kind = told["type"] if told["type"] not in ("", "CLASS") else f"CLASS_{told['letter']}".rstrip("_")
    hours = "; ".join(filter(None, (told["hours"], told["remark"])))
    weekly = read_hours(hours) or ()
    return _VolumeRead(
        AreaFacts(told["name"] or feature.name, kind, floor, ceiling, hours=hours, weekly=weekly),
        0.0,
        problems,
    )


def _restriction(feature: Feature, names: Names) -> _VolumeRead:
    """An area of a temporary flight restriction, as our reader of its XML hands it on."""
    read = _published(feature, names)
    text = field_text(feature, ("TEXT",), 2_000)
    hours, area = field_text(feature, ("HOURS",), 1_000), field_text(feature, ("AREA",))
    times = [feature.fields.get(name) for name in ("BEGINS", "ENDS")]
    weekly = feature.fields.get("WEEKLY")
    begins, ends = (one if isinstance(one, datetime) else None for one in times)
    wrong = [
        FeatureProblem(FeatureFault.TIME, feature.name, one[:60]) for one in times if isinstance(one, str)
    ]
    if begins is not None and ends is not None and ends < begins:
        wrong.append(FeatureProblem(FeatureFault.TIME, feature.name, f"{begins} to {ends}"))
        begins = ends = None
    facts = read.facts._replace(
        name=" ".join(filter(None, (read.facts.name, area))),
        type=field_text(feature, ("TYPE",)),
        hours=hours,
        weekly=weekly if isinstance(weekly, tuple) else (),
        begins=begins,
        ends=ends,
        text=text,
    )
    return _VolumeRead(facts, 0.0, (*read.problems, *wrong))


def _security(feature: Feature, names: Names) -> _VolumeRead:
    """A restriction under 14 CFR 99.7. The form of its heights was never seen, so they are read as text."""
    known = names["security"]
    floor, ceiling, problems = _limits(
        feature,
        [
            read_written_limit(field(feature, known[end]), names, floor=low)
            for end, low in (("floor", True), ("ceiling", False))
        ],
    )
    name = field_text(feature, known["name"]) or feature.name
    hours = "; ".join(filter(None, (field_text(feature, (one,)) for one in known["hours"])))
    text = field_text(feature, known["remark"])
    kind = "part time" if hours else "full time"
    return _VolumeRead(AreaFacts(name, kind, floor, ceiling, hours=hours, text=text), 0.0, problems)


def _stadium(feature: Feature, names: Names) -> _VolumeRead:
    known, ring = names["stadium"], names["stadium_ring"]
    name, status = (field_text(feature, known[one]) for one in ("name", "status"))
    ceiling = HeightLimit(ring["ceiling_ft"], Reference.GROUND)
    return _VolumeRead(
        AreaFacts(name or feature.name, status, SURFACE, ceiling), ring["radius_nm"] * M_PER_NM
    )


def _airport(feature: Feature, names: Names) -> _VolumeRead:
    known = names["airport"]
    told = {one: field_text(feature, known[one]) for one in ("name", "code", "type", "status")}
    name = (
        f"{told['name'] or feature.name} ({told['code']})" if told["code"] else told["name"] or feature.name
    )
    return _VolumeRead(AreaFacts(name, ", ".join(filter(None, (told["type"], told["status"])))))


def _obstacle(feature: Feature, names: Names) -> _VolumeRead:
    """An obstacle as high and as wide as it may be by the accuracy told for it."""
    number, kind, action = (field_text(feature, (one,)) for one in ("OAS", "TYPE", "ACTION"))
    wide, high = names["obstacle_horizontal_ft"], names["obstacle_vertical_ft"]
    off_ft = wide.get(field_text(feature, ("HORIZONTAL",)), max(wide.values()))
    doubt_ft = high.get(field_text(feature, ("VERTICAL",)), max(high.values()))
    top_ft = whole_number(field(feature, ("AGL",)))
    problems = () if top_ft is not None else (FeatureProblem(FeatureFault.NUMBER, feature.name, "height"),)
    ceiling = OPEN if top_ft is None else HeightLimit(top_ft + doubt_ft, Reference.GROUND)
    if action == _DISMANTLED:
        kind += ", dismantled"
    return _VolumeRead(
        AreaFacts(f"{kind} {number}".strip(), "obstacle", SURFACE, ceiling), off_ft * M_PER_FT, problems
    )


def _outline(feature: Feature, names: Names) -> _VolumeRead:
    """An area of which no more than its name is known."""
    return _VolumeRead(AreaFacts(field_text(feature, names["outline"]["name"]) or feature.name))


_READERS: Mapping[AreaKind, Callable[[Feature, Names], _VolumeRead]] = {
    AreaKind.CLASS: _published,
    AreaKind.SPECIAL: _published,
    AreaKind.OWN: _published,
    AreaKind.TFR: _restriction,
    AreaKind.SECURITY: _security,
    AreaKind.STADIUM: _stadium,
    AreaKind.AIRPORT: _airport,
    AreaKind.OBSTACLE: _obstacle,
}


def _limits(
    feature: Feature, read: list[tuple[HeightLimit, FeatureFault | None]]
) -> tuple[HeightLimit, HeightLimit, tuple[FeatureProblem, ...]]:
    """Floor and ceiling; open, with what is wrong, where one can't be read or the floor is above the ceiling."""
    (floor, of_floor), (ceiling, of_ceiling) = read
    problems = tuple(
        FeatureProblem(fault, feature.name, end)
        for fault, end in ((of_floor, "floor"), (of_ceiling, "ceiling"))
        if fault is not None
    )
    if not problems and is_upside_down(floor, ceiling):
        return OPEN, OPEN, (FeatureProblem(FeatureFault.FLOOR_ABOVE_CEILING, feature.name),)
    return floor, ceiling, problems
