"""The whole answer before a flight: the check, the times on the days asked about, and the greatest height."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.before_flight.check import FlightCheck, Program, flight_check
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.surroundings import Surroundings, look_around
from airwrit.answers.before_flight.windows import FlightWindow, Stretch, highest_of, stretches_of, windows_of


class FlightAnswer(NamedTuple):
    """The check of a flight, the stretches and windows of the days asked about, and the greatest height."""

    check: FlightCheck
    stretches: tuple[Stretch, ...]
    windows: tuple[FlightWindow, ...]
    highest_ft: Decimal | None


def flight_answer(
    plan: FlightPlan, program: Program, folder: Path | None, weather: str | None, days: int
) -> FlightAnswer:
    """The answer for a plan: by the airspace data of a folder, a weather report given, and the days from its own on."""

    @cache
    def look(one: FlightPlan) -> Surroundings:
        return look_around(one, folder, weather)

    check = flight_check(plan, program, look(plan))
    day = plan.starts.astimezone(plan.zone.info).date()
    stretches = stretches_of(check.plan, program, look, day, day + timedelta(days=days - 1))
    windows = windows_of(stretches, plan.ends - plan.starts)
    return FlightAnswer(check, stretches, windows, highest_of(check, program, look))
