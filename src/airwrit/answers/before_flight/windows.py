"""When the flight would be lawful: from the moments at which something turns, never by trying minutes."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import UTC, date, datetime, time, timedelta
from itertools import groupby, pairwise
from typing import NamedTuple

from airwrit.answers.asking.events import NEVER_JUDGED
from airwrit.answers.before_flight.check import (
    Clause,
    FlightMoment,
    Light,
    Rows,
    light_over,
    moment_of,
    standing_of,
    turns_of_light,
    verdict_of_row,
)
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.equipment import BatteryFound, batteries_found
from airwrit.answers.before_flight.plan import DoubleBooking, FlightPlan, double_bookings
from airwrit.answers.before_flight.program import Program, instants_on_file
from airwrit.answers.before_flight.surroundings import (
    ForecastAgainst,
    Surroundings,
    forecast_against,
    is_seen,
    lasting_facts,
    turns_of_airspace,
    turns_of_forecasts,
    weather_flight,
)
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.base.verdict import Verdict, worst_of
from airwrit.law import wording

MOST_DAYS = 14
_SECOND = timedelta(seconds=1)
Because = Clause | SubjectStanding | BatteryFound | ForecastAgainst | DoubleBooking | None
"""What explains a stretch that isn't lawful or can't be told."""
LookAround = Callable[[FlightPlan], Surroundings]
"""Looks up what is around a plan."""


class Stretch(NamedTuple):
    """A stretch of time (UTC, half-open) with one verdict, and what explains it where it isn't lawful or can't be told.

    What the pilot confirms on the day is left out: met means lawful once all of that is confirmed.
    """

    start: datetime
    end: datetime
    verdict: Verdict
    because: Because
    needs_lights: bool


class FlightWindow(NamedTuple):
    """From when to when (UTC) the whole flight fits; the takeoff is `latest` at the latest."""

    start: datetime
    end: datetime
    latest: datetime


def stretches_of(
    plan: FlightPlan, program: Program, look: LookAround, first: date, last: date
) -> tuple[Stretch, ...]:
    """The stretches of the days from `first` to `last` at the place, each judged once, in its middle."""
    start, end = _midnight(plan, first), _midnight(plan, last + timedelta(days=1))
    light = light_over(plan, start, end)
    turns = {
        start,
        end,
        *turns_of_light(light, start, end),
        *(at for at in instants_on_file(program) if start < at < end),
    }
    airspace: set[datetime] = set()
    for number in range((last - first).days + 1):
        day = first + timedelta(days=number)
        whole = plan._replace(
            starts=_midnight(plan, day), ends=_midnight(plan, day + timedelta(days=1)) - _SECOND
        )
        airspace |= {whole.starts, *(at for at in turns_of_airspace(look(whole).here) if start < at < end)}
    around = look(plan)
    forecast = turns_of_forecasts(around.weather)
    forecast |= {plan.starts, plan.ends} if forecast else set()
    turns |= {at for one in program.booked for at in (one.plan.starts, one.plan.ends) if start < at < end}
    turns |= airspace | {at for at in forecast if start < at < end}
    judge = _judge_of(plan, program, _look_by_turns(look, sorted(airspace)), light, around)
    judged = (Stretch(a, b, *judge(a + (b - a) / 2)) for a, b in pairwise(sorted(turns)))
    return tuple(_joined(judged))


def windows_of(stretches: Iterable[Stretch], flight: timedelta) -> tuple[FlightWindow, ...]:
    """The spans without a break in which the flight is lawful and which it fits into."""
    found = []
    for verdict, group in groupby(stretches, key=lambda one: one.verdict):
        if verdict is Verdict.MET:
            mine = list(group)
            if mine[-1].end - mine[0].start >= flight:
                found.append(FlightWindow(mine[0].start, mine[-1].end, mine[-1].end - flight))
    return tuple(found)


def _look_by_turns(look: LookAround, turns: Sequence[datetime]) -> LookAround:
    """Looks up once between two turns of the airspace what is around a plan that stays where it is: it is alike there."""
    found: dict[int, Surroundings] = {}

    def looked(plan: FlightPlan) -> Surroundings:
        alike = bisect_right(turns, plan.starts)
        if alike not in found:
            found[alike] = look(plan)
        return found[alike]

    return looked


def _judge_of(
    plan: FlightPlan, program: Program, look: LookAround, light: Light, around: Surroundings
) -> Callable[[datetime], tuple[Verdict, Because, bool]]:
    """A judge of instants; aircraft and pilot are judged once for each day and each stretch between instants on file.

    What the pilot has seen counts for the hours of the plan alone; at others a forecast leaves open what it is against.
    """
    on_file, seen = sorted(instants_on_file(program)), is_seen(program.told)
    kept: dict[tuple[date, int], Rows] = {}

    def rows_at(at: datetime) -> Rows:
        alike = at.astimezone(plan.zone.info).date(), bisect_right(on_file, at)
        if alike not in kept:
            kept[alike] = standing_of(plan._replace(starts=at), program)
        return kept[alike]

    def judged(at: datetime) -> tuple[Verdict, Because, bool]:
        then = plan._replace(starts=at, ends=at + _SECOND)
        moment = moment_of(then, program, lasting_facts(then, look(then)), light(at))
        found = [*_against(plan, moment, rows_at(at))]
        found += [(Verdict.NOT_MET, one) for one in double_bookings(then, program.booked)]
        has_looked = seen and plan.starts <= at < plan.ends
        forecast = forecast_against(
            around.weather, weather_flight(then, around.limits), has_looked=has_looked
        )
        found += [] if forecast is None else [(Verdict.UNKNOWN, forecast)]
        verdict = worst_of({one for one, _ in found}) if found else Verdict.MET
        because = next((what for one, what in found if one is verdict), None)
        return verdict, because, moment.needs_lights

    return judged


def _against(plan: FlightPlan, moment: FlightMoment, rows: Rows) -> Iterator[tuple[Verdict, Because]]:
    """What stands against the flight at a moment, but for what the pilot confirms on the day."""
    for clause in moment.clauses:
        if clause.verdict is Verdict.NOT_MET or (
            clause.verdict is Verdict.UNKNOWN and not _waits_for_pilot(clause)
        ):
            yield clause.verdict, clause
    for subject in (plan.aircraft, plan.pilot):
        row = rows.rows.get(subject)
        if row is None:  # gone by then, or nothing is on file of it
            yield Verdict.UNKNOWN, None
            continue
        verdict = verdict_of_row(row, moment.use, by_night=moment.is_by_night)
        if verdict is not Verdict.MET:
            yield verdict, row
    for battery in batteries_found(rows.found, plan.aircraft, plan.packs):
        if battery.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN):
            yield battery.verdict, battery


def _waits_for_pilot(clause: Clause) -> bool:
    """Whether a rule is open only for a confirmation, or is one that is never judged."""
    if clause.finding.rule in NEVER_JUDGED:
        return True
    missing = wording.missing_fact(clause.finding, clause.state)
    return missing is not None and missing.key.name in confirmations()


def _joined(stretches: Iterable[Stretch]) -> Iterator[Stretch]:
    """Neighbors that say the same, put together."""
    last: Stretch | None = None
    for one in stretches:
        if last is not None and _gist(last) == _gist(one):
            last = last._replace(end=one.end)
            continue
        if last is not None:
            yield last
        last = one
    if last is not None:
        yield last


def _gist(one: Stretch) -> tuple[Verdict, str, str, bool]:
    because = one.because
    if isinstance(because, DoubleBooking):
        return one.verdict, because.what, because.other.flight, one.needs_lights
    if isinstance(because, ForecastAgainst):
        return one.verdict, "forecast", because.says, one.needs_lights
    if isinstance(because, Clause):
        return one.verdict, because.finding.rule.name, because.finding.outcome.code, one.needs_lights
    return one.verdict, "" if because is None else because.subject, "", one.needs_lights


def _midnight(plan: FlightPlan, day: date) -> datetime:
    return datetime.combine(day, time(), plan.zone.info).astimezone(UTC)
