"""Which aircraft and which planned flight a log is of, by serial number, aircraft, hours and place; and planned against flown.

Where two fit, it is none of them, and that is said.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, datetime, timedelta
from decimal import Decimal
from pathlib import PurePath
from typing import NamedTuple, TypeAlias

from airwrit.answers.after_flight.flown import ClauseFrom, FlownClause, PlanDifference, SerialMatch
from airwrit.answers.after_flight.intervals import feet_limit
from airwrit.answers.after_flight.papers import AirTimes, seen
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.site.area import farthest_m
from airwrit.base.identifiers import one_serial
from airwrit.base.places import Place
from airwrit.base.sentences import feet_text
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.aircraft import AIRFRAME_SERIAL, LISTED_SERIAL, REMOTE_ID_SERIAL
from airwrit.facts.state import State
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.geo.earth import geodesic_m
from airwrit.tracks.depths import depth_in
from airwrit.tracks.excursions import CLIMBING, IN_OR_OUT, Excursions, excursions
from airwrit.tracks.heights import FlownHeights
from airwrit.tracks.path import FlownPath

Aloft: TypeAlias = tuple[datetime, Decimal]
"""When a flight landed, and its minutes in the air."""
_EARLY_OR_LATE = timedelta(hours=1)
_BESIDE_M = 2_000.0
"""A log may begin that long before or after its plan, and that far outside of its area; our own figures."""
_LEAST_NAME = 3


class PlanMatch(NamedTuple):
    """The planned flight a log is of, None where none fits or several do; `several` are the names of those."""

    planned: SavedFlight | None
    several: tuple[str, ...] = ()


def aloft_together(one: Aloft, other: Aloft) -> bool:
    """Whether two flights were in the air together for over half of the shorter one: of one aircraft, they are one flight."""
    shorter = min(one[1], other[1])
    apart = abs(Decimal(repr((one[0] - other[0]).total_seconds()))) / 60
    return shorter - apart > shorter / 2


def serial_match(serials: Sequence[str], state: State) -> SerialMatch:
    """The first of a log's serial numbers that is on file, with the aircraft that have it; else the first alone."""
    for serial in serials:
        told = (serial, one_serial(serial))
        found = {
            subject
            for key in (REMOTE_ID_SERIAL, AIRFRAME_SERIAL, LISTED_SERIAL)
            for form in told
            for subject in state.holding(key, form)
            if kind_of(subject) == "aircraft"
        }
        if found:
            return SerialMatch(serial, tuple(sorted(found)))
    return SerialMatch(serials[0]) if serials else SerialMatch()


def matching(plans: Sequence[SavedFlight], aircraft: str, times: AirTimes, start: Place) -> PlanMatch:
    """The planned flight that fits a log's aircraft, where it is known, its hours and the place of its start."""
    fits = [
        one
        for one in plans
        if aircraft in ("", one.plan.aircraft)
        and _meets(one, times, _EARLY_OR_LATE)
        and _distance_m(one, start) <= _BESIDE_M
    ]
    if len(fits) > 1:
        fits = [one for one in fits if _meets(one, times, timedelta())] or fits
    if len(fits) == 1:
        return PlanMatch(fits[0])
    return PlanMatch(None, tuple(sorted(id_of(one.subject) for one in fits)))


def _meets(one: SavedFlight, times: AirTimes, room: timedelta) -> bool:
    """Whether the hours of a plan and of a log meet, with some room; never without a clock."""
    if times.starts is None or times.ends is None:
        return False
    return one.plan.starts - room <= times.ends and times.starts <= one.plan.ends + room


def _distance_m(one: SavedFlight, start: Place) -> float:
    """Meters from the circle around the area of a plan to a place; below zero inside it."""
    plan = one.plan
    return geodesic_m(plan.place, start) - farthest_m(plan.place, plan.footprint)


