"""What would have to change: for every rule that is broken or open, a way to settle it, and what the flight comes to then.

A change to the plan is judged like the plan itself. What others have to grant is never counted as granted.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Iterator, Sequence
from datetime import date, datetime, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple

from airwrit.answers.asking.events import NEVER_JUDGED, Needed
from airwrit.answers.before_flight.check import (
    Clause,
    FlightAnswerCode,
    FlightCheck,
    fact_of,
    flight_check,
    standing_of,
    verdict_of_row,
)
from airwrit.answers.before_flight.equipment import fit_for
from airwrit.answers.before_flight.plan import FlightPlan, taken_up
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import (
    forecast_against,
    is_seen,
    turns_of_forecasts,
    weather_flight,
)
from airwrit.answers.before_flight.windows import FlightWindow, LookAround
from airwrit.answers.standing.headline import Headline
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Undecided, Verdict, worst_of
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.law import wording
from airwrit.law.flight.airspace import AUTHORITY_CONTROLLED_AIRSPACE_RULE
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE
from airwrit.law.flight.waivers import WAIVABLE
from airwrit.law.parameters import Law
from airwrit.law.shared_parameters import HEIGHT_LIMIT

_OPEN = (Verdict.NOT_MET, Verdict.UNKNOWN)
_SECTION = re.compile(r"\b107\.\d+")
CHECKLISTS = "checklists"
"""Stands for the program's checklists among the names of rules."""
BOOKING = "double_booking"
"""Stands for what another planned flight takes up among the names of rules."""
FORECAST = "forecast"
"""Stands for a forecast against the flight among the names of rules."""
BATTERIES = "batteries"
"""Stands for the batteries of the flight among the names of rules."""
_MOST_NAMES = 5
_MINUTE = timedelta(minutes=1)


class ChangeCode(StrEnum):
    """A way to settle a rule: a code that the words of the faces hang on."""

    LOWER = "lower"
    HOURS = "hours"
    AIRCRAFT = "aircraft"
    PILOT = "pilot"
    BATTERY = "battery"
    TOGETHER = "together"
    AUTHORIZATION = "authorization"
    WAIVER = "waiver"
    LEAVE = "leave"
    FIX = "fix"
    CONFIRM = "confirm"
    TICK = "tick"
    TELL = "tell"


class Change(NamedTuple):
    """A change, the plan with it (None where others decide), what the flight comes to then, and the rules it settles.

    `names` are stand-ins, sections or facts to confirm; `clause` and `need` are what a fix or a question is about.
    """

    code: ChangeCode
    plan: FlightPlan | None
    then: FlightAnswerCode
    settles: tuple[str, ...]
    names: tuple[str, ...] = ()
    clause: Clause | None = None
    need: Needed | None = None
    still: tuple[str, ...] = ()
    needs_lights: bool = False


class _ChangesAsked(NamedTuple):
    """What the changes are worked out from."""

    check: FlightCheck
    program: Program
    look: LookAround
    whole: Callable[[], Program]

    def program_of(self, plan: FlightPlan) -> Program:
        """What bears on the aircraft and the pilot of a changed plan."""
        if plan.subjects == self.check.plan.subjects:
            return self.program
        return self.whole().around(*plan.subjects)

    def changed(self, code: ChangeCode, plan: FlightPlan, names: tuple[str, ...] = ()) -> Change | None:
        """The change to a plan, judged; None where it settles nothing or can't be judged."""
        try:
            found = flight_check(plan, self.program_of(plan), self.look(plan))
        except UsageError:
            return None
        before, after = open_of(self.check), open_of(found)
        if self._is_forecast_against(self.check):
            before[FORECAST] = Verdict.UNKNOWN
        if self._is_forecast_against(found):
            after[FORECAST] = Verdict.UNKNOWN
        waiting = {name for need in found.owed for name in need.rules}
        settles = tuple(
            name
            for name, verdict in before.items()
            if name not in after
            or (verdict is Verdict.NOT_MET and after[name] is Verdict.UNKNOWN and name in waiting)
        )
        if not settles:
            return None
        still = tuple(name for name, verdict in after.items() if verdict is Verdict.NOT_MET)
        nothing = FlightAnswerCode.NOTHING_AGAINST
        then = FlightAnswerCode.CONFIRM_FIRST if found.whole is nothing else found.whole
        binding = {one.finding.rule for one in found.clauses if one.verdict is not Verdict.NOT_APPLICABLE}
        lights = not binding.isdisjoint((NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE))
        return Change(code, plan, then, settles, names, still=still, needs_lights=lights)

    def _is_forecast_against(self, check: FlightCheck) -> bool:
        """Whether a forecast is against a plan at a moment of it; what the pilot saw counts for the hours asked about alone."""
        mine, plan, around = self.check.plan, check.plan, check.around
        has_looked = is_seen(self.program.told) and (plan.starts, plan.ends) == (mine.starts, mine.ends)
        turns = {at for at in turns_of_forecasts(around.weather) if plan.starts < at < plan.ends}
        return any(
            forecast_against(
                around.weather, weather_flight(plan._replace(starts=at), around.limits), has_looked=has_looked
            )
            is not None
            for at in (plan.starts, *turns)
        )


