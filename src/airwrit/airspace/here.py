"""What of the editions on file a flight touches, by where, how high and when: every map cell, every volume."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from datetime import date, timedelta
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

from airwrit.airspace.areas import Area, AreaFacts
from airwrit.airspace.edition import Edition
from airwrit.airspace.hours import ActiveState, ActiveTimes, SunDay, TimeSpan, active_within, is_by_notam
from airwrit.airspace.kinds import AreaKind, kinds
from airwrit.airspace.limits import GroundSpan, HeightBand, HeightsShared, Reach, shared
from airwrit.airspace.shelf import ForDay, ShelfState, for_day
from airwrit.airspace.store import from_file
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.geo.earth import M_PER_NM
from airwrit.geo.fixed import DEGREE
from airwrit.geo.footprint import Footprint, apart_m, box_of_footprint, deepest_m, margin_m

MOST_WIDE_DEG = 3.0
_FARTHEST_DEG = 80


class Asked(NamedTuple):
    """Where, when and how high: a footprint, a span of time, heights, the ground, the sun; the zones that may be theirs."""

    footprint: Footprint
    span: TimeSpan
    band: HeightBand
    zones: tuple[ZoneInfo, ...]
    ground: GroundSpan | None = None
    sun: tuple[SunDay, ...] = ()

    @property
    def days(self) -> tuple[date, ...]:
        """The civil days at the place, by the first of its zones; a span that ends at midnight doesn't touch the next."""
        start, end = self.span
        last = max(start, end - timedelta(microseconds=1))
        first_on, last_on = (instant.astimezone(self.zones[0]).date() for instant in (start, last))
        return (first_on,) if first_on == last_on else (first_on, last_on)


class VolumeTouched(NamedTuple):
    """A volume and how the flight lies to it: meters apart (0 where they touch), heights shared, times active.

    `margin_m` is what it keeps from the volume's edge where it lies wholly inside; `deepest_m` how far it reaches in.
    """

    kind: AreaKind
    layer: str
    area: AreaFacts
    apart_m: float
    margin_m: float | None
    deepest_m: float
    heights: HeightsShared
    times: ActiveTimes

    @property
    def reach(self) -> Reach:
        """Whether its heights are reached."""
        return self.heights.reach

    @property
    def is_met(self) -> bool:
        """Whether place, heights and times surely meet, where what isn't known of the times counts as active."""
        return self.reach is Reach.IN and self.may_be_met

    @property
    def may_be_met(self) -> bool:
        """Whether nothing on file says that place, heights or times don't meet."""
        apart = self.reach in (Reach.BELOW_FLOOR, Reach.ABOVE_CEILING) or self.times.state is ActiveState.NOT
        return self.apart_m == 0 and not apart


class AreasTouched(NamedTuple):
    """A layer on a day, the edition read of it (None where none is in force), and the numbers of the map cells touched."""

    day: ForDay
    on: date
    edition: Edition | None
    numbers_ft: tuple[int, ...] = ()


class Here(NamedTuple):
    """What a flight touches by what is on file, and what is close by."""

    asked: Asked
    layers: tuple[AreasTouched, ...]
    touched: tuple[VolumeTouched, ...]
    close_by: tuple[VolumeTouched, ...]
    cells: tuple[AreaFacts, ...]

    @property
    def numbers_ft(self) -> list[int]:
        """The number of every map cell touched."""
        return [number for layer in self.layers for number in layer.numbers_ft]


def layers_on(folder: Path, day: date, *, whole: bool = False) -> list[AreasTouched]:
    """Each layer on a day with the edition in force; no place was looked up in them yet. One that is damaged has no edition.

    With `whole`, for very many places, every file is checked to its end.
    """
    return [_opened(one, day, whole=whole) for one in for_day(folder, day)]


def _opened(told: ForDay, day: date, *, whole: bool) -> AreasTouched:
    if told.edition is None or told.state is not ShelfState.CURRENT:
        return AreasTouched(told, day, None)
    try:
        return AreasTouched(told, day, from_file(told.edition.path, whole=whole))
    except UnreadableFile:
        return AreasTouched(told._replace(state=ShelfState.DAMAGED), day, None)


