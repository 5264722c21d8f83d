"""The time zone of a place, by the polygons that the package tzfpy carries."""

from __future__ import annotations

import math
import re
from datetime import UTC, datetime, timedelta
from typing import NamedTuple
from zoneinfo import ZoneInfo, ZoneInfoNotFoundError

import tzfpy

from airwrit.base.errors import UsageError
from airwrit.base.places import Place

NEAR_KM = 5
"""The polygons are simplified: this near to an edge the other zone is named too. Our own cautious figure, no source."""
_CLOCK = re.compile(r"(\d{1,2}):(\d{2})")
_LATER = re.compile(r"\+ ?(\d{1,4})(?: ?min(?:utes)?)?", re.IGNORECASE)
_SEA = "Etc/"
_KM_PER_DEGREE = 111.2
_AROUND = tuple((math.cos(turn * math.pi / 4), math.sin(turn * math.pi / 4)) for turn in range(8))
_ALASKA = frozenset(
    f"America/{name}" for name in ("Adak", "Anchorage", "Juneau", "Metlakatla", "Nome", "Sitka", "Yakutat")
)


class Zone(NamedTuple):
    """A place's zone: its name, the zones of places within 5 km that differ, and whether it lies in Alaska."""

    name: str
    near: tuple[str, ...]
    in_alaska: bool | None

    @property
    def info(self) -> ZoneInfo:
        """The zone's rules."""
        return ZoneInfo(self.name)

    @property
    def infos(self) -> tuple[ZoneInfo, ...]:
        """The rules of the zone, then those of the zones near."""
        return tuple(ZoneInfo(name) for name in (self.name, *self.near))


def zone_of(place: Place) -> Zone:
    """The zone at a place. Alaska is known by its own zones; None at sea, where zones tell no State, and near their edge."""
    here = tzfpy.get_tz(place.longitude_deg, place.latitude_deg)
    names = {here} | {tzfpy.get_tz(*point) for point in _points_around(place)}
    on_land = {name for name in names if not name.startswith(_SEA)}
    alaskan = {name in _ALASKA for name in on_land}
    known = here in on_land and len(alaskan) == 1
    return Zone(here, tuple(sorted(on_land - {here})), here in _ALASKA if known else None)


def _points_around(place: Place) -> list[tuple[float, float]]:
    """Longitude and latitude of points all around, 5 km off."""
    north = NEAR_KM / _KM_PER_DEGREE
    east = north / max(0.01, math.cos(math.radians(place.latitude_deg)))
    return [
        (
            (place.longitude_deg + east * x + 180) % 360 - 180,
            min(90.0, max(-90.0, place.latitude_deg + north * y)),
        )
        for x, y in _AROUND
    ]


def zone_named(name: str, place: Place) -> Zone:
    """A zone by its name, such as America/Denver, for a place. UsageError when there is none of that name."""
    try:
        ZoneInfo(name)
    except (ZoneInfoNotFoundError, ValueError, OSError):
        raise UsageError(
            f"no time zone is named {name!r}", where="--zone", do="write it like America/Denver"
        ) from None
    return Zone(name, (), zone_of(place).in_alaska)


def later_by(text: str) -> timedelta | None:
    """How much later "+30 min" or "+30" means; None for any other text."""
    later = _LATER.fullmatch(text.strip())
    return None if later is None else timedelta(minutes=int(later[1]))


def instant_at(text: str, zone: Zone, where: str, day: datetime | None = None) -> datetime:
    """An instant (UTC) as typed: with a zone, or in local time there; a bare clock time is of the day of `day`, +30 after it.

    UsageError for what is no time, and for one that the clock of the place skips or shows twice.
    """
    later = later_by(text)
    if later is not None and day is not None:
        return day.astimezone(UTC) + later
    shape = _CLOCK.fullmatch(text.strip())
    try:
        if shape is not None and day is not None:
            local = day.astimezone(zone.info).replace(tzinfo=None)
            typed = local.replace(hour=int(shape[1]), minute=int(shape[2]), second=0, microsecond=0)
        else:
            typed = datetime.fromisoformat(text.strip())
            if len(text.strip()) <= len("2026-12-02"):
                raise ValueError
    except ValueError:
        raise UsageError(
            f"{text!r} isn't a time",
            where=where,
            do="write it like 2026-12-02 14:30, in local time there",
        ) from None
    if typed.tzinfo is not None:
        return typed.astimezone(UTC)
    first = typed.replace(tzinfo=zone.info, fold=0)
    second = typed.replace(tzinfo=zone.info, fold=1)
    if first.utcoffset() == second.utcoffset():
        return first.astimezone(UTC)
    skipped = first.astimezone(UTC).astimezone(zone.info).replace(tzinfo=None) != typed
    what = "is skipped" if skipped else "comes twice"
    raise UsageError(
        f"{typed:%H:%M} {what} on {typed:%b} {typed.day}, {typed.year}, when the clocks change ({zone.name})",
        where=where,
        do=f"add the time zone, like {first.isoformat(timespec='minutes')}",
    )
