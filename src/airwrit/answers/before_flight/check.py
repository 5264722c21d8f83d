"""May this flight go: every rule of a flight at every moment at which it could turn, and how aircraft and pilot stand."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from enum import StrEnum
from itertools import pairwise
from typing import Any, NamedTuple

from airwrit.answers.asking.events import (
    NEVER_JUDGED,
    QUESTIONS_OF_A_FLIGHT,
    Needed,
    is_waiting,
    needed_by,
    rules_under,
    uses_of,
)
from airwrit.answers.before_flight import checklists
from airwrit.answers.before_flight.checklists import ChecklistFound, RiskAssessment, assessment_of
from airwrit.answers.before_flight.confirmations import confirmations
from airwrit.answers.before_flight.equipment import BatteryFound, batteries_found
from airwrit.answers.before_flight.plan import PLANNED, DoubleBooking, FlightPlan, double_bookings
from airwrit.answers.before_flight.program import Program, instants_on_file
from airwrit.answers.before_flight.surroundings import (
    FactsHeld,
    Surroundings,
    lasting_facts,
    light_facts,
    reserve_of,
    state_of_flight,
)
from airwrit.answers.site.authority import AuthorityAnswer, authority_of
from airwrit.answers.site.territory import territories_of
from airwrit.answers.sky.light import LightAt, lights_over
from airwrit.answers.standing.headline import Headline, SubjectStanding
from airwrit.answers.standing.report import declared_uses
from airwrit.answers.standing.standing import Standing, standing
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict, Why, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import held_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OPERATED_UNDER, USED_FOR
from airwrit.facts.keys.flights.airspace import FLIGHT_AUTHORIZATION
from airwrit.facts.keys.flights.authority import INSIDE_AUTHORIZED
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER
from airwrit.facts.keys.flights.planning import BATTERY_RESERVE
from airwrit.facts.keys.person import FLIES_FOR
from airwrit.facts.state import NOTHING_HELD, Held, State, with_held
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import id_of
from airwrit.house.rules import row_of
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE
from airwrit.law.flight.purpose import RECREATIONAL_EXCEPTION_RULE, RECREATIONAL_PURPOSE_RULE
from airwrit.law.rule import USES, Finding, Rule
from airwrit.law.rulebook import RULES

_FLIGHT_RULES = tuple(rule for rule in RULES if rule.about == "flight")
_WORK_RULES = tuple(
    rule for rule in _FLIGHT_RULES if rule not in (RECREATIONAL_PURPOSE_RULE, RECREATIONAL_EXCEPTION_RULE)
)
_DOUBT = timedelta(seconds=90)
_WORST_FIRST = (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE)


class FlightAnswerCode(StrEnum):
    """The answer in a word: a code that the words of the faces hang on. None of them is a clearance."""

    NOT_ALLOWED = "not_allowed"
    CANT_TELL = "cant_tell"
    CONFIRM_FIRST = "confirm_first"
    NOTHING_AGAINST = "nothing_against"


class Clause(NamedTuple):
    """A rule of the flight at the moment at which it goes worst, with the state that its sentence is made from."""

    finding: Finding
    at: datetime
    state: State

    @property
    def verdict(self) -> Verdict:
        """The verdict at that moment."""
        return self.finding.verdict


Side = tuple[State, tuple[Finding, ...]]
"""What is held on one side of a turn of the light that is in doubt, and what the rules find."""


@dataclass(frozen=True, slots=True)
class FlightMoment:
    """A flight judged at one moment: every rule, and the sides of a doubt about the light; one where there is none."""

    at: datetime
    use: UsedFor
    clauses: tuple[Clause, ...]
    light: LightAt
    sides: tuple[Side, ...]

    @property
    def is_by_night(self) -> bool:
        """Whether the rule of lights at night applies, or may."""
        return self._binds(NIGHT_LIGHTS_RULE)

    @property
    def needs_lights(self) -> bool:
        """Whether anti-collision lights are asked for, or may be: at night, or in twilight."""
        return self.is_by_night or self._binds(TWILIGHT_LIGHTS_RULE)

    def _binds(self, rule: Rule) -> bool:
        return any(
            one.finding.rule is rule and one.verdict is not Verdict.NOT_APPLICABLE for one in self.clauses
        )


@dataclass(frozen=True, slots=True)
class FlightCheck:
    """The whole answer. `needed` are facts nobody told; `owed` those of them that the pilot confirms on the day."""

    plan: FlightPlan
    use: UsedFor
    around: Surroundings
    clauses: tuple[Clause, ...]
    aircraft: SubjectStanding
    pilot: SubjectStanding
    standing_state: State
    needed: tuple[Needed, ...]
    owed: tuple[Needed, ...]
    is_by_night: bool
    authority: AuthorityAnswer
    checklists: tuple[ChecklistFound, ...] = ()
    risks: RiskAssessment | None = None
    batteries: tuple[BatteryFound, ...] = ()
    double: tuple[DoubleBooking, ...] = ()
    """what another planned flight takes up at the same time"""

    @property
    def verdicts(self) -> set[Verdict]:
        """The verdicts the answer rests on: of every rule that is judged, of aircraft, pilot and batteries."""
        found = {one.verdict for one in self.clauses if one.finding.rule not in NEVER_JUDGED}
        found |= {one.verdict for one in self.checklists}
        found |= {Verdict.NOT_MET} if self.double else set()
        return found | self._equipped

    @property
    def _equipped(self) -> set[Verdict]:
        """The verdicts on the aircraft, the pilot and the batteries."""
        found = {self.verdict_of(self.aircraft), self.verdict_of(self.pilot)}
        return found | {one.verdict for one in self.batteries}

    @property
    def verdict(self) -> Verdict:
        """Not met where anything is not; else unknown on any gap; else met."""
        return worst_of(self.verdicts)

    @property
    def whole(self) -> FlightAnswerCode:
        """The answer in a word."""
        if Verdict.NOT_MET in self.verdicts:
            return FlightAnswerCode.NOT_ALLOWED
        if Verdict.UNKNOWN not in self.verdicts:
            return FlightAnswerCode.NOTHING_AGAINST
        waiting = {name for need in self.owed for name in need.rules}
        others = [
            c for c in self.clauses if c.verdict is Verdict.UNKNOWN and c.finding.rule.name not in waiting
        ]
        open_ones = [c for c in others if c.finding.rule not in NEVER_JUDGED]
        return (
            FlightAnswerCode.CANT_TELL
            if open_ones or Verdict.UNKNOWN in self._equipped
            else FlightAnswerCode.CONFIRM_FIRST
        )

    @property
    def left(self) -> int:
        """How many things the pilot has yet to confirm, each checklist that isn't ticked in full counted once."""
        return len(self.owed) + sum(one.left > 0 for one in self.checklists)

    def verdict_of(self, row: SubjectStanding) -> Verdict:
        """How the aircraft or the pilot stands for the flight."""
        return verdict_of_row(row, self.use, by_night=self.is_by_night)