def look_up(folder: Path, asked: Asked) -> Here:
    """What a flight touches, by the editions in force on its days. UsageError for what can't be worked out."""
    _check(asked)
    layers: list[AreasTouched] = []
    found: dict[tuple[Path, int], VolumeTouched] = {}
    cells: list[AreaFacts] = []
    for layer in _layers_of_days(folder, asked.days):
        edition, shelved = layer.edition, layer.day.edition
        if edition is None or shelved is None:
            layers.append(layer)
            continue
        numbers = edition.grid.touched(asked.footprint)
        for at, area in enumerate(_areas_near(edition, asked)):
            if edition.kind is not AreaKind.GRID:
                found[shelved.path, at] = _touched(layer.day, area, asked)
            elif _apart_m(area, asked, 0.0) == 0:
                cells.append(area.facts)
                numbers.append(area.facts.number_ft or 0)
        layers.append(layer._replace(numbers_ft=tuple(numbers)))
    near = sorted(found.values(), key=lambda one: one.apart_m)
    return Here(
        asked,
        tuple(layers),
        tuple(one for one in found.values() if one.apart_m == 0),
        tuple(one for one in near if 0 < one.apart_m <= kinds()[one.kind].near_nm * M_PER_NM),
        tuple(cells),
    )


def _check(asked: Asked) -> None:
    box = box_of_footprint(asked.footprint)
    farthest = max(abs(box.south), abs(box.north)) / DEGREE
    is_point = len(asked.footprint.points) == 1 and asked.footprint.radius_m == 0
    if not is_point and farthest > _FARTHEST_DEG:
        raise UsageError(
            "we can't draw an area that close to a pole", do="leave out --radius and ask about single points"
        )
    if max(box.north - box.south, box.east - box.west) > MOST_WIDE_DEG * DEGREE:
        raise UsageError(
            f"that area is more than {MOST_WIDE_DEG:g} degrees wide", do="ask about part of it at a time"
        )
    if asked.band.low_ft > asked.band.high_ft:
        raise UsageError(
            f"{asked.band.low_ft:g} ft is above {asked.band.high_ft:g} ft",
            where="heights",
            do="enter the lower one first",
        )
    if asked.span.start > asked.span.end:
        raise UsageError("that ends before it begins", where="times", do="enter the earlier time first")


def _layers_of_days(folder: Path, days: Iterable[date]) -> Iterator[AreasTouched]:
    """The layers of each day; one that is the same on a later day is given once."""
    seen: set[tuple[str, str, ShelfState, Path | None]] = set()
    for day in days:
        for layer in layers_on(folder, day):
            kind, name, state, shelved = layer.day
            key = (kind.value, name, state, shelved and shelved.path)
            if key not in seen:
                seen.add(key)
                yield layer


def _areas_near(edition: Edition, asked: Asked) -> Iterator[Area]:
    more_m = kinds()[edition.kind].near_nm * M_PER_NM
    return edition.areas.near(box_of_footprint(asked.footprint, more_m))


def _apart_m(area: Area, asked: Asked, within_m: float) -> float:
    return min((apart_m(one, asked.footprint, within_m) for one in area.footprints), default=math.inf)


def _touched(day: ForDay, area: Area, asked: Asked) -> VolumeTouched:
    """How a flight lies to a volume near it."""
    facts, where = area.facts, asked.footprint
    away = _apart_m(area, asked, kinds()[day.kind].near_nm * M_PER_NM)
    margins = [margin_m(one, where) for one in area.footprints] if away == 0 else []
    return VolumeTouched(
        day.kind,
        day.layer,
        facts,
        away,
        max((one for one in margins if one is not None), default=None),
        max((deepest_m(one, where) for one in area.footprints), default=0.0) if away == 0 else 0.0,
        shared(facts.floor, facts.ceiling, asked.band, asked.ground),
        times_of(facts, asked.span, asked.zones, asked.sun),
    )


def times_of(
    facts: AreaFacts, span: TimeSpan, zones: tuple[ZoneInfo, ...], sun: Sequence[SunDay] = ()
) -> ActiveTimes:
    """When a volume is active within a span. With hours that can't be read, or that a NOTAM tells, it counts as active."""
    found = active_within(facts.begins, facts.ends, facts.weekly, span, zones, sun)
    life = active_within(facts.begins, facts.ends, (), span, zones)
    if not facts.hours or life.state is ActiveState.NOT:
        return found
    if is_by_notam(facts.hours):
        surely = bool(facts.weekly) and found.spans == life.spans
        return found if surely else life._replace(state=ActiveState.BY_NOTAM)
    return found if facts.weekly else found._replace(state=ActiveState.BY_TEXT)
