"""Areas of an edition: outlines with what is known of each, found by their boxes."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from typing import NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.limits import OPEN, HeightLimit
from airwrit.airspace.problems import FeatureProblem
from airwrit.geo.fixed import TURN, FixedBox, FixedPoint
from airwrit.geo.shapes import Polygon, box_of

Whole: TypeAlias = NDArray[np.int64]


class AreaFacts(NamedTuple):
    """What is known of an area: its name and type, its limits or its number of a map cell, its hours as written."""

    name: str
    type: str = ""
    floor: HeightLimit = OPEN
    ceiling: HeightLimit = OPEN
    number_ft: int | None = None
    hours: str = ""
    problems: tuple[FeatureProblem, ...] = ()


class Area(NamedTuple):
    """What is known of an area, and its polygons."""

    facts: AreaFacts
    polygons: tuple[Polygon, ...]


@dataclass(frozen=True, slots=True)
class Areas:
    """Areas packed: `points` (n, 2) latitude and longitude, ring sizes of each polygon of each area, `boxes` (m, 4)."""

    facts: tuple[AreaFacts, ...]
    sizes: tuple[tuple[tuple[int, ...], ...], ...]
    points: Whole
    boxes: Whole

    def near(self, box: FixedBox) -> Iterator[Area]:
        """The areas whose box meets a box, a full turn more or less too."""
        south, north, west, east = self.boxes.T
        level = (south <= box.north) & (north >= box.south)
        meets = np.zeros(len(self.facts), dtype=bool)
        for turn in (-TURN, 0, TURN):
            meets |= level & (west <= box.east + turn) & (east >= box.west + turn)
        starts = np.cumsum([0, *(sum(map(sum, size)) for size in self.sizes)])
        for at in np.flatnonzero(meets):
            yield Area(self.facts[at], self._polygons(int(at), int(starts[at])))

    def _polygons(self, at: int, start: int) -> tuple[Polygon, ...]:
        made = []
        for sizes in self.sizes[at]:
            rings = []
            for size in sizes:
                rows = self.points[start : start + size].tolist()
                rings.append(tuple(FixedPoint(*row) for row in rows))
                start += size
            made.append(tuple(rings))
        return tuple(made)


def packed(areas: Sequence[Area]) -> Areas:
    """Areas with their points in one table and a box each."""
    points = [point for area in areas for polygon in area.polygons for ring in polygon for point in ring]
    boxes = [box_of(p for polygon in area.polygons for ring in polygon for p in ring) for area in areas]
    return Areas(
        tuple(area.facts for area in areas),
        tuple(tuple(tuple(map(len, polygon)) for polygon in area.polygons) for area in areas),
        np.array(points, dtype=np.int64).reshape(-1, 2),
        np.array(boxes, dtype=np.int64).reshape(-1, 4),
    )