def verdict_of_row(row: SubjectStanding, use: UsedFor, *, by_night: bool) -> Verdict:
    """How an aircraft or a pilot stands for a use, and at night where it is flown then."""
    if row.headline in (Headline.NOT_IN_FLEET, Headline.NOT_JUDGED):
        return Verdict.NOT_MET
    by_use = row.work if use is UsedFor.WORK else row.recreation
    night = {row.night} if by_night and row.night is not None else set()
    return worst_of({by_use} | {one for one in night if one is not Verdict.NOT_APPLICABLE})


def with_ticks(plan: FlightPlan, program: Program) -> Program:
    """The program with the facts told that ticked lines of its checklists confirm; itself where there are none."""
    state = program.state_on(plan.starts.astimezone(plan.zone.info))
    found = checklists.told_by_ticks(state, plan.aircraft, program.told)
    return program.with_told([*program.told, *found]) if found else program


def flight_check(plan: FlightPlan, program: Program, around: Surroundings) -> FlightCheck:
    """The answer for a plan. UsageError where nobody said what it is flown for, or aircraft or pilot is not on file."""
    program = with_ticks(plan, program)
    use = use_of(plan, program.state_on(plan.starts.astimezone(plan.zone.info)))
    plan = plan._replace(use=use)
    lasting = lasting_facts(plan, around)
    light = light_over(plan, plan.starts, plan.ends)
    moments = [moment_of(plan, program, lasting, light(at)) for at in instants_of(plan, program, light)]
    by_night = any(moment.is_by_night for moment in moments)
    use = next((moment.use for moment in moments if moment.use is not use), use)
    rows = _worst_rows(plan._replace(use=use), program, (moment.at for moment in moments), by_night=by_night)
    needed = _needed(moments)
    walk = list(confirmations())
    owed = sorted(
        (need for need in needed if fact_of(need) in walk), key=lambda need: walk.index(fact_of(need))
    )
    return FlightCheck(
        plan,
        use,
        around,
        clauses_of(moments),
        rows.of(plan.aircraft),
        rows.of(plan.pilot),
        rows.state,
        tuple(need for need in needed if need not in owed),
        tuple(owed),
        by_night,
        authority_of(moments[0].clauses[0].state, PLANNED),
        checklists.checklists_found(checklists.checklists_for(rows.state, plan.aircraft), program.told),
        assessment_of(plan, program.told),
        batteries_found(rows.found, plan.aircraft, plan.packs),
        double_bookings(plan, program.booked),
    )