def aircraft_in_name(log: PurePath, aircraft: Iterable[str]) -> str:
    """The one aircraft whose name is in that of a log or of a folder it is in; "" where none or several are."""
    parts = [_plain(part) for part in log.parts]
    named = {one: _plain(id_of(one)) for one in aircraft}
    found = [
        one
        for one, name in named.items()
        if len(name) >= _LEAST_NAME and any(f" {name} " in f" {part} " for part in parts)
    ]
    longest = max((len(named[one]) for one in found), default=0)
    best = [one for one in found if len(named[one]) == longest]
    return best[0] if len(best) == 1 else ""


def _plain(text: str) -> str:
    """A name without case, and with one space for anything that is no letter and no digit."""
    return re.sub(r"[^a-z0-9]+", " ", text.casefold()).strip()


_SAME = timedelta(minutes=1)


def against_plan(
    planned: SavedFlight | None, path: FlownPath, heights: FlownHeights, times: AirTimes, flown: FlightPlan
) -> tuple[tuple[FlownClause, ...], tuple[PlanDifference, ...]]:
    """The clauses of area and height of the plan, and every difference; nothing without a plan."""
    if planned is None:
        return (), ()
    plan = planned.plan
    outside = -depth_in([plan.footprint], path).depth_m
    area = excursions(outside, path.place_doubt_m, path.t_us, 0.0, IN_OR_OUT, path.breaks)
    limit = feet_limit("plan_height", plan.height_ft)
    high = excursions(
        heights.agl_m,
        heights.agl_doubt_m,
        path.t_us,
        limit.bound,
        CLIMBING,
        path.breaks,
    )
    clauses = (
        FlownClause(
            "plan_area",
            ClauseFrom.PLAN,
            "",
            *_found(area, "outside_plan", "inside_plan"),
            **seen(feet_limit("plan_area", Decimal(0)), area, path),
        ),
        FlownClause(
            "plan_height",
            ClauseFrom.PLAN,
            "",
            *_found(high, "over_plan", "under_plan"),
            (("planned", feet_text(plan.height_ft)),),
            **seen(limit, high, path),
        ),
    )
    return clauses, tuple(_differences(planned, times, flown, clauses))


def _found(runs: Excursions, past: str, kept: str) -> tuple[Verdict, str]:
    if runs.is_beyond:
        return Verdict.NOT_MET, past
    return (Verdict.UNKNOWN, "plan_in_doubt") if runs.is_open else (Verdict.MET, kept)


def _differences(
    planned: SavedFlight, times: AirTimes, flown: FlightPlan, clauses: tuple[FlownClause, ...]
) -> Iterator[PlanDifference]:
    plan = planned.plan
    yield _moment("takeoff", plan.starts, times.starts, flown, late=False)
    yield _moment("landing", plan.ends, None if times.ends_in_the_air else times.ends, flown, late=True)
    best = clauses[1].best
    yield PlanDifference(
        "height",
        f"{feet_text(plan.height_ft)} ft",
        "" if best is None else f"{feet_text(best.best)} ft",
        clauses[1].verdict is Verdict.NOT_MET,
    )
    for what, one, other in (
        ("aircraft", plan.aircraft, flown.aircraft),
        ("pilot", plan.pilot, flown.pilot),
    ):
        yield PlanDifference(what, id_of(one), id_of(other), one != other)


def _moment(
    what: str, planned: datetime, flown: datetime | None, plan: FlightPlan, *, late: bool
) -> PlanDifference:
    """A moment of the plan and the one flown, by the clock of the place; a takeoff that is late differs in nothing."""
    over = timedelta() if flown is None else flown - planned if late else planned - flown
    told = "" if flown is None else _clock(flown, plan)
    return PlanDifference(what, _clock(planned, plan), told, over > _SAME)


def _clock(at: datetime, plan: FlightPlan) -> str:
    return at.astimezone(UTC).astimezone(plan.zone.info).isoformat(timespec="seconds")