WindowsFor = Callable[[FlightPlan, Program], Sequence[FlightWindow]]
"""Gives the windows of a plan on the days asked about."""


def changes_of(
    check: FlightCheck,
    program: Program,
    look: LookAround,
    highest_ft: Decimal | None,
    windows: WindowsFor,
    whole: Callable[[], Program],
) -> tuple[Change, ...]:
    """Every change, those to the plan first. `whole` gives the whole program, asked only where a stand-in is looked for."""
    if check.verdict is Verdict.MET:
        return ()
    asked = _ChangesAsked(check, program, look, whole)
    plans = [one for one in _plan_changes(asked, highest_ft) if one is not None]
    hours = _other_hours(asked, _together(check.plan, plans), windows)
    plans += [] if hours is None else [hours]
    if len(plans) > 1:
        both = asked.changed(ChangeCode.TOGETHER, _together(check.plan, plans))
        plans += [] if both is None else [both]
    others = list(_granted_by_others(check))
    settled = {name for one in plans for name in one.settles}
    granted = {name for one in others if one.code is ChangeCode.AUTHORIZATION for name in one.settles}
    return (
        *plans,
        *others,
        *_fixes(check, settled | granted),
        *_to_confirm(check),
        *_to_tick(check),
        *_to_tell(check),
    )


def open_of(check: FlightCheck) -> dict[str, Verdict]:
    """The rules, and the aircraft and the pilot by their kinds, that are broken or open."""
    found = {
        one.finding.rule.name: one.verdict
        for one in check.clauses
        if one.verdict in _OPEN and one.finding.rule not in NEVER_JUDGED
    }
    rows = {"aircraft": check.verdict_of(check.aircraft), "pilot": check.verdict_of(check.pilot)}
    if any(one.left for one in check.checklists):
        rows[CHECKLISTS] = Verdict.UNKNOWN
    if check.double:
        rows[BOOKING] = Verdict.NOT_MET
    packs = {one.verdict for one in check.batteries if one.verdict in _OPEN}
    rows |= {BATTERIES: worst_of(packs)} if packs else {}
    return found | {name: verdict for name, verdict in rows.items() if verdict in _OPEN}


def best_start(plan: FlightPlan, windows: Iterable[FlightWindow], after: datetime) -> datetime | None:
    """The takeoff nearest to the planned one, on a full minute, at which the flight fits a window that isn't over."""
    found = []
    for window in windows:
        first = max(window.start, after)
        start = min(max(plan.starts, _up(first)), last_takeoff(window))
        if start >= first:
            found.append(start)
    return min(found, key=lambda start: abs(start - plan.starts), default=None)


def last_takeoff(window: FlightWindow) -> datetime:
    """The last full minute at which the flight takes off and is over before the window ends."""
    return (window.latest - timedelta(seconds=1)).replace(second=0, microsecond=0)


def _up(at: datetime) -> datetime:
    down = at.replace(second=0, microsecond=0)
    return at if down == at else down + _MINUTE


def _plan_changes(asked: _ChangesAsked, highest_ft: Decimal | None) -> Iterator[Change | None]:
    plan, check = asked.check.plan, asked.check
    height = highest_ft or Decimal(Law(_day_of(plan))[HEIGHT_LIMIT])
    if height < plan.height_ft:
        yield asked.changed(ChangeCode.LOWER, plan.at_height(height))
    taken = {one.what for one in check.double}
    for code, row in ((ChangeCode.AIRCRAFT, check.aircraft), (ChangeCode.PILOT, check.pilot)):
        if check.verdict_of(row) is not Verdict.MET or row.subject in taken:
            yield _stand_in(asked, code, row.subject)
    if BATTERIES in open_of(check) or any(kind_of(one) == "battery" for one in taken):
        yield _other_batteries(asked)


def _other_hours(asked: _ChangesAsked, better: FlightPlan, windows: WindowsFor) -> Change | None:
    """The nearest hour at which the plan with all other changes fits."""
    plan = asked.check.plan
    start = best_start(plan, windows(better, asked.program_of(better)), asked.program.known_at)
    if start is None or start == plan.starts:
        return None
    moved = plan._replace(starts=start, ends=start + (plan.ends - plan.starts))
    return asked.changed(ChangeCode.HOURS, moved)


def _day_of(plan: FlightPlan) -> date:
    return plan.starts.astimezone(plan.zone.info).date()


def _stand_in(asked: _ChangesAsked, code: ChangeCode, instead_of: str) -> Change | None:
    """Others of the program whose papers are OK for this flight, and that no other flight takes up then."""
    check, kind = asked.check, kind_of(instead_of)
    busy = taken_up(check.plan, asked.program.booked)
    rows = standing_of(check.plan, asked.whole()).rows
    names = tuple(
        subject
        for subject, row in rows.items()
        if kind_of(subject) == kind
        and subject not in {instead_of, *busy}
        and row.headline in (Headline.WORK, Headline.RECREATION)
        and verdict_of_row(row, check.use, by_night=check.is_by_night) is Verdict.MET
    )[:_MOST_NAMES]
    if not names:
        return None
    plan = check.plan
    swapped = plan._replace(aircraft=names[0]) if kind == "aircraft" else plan._replace(pilot=names[0])
    return asked.changed(code, swapped, names)