def fact_of(need: Needed) -> str:
    """The name of the fact that is asked for."""
    return need.question.settles[0][1].name


class Rows(NamedTuple):
    """How the aircraft and people of a program stand on the day of a flight."""

    found: Standing
    rows: Mapping[str, SubjectStanding]

    @property
    def state(self) -> State:
        """What they were judged by."""
        return self.found.report.state

    def of(self, subject: str) -> SubjectStanding:
        """The row of a subject. UsageError where nothing is on file of it on that day, or the person has left."""
        if subject not in self.rows:
            kind = subject.partition("/")[0]
            raise UsageError(
                f"{subject.partition('/')[2]!r} isn't on file on {day_of(self.state.on)}",
                where=kind,
                do=f"use one of these: {', '.join(one.partition('/')[2] for one in self._named(kind)) or 'none on file'}",
            )
        return self.rows[subject]

    def _named(self, kind: str) -> list[str]:
        return [subject for subject in self.rows if subject.startswith(f"{kind}/")][:12]


def standing_of(plan: FlightPlan, program: Program) -> Rows:
    """How aircraft and people stand at the takeoff; where nobody said what one is used for, for what the flight is for.

    The law that this one flight is flown under goes before what is on file of the aircraft.
    """
    on = plan.starts.astimezone(plan.zone.info)
    state = program.with_told(()).state_on(on)
    told = [
        Known(Statement(subject, key.name, plan.use.value), "the plan")
        for subject, key in ((plan.aircraft, USED_FOR), (plan.pilot, FLIES_FOR))
        if plan.use is not None and state.held.get(subject) and not declared_uses(state, subject)
    ]
    if told:
        state = program.with_told(told).state_on(on)
    under = next(
        (item.statement.value for item in program.told if item.statement.key == FLIGHT_UNDER.name), None
    )
    if under is not None and (held := held_of(OPERATED_UNDER, under, ("this flight",))) is not None:
        state = with_held(state, {plan.aircraft: {OPERATED_UNDER: held}})
    found = standing(state, on, program.known_at, house=program.house)
    return Rows(found, {row.subject: row for row in found.rows})


