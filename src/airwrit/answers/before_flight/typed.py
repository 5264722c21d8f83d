"""A planned flight and its confirmations as people type them, on the command line or in the form of the page."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.before_flight.check import fact_of, flight_check, standing_of
from airwrit.answers.before_flight.checklists import (
    checklists_for,
    checklists_found,
    hazards_typed,
    ticks_told,
    ticks_typed,
)
from airwrit.answers.before_flight.confirmations import AT_ONCE, plain_answers
from airwrit.answers.before_flight.plan import (
    PLANNED,
    FlightPlan,
    StructureBeside,
    checked,
    footprint_of,
    middle_of,
)
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import Surroundings
from airwrit.answers.lookup.plain_name import the_one_called
from airwrit.answers.site.area import farthest_m
from airwrit.answers.site.pasted_area import area_pasted
from airwrit.answers.site.saved_sites import site_named
from airwrit.answers.site.terrain import feet
from airwrit.base.errors import AirwritError, BadFact, UsageError
from airwrit.base.places import Place, read_place
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT
from airwrit.facts.keys.flights.log import FLOWN_FOR, packs_named
from airwrit.facts.keys.flights.planning import CHECKLIST_TICKED, RISK_APPROVAL_ENDS, RISK_APPROVED_BY
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import FLIGHT_TABLES, KEYS, folded, id_of, kind_of, subject_named
from airwrit.intake.cell.measures import read_measure
from airwrit.intake.typed.reply import is_dont_know, read_reply
from airwrit.sky.zones import Zone, instant_at, later_by, zone_named, zone_of

CONFIRMED = "confirmed by the pilot"
HALF_AN_HOUR = "+30"
"""The end of a flight that is called out, unless another is typed."""
_ABOVE = re.compile(r"\b(?:a?msl|asl|amsl|ato|ellipsoid|wgs|sea|takeoff|take-off|home)\b", re.IGNORECASE)
"""Words of a height that is told from something else than the ground."""
_LINES = re.compile(r"[\n;]")
_DISTANCE = re.compile(r"\d[\d,.]* ?(?:ft|feet|m|meters|yd|yards)?", re.IGNORECASE)
_UNIT = re.compile(r"[a-z]", re.IGNORECASE)
_MOST_NAMES = 12


class LastCrew(NamedTuple):
    """The names of the aircraft and the pilot of a flight, and what it was for; "" where there is none."""

    aircraft: str = ""
    pilot: str = ""
    flown_for: str = ""


def crew_of_last(known: Sequence[Known]) -> LastCrew:
    """The crew of the flight that was put on record last, planned or flown, as far as it tells both."""
    fields = {FLIGHT_AIRCRAFT.name: "aircraft", FLIGHT_PILOT.name: "pilot", FLOWN_FOR.name: "flown_for"}
    found: dict[str, dict[str, str]] = {}
    for item in reversed(known):
        subject, key, raw = item.statement[:3]
        if key in fields:
            told = str(raw).removeprefix("aircraft/").removeprefix("person/")
            found.setdefault(subject, {}).setdefault(fields[key], told)
    whole = (told for told in found.values() if {"aircraft", "pilot"} <= told.keys())
    return LastCrew(**next(whole, {}))


class PlanTyped(NamedTuple):
    """The fields of a plan as typed; heights and the radius in feet where they name no unit, empty where left out.

    `place` is a place with a radius beside it, or an area by itself: corners, or a place with its radius behind it.
    """

    place: str
    radius: str
    start: str
    end: str
    height: str
    aircraft: str
    pilot: str
    flown_for: str = ""
    ground: str = ""
    zone_name: str = ""
    takeoff: str = ""
    packs: str = ""
    structure: str = ""
    structure_top: str = ""
    site: str = ""
    hazards: str = ""
    configuration: str = ""

    def at_site(self, known: Iterable[Known]) -> PlanTyped:
        """The same with what is on record of the saved site it names, where it doesn't say otherwise itself."""
        if not self.site.strip():
            return self
        one = site_named(self.site.strip(), known)
        place = self.place.strip()
        return self._replace(
            place=place or one.area,
            radius=self.radius if place else "",
            ground=self.ground or one.ground_ft,
            takeoff=self.takeoff or one.takeoff,
            site=one.name,
        )

    def from_now(self, now: datetime) -> datetime | None:
        """The takeoff where it is told from an instant on, as "now" or "+30 min"; None where it is a time."""
        is_now = self.start.strip().casefold() == "now"
        later = timedelta() if is_now else later_by(self.start)
        return None if later is None else now + later

    def starting(self, now: datetime) -> PlanTyped:
        """The same with a full minute for a takeoff told from an instant on."""
        at = self.from_now(now)
        return self if at is None else self._replace(start=at.isoformat(timespec="minutes"))

    def called_out(self, last: LastCrew) -> PlanTyped:
        """The same with what is left out filled in: takeoff now, for half an hour, with the crew of the last flight.

        What that flight was for counts only for the same aircraft.
        """
        is_same = self.aircraft in ("", last.aircraft)
        return self._replace(
            start=self.start or "now",
            end=self.end or HALF_AN_HOUR,
            aircraft=self.aircraft or last.aircraft,
            pilot=self.pilot or last.pilot,
            flown_for=self.flown_for
            or (last.flown_for if is_same and last.flown_for in set(UsedFor) else ""),
        )

    @property
    def area(self) -> str:
        """The area as a text of its own. UsageError where it is none."""
        radius = self.radius.strip()
        if radius and not _UNIT.search(radius):
            radius = f"{radius} ft"
        try:
            place = area_pasted(self.place).strip()
            if radius and ";" in place and place != self.place.strip():
                raise BadFact(
                    "an area given by its corners has no radius", do="leave the radius out", field="radius"
                )
            area = f"{place} within {radius}" if radius else place
            footprint_of(area)
        except AirwritError as fault:
            where = fault.field or "place"
            raise UsageError(fault.what, where=where, do=fault.do) from None
        return area

    @property
    def zone(self) -> Zone:
        """The time zone: the one named, else that of the place."""
        place = middle_of(self.area)
        return zone_named(self.zone_name, place) if self.zone_name else zone_of(place)


