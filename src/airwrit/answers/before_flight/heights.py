"""How high the flight could go: over the whole area, and over each part of it where airspace or a structure differs."""

from __future__ import annotations

import math
from collections.abc import Container, Iterator
from dataclasses import replace
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.areas import Area
from airwrit.airspace.grid import PER_DEGREE
from airwrit.airspace.here import Here, VolumeTouched, layers_on
from airwrit.airspace.hours import ActiveState
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import HeightLimit, Reach, Reference
from airwrit.answers.airspace.at import INFORMS
from airwrit.answers.before_flight.check import FlightCheck, light_over, moment_of
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import Surroundings, lasting_facts
from airwrit.answers.before_flight.windows import LookAround
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.key import value_of
from airwrit.facts.keys.flights.airspace import AUTHORIZED_HEIGHT
from airwrit.geo.fixed import DEGREE
from airwrit.geo.footprint import Footprint, box_of_footprint, nearness_m
from airwrit.law.flight.airspace import (
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
    RESTRICTED_AREA_PERMISSION_RULE,
    TFR_RULE,
)
from airwrit.law.flight.limits import STRUCTURE_ABOVE, STRUCTURE_RADIUS
from airwrit.law.parameters import Law
from airwrit.law.shared_parameters import HEIGHT_LIMIT

_ACROSS = 32
"""So many points across the area tell which of its parts lies where. A volume that none of them meets is a part of its own."""
_MOST_OF_IT = 0.8
_NEAR_MIDDLE = 0.2
_SIDES = ("north", "northeast", "east", "southeast", "south", "southwest", "west", "northwest")
_OF_THE_PLACE = (AUTHORITY_CONTROLLED_AIRSPACE_RULE, TFR_RULE, RESTRICTED_AREA_PERMISSION_RULE)
"""Rules that leave no height at all where they are broken near the ground."""

FACILITY_MAP = "facility_map"
"""Stands for a map cell where nobody told the class of the airspace."""
_LOW = Decimal(1)
Whole = NDArray[np.int64]
Volume = tuple[AreaKind, str, str, HeightLimit, HeightLimit]
"""A volume by its kind, layer, name and limits."""


class AreaPart(NamedTuple):
    """A part of the area: its map number (None where no cell is), its volumes, its share of the area, and where it lies.

    `side` is a side of the compass, "middle", "most", or "edge" where it is too small to be met by any point.
    """

    number_ft: int | None
    volumes: frozenset[Volume]
    share: float
    side: str
    middle: Place | None
    near_structure: bool = False


class PartHeight(NamedTuple):
    """A part of the area with the greatest height there, in feet above ground; None where no height is allowed."""

    part: AreaPart
    highest_ft: Decimal | None


class HeightsFound(NamedTuple):
    """The greatest height over the whole area, and over each part, the lowest first; none where all of it is alike.

    `barred_by` is the rule for which no height is allowed, "" where one is.
    """

    highest_ft: Decimal | None
    barred_by: str = ""
    parts: tuple[PartHeight, ...] = ()


def heights_of(check: FlightCheck, program: Program, look: LookAround, folder: Path | None) -> HeightsFound:
    """The greatest height, over the whole area and by parts."""
    highest, barred = highest_of(check, program, look)
    parts = [*parts_of(check.plan, check.around.here, folder), *_near_structure(check.plan)]
    if len(parts) == 1 and parts[0].near_structure:
        parts.insert(0, AreaPart(None, frozenset(), 1.0, "most", None))
    if len(parts) < 2:
        return HeightsFound(highest, barred)
    found = [PartHeight(one, _highest_in(one, check, program, look)) for one in parts]
    alike: dict[tuple[Decimal | None, int | None, bool], PartHeight] = {}
    for one in sorted(found, key=lambda one: -one.part.share):
        alike.setdefault((one.highest_ft, one.part.number_ft, one.part.near_structure), one)
    if len(alike) < 2:
        return HeightsFound(highest, barred)
    return HeightsFound(highest, barred, tuple(sorted(alike.values(), key=_by_height)))


def _by_height(one: PartHeight) -> tuple[Decimal, int]:
    return one.highest_ft or Decimal(0), one.part.number_ft or 0


