"""Was the flown flight inside the rules: its track held against the law of its day, the papers, the airspace and its plan.

The arrays give the values that speak most against the flight, each with its doubt; the same rules that judge a plan judge them.
What no log shows is listed by itself, with what was said before the flight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.kinds import AreaKind
from airwrit.answers.after_flight.airspace import (
    AirspaceFlown,
    VolumeSays,
)
from airwrit.answers.after_flight.clauses import is_shown, law_clause, unless_hidden
from airwrit.answers.after_flight.distances import breaks_waiver, paper_distances, plan_distances
from airwrit.answers.after_flight.flown import (
    CantShow,
    FlownAnswer,
    FlownClause,
    FlownFigures,
)
from airwrit.answers.after_flight.intervals import (
    numbered,
)
from airwrit.answers.after_flight.matching import against_plan
from airwrit.answers.after_flight.own_limits import own_clauses
from airwrit.answers.after_flight.papers import PaperFlown, papers_flown
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.after_flight.track_facts import (
    FROM_LOG,
    TrackFlown,
    TrackSeen,
    assumed_of,
    facts_of,
    figures_of,
    in_the_air,
    track_flown,
    track_seen,
)
from airwrit.answers.asking.events import NEVER_JUDGED
from airwrit.answers.before_flight.check import (
    Clause,
    Light,
    clauses_of,
    instants_of,
    light_over,
    moment_of,
    standing_of,
    verdict_of_row,
)
from airwrit.answers.before_flight.plan import PLANNED, FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import FactsHeld
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.airspace import (
    AIRSPACE_CLASS,
    FLIGHT_AUTHORIZATION,
    NOTICE_COVERS,
    RESTRICTED_AREA,
    WAIVER_TERMS_KEPT,
)
from airwrit.facts.keys.flights.authority import INSIDE_AUTHORIZED
from airwrit.facts.keys.flights.over_people import LANDED_PROMPTLY
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording
from airwrit.law.flight.airspace import (
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
)
from airwrit.law.flight.broadcast import (
    LAND_AS_SOON_AS_PRACTICABLE_RULE,
    STANDARD_REMOTE_ID_NOT_DISABLED_RULE,
)
from airwrit.law.flight.crew import ONE_AIRCRAFT_RULE
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE, LINE_OF_SIGHT_RULE
from airwrit.law.rule import judge
from airwrit.tracks.excursions import SECOND_US
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.track import Track


class _Judged(NamedTuple):
    """What the rules found at every moment at which they could turn, the papers, and the distances they allow."""

    found: tuple[Clause, ...]
    papers: tuple[PaperFlown, ...]
    distances: tuple[FlownClause, ...]
    light: Light
    by_night: bool


def flown_answer(
    track: Track,
    asked: FlownQuestion,
    program: Program,
    folders: FlownFolders,
) -> FlownAnswer:
    """The answer for a log. UnreadableFile for one without places; UsageError for what has to be told besides."""
    flown = track_flown(track, asked, program, folders)
    seen_in = track_seen(flown, folders)
    asked = flown.asked
    plan_clauses, differences = against_plan(
        asked.planned, flown.path, flown.heights, flown.times, flown.plan
    )
    plan_clauses = tuple(unless_hidden(track, (*plan_clauses, *plan_distances(flown))))
    lasting = facts_of(flown, seen_in, program)
    as_planned = all(one.verdict is Verdict.MET for one in plan_clauses) and not any(
        one.differs for one in differences
    )
    told = _told_before(asked, lasting, seen_in.airspace, as_planned=as_planned)
    judged = _judged(flown, seen_in, program.with_told([*program.told, *told]), lasting)
    clauses = _clauses(flown, seen_in, judged)
    clauses = [*unless_hidden(track, clauses), *plan_clauses]
    figures = figures_of(flown)
    rows, state, verdicts = _standing(flown, program, by_night=judged.by_night)
    return FlownAnswer(
        track,
        flown.path,
        flown.heights,
        flown.plan,
        flown.plan.use or UsedFor.WORK,
        asked.planned,
        figures,
        numbered(clauses),
        (
            *_cant_show(judged.found, clauses, _far(figures, seen_in), track, told_before=bool(told)),
            *_after_failure(flown, clauses),
            *_outside_the_log(flown),
        ),
        rows.get(flown.plan.aircraft),
        rows.get(flown.plan.pilot),
        state,
        verdicts,
        differences,
        tuple(assumed_of(flown)),
        track.problems,
        asked,
        flown.match.several,
        flown.serial,
    )


def _clauses(flown: TrackFlown, seen_in: TrackSeen, judged: _Judged) -> list[FlownClause]:
    """The clauses of the law, of papers and of your own limits."""
    return [
        *(
            law_clause(one, flown, seen_in, judged.light)
            for one in judged.found
            if is_shown(one, flown, seen_in)
        ),
        *(clause for paper in judged.papers for clause in paper.clauses),
        *judged.distances,
        *own_clauses(flown, seen_in, judged.found, judged.light),
    ]


_OF_THE_PLACE = frozenset(key.name for key in (AIRSPACE_CLASS, NOTICE_COVERS, RESTRICTED_AREA))
"""Facts that were confirmed for the place, the hours and the height of the plan."""


def _told_before(
    asked: FlownQuestion, lasting: FactsHeld, airspace: AirspaceFlown, *, as_planned: bool
) -> list[Known]:
    """What was confirmed before the flight and still counts: not what the log tells, nor of a place it may not have kept to."""
    by_log = {key.name for key in lasting[PLANNED]} | FROM_LOG
    holds = as_planned and not any(one.inside.is_open or one.inside.is_beyond for one in airspace.volumes)
    return [
        item
        for item in (asked.planned.told if asked.planned else ())
        if item.statement.key not in by_log and (holds or item.statement.key not in _OF_THE_PLACE)
    ]


def _judged(flown: TrackFlown, seen_in: TrackSeen, program: Program, lasting: FactsHeld) -> _Judged:
    """Every rule at takeoff, at the end and wherever something turns; the rule about controlled airspace by the papers."""
    plan = flown.plan
    light = light_over(plan, plan.starts, plan.ends)
    base = with_held(program.state_on(plan.starts.astimezone(flown.zone.info)), lasting)
    papers = papers_flown(base, flown.path, flown.heights, flown.times, _counting(flown, seen_in.airspace))
    distances = tuple(paper_distances(base, flown))
    if breaks_waiver(base, distances):
        lasting = _with(lasting, {WAIVER_TERMS_KEPT: Held(False, None, ("the log",))})
        program = program.with_told(
            [one for one in program.told if one.statement.key != WAIVER_TERMS_KEPT.name]
        )
    relied = _relied(papers)
    if relied is not None:
        lasting = _with(lasting, _relying(relied))
    moments = [moment_of(plan, program, lasting, light(at)) for at in instants_of(plan, program, light)]
    found = _by_paper(clauses_of(moments), relied, plan)
    return _Judged(found, papers, distances, light, any(one.is_by_night for one in moments))


def _with(lasting: FactsHeld, more: Mapping[Key[Any], Held]) -> FactsHeld:
    """The facts of the flight with some more."""
    return {**lasting, PLANNED: {**lasting[PLANNED], **more}}


def _counting(flown: TrackFlown, airspace: AirspaceFlown) -> NDArray[np.bool_]:
    """The samples that count against a paper: in the air, and in controlled airspace where it is known which those are."""
    counts = in_the_air(flown)
    volumes = [*airspace.of(VolumeSays.CLASS), *airspace.of(VolumeSays.NOTICE)]
    if not volumes or not airspace.is_sure(AreaKind.CLASS):
        return counts
    inside = np.zeros(len(flown.path), dtype=bool)
    for volume in volumes:
        for run in volume.inside.found:
            inside[run.first : run.last + 1] = True
    return counts & inside


def _relied(papers: Sequence[PaperFlown]) -> PaperFlown | None:
    """The paper that the rules see the flight rely on: one that covers it, else the one that leaves the least uncovered."""
    return min(papers, key=lambda one: len(one.found.uncovered), default=None)


def _by_paper(found: Sequence[Clause], relied: PaperFlown | None, plan: FlightPlan) -> tuple[Clause, ...]:
    """The rule about controlled airspace judged by the paper's own facts: its height counts only where it was flown in."""
    if relied is None:
        return tuple(found)
    state = with_held(relied.answer.state, {PLANNED: _relying(relied)})
    day = plan.starts.astimezone(plan.zone.info).date()
    rule = AUTHORITY_CONTROLLED_AIRSPACE_RULE
    finding = judge(rule, state, PLANNED, plan.use or UsedFor.WORK, day)
    return tuple(
        one._replace(finding=finding, state=state) if one.finding.rule is rule else one for one in found
    )


