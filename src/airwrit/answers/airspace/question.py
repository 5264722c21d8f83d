"""A question about airspace as people type it: places, heights, a day and clock times, the ground."""

from __future__ import annotations

import re
from datetime import date, datetime, time
from pathlib import Path
from typing import NamedTuple
from zoneinfo import ZoneInfo

from airwrit.airspace.here import Asked
from airwrit.airspace.hours import SunDay, TimeSpan
from airwrit.airspace.limits import GroundSpan, HeightBand, Reference
from airwrit.base.days import add_days, parse_clock
from airwrit.base.errors import UsageError
from airwrit.base.places import Place, read_place
from airwrit.geo.earth import M_PER_FT
from airwrit.geo.fixed import point_of
from airwrit.geo.footprint import Footprint, filled, within_of
from airwrit.geo.shapes import polygon_faults, unwrapped
from airwrit.geo.terrain import GROUND_ERROR_M, ground_of
from airwrit.sky.light import HORIZON, events
from airwrit.sky.zones import zone_of

MOST_RADIUS_FT = 50_000
MOST_PLACES = 500
HIGHEST_FT, LOWEST_GROUND_FT, HIGHEST_GROUND_FT = 100_000, -1_500, 30_000
_GROUND = re.compile(r"(?P<low>-?\d+(?:\.\d+)?)(?: ?(?:-|to) ?(?P<high>-?\d+(?:\.\d+)?))?")


class TypedQuestion(NamedTuple):
    """What somebody typed: one place or several with semicolons, feet, a day, clock times of the place, feet of ground."""

    where: str
    on: date
    high_ft: float
    low_ft: float = 0.0
    above_sea: bool = False
    radius_ft: float = 0.0
    is_area: bool = False
    start: str = ""
    end: str = ""
    ground: str = ""


def asked_of(typed: TypedQuestion) -> Asked:
    """The question of what was typed. UsageError or BadPlace for what it can't be."""
    places = places_typed(typed.where)
    zones = zone_of(places[0]).infos
    reference = Reference.SEA if typed.above_sea else Reference.GROUND
    if not 0 <= typed.high_ft <= HIGHEST_FT:
        raise UsageError(
            f"we can't use a height of {typed.high_ft:g} ft",
            where="--height",
            do=f"use 0 to {HIGHEST_FT:,} ft",
        )
    span = span_typed(typed.on, typed.start, typed.end, zones[0])
    return Asked(
        footprint_typed(places, typed.radius_ft, is_area=typed.is_area),
        span,
        HeightBand(typed.low_ft, typed.high_ft, reference),
        zones,
        ground_typed(typed.ground),
        sun_days(places[0], span, zones[0]),
    )


def sun_days(place: Place, span: TimeSpan, zone: ZoneInfo) -> tuple[SunDay, ...]:
    """Sunrise and sunset at a place on the days around a span; none of a day with no event or more than one of it."""
    first, last = (add_days(end.astimezone(zone).date(), by) for end, by in zip(span, (-2, 2), strict=True))
    found = events(place, _instant(first, 0, zone), _instant(last, 24 * 60, zone), HORIZON)
    days = []
    for number in range((last - first).days + 1):
        day = add_days(first, number)
        mine = [one for one in found if one.at.astimezone(zone).date() == day]
        rises, sets = ([one.at for one in mine if one.rising is rising] for rising in (True, False))
        days.append(SunDay(day, rises[0] if len(rises) == 1 else None, sets[0] if len(sets) == 1 else None))
    return tuple(days)


def with_ground_on_file(asked: Asked, folder: Path) -> Asked:
    """The question with the ground of the terrain tiles in a folder, and what they may be off, where nobody said.

    Unchanged where a tile is missing or holds nothing, for an area that is too wide or too close to a pole: then some heights
    can't be compared.
    """
    if asked.ground is not None or not folder.is_dir():
        return asked
    try:
        found = ground_of(folder, asked.footprint)
    except UsageError:
        return asked
    if found.lowest_m is None or found.highest_m is None:
        return asked
    lowest, highest = found.lowest_m - GROUND_ERROR_M, found.highest_m + GROUND_ERROR_M
    return asked._replace(ground=GroundSpan(lowest / M_PER_FT, highest / M_PER_FT))


def places_typed(text: str) -> tuple[Place, ...]:
    """The places of a text, with semicolons or line ends between several. BadPlace says which is none."""
    parts = [part.strip() for part in re.split(r"[;\n]", text) if part.strip()]
    if not 1 <= len(parts) <= MOST_PLACES:
        raise UsageError(
            "no place" if not parts else f"{len(parts)} places",
            where="place",
            do=f"enter 1 to {MOST_PLACES} places, with semicolons between them",
        )
    return tuple(map(read_place, parts))


def footprint_typed(places: tuple[Place, ...], radius_ft: float, *, is_area: bool) -> Footprint:
    """A point, a circle, a corridor, or the area between three places or more."""
    if not 0 <= radius_ft <= MOST_RADIUS_FT:
        raise UsageError(
            f"we can't use a radius of {radius_ft:g} ft",
            where="--radius",
            field="radius",
            do=f"choose 0 to {MOST_RADIUS_FT} ft",
        )
    if not is_area:
        return within_of(places, radius_ft * M_PER_FT)
    closed = places if places[0] == places[-1] else (*places, places[0])
    ring = unwrapped([point_of(place) for place in closed])
    faults = polygon_faults((ring,))
    if faults:
        raise UsageError(
            f"these places don't make an area: {', '.join(fault.value.replace('_', ' ') for fault in faults)}",
            where="place",
            do="enter three or more corners, in order around the area",
        )
    return filled((ring,))._replace(radius_m=radius_ft * M_PER_FT)


def span_typed(on: date, start: str, end: str, zone: ZoneInfo) -> TimeSpan:
    """From one clock time of a day to another, over midnight where the second is earlier; the whole day without any."""
    if not start and not end:
        return TimeSpan(_instant(on, 0, zone), _instant(on, 24 * 60, zone))
    if not start:
        raise UsageError(
            "you entered an end but no start", where="times", do="enter both, such as 14:00 and 16:00"
        )
    first = minutes_typed(start)
    last = minutes_typed(end) if end else first
    return TimeSpan(_instant(on, first, zone), _instant(on, last + (24 * 60 if last < first else 0), zone))


def minutes_typed(text: str) -> int:
    """Minutes of the day of a clock time. UsageError for what is none."""
    try:
        return parse_clock(text)
    except ValueError:
        raise UsageError(
            f"{text!r} isn't a time of day", where="times", do="write it like 14:00 or 2:00 PM"
        ) from None


def ground_typed(text: str) -> GroundSpan | None:
    """The ground of a text: one height or two, feet above sea level. UsageError for what it can't be."""
    if not text.strip():
        return None
    found = _GROUND.fullmatch(text.strip().replace(",", ""))
    numbers = [float(found[name]) for name in ("low", "high") if found[name]] if found else []
    if not numbers or any(not LOWEST_GROUND_FT <= one <= HIGHEST_GROUND_FT for one in numbers):
        raise UsageError(
            f"{text!r} isn't a ground elevation",
            where="--ground",
            do="write feet above sea level, like 820 or 790-860",
        )
    return GroundSpan(min(numbers), max(numbers))


def _instant(on: date, minutes: int, zone: ZoneInfo) -> datetime:
    days, rest = divmod(minutes, 24 * 60)
    return datetime.combine(add_days(on, days), time(rest // 60, rest % 60), zone)
