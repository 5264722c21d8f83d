"""The airspace on file along a flown track: the volumes it came into, from when to when, how deep, and what can't be told.

A sample is in a volume where place, height and hour all are. What a height or an hour leaves open makes it doubtful, never in.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.areas import Area, AreaFacts
from airwrit.airspace.here import AreasTouched, times_of
from airwrit.airspace.hours import ActiveState, TimeSpan
from airwrit.airspace.kinds import AreaKind
from airwrit.airspace.limits import PRESSURE_FT, HeightLimit, Reference
from airwrit.answers.airspace.at import CLASSES, NOTICES, RESTRICTED, is_sure
from airwrit.answers.airspace.question import sun_days
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.facts.flight_choices import AirspaceClass
from airwrit.geo.earth import M_PER_FT, m_per_degree
from airwrit.geo.fixed import DEGREE, FixedBox
from airwrit.tracks.depths import depth_in
from airwrit.tracks.excursions import IN_OR_OUT, Excursions, Floats, excursions
from airwrit.tracks.heights import FlownHeights
from airwrit.tracks.path import FlownPath

_ROOM_M = 50.0
_NOT_ACTIVE_M = -1e6
_OF_YOURS = (AreaKind.OWN, AreaKind.PEOPLE)
_NEAR_M = 1_000.0
"""Areas of your own are told of that near, though it stayed outside."""
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class VolumeSays(StrEnum):
    """What a volume asks of a flight."""

    CLASS = "class"
    NOTICE = "notice"
    RESTRICTED = "restricted"
    STADIUM = "stadium"
    OWN = "own"
    PEOPLE = "people"
    FRIA = "fria"


class VolumeFlown(NamedTuple):
    """A volume the track came into, or may have: what is known of it, and the runs inside, in meters deep."""

    says: VolumeSays
    layer: str
    area: AreaFacts
    inside: Excursions
    place_m: Floats
    """meters inside its edge over the ground, (n,)"""
    radius_m: float = 0.0
    """of a ring around a place: its radius"""

    @property
    def from_middle_m(self) -> float:
        """The least meters from the place a ring is around."""
        return max(0.0, self.radius_m - float(self.place_m.max()))

    @property
    def airspace_class(self) -> AirspaceClass | None:
        """Its class of airspace, where it has one that asks something."""
        return CLASSES.get(self.area.type)


class AirspaceFlown(NamedTuple):
    """The layers of the day, and the volumes the track came into or may have; no folder is no layers."""

    layers: tuple[AreasTouched, ...]
    volumes: tuple[VolumeFlown, ...]

    def is_sure(self, *kinds: AreaKind) -> bool:
        """Whether every layer of some kinds can answer for the day, and there is one."""
        mine = [one for one in self.layers if one.day.kind in kinds]
        return bool(mine) and all(map(is_sure, mine))

    def of(self, says: VolumeSays) -> tuple[VolumeFlown, ...]:
        """The volumes that ask one thing."""
        return tuple(one for one in self.volumes if one.says is says)


def airspace_flown(
    layers: Sequence[AreasTouched], path: FlownPath, heights: FlownHeights, plan: FlightPlan
) -> AirspaceFlown:
    """The volumes of the layers of its day along a track."""
    box, wide = _box(path, 0.0), _box(path, _NEAR_M)
    found: list[VolumeFlown] = []
    for layer in layers:
        for area in (
            ()
            if layer.edition is None
            else layer.edition.areas.near(wide if layer.day.kind in _OF_YOURS else box)
        ):
            says = _says(layer.day.kind, area.facts)
            if says is not None:
                found += _flown(says, layer.day.layer, area, path, heights, plan)
    return AirspaceFlown(tuple(layers), tuple(found))


def _says(kind: AreaKind, facts: AreaFacts) -> VolumeSays | None:
    if kind is AreaKind.CLASS:
        return VolumeSays.CLASS if facts.type in CLASSES else None
    if kind is AreaKind.SPECIAL:
        return VolumeSays.RESTRICTED if facts.type in RESTRICTED else None
    if kind in NOTICES:
        return VolumeSays.NOTICE
    others = {
        AreaKind.STADIUM: VolumeSays.STADIUM,
        AreaKind.OWN: VolumeSays.OWN,
        AreaKind.PEOPLE: VolumeSays.PEOPLE,
        AreaKind.FRIA: VolumeSays.FRIA,
    }
    return others.get(kind)


def _box(path: FlownPath, near_m: float) -> FixedBox:
    """The box around a path, with room for what its places may be off and for what is near by."""
    room_m = max(near_m, _ROOM_M + float(np.max(path.place_doubt_m)))
    along, across = m_per_degree(path.start.latitude_deg)
    up, aside = round(room_m / along * DEGREE), round(room_m / max(across, 1.0) * DEGREE)
    south, north = (round(float(one) * DEGREE) for one in (path.latitude_deg.min(), path.latitude_deg.max()))
    west, east = (round(float(one) * DEGREE) for one in (path.longitude_deg.min(), path.longitude_deg.max()))
    return FixedBox(south - up, north + up, west - aside, east + aside)


def _flown(
    says: VolumeSays, layer: str, area: Area, path: FlownPath, heights: FlownHeights, plan: FlightPlan
) -> Iterator[VolumeFlown]:
    """The volume, if any of the track may be in it."""
    of_yours = says in (VolumeSays.OWN, VolumeSays.PEOPLE)
    place, settled = depth_in(area.footprints, path, 2 * _NEAR_M if of_yours else 100.0)
    if float((place + path.place_doubt_m).max()) <= (-_NEAR_M if of_yours else 0.0):
        return
    low, high = (place, place) if settled else (place - path.place_doubt_m, place + path.place_doubt_m)
    for above, doubt in _above(area.facts, heights):
        low, high = np.minimum(low, above - doubt), np.minimum(high, above + doubt)
    low, high = _while_active(area.facts, path, plan, low, high)
    inside = excursions((low + high) / 2, (high - low) / 2, path.t_us, 0.0, IN_OR_OUT, path.breaks)
    radius = max((one.radius_m for one in area.footprints), default=0.0)
    yield VolumeFlown(says, layer, area.facts, inside, place, radius)


def _above(facts: AreaFacts, heights: FlownHeights) -> Iterator[tuple[Floats, Floats]]:
    """Meters above the floor and below the ceiling, with doubts; NaN where the log has no such height."""
    for limit, sign in ((facts.floor, 1.0), (facts.ceiling, -1.0)):
        if limit.reference is Reference.NONE or (
            sign > 0 and limit.reference is Reference.GROUND and not limit.feet
        ):
            continue
        value, doubt = _height_by(limit, heights)
        yield sign * (value - limit.feet * M_PER_FT), doubt


def _height_by(limit: HeightLimit, heights: FlownHeights) -> tuple[Floats, Floats]:
    if limit.reference is Reference.GROUND:
        return heights.agl_m, heights.agl_doubt_m
    more = PRESSURE_FT * M_PER_FT if limit.reference is Reference.PRESSURE else 0.0
    return heights.sea_m, heights.sea_doubt_m + more


def _while_active(
    facts: AreaFacts, path: FlownPath, plan: FlightPlan, low: Floats, high: Floats
) -> tuple[Floats, Floats]:
    """The least and the most meters inside while a volume is active; by unreadable hours or without a clock it only may be."""
    flown = TimeSpan(plan.starts, plan.ends)
    by_sun = any(one.start_by or one.end_by for one in facts.weekly)
    sun = sun_days(plan.place, flown, plan.zone.info) if by_sun else ()
    times = times_of(facts, flown, plan.zone.infos, sun)
    if times.state is ActiveState.ALWAYS and not by_sun:
        return low, high
    outside = np.full(len(low), _NOT_ACTIVE_M)
    if times.state in (ActiveState.BY_TEXT, ActiveState.BY_NOTAM) or path.track.utc_us is None:
        return np.minimum(low, outside), high
    active = within(path, times.spans)
    if by_sun:  # the sun of the place flown at is not quite that of the volume's own
        low = np.minimum(low, outside)
    return np.where(active, low, outside), np.where(active, high, outside)


def within(path: FlownPath, spans: Sequence[TimeSpan]) -> NDArray[np.bool_]:
    """Whether each sample is in one of some spans of time, (n,); none is where the log tells no day."""
    found = np.zeros(len(path), dtype=bool)
    utc = path.track.utc_us
    if utc is not None:
        mine = utc[path.sample]
        for start, end in spans:
            found |= (mine >= utc_us_of(start)) & (mine <= utc_us_of(end))
    return found


def utc_us_of(at: datetime) -> int:
    """Microseconds since 1970 of an instant."""
    return (at - _EPOCH) // timedelta(microseconds=1)