def plan_of(typed: PlanTyped, subjects: Iterable[str]) -> FlightPlan:
    """The plan; names mean the subjects on file. UsageError names the field and what to do."""
    zone, named = typed.zone, list(subjects)
    if not typed.pilot.strip():
        raise UsageError("there is nobody on the crew", where="pilot", do="name the remote pilot in command")
    first = instant_at(typed.start, zone, "from")
    return checked(
        FlightPlan(
            typed.area,
            middle_of(typed.area),
            zone,
            first,
            instant_at(typed.end, zone, "until", first),
            _feet(typed.height, "height"),
            _one_of("aircraft", typed.aircraft, named),
            _one_of("person", typed.pilot, named),
            UsedFor(typed.flown_for) if typed.flown_for else None,
            _feet(typed.ground, "ground") if typed.ground else None,
            typed.site,
            _place(typed.takeoff, "takeoff") if typed.takeoff.strip() else None,
            tuple(id_of(_one_of("battery", pack, named)) for pack in packs_named(typed.packs)),
            _structure(typed) if typed.structure.strip() or typed.structure_top.strip() else None,
            hazards_told(_LINES.split(typed.hazards)),
            _configuration(typed.configuration, named),
        )
    )


def _place(text: str, where: str) -> Place:
    try:
        return read_place(text)
    except AirwritError as fault:
        raise UsageError(fault.what, where=where, do=fault.do) from None


def _structure(typed: PlanTyped) -> StructureBeside:
    """How far the flight gets from the structure, at most, and its top; told by where it is, or by the distance itself."""
    top = _feet(typed.structure_top, "structure_top")
    if _DISTANCE.fullmatch(typed.structure.strip()):
        return StructureBeside(_feet(typed.structure, "structure"), top)
    place = _place(typed.structure, "structure")
    return StructureBeside(feet(farthest_m(place, footprint_of(typed.area))), top, place)


def confirmation_of(name: str, said: str) -> Known | None:
    """A fact confirmed; None where the answer is that nobody knows. UsageError for no fact of a flight, and for no answer."""
    key: Key[object] | None = KEYS.get(name.strip())
    if key is None or key.table not in FLIGHT_TABLES:
        raise UsageError(
            f"{name!r} isn't a fact about a flight", where="confirm", do="write it like notice_covers=no"
        )
    if is_dont_know(said):
        return None
    try:
        return Known(Statement(PLANNED, key.name, read_reply(key, said)), CONFIRMED)
    except AirwritError as fault:
        raise UsageError(fault.what, where=f"confirm {key.name}", do=fault.do) from None