def _relying(paper: PaperFlown) -> dict[Key[Any], Held]:
    """The facts of a flight that relies on a paper: which, and whether it kept to its area."""
    inside = paper.answer.state.held[PLANNED].get(INSIDE_AUTHORIZED)
    named = Held(id_of(paper.found.subject), None, (paper.found.subject,))
    found: dict[Key[Any], Held] = {FLIGHT_AUTHORIZATION: named}
    return found if inside is None else {**found, INSIDE_AUTHORIZED: inside}


def _far(figures: FlownFigures, seen_in: TrackSeen) -> tuple[str, float | None]:
    """What is said of how far off it was: with or without the ground in between."""
    clear = seen_in.sight is not None and seen_in.sight.is_clear
    return "sight_clear" if clear else "sight", figures.farthest_m


def _cant_show(
    found: Sequence[Clause],
    clauses: Sequence[FlownClause],
    far: tuple[str, float | None],
    track: Track,
    *,
    told_before: bool,
) -> Iterator[CantShow]:
    """What no log shows, with what is asked for; and beside a height over the limit the structure that may allow it."""
    lines = {one.name for one in clauses}
    for one in found:
        rule = one.finding.rule
        if rule.name in lines or rule.document or rule in NEVER_JUDGED:
            continue
        if one.verdict is Verdict.NOT_APPLICABLE:
            continue
        missing = wording.missing_fact(one.finding, one.state)
        asks = () if missing is None else (missing.key.name,)
        said = told_before and one.verdict is Verdict.MET
        code, fields = ("said_before" if said else "not_in_a_log"), tuple[tuple[str, str], ...]()
        if rule is LINE_OF_SIGHT_RULE and not said and far[1] is not None:
            code, fields = far[0], (("far_m", f"{far[1]:.3f}"),)
        elif rule is ONE_AIRCRAFT_RULE and any(
            problem.code == TrackFault.OTHER_VEHICLE for problem in track.problems
        ):
            code = "several_vehicles"
        yield CantShow(rule.name, code, fields, one.finding, one.state, asks, said)
    over = next((one for one in clauses if one.name == HEIGHT_LIMIT_RULE.name), None)
    if over is not None and over.past and over.verdict is Verdict.NOT_MET:
        yield CantShow(HEIGHT_LIMIT_RULE.name, "structure", (), None, None, (), said_before=False)