def _worst_rows(plan: FlightPlan, program: Program, instants: Iterable[datetime], *, by_night: bool) -> Rows:
    """How aircraft and people stand at the moment of the flight at which they, or a battery, stand worst; the first of several.

    Judged once for each day and each stretch between instants on file.
    """
    on_file, seen = sorted(instants_on_file(program)), set[tuple[date, int]]()
    worst: tuple[int, Rows] | None = None
    for at in instants:
        alike = at.astimezone(plan.zone.info).date(), bisect_right(on_file, at)
        if alike in seen:
            continue
        seen.add(alike)
        rows = standing_of(plan._replace(starts=at), program)
        both = [rows.of(subject) for subject in (plan.aircraft, plan.pilot)]
        use = plan.use or UsedFor.WORK
        found = {verdict_of_row(row, use, by_night=by_night) for row in both}
        found |= {one.verdict for one in batteries_found(rows.found, plan.aircraft, plan.packs)}
        rank = min(map(_WORST_FIRST.index, found))
        if worst is None or rank < worst[0]:
            worst = rank, rows
    return standing_of(plan, program) if worst is None else worst[1]


def use_of(plan: FlightPlan, state: State) -> UsedFor:
    """What the flight is for: as planned, else what its aircraft is used for where that is one use."""
    if plan.use is not None:
        return plan.use
    declared = declared_uses(state, plan.aircraft)
    if len(declared) != 1:
        raise UsageError(
            "we need to know what the flight is for", where="for", do="choose work or recreation"
        )
    return declared[0]


Light = Callable[[datetime], LightAt]
"""Tells the light at an instant."""


def light_over(plan: FlightPlan, start: datetime, end: datetime) -> Light:
    """The light at the place of a plan, at any instant of a span."""
    return lights_over(plan.place, plan.zone, start, end)


def moment_of(plan: FlightPlan, program: Program, lasting: FactsHeld, light: LightAt) -> FlightMoment:
    """The flight judged at one instant, by the clock and the law of the place's own day.

    Where the instant is too close to a turn of the light, both sides of it are judged, and what they don't agree on is open.
    """
    at = light.at
    on = at.astimezone(plan.zone.info)
    base = program.state_on(on)
    own = base.held.get(PLANNED, NOTHING_HELD)
    found = {**lasting[PLANNED], **_territory(plan, program.house)}
    found |= {} if BATTERY_RESERVE in own else reserve_of(program.house)
    use, sides = plan.use or UsedFor.WORK, []
    for shift in (timedelta(),) if len(light.phases) == 1 else (-_DOUBT, _DOUBT):
        mine = {**_together(found, own), **light_facts(plan, light, shift)}
        own_areas = dict(territories_of(PLANNED, plan.area, program.house, base))
        state = with_authority(with_held(base, {**lasting, **own_areas, PLANNED: mine}))
        use, rules = _judged(plan, state, on.date(), program)
        sides.append((state, rules))
    return FlightMoment(at, use, tuple(_agreed(sides, at)), light, tuple(sides))


def _territory(plan: FlightPlan, house: Sequence[Rule]) -> Mapping[Key[Any], Held]:
    """The State of a flight, where a house rule asks for it: the outlines take a while to read."""
    rows = (row_of(rule) for rule in house)
    return state_of_flight(plan) if any(row is not None and row.kind == "in_states" for row in rows) else {}


def with_authority(state: State) -> State:
    """The state with the first paper on file that covers the flight whole as the authorization it relies on.

    A flight that names its authorization itself is left as it is.
    """
    if state.held[PLANNED].get(FLIGHT_AUTHORIZATION) is not None:
        return state
    covering = authority_of(state, PLANNED).covering
    if not covering:
        return state
    paper = covering[0].subject
    found: dict[Key[Any], Held] = {
        FLIGHT_AUTHORIZATION: Held(id_of(paper), None, (paper,)),
        INSIDE_AUTHORIZED: Held(True, None, (paper,)),
    }
    return with_held(state, {PLANNED: found})


def _is_contradicted(need: Needed, state: State) -> bool:
    """Whether what is asked for was told and looked up, one against the other: no further answer settles that."""
    subject, key = need.question.settles[0]
    held = state.held.get(subject, NOTHING_HELD).get(key)
    return held is not None and held.why is Why.CONFLICT


def _together(found: Mapping[Key[Any], Held], told: Mapping[Key[Any], Held]) -> dict[Key[Any], Held]:
    """What was looked up and what was told; where the two say otherwise of a fact, it decides nothing."""
    both = {**found, **told}
    for key in found.keys() & told.keys():
        if found[key].value != told[key].value:
            both[key] = Held(None, Why.CONFLICT, (*found[key].origins, *told[key].origins))
    return both


