"""Planned against flown: where, how high and when, as the flight was released."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from decimal import Decimal

from airwrit.answers.after_flight.flown import ClauseFrom, FlownClause, PlanDifference
from airwrit.answers.after_flight.intervals import feet_limit
from airwrit.answers.after_flight.papers import AirTimes, seen
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.before_flight.view import feet_text
from airwrit.base.verdict import Verdict
from airwrit.facts.vocabulary import id_of
from airwrit.tracks.depths import depth_in
from airwrit.tracks.excursions import CLIMBING, IN_OR_OUT, Excursions, excursions
from airwrit.tracks.heights import FlownHeights
from airwrit.tracks.path import FlownPath

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
