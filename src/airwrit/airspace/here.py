"""What of the editions on file a place touches: the number of every map cell, and every volume."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import date
from pathlib import Path
from typing import NamedTuple

from airwrit.airspace.areas import AreaFacts
from airwrit.airspace.edition import Edition, from_file
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import Reach, reach
from airwrit.airspace.shelf import ForDay, ShelfState, for_day
from airwrit.base.errors import UsageError
from airwrit.base.places import Place
from airwrit.geo.earth import M_PER_FT
from airwrit.geo.shapes import around, touches

MOST_RADIUS_FT = 50_000
_FARTHEST_DEG = 80


class Asked(NamedTuple):
    """A circle (a point where the radius is 0), a day, and a height band from the ground up; the ground above sea level."""

    place: Place
    on: date
    height_ft: float
    radius_ft: float = 0.0
    ground_ft: float | None = None


class VolumeTouched(NamedTuple):
    """A volume over the place, of which layer, and whether the height band comes into it."""

    kind: AreaKind
    layer: str
    area: AreaFacts
    reach: Reach


class AreasTouched(NamedTuple):
    """A layer on the day, the edition read of it (None where none is in force), and the numbers of the map cells touched."""

    day: ForDay
    edition: Edition | None
    numbers_ft: tuple[int, ...] = ()


class Here(NamedTuple):
    """What a place touches by what is on file."""

    asked: Asked
    layers: tuple[AreasTouched, ...]
    touched: tuple[VolumeTouched, ...]
    cells: tuple[AreaFacts, ...]

    @property
    def numbers_ft(self) -> list[int]:
        """The number of every map cell touched."""
        return [number for layer in self.layers for number in layer.numbers_ft]


def layers_on(folder: Path, day: date) -> list[AreasTouched]:
    """Each layer on a day with the edition in force; no place was looked up in them yet."""
    return [
        AreasTouched(
            one, from_file(one.edition.path) if one.edition and one.state is ShelfState.CURRENT else None
        )
        for one in for_day(folder, day)
    ]


def look_up(folder: Path, asked: Asked) -> Here:
    """What a circle or point touches, by the editions in force on the day. UsageError for what can't be worked out."""
    if not 0 <= asked.radius_ft <= MOST_RADIUS_FT:
        raise UsageError(
            f"a radius of {asked.radius_ft:g} ft", where="--radius", do=f"use 0 to {MOST_RADIUS_FT} ft"
        )
    if asked.radius_ft and abs(asked.place.latitude_deg) > _FARTHEST_DEG:
        raise UsageError(
            "circles that near to a pole aren't worked out", where="--radius", do="ask for points"
        )
    if asked.height_ft < 0:
        raise UsageError("a height below the ground", where="--height", do="give feet above ground")
    layers: list[AreasTouched] = []
    touched: list[VolumeTouched] = []
    cells: list[AreaFacts] = []
    for day, edition, _ in layers_on(folder, asked.on):
        if edition is None:
            layers.append(AreasTouched(day, None))
            continue
        areas = list(_areas(edition, asked))
        odd = [area for area in areas if area.number_ft is not None]
        numbers = edition.grid.touched(asked.place, asked.radius_ft * M_PER_FT)
        layers.append(AreasTouched(day, edition, (*numbers, *(area.number_ft or 0 for area in odd))))
        cells += odd
        if edition.kind is not AreaKind.GRID:
            touched += [
                VolumeTouched(day.kind, day.layer, area, reach(area.floor, asked.height_ft, asked.ground_ft))
                for area in areas
            ]
    return Here(asked, tuple(layers), tuple(touched), tuple(cells))


def _areas(edition: Edition, asked: Asked) -> Iterable[AreaFacts]:
    radius_m = asked.radius_ft * M_PER_FT
    for area in edition.areas.near(around(asked.place, radius_m)):
        if any(touches(polygon, asked.place, radius_m) for polygon in area.polygons):
            yield area.facts