def groups_confirmed(plan: FlightPlan, program: Program, groups: Iterable[str]) -> list[Known]:
    """What is left of some groups, each fact confirmed as the flight needs it. UsageError for other groups."""
    named = list(groups)
    for group in named:
        if group not in AT_ONCE:
            raise UsageError(
                f"{group!r} isn't a group you can confirm at once",
                where="confirm",
                do=f"confirm each fact by itself. Only {' and '.join(AT_ONCE)} can be confirmed with =ok",
            )
    told = {name: said for group in named for name, said in plain_left(plan, program, group).items()}
    found = (confirmation_of(name, said) for name, said in told.items())
    return [one for one in found if one is not None]


def plain_left(plan: FlightPlan, program: Program, group: str) -> dict[str, str]:
    """What is left to confirm of a group with a plain answer, and what is asked once that is confirmed."""
    told: dict[str, str] = {}
    while True:
        confirmed = [
            Known(Statement(PLANNED, name, read_reply(KEYS[name], said))) for name, said in told.items()
        ]
        given = program.with_told([*program.told, *confirmed])
        owed = [fact_of(need) for need in flight_check(plan, given, Surroundings(None, None)).owed]
        more = plain_answers(group, owed)
        if not more:
            return told
        told |= more


def ticked(plan: FlightPlan, program: Program, typed: Iterable[str]) -> Known:
    """The lines of the checklists that are ticked, with those ticked before. UsageError for what names no line."""
    lists = checklists_for(standing_of(plan, program).state, plan.aircraft)
    before = {number for one in checklists_found(lists, program.told) for number in one.ticked}
    told = ticks_told(lists, before | ticks_typed(typed, lists))
    return Known(Statement(PLANNED, CHECKLIST_TICKED.name, told), CONFIRMED)


def hazards_told(lines: Iterable[str]) -> str:
    """The hazards of some lines as a fact of the flight. UsageError says which line isn't one."""
    return "; ".join(one.line for one in hazards_typed(lines))


def approved(by: str, until: date | None) -> list[Known]:
    """The approval of the risk assessment, as facts told with the flight."""
    said = [(RISK_APPROVED_BY.name, by)]
    said += [] if until is None else [(RISK_APPROVAL_ENDS.name, until.isoformat())]
    return [Known(Statement(PLANNED, name, value), CONFIRMED) for name, value in said]


def _feet(text: str, where: str) -> Decimal:
    above = _ABOVE.search(text)
    if above is not None and where != "ground":
        raise UsageError(
            f"{text.strip()!r} isn't a height above the ground",
            where=where,
            do="enter the height above ground",
        )
    try:
        return Decimal(read_measure(text, "ft"))
    except BadFact as fault:
        raise UsageError(fault.what, where=where, do="write it like 200 ft or 60 m") from None


def _configuration(name: str, subjects: Iterable[str]) -> str:
    """The configuration on file that a name means, "" for none. UsageError where none has the name."""
    kept = [id_of(one) for one in subjects if kind_of(one) == "configuration"]
    found = next((one for one in kept if folded(one) == folded(name)), "")
    if name.strip() and not found:
        names = ", ".join(dict.fromkeys(kept)) or "none on record"
        raise UsageError(
            f"no configuration is called {name!r}", where="configuration", do=f"those on record: {names}"
        )
    return found


def _one_of(kind: str, name: str, subjects: Iterable[str]) -> str:
    """The subject of a kind that a name means; the name under its kind where none is on file."""
    mine = dict.fromkeys(one for one in subjects if kind_of(one) == kind)
    found = next((one for one in mine if folded(id_of(one)) == folded(name)), the_one_called(name, mine))
    if kind in ("aircraft", "person") and mine and found not in mine:
        close = [id_of(one) for one in mine if folded(name) in folded(id_of(one))]
        names = ", ".join((close or [id_of(one) for one in mine])[:_MOST_NAMES])
        raise UsageError(f"{name!r} isn't on file", where=kind, do=f"use one of these: {names}")
    return found if kind_of(found) == kind else subject_named(kind, name)