def _judged(
    plan: FlightPlan, state: State, day: date, program: Program
) -> tuple[UsedFor, tuple[Finding, ...]]:
    """What every rule of a flight finds, for the use it is planned for: the law's, then the house's own."""
    uses, rules = (USES, _FLIGHT_RULES) if plan.use is UsedFor.RECREATION else ((UsedFor.WORK,), _WORK_RULES)
    own = tuple(rule for rule in program.house if rule.about == "flight")
    findings = program.findings((*rules, *own), state, PLANNED, uses, day)
    possible = uses_of(PLANNED, findings, state, plan.use)
    use = plan.use if plan.use in possible else possible[0]
    return use, rules_under(use, findings)


def _agreed(sides: Sequence[Side], at: datetime) -> Iterator[Clause]:
    """Every rule: the worse of both sides of a doubt, and open where one side breaks it and the other doesn't."""
    for several in zip(*(found for _, found in sides), strict=True):
        if several[0].rule in QUESTIONS_OF_A_FLIGHT:
            continue
        clauses = [Clause(finding, at, state) for finding, (state, _) in zip(several, sides, strict=True)]
        worst = min(clauses, key=_rank)
        if worst.verdict is Verdict.NOT_MET and any(one.verdict is not Verdict.NOT_MET for one in clauses):
            outcome = worst.finding.outcome._replace(verdict=Verdict.UNKNOWN, why=Why.WITHIN_DOUBT)
            worst = worst._replace(finding=worst.finding._replace(outcome=outcome))
        yield worst


def instants_of(plan: FlightPlan, program: Program, light: Light) -> tuple[datetime, ...]:
    """The takeoff, the end, every turn of the light and instant on file between, and one in the middle of each stretch."""
    on_file = {at for at in instants_on_file(program) if plan.starts < at < plan.ends}
    turns = sorted({plan.starts, *turns_of_light(light, plan.starts, plan.ends), *on_file, plan.ends})
    middles = [a + (b - a) / 2 for a, b in pairwise(turns)]
    return tuple(sorted({*turns, *middles}))


def turns_of_light(light: Light, start: datetime, end: datetime) -> list[datetime]:
    """The edges of the doubt around every turn of the light inside a span."""
    at, found = start, set[datetime]()
    while True:
        for moment in light(at).nearest.values():
            off = timedelta(seconds=moment.error_s + 30)
            found |= {edge for edge in (moment.at - off, moment.at + off) if start < edge < end}
        if at >= end:
            return sorted(found)
        at = min(end, at + timedelta(hours=6))


def clauses_of(moments: Iterable[FlightMoment]) -> tuple[Clause, ...]:
    """Every rule at the moment at which it goes worst."""
    worst: dict[Rule, Clause] = {}
    for moment in moments:
        for clause in moment.clauses:
            earlier = worst.get(clause.finding.rule)
            if earlier is None or _rank(clause) < _rank(earlier):
                worst[clause.finding.rule] = clause
    return tuple(worst.values())


def _rank(clause: Clause) -> int:
    return _WORST_FIRST.index(clause.verdict)


def _needed(moments: Iterable[FlightMoment]) -> tuple[Needed, ...]:
    """What has to be told, each once, with all rules that wait for it."""
    found: dict[tuple[str, str], Needed] = {}
    seen: set[int] = set()
    for state, findings in (side for moment in moments for side in moment.sides):
        others = [one for one in findings if is_waiting(one) and id(one) not in seen]
        seen.update(map(id, others))
        for need in needed_by(others, state):
            if _is_contradicted(need, state):
                continue
            subject, key = need.question.settles[0]
            earlier = found.get((subject, key.name))
            rules = need.rules if earlier is None else (*earlier.rules, *need.rules)
            found[subject, key.name] = Needed(need.question, tuple(dict.fromkeys(rules)))
    return tuple(found.values())
