"""Areas of an edition: footprints with what is known of each, packed in tables and found by their boxes."""

from __future__ import annotations

import json
import zlib
from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from typing import Any, NamedTuple, TypeAlias

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.hours import SunBound, WeeklyHours
from airwrit.airspace.limits import OPEN, HeightLimit, Reference
from airwrit.airspace.problems import FeatureFault, FeatureProblem
from airwrit.base.errors import UnreadableFile
from airwrit.geo.fixed import TURN, FixedBox
from airwrit.geo.footprint import Footprint, box_of_footprint
from airwrit.geo.shapes import Whole

Table: TypeAlias = NDArray[Any]


class AreaFacts(NamedTuple):
    """What is known of an area: its name and type, its limits or its number of a map cell, and when it is active.

    `hours` are as written; `weekly` what was understood of them, empty where nothing bounds them; `text` is a notice's own.
    """

    name: str
    type: str = ""
    floor: HeightLimit = OPEN
    ceiling: HeightLimit = OPEN
    number_ft: int | None = None
    hours: str = ""
    weekly: tuple[WeeklyHours, ...] = ()
    begins: datetime | None = None
    ends: datetime | None = None
    text: str = ""
    problems: tuple[FeatureProblem, ...] = ()


class Area(NamedTuple):
    """What is known of an area, and its footprints: it is all of them."""

    facts: AreaFacts
    footprints: tuple[Footprint, ...]


@dataclass(frozen=True, slots=True)
class Areas:
    """Areas packed. `points` (n, 2) are latitude and longitude; `rings`, `pieces` and `areas` tell where each starts in those.

    A piece is a footprint: `filled` and `radii_m` are of pieces. `boxes` (m, 4), `told` (where each area's line of `lines`
    starts) and `sums` (CRC-32 of its points and line) are of areas. Tables may lie in a file that is read where needed.
    """

    points: Whole
    rings: Whole
    pieces: Whole
    areas: Whole
    filled: NDArray[np.bool_]
    radii_m: NDArray[np.float64]
    boxes: Whole
    told: Whole
    lines: NDArray[np.uint8]
    sums: NDArray[np.uint32]
    file: str = field(default="", kw_only=True)

    def __len__(self) -> int:
        """How many areas there are."""
        return len(self.boxes)

    @property
    def facts(self) -> tuple[AreaFacts, ...]:
        """What is known of each."""
        return tuple(map(self.facts_of, range(len(self))))

    def facts_of(self, at: int) -> AreaFacts:
        """What is known of one."""
        return _facts_of(json.loads(self.lines[self.told[at] : self.told[at + 1]].tobytes()))

    def area(self, at: int) -> Area:
        """One of the areas. UnreadableFile where it isn't as it was written."""
        if len(self.sums) and self.sum_of(at) != self.sums[at]:
            raise UnreadableFile(
                "this file is damaged: an area's checksum doesn't match",
                where=self.file,
                do="delete it and import the edition again",
            )
        pieces = range(int(self.areas[at]), int(self.areas[at + 1]))
        return Area(self.facts_of(at), tuple(map(self.footprint, pieces)))

    def sum_of(self, at: int) -> int:
        """The CRC-32 of an area's points and line as they are."""
        first, last = (int(self.rings[self.pieces[self.areas[end]]]) for end in (at, at + 1))
        points = np.ascontiguousarray(self.points[first:last])
        line = self.lines[self.told[at] : self.told[at + 1]]
        return zlib.crc32(line.data, zlib.crc32(points.data))

    def sums_of_each(self) -> NDArray[np.uint32]:
        """The CRC-32 of each area as it is."""
        return np.array([self.sum_of(at) for at in range(len(self))], dtype=np.uint32)

    def footprint(self, piece: int) -> Footprint:
        """One of the pieces."""
        rings = range(int(self.pieces[piece]), int(self.pieces[piece + 1]))
        return Footprint(
            tuple(self.points[self.rings[ring] : self.rings[ring + 1]] for ring in rings),
            bool(self.filled[piece]),
            float(self.radii_m[piece]),
        )

    def near(self, box: FixedBox) -> Iterator[Area]:
        """The areas whose box meets a box, a full turn more or less too."""
        south, north, west, east = self.boxes.T
        level = (south <= box.north) & (north >= box.south)
        meets = np.zeros(len(self), dtype=bool)
        for turn in (-TURN, 0, TURN):
            meets |= level & (west <= box.east + turn) & (east >= box.west + turn)
        yield from (self.area(int(at)) for at in np.flatnonzero(meets))


def packed(areas: Sequence[Area]) -> Areas:
    """Areas in tables, with a box each."""
    pieces = [piece for area in areas for piece in area.footprints]
    rings = [ring for piece in pieces for ring in piece.rings]
    lines = [json.dumps(area.facts, default=_as_json).encode() + b"\n" for area in areas]
    boxes = [_hull([box_of_footprint(piece) for piece in area.footprints]) for area in areas]
    return Areas(
        np.concatenate(rings) if rings else np.zeros((0, 2), dtype=np.int64),
        _starts(map(len, rings)),
        _starts(len(piece.rings) for piece in pieces),
        _starts(len(area.footprints) for area in areas),
        np.array([piece.is_filled for piece in pieces], dtype=bool),
        np.array([piece.radius_m for piece in pieces], dtype=np.float64),
        np.array(boxes, dtype=np.int64).reshape(-1, 4),
        _starts(map(len, lines)),
        np.frombuffer(b"".join(lines), dtype=np.uint8),
        np.zeros(0, dtype=np.uint32),
    )


def _starts(sizes: Any) -> Whole:
    return np.cumsum([0, *sizes], dtype=np.int64)


def _hull(boxes: Sequence[FixedBox]) -> FixedBox:
    south, north, west, east = zip(*boxes, strict=True)
    return FixedBox(min(south), max(north), min(west), max(east))


def _as_json(value: Any) -> str:
    if isinstance(value, datetime):
        return value.isoformat()
    raise TypeError(type(value).__name__)


def _facts_of(held: list[Any]) -> AreaFacts:
    name, kind, floor, ceiling, number, hours, weekly, begins, ends, text, problems = held
    return AreaFacts(
        name,
        kind,
        _limit(floor),
        _limit(ceiling),
        number,
        hours,
        tuple(map(_hours, weekly)),
        _moment(begins),
        _moment(ends),
        text,
        tuple(map(problem_of, problems)),
    )


def _hours(held: list[Any]) -> WeeklyHours:
    """Hours as their line tells them; those of an edition kept by an earlier version have fewer parts."""
    whole: list[Any] = held + [None] * (8 - len(held))
    days, start, end, in_utc, start_by, end_by, first, last = whole
    return WeeklyHours(
        tuple(days),
        start,
        end,
        in_utc,
        start_by and SunBound(start_by),
        end_by and SunBound(end_by),
        _moment(first),
        _moment(last),
    )


def _moment(held: str | None) -> datetime | None:
    return None if held is None else datetime.fromisoformat(held)


def _limit(held: list[Any]) -> HeightLimit:
    feet, reference = held
    return HeightLimit(int(feet), Reference(reference))


def problem_of(held: Sequence[str]) -> FeatureProblem:
    """A problem as its line tells it."""
    fault, feature, detail = held
    return FeatureProblem(FeatureFault(fault), feature, detail)