def highest_of(check: FlightCheck, program: Program, look: LookAround) -> tuple[Decimal | None, str]:
    """The greatest height, in feet above ground, that breaks no rule which a lower flight would not break too.

    None, with the rule, where a flight is not allowed even near the ground for its place: controlled airspace, a notice; and
    where the facility map has a cell, which lies in controlled airspace, while the class is open.
    """
    plan = check.plan
    takeoff = light_over(plan, plan.starts, plan.ends)(plan.starts)

    @cache
    def verdicts(height: Decimal) -> dict[str, Verdict]:
        lower = plan.at_height(height)
        moment = moment_of(lower, program, lasting_facts(lower, look(lower)), takeoff)
        return {one.finding.rule.name: one.verdict for one in moment.clauses}

    def broken(height: Decimal) -> set[str]:
        return {name for name, verdict in verdicts(height).items() if verdict is Verdict.NOT_MET}

    lowest = broken(_LOW)
    barred = next((rule.name for rule in _OF_THE_PLACE if rule.name in lowest), "")
    here = look(plan.at_height(_LOW)).here
    is_open = verdicts(_LOW).get(AUTHORITY_CONTROLLED_AIRSPACE_RULE.name) is Verdict.UNKNOWN
    if not barred and is_open and here is not None and here.numbers_ft:
        barred = FACILITY_MAP
    if barred:
        return None, barred
    return next((height for height in _heights(check, program) if broken(height) == lowest), None), ""


def _heights(check: FlightCheck, program: Program) -> list[Decimal]:
    """Every height at which something may turn, the greatest first; one foot below a floor."""
    plan, here = check.plan, check.around.here
    law = Law(plan.starts.astimezone(plan.zone.info).date())
    found = {Decimal(law[HEIGHT_LIMIT])}
    if plan.structure is not None:
        found.add(plan.structure.top_ft + law[STRUCTURE_ABOVE])
    found |= set() if here is None else {*_below_floors(here)}
    for answer in () if check.around.weather is None else check.around.weather.answers:
        if answer.highest_ft is not None and answer.highest_ft > 0:
            found.add(answer.highest_ft)
    for item in (*program.known, *program.told):
        if item.statement.key == AUTHORIZED_HEIGHT.name and isinstance(item.statement.value, str):
            found.add(value_of(AUTHORIZED_HEIGHT, item.statement.value))
    return sorted(found, reverse=True)


def _below_floors(here: Here) -> Iterator[Decimal]:
    """A foot below each floor, above the highest ground where it is told above sea level and the ground is known."""
    for one in here.touched:
        floor, ground = one.area.floor, here.asked.ground
        if floor.reference is Reference.GROUND and floor.feet > 1:
            yield Decimal(floor.feet - 1)
        elif floor.reference is Reference.SEA and ground is not None:
            above = math.floor(floor.feet - ground.highest_ft) - 1
            if above > 0:
                yield Decimal(above)


def _highest_in(part: AreaPart, check: FlightCheck, program: Program, look: LookAround) -> Decimal | None:
    """The greatest height in a part of the area, by what is looked up there."""
    plan = check.plan
    if part.near_structure and plan.structure is not None:
        near = plan._replace(structure=plan.structure._replace(distance_ft=_radius_ft(plan)))
        return highest_of(replace(check, plan=near), program, look)[0]
    return highest_of(check, program, lambda other: _only(look(other), part))[0]


def _only(around: Surroundings, part: AreaPart) -> Surroundings:
    """What was looked up, but for the volumes and map cells that are not over a part."""
    here = around.here
    if here is None:
        return around
    here = here._replace(
        touched=tuple(one for one in here.touched if one.kind in INFORMS or _volume_of(one) in part.volumes),
        layers=tuple(
            one._replace(numbers_ft=tuple(number for number in one.numbers_ft if number == part.number_ft))
            for one in here.layers
        ),
        cells=tuple(one for one in here.cells if one.number_ft == part.number_ft),
    )
    return around._replace(here=here)


def _may_matter(one: VolumeTouched) -> bool:
    """Whether a volume may bind a flight there at some height: it is active then, and doesn't end below the flight."""
    return (
        one.kind not in INFORMS
        and one.times.state is not ActiveState.NOT
        and one.reach is not Reach.ABOVE_CEILING
    )


def _volume_of(one: VolumeTouched) -> Volume:
    return one.kind, one.layer, one.area.name, one.area.floor, one.area.ceiling


