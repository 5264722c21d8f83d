"""Volumes read from features: class airspace, special use airspace, the program's own areas.

What can't be read of a floor or a ceiling makes the volume reach from the ground up without end. Hours are kept as written.
"""

from __future__ import annotations

from collections.abc import Iterable
from typing import Any

from airwrit.airspace.areas import Area, AreaFacts
from airwrit.airspace.cells import Names, field
from airwrit.airspace.geojson import Feature, outline_of
from airwrit.airspace.limits import OPEN, HeightLimit, is_upside_down, read_limit
from airwrit.airspace.problems import FeatureFault, FeatureProblem

_LONGEST = 300


def read_volumes(features: Iterable[Feature], names: Names) -> tuple[list[Area], list[FeatureProblem]]:
    """The volumes of features, and every problem found."""
    areas: list[Area] = []
    problems: list[FeatureProblem] = []
    for feature in features:
        outline = outline_of(feature)
        found = list(outline.problems)
        if outline.polygons:
            floor, ceiling, faults = _limits(feature, names)
            found += faults
            areas.append(Area(_facts(feature, names["volume"], floor, ceiling, found), outline.polygons))
        problems += found
    return areas, problems


def _facts(
    feature: Feature, known: Names, floor: HeightLimit, ceiling: HeightLimit, found: list[FeatureProblem]
) -> AreaFacts:
    told = {
        name: _text(field(feature, known[name])) for name in ("name", "type", "letter", "hours", "remark")
    }
    kind = told["type"] if told["type"] not in ("", "CLASS") else f"CLASS_{told['letter']}".rstrip("_")
    hours = "; ".join(filter(None, (told["hours"], told["remark"])))
    return AreaFacts(told["name"] or feature.name, kind, floor, ceiling, None, hours, tuple(found))


def _limits(feature: Feature, names: Names) -> tuple[HeightLimit, HeightLimit, list[FeatureProblem]]:
    floor, of_floor = _limit(feature, names, "floor")
    ceiling, of_ceiling = _limit(feature, names, "ceiling")
    problems = of_floor + of_ceiling
    if not problems and is_upside_down(floor, ceiling):
        return OPEN, OPEN, [FeatureProblem(FeatureFault.FLOOR_ABOVE_CEILING, feature.name)]
    return floor, ceiling, problems


def _limit(feature: Feature, names: Names, end: str) -> tuple[HeightLimit, list[FeatureProblem]]:
    value, unit, reference = (
        field(feature, names["volume"][end + part]) for part in ("", "_unit", "_reference")
    )
    limit, fault = read_limit(value, unit, reference, names)
    return limit, [] if fault is None else [FeatureProblem(fault, feature.name, end)]


def _text(value: Any) -> str:
    """A field as one line of printable text."""
    text = "" if value is None else str(value)
    return " ".join("".join(sign if sign.isprintable() else " " for sign in text).split())[:_LONGEST]