def _after_failure(flown: TrackFlown, clauses: Sequence[FlownClause]) -> Iterator[CantShow]:
    """How long after Remote ID went off in flight, and stayed off, it landed; whether that was prompt no log shows."""
    for one in clauses:
        if one.name != STANDARD_REMOTE_ID_NOT_DISABLED_RULE.name or not one.intervals:
            continue
        last, end_us = one.intervals[-1], flown.times.end_us
        after_s = (end_us - last.start_us) / SECOND_US
        if last.start_us > flown.times.start_us and last.until_us >= end_us - SECOND_US:
            name = LAND_AS_SOON_AS_PRACTICABLE_RULE.name
            fields = (("after_s", f"{after_s:.0f}"),)
            asks = (LANDED_PROMPTLY.name,)
            yield CantShow(name, "landed_after", fields, None, None, asks, said_before=False)


def _outside_the_log(flown: TrackFlown) -> Iterator[CantShow]:
    """The flight before a log that begins in the air, and after one that stops there."""
    for is_missing, code in (
        (flown.air.begins_in_the_air, "before_the_log"),
        (flown.air.ends_in_the_air, "after_the_log"),
    ):
        if is_missing:
            yield CantShow(code, code, (), None, None, (), said_before=False)


def _standing(
    flown: TrackFlown, program: Program, *, by_night: bool
) -> tuple[Mapping[str, SubjectStanding], State | None, tuple[Verdict, ...]]:
    """How aircraft and pilot stood at the takeoff; nothing where none was named, or a name only guessed isn't on file."""
    plan = flown.plan
    named = [one for one in (plan.aircraft, plan.pilot) if one]
    if not named:
        return {}, None, ()
    found = standing_of(plan, program.with_told(()))
    guessed = plan.aircraft if flown.asked.by_name else ""
    rows = {subject: found.of(subject) for subject in named if subject != guessed or subject in found.rows}
    use = plan.use or UsedFor.WORK
    return rows, found.state, tuple(verdict_of_row(row, use, by_night=by_night) for row in rows.values())