def parts_of(plan: FlightPlan, here: Here | None, folder: Path | None) -> Iterator[AreaPart]:
    """The parts of an area with different airspace or map cells over them; each volume and cell is in one of them at least."""
    if here is None or folder is None:
        return
    touched = {_volume_of(one) for one in here.touched if _may_matter(one)}
    points = _points_in(plan.footprint)
    numbers, over = _numbers_and_volumes(plan, folder, points, touched)
    rows = [
        (None if number < 0 else number, frozenset(name for name, mask in over.items() if mask[at]))
        for at, number in enumerate(numbers.tolist())
    ]
    for alike in dict.fromkeys(rows):
        mask = np.array([row == alike for row in rows])
        yield AreaPart(*alike, float(mask.mean()), _side_of(points, mask), _place_in(points[mask]))
    met = {name for _, names in rows for name in names}
    for name in sorted(touched - met, key=str):
        yield AreaPart(None, frozenset({name}), 0.0, "edge", None)
    for number in sorted(set(here.numbers_ft) - {number for number, _ in rows}):
        yield AreaPart(number, frozenset(), 0.0, "edge", None)


def _near_structure(plan: FlightPlan) -> Iterator[AreaPart]:
    """The part near a structure, where the flight goes farther from it than the law counts as near."""
    if plan.structure is not None and plan.structure.distance_ft > _radius_ft(plan):
        yield AreaPart(None, frozenset(), 0.0, "structure", plan.structure.place, True)


def _radius_ft(plan: FlightPlan) -> Decimal:
    return Decimal(Law(plan.starts.astimezone(plan.zone.info).date())[STRUCTURE_RADIUS])


def _points_in(area: Footprint) -> Whole:
    """Points all over an area, as fixed whole numbers (n, 2); the middle of its box where none lies in it."""
    box = box_of_footprint(area)
    shares = (np.arange(_ACROSS) + 0.5) / _ACROSS
    grid = np.meshgrid(
        box.south + shares * (box.north - box.south),
        box.west + shares * (box.east - box.west),
        indexing="ij",
    )
    points = np.column_stack([side.ravel() for side in grid]).astype(np.int64)
    inside = points[_covers(area, points)]
    return inside if len(inside) else points[len(points) // 2 :][:1]


def _covers(area: Footprint, points: Whole) -> NDArray[np.bool_]:
    found: NDArray[np.bool_] = nearness_m(area, points) <= area.radius_m
    return found


def _numbers_and_volumes(
    plan: FlightPlan, folder: Path, points: Whole, touched: Container[Volume]
) -> tuple[Whole, dict[Volume, NDArray[np.bool_]]]:
    """The map number at each point (the least of several, -1 for none), and which points each volume covers."""
    box = box_of_footprint(plan.footprint)
    numbers, over = np.full(len(points), -1, dtype=np.int64), dict[Volume, NDArray[np.bool_]]()
    cells = np.floor(points / DEGREE * PER_DEGREE)
    for layer in layers_on(folder, plan.starts.astimezone(plan.zone.info).date()):
        if layer.edition is None:
            continue
        for cell in layer.edition.grid.cells_in(box):
            numbers[(cells == (cell.row, cell.column)).all(axis=1)] = cell.number_ft
        for area in layer.edition.areas.near(box):
            facts = area.facts
            name = layer.day.kind, layer.day.layer, facts.name, facts.floor, facts.ceiling
            if layer.day.kind is AreaKind.GRID:
                numbers[_under(area, points)] = facts.number_ft or 0
            elif name in touched:
                over[name] = over.get(name, np.zeros(len(points), dtype=bool)) | _under(area, points)
    return numbers, over


def _under(area: Area, points: Whole) -> NDArray[np.bool_]:
    """Which points lie in an area."""
    found = np.zeros(len(points), dtype=bool)
    for one in area.footprints:
        found |= _covers(one, points)
    return found


def _side_of(points: Whole, mask: NDArray[np.bool_]) -> str:
    """On which side of all points some of them lie."""
    if mask.mean() >= _MOST_OF_IT:
        return "most"
    low, high = points.min(axis=0), points.max(axis=0)
    half = np.maximum((high - low) / 2, 1)
    north, east = ((points[mask].mean(axis=0) - (low + high) / 2) / half).tolist()
    if math.hypot(north, east) < _NEAR_MIDDLE:
        return "middle"
    return _SIDES[round(math.degrees(math.atan2(east, north)) / 45) % len(_SIDES)]


def _place_in(points: Whole) -> Place:
    """The point nearest to the middle of some."""
    away = ((points - points.mean(axis=0)) ** 2).sum(axis=1)
    latitude, longitude = (points[int(away.argmin())] / DEGREE).tolist()
    return Place(latitude, longitude)