def _other_batteries(asked: _ChangesAsked) -> Change | None:
    """As many batteries kept for the aircraft that nothing speaks against, those of the plan first."""
    check = asked.check
    busy = {id_of(one) for one in taken_up(check.plan, asked.program.booked) if kind_of(one) == "battery"}
    good = [
        name
        for one in check.batteries
        if one.verdict not in _OPEN and (name := id_of(one.subject)) not in busy
    ]
    fit = fit_for(standing_of(check.plan, asked.whole()).found, check.plan.aircraft)
    others = tuple(name for name in fit if name not in {*check.plan.packs, *busy})[
        : len(check.plan.packs) - len(good)
    ]
    if not others:
        return None
    return asked.changed(ChangeCode.BATTERY, check.plan._replace(packs=(*good, *others)), others)


def _together(plan: FlightPlan, changes: Iterable[Change]) -> FlightPlan:
    """The plan with all of the changes to it."""
    for one in changes:
        if one.plan is None:
            continue
        same = {
            ChangeCode.LOWER: ("height_ft",),
            ChangeCode.HOURS: ("starts", "ends"),
            ChangeCode.AIRCRAFT: ("aircraft",),
            ChangeCode.PILOT: ("pilot",),
            ChangeCode.BATTERY: ("packs",),
        }[one.code]
        plan = plan._replace(**{name: getattr(one.plan, name) for name in same})
    return plan


def _granted_by_others(check: FlightCheck) -> Iterator[Change]:
    """An authorization and waivers that can be asked for; the FAA decides, so nothing is settled by asking."""
    law = Law(_day_of(check.plan))
    try:
        listed: tuple[str, ...] = law[WAIVABLE]
    except Undecided:
        listed = ()
    for one in check.clauses:
        if one.verdict is not Verdict.NOT_MET:
            continue
        name = one.finding.rule.name
        if one.finding.rule is AUTHORITY_CONTROLLED_AIRSPACE_RULE:
            yield Change(ChangeCode.AUTHORIZATION, None, FlightAnswerCode.CANT_TELL, (name,), clause=one)
            continue
        sections = dict.fromkeys(_SECTION.findall(" ".join(wording.cites(one.finding))))
        waivable = tuple(
            section for section in sections if any(each.partition("(")[0] == section for each in listed)
        )
        if waivable:
            yield Change(ChangeCode.WAIVER, None, FlightAnswerCode.CANT_TELL, (name,), waivable, one)


def _fixes(check: FlightCheck, settled: set[str]) -> Iterator[Change]:
    """What the rules themselves say to do, for those that no other change and no answer settles."""
    waiting = {name for need in (*check.owed, *check.needed) for name in need.rules}
    for one in check.clauses:
        name = one.finding.rule.name
        if one.finding.rule in NEVER_JUDGED or one.verdict not in _OPEN:
            continue
        if name not in settled and (one.verdict is Verdict.NOT_MET or name not in waiting):
            yield Change(ChangeCode.FIX, None, FlightAnswerCode.CANT_TELL, (name,), clause=one)
    for kind, row in (("aircraft", check.aircraft), ("pilot", check.pilot)):
        against = row.deciding
        if check.verdict_of(row) is not Verdict.MET and against is not None:
            clause = Clause(against, check.plan.starts, check.standing_state)
            code = FlightAnswerCode.CANT_TELL
            yield Change(ChangeCode.FIX, None, code, (kind,), (row.subject,), clause)
    if BATTERIES not in settled:
        for battery in check.batteries:
            if battery.verdict in _OPEN:
                leave = (ChangeCode.LEAVE, None, FlightAnswerCode.CANT_TELL, (BATTERIES,))
                yield Change(*leave, (battery.subject,))


def _to_confirm(check: FlightCheck) -> Iterator[Change]:
    """What the pilot confirms, all of it together."""
    if check.owed:
        rules = tuple(dict.fromkeys(name for need in check.owed for name in need.rules))
        names = tuple(map(fact_of, check.owed))
        yield Change(ChangeCode.CONFIRM, None, FlightAnswerCode.CONFIRM_FIRST, rules, names)


def _to_tick(check: FlightCheck) -> Iterator[Change]:
    for one in check.checklists:
        if one.left:
            names = (one.checklist.name, str(one.left))
            yield Change(ChangeCode.TICK, None, FlightAnswerCode.CONFIRM_FIRST, (CHECKLISTS,), names)


def _to_tell(check: FlightCheck) -> Iterator[Change]:
    for need in check.needed:
        yield Change(ChangeCode.TELL, None, FlightAnswerCode.CANT_TELL, need.rules, need=need)
