"""A flight that is planned: where, when, how high, with what, by whom and what for."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from functools import lru_cache
from hashlib import sha256
from typing import Any, NamedTuple

from airwrit.answers.document import Json
from airwrit.answers.site.area import read_area
from airwrit.base.errors import UsageError
from airwrit.base.places import Place, is_in_united_states
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import held_of
from airwrit.facts.key import Key
from airwrit.facts.keys.equipment import FLOWN_CONFIGURATION
from airwrit.facts.keys.flights.airspace import FLIGHT_PLACE
from airwrit.facts.keys.flights.authority import (
    FLIGHT_AREA,
    FLIGHT_EAST,
    FLIGHT_ENDS,
    FLIGHT_NORTH,
    FLIGHT_SOUTH,
    FLIGHT_STARTS,
    FLIGHT_WEST,
    HIGHEST_GROUND,
)
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT, HEIGHT_AGL
from airwrit.facts.keys.flights.limits import STRUCTURE_DISTANCE, STRUCTURE_TOP
from airwrit.facts.keys.flights.log import FLOWN_FOR, PACKS
from airwrit.facts.keys.flights.planning import HAZARDS, STRUCTURE_PLACE, TAKEOFF_PLACE
from airwrit.facts.state import Held
from airwrit.facts.vocabulary import id_of, subject_named
from airwrit.geo.earth import M_PER_FT
from airwrit.geo.fixed import DEGREE
from airwrit.geo.footprint import Footprint, box_of_footprint, depth_m
from airwrit.sky.zones import Zone

PLANNED = "flight/flight"
"""The subject under which the flight asked about is judged: that of the only flight of a facts file."""

LONGEST = timedelta(hours=24)
MOST_WIDE_DEG = 0.5
MOST_HEIGHT_FT = Decimal(100_000)
_SURELY_OUT_M = 0.05
"""A takeoff point nearer to the edge than that is on it: places are kept to some centimeters."""


@lru_cache(maxsize=256)
def footprint_of(area: str) -> Footprint:
    """The area that a text tells. BadFact for what is none."""
    return read_area(area)


def middle_of(area: str) -> Place:
    """The place in the middle of the box around an area."""
    box = box_of_footprint(footprint_of(area))
    return Place((box.south + box.north) / 2 / DEGREE, (box.west + box.east) / 2 / DEGREE)


class StructureBeside(NamedTuple):
    """A tower or building beside the flight, in feet: the greatest distance from it, its top above ground, where it is."""

    distance_ft: Decimal
    top_ft: Decimal
    place: Place | None = None


class FlightPlan(NamedTuple):
    """An area, a span of time (UTC), the greatest height above ground in feet, and who flies what for which use.

    `area` is told as text, a place with a radius or corners, and `place` lies in the middle of it; the zone is the place's.
    `ground_ft` is the highest ground under it above sea level, None where nobody said; `place_name` the saved site it is at,
    `packs` the batteries that are to be flown, `configuration` what it carries by a name on file, `hazards` the lines of its
    risk assessment.
    """

    area: str
    place: Place
    zone: Zone
    starts: datetime
    ends: datetime
    height_ft: Decimal
    aircraft: str
    pilot: str
    use: UsedFor | None = None
    ground_ft: Decimal | None = None
    place_name: str = ""
    takeoff: Place | None = None
    packs: tuple[str, ...] = ()
    structure: StructureBeside | None = None
    hazards: str = ""
    configuration: str = ""

    @property
    def footprint(self) -> Footprint:
        """The area as it lies on the earth."""
        return footprint_of(self.area)

    @property
    def subjects(self) -> tuple[str, ...]:
        """The aircraft, the pilot and the batteries, as they are called on file."""
        return (self.aircraft, self.pilot, *(subject_named("battery", pack) for pack in self.packs))

    @property
    def digest(self) -> str:
        """What a confirmation is for: where, when, how high, with which aircraft and pilot, in 16 letters."""
        start, end = (at.astimezone(UTC).isoformat() for at in (self.starts, self.ends))
        told = f"{self.area}|{start}|{end}|{self.height_ft.normalize():f}|{self.aircraft}|{self.pilot}"
        if self.takeoff is not None:
            told = f"{told}|{place_text(self.takeoff)}"
        if self.hazards:
            told = f"{told}|{self.hazards}"
        if self.configuration:
            told = f"{told}|{self.configuration}"
        return sha256(told.encode()).hexdigest()[:16]

    def at_height(self, height_ft: Decimal) -> FlightPlan:
        """The same flight at another height."""
        return self._replace(height_ft=height_ft)

    def _box(self) -> Iterator[tuple[Key[Any], str]]:
        """The edges of the box around the area, in degrees."""
        box = box_of_footprint(self.footprint)
        edges = (
            (FLIGHT_SOUTH, box.south),
            (FLIGHT_NORTH, box.north),
            (FLIGHT_WEST, box.west),
            (FLIGHT_EAST, box.east),
        )
        return ((key, format(Decimal(edge) / DEGREE, "f")) for key, edge in edges)

    def facts(self) -> dict[Key[Any], Held]:
        """What the plan says itself, as facts of the flight."""
        told: list[tuple[Key[Any], str]] = [
            (FLIGHT_AIRCRAFT, id_of(self.aircraft)),
            (FLIGHT_PILOT, id_of(self.pilot)),
            (HEIGHT_AGL, format(self.height_ft, "f")),
            (FLIGHT_AREA, self.area),
            *self._box(),
            (FLIGHT_STARTS, self.starts.astimezone(self.zone.info).isoformat(timespec="seconds")),
            (FLIGHT_ENDS, self.ends.astimezone(self.zone.info).isoformat(timespec="seconds")),
        ]
        if self.use is not None:
            told.append((FLOWN_FOR, self.use.value))
        if self.ground_ft is not None:
            told.append((HIGHEST_GROUND, format(self.ground_ft, "f")))
        if self.place_name:
            told.append((FLIGHT_PLACE, self.place_name))
        if self.takeoff is not None:
            told.append((TAKEOFF_PLACE, place_text(self.takeoff)))
        if self.packs:
            told.append((PACKS, ", ".join(self.packs)))
        if self.configuration:
            told.append((FLOWN_CONFIGURATION, self.configuration))
        if self.hazards:
            told.append((HAZARDS, self.hazards))
        if self.structure is not None:
            told.append((STRUCTURE_DISTANCE, format(self.structure.distance_ft, "f")))
            told.append((STRUCTURE_TOP, format(self.structure.top_ft, "f")))
            if self.structure.place is not None:
                told.append((STRUCTURE_PLACE, place_text(self.structure.place)))
        return {key: held for key, raw in told if (held := held_of(key, raw, ("the plan",))) is not None}


class Booking(NamedTuple):
    """A planned flight on record, as far as another one may want the same at the same time."""

    flight: str
    plan: FlightPlan


class DoubleBooking(NamedTuple):
    """An aircraft, a person or a battery that another planned flight takes up at the same time."""

    what: str
    other: Booking


def taken_up(plan: FlightPlan, booked: Iterable[Booking]) -> set[str]:
    """The aircraft, people and batteries that other flights take up at the time of a plan."""
    return {what for one in _meanwhile(plan, booked) for what in one.plan.subjects}


def _meanwhile(plan: FlightPlan, booked: Iterable[Booking]) -> Iterator[Booking]:
    return (one for one in booked if plan.starts < one.plan.ends and one.plan.starts < plan.ends)


def double_bookings(plan: FlightPlan, booked: Iterable[Booking]) -> tuple[DoubleBooking, ...]:
    """What of a plan other flights take up at the same time."""
    return tuple(
        DoubleBooking(what, one)
        for one in _meanwhile(plan, booked)
        for what in sorted({*plan.subjects} & {*one.plan.subjects})
    )


def place_text(place: Place) -> str:
    """A place as text that is read back as the same, to a centimeter."""
    return f"{place.latitude_deg:.7f}, {place.longitude_deg:.7f}"


def checked(plan: FlightPlan) -> FlightPlan:
    """The plan itself. UsageError for one that cannot be flown as typed: it names the field and what to do."""
    if plan.ends <= plan.starts:
        raise UsageError("the flight ends before it begins", where="until", do="enter a later end")
    if plan.ends - plan.starts > LONGEST:
        raise UsageError("the flight is longer than a day", where="until", do="plan a flight for each day")
    box = box_of_footprint(plan.footprint)
    if max(box.north - box.south, box.east - box.west) > MOST_WIDE_DEG * DEGREE:
        raise UsageError(
            f"the area is more than {MOST_WIDE_DEG} degrees wide",
            where="place",
            do="plan a flight for each part of it",
        )
    if not 0 < plan.height_ft <= MOST_HEIGHT_FT:
        raise UsageError(
            "we can't use that height", where="height", do="enter the highest height, in feet above ground"
        )
    away = 0.0 if plan.takeoff is None else -depth_m(plan.footprint, plan.takeoff)
    if away > _SURELY_OUT_M:
        raise UsageError(
            f"the takeoff point is {away / M_PER_FT:,.0f} ft outside the area",
            where="takeoff",
            do="make the area larger, or enter another takeoff point",
        )
    _in_united_states(plan.place)
    return plan


def _in_united_states(here: Place) -> None:
    """UsageError for a place far from every State and territory, with the way of typing it that was likely meant."""
    if is_in_united_states(here):
        return
    swapped, other_side = (here.longitude_deg, here.latitude_deg), (here.latitude_deg, -here.longitude_deg)
    outside = f"{here.latitude_deg:g}, {here.longitude_deg:g} isn't in the United States"
    if abs(swapped[0]) <= 90 and is_in_united_states(Place(*swapped)):
        raise UsageError(
            f"{outside}, but the other way around it is",
            where="at",
            do="enter latitude first, then longitude",
        )
    if is_in_united_states(Place(*other_side)):
        raise UsageError(
            outside,
            where="at",
            do="west longitudes have a minus sign or a W. "
            f'If you meant that, enter "{other_side[0]:g}, {other_side[1]:g}"',
        )
    raise UsageError(outside, where="at", do="check the place. We only know the rules for US airspace")


def plan_json(plan: FlightPlan) -> Json:
    """The plan as it was understood: times in the clock of the place, heights in feet above ground."""
    return {
        "area": plan.area,
        "latitude_deg": plan.place.latitude_deg,
        "longitude_deg": plan.place.longitude_deg,
        "zone": plan.zone.name,
        "starts": local_time(plan.starts, plan),
        "ends": local_time(plan.ends, plan),
        "height_agl_ft": float(plan.height_ft),
        "site": plan.place_name or None,
        "takeoff": None if plan.takeoff is None else plan.takeoff._asdict(),
        "packs": list(plan.packs),
        "configuration": plan.configuration or None,
        "structure": None
        if plan.structure is None
        else {
            "greatest_distance_ft": float(plan.structure.distance_ft),
            "top_ft": float(plan.structure.top_ft),
        },
        "ground_amsl_ft": None if plan.ground_ft is None else float(plan.ground_ft),
        "aircraft": plan.aircraft,
        "pilot": plan.pilot,
        "use": None if plan.use is None else plan.use.value,
    }


def local_time(at: datetime, plan: FlightPlan) -> str:
    """A moment by the clock of the place, in ISO form."""
    return at.astimezone(plan.zone.info).isoformat(timespec="seconds")
