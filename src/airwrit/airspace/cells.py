"""The facility map read from features: aligned cells for the grid, every other one kept as an area with its number.

A cell whose number can't be read counts as 0, the most restrictive one. A file without the field of the number is refused.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from datetime import UTC, date, datetime
from typing import Any, NamedTuple

from airwrit.airspace.areas import Area, AreaFacts
from airwrit.airspace.grid import GridCell, cell_of, holds
from airwrit.airspace.limits import whole_number
from airwrit.airspace.problems import FeatureFault, FeatureProblem
from airwrit.airspace.readers.features import Feature, field, outline_of
from airwrit.base.errors import UnreadableFile
from airwrit.base.places import Place

HIGHEST_FT, STEP_FT = 400, 50
"""The facility map goes up to 400 feet above ground in steps of 50. Source: FAA JO 7210.3, chapter 12, section 10."""

_DAY = re.compile(r"(\d{1,2})/(\d{1,2})/(\d{4})")
_MILLISECONDS = range(10**11, 10**14)

Names = Mapping[str, Any]


class CellsRead(NamedTuple):
    """Cells of the grid, areas that are off it or damaged, problems of what has no place, the latest effective day told."""

    cells: list[GridCell]
    areas: list[Area]
    problems: list[FeatureProblem]
    effective: date | None


def read_cells(features: Iterable[Feature], names: Names) -> CellsRead:
    """The cells of features by the names that published files have for their fields."""
    read = CellsRead([], [], [], None)
    latest: list[date] = []
    for feature in features:
        if not feature.fields.keys() & set(names["cell"]["number"]):
            raise UnreadableFile(
                f"{feature.name} has no field named {' or '.join(names['cell']['number'])}",
                do="export the facility map with all its fields",
            )
        _read_cell(feature, names, read)
        day = effective_day(field(feature, names["cell"]["effective"]))
        latest += [day] if day else []
    return read._replace(effective=max(latest, default=None))


def _read_cell(feature: Feature, names: Names, read: CellsRead) -> None:
    known = names["cell"]
    outline = outline_of(feature)
    problems = list(outline.problems)
    if not outline.polygons:
        read.problems.extend(problems)
        return
    if not _in_place(feature, known, outline.polygons[0]):
        read.problems.append(FeatureProblem(FeatureFault.OTHER_PLACE, feature.name))
        return
    number, fault = _number(feature, names)
    if fault is not None:
        problems.append(fault)
    cell = cell_of(outline.polygons[0], number) if not problems and len(outline.polygons) == 1 else None
    if cell is not None:
        read.cells.append(cell)
        return
    read.problems.extend(problems)
    facts = AreaFacts(feature.name, "map cell", number_ft=number, problems=tuple(problems))
    read.areas.append(Area(facts, outline.footprints))


def _in_place(feature: Feature, known: Names, polygon: Any) -> bool:
    """Whether the middle that the fields tell is in the cell; True where they tell none."""
    told = [field(feature, known[name]) for name in ("latitude", "longitude")]
    if None in told:
        return True
    try:
        return holds(polygon, Place(float(told[0]), float(told[1])))
    except (TypeError, ValueError):
        return False


def _number(feature: Feature, names: Names) -> tuple[int, FeatureProblem | None]:
    """The number of feet of a cell; 0 with a problem where it can't be one."""
    written, unit = (field(feature, names["cell"][name]) for name in ("number", "unit"))
    number = whole_number(written)
    if number is None or not 0 <= number <= HIGHEST_FT or number % STEP_FT:
        return 0, FeatureProblem(FeatureFault.NUMBER, feature.name, str(written)[:40])
    if names["units"].get(str(unit or "").strip().upper()) != "ft":
        return 0, FeatureProblem(FeatureFault.UNIT, feature.name, str(unit or "")[:40])
    return number, None


def effective_day(written: Any) -> date | None:
    """The day of a date written month/day/year, or in milliseconds since 1970; None where it is neither."""
    found = _DAY.match(str(written or ""))
    try:
        if found:
            return date(int(found[3]), int(found[1]), int(found[2]))
        if isinstance(written, int) and written in _MILLISECONDS:
            return datetime.fromtimestamp(written / 1000, UTC).date()
    except ValueError:
        return None
    return None
