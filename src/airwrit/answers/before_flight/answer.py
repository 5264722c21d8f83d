"""The whole answer before a flight: the check, the times on the days asked about, and the greatest height."""

from __future__ import annotations

from collections.abc import Callable
from datetime import timedelta
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.before_flight.changes import Change, changes_of
from airwrit.answers.before_flight.check import FlightCheck, flight_check, with_ticks
from airwrit.answers.before_flight.equipment import wind_limits
from airwrit.answers.before_flight.heights import HeightsFound, heights_of
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import Surroundings, look_around
from airwrit.answers.before_flight.windows import FlightWindow, Stretch, stretches_of, windows_of


class FlightAnswer(NamedTuple):
    """The check of a flight, the stretches and windows of the days asked about, the greatest heights, and the changes."""

    check: FlightCheck
    stretches: tuple[Stretch, ...]
    windows: tuple[FlightWindow, ...]
    heights: HeightsFound
    changes: tuple[Change, ...]


def flight_answer(
    plan: FlightPlan,
    program: Program,
    folder: Path | None,
    weather: str | None,
    days: int,
    whole: Callable[[], Program] | None = None,
) -> FlightAnswer:
    """The answer for a plan: by the airspace data of a folder, a weather report given, and the days from its own on.

    `program` is what bears on the flight; `whole` gives all of it, among which stand-ins are looked for.
    """

    program = with_ticks(plan, program)
    state = program.state_on(plan.starts.astimezone(plan.zone.info))
    limits = wind_limits(state, plan.aircraft, program.house)

    @cache
    def look(one: FlightPlan) -> Surroundings:
        return look_around(one, folder, weather, limits)

    check = flight_check(plan, program, look(plan))
    day = plan.starts.astimezone(plan.zone.info).date()
    last = day + timedelta(days=days - 1)
    length = plan.ends - plan.starts
    stretches = stretches_of(check.plan, program, look, day, last)
    windows = windows_of(stretches, length)

    def windows_for(changed: FlightPlan, near: Program) -> tuple[FlightWindow, ...]:
        if changed == check.plan:
            return windows
        return windows_of(stretches_of(changed, near, look, day, last), length)

    heights = heights_of(check, program, look, folder)
    changes = changes_of(check, program, look, heights.highest_ft, windows_for, whole or (lambda: program))
    return FlightAnswer(check, stretches, windows, heights, changes)
