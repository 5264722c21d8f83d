"""Was the flown flight inside the rules: its track held against the law of its day, the papers, the airspace and its plan.

The arrays give the values that speak most against the flight, each with its doubt; the same rules that judge a plan judge them.
What no log shows is listed by itself, with what was said before the flight.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from itertools import pairwise
from pathlib import Path
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.airspace.kinds import AreaKind
from airwrit.answers.after_flight.airspace import (
    AirspaceFlown,
    VolumeFlown,
    VolumeSays,
    airspace_flown,
    utc_us_of,
)
from airwrit.answers.after_flight.flown import (
    CantShow,
    ClauseFrom,
    FlownAnswer,
    FlownClause,
    FlownFigures,
    FlownInterval,
)
from airwrit.answers.after_flight.intervals import (
    LimitHeld,
    feet_limit,
    intervals_of,
    knots_limit,
    numbered,
    rows_of,
    runs_of,
    worst_in,
)
from airwrit.answers.after_flight.papers import CLIMBING, AirTimes, PaperFlown, papers_flown, seen
from airwrit.answers.after_flight.planned import against_plan
from airwrit.answers.asking.events import NEVER_JUDGED
from airwrit.answers.before_flight.check import (
    Clause,
    Light,
    Program,
    clauses_of,
    instants_of,
    light_over,
    moment_of,
    standing_of,
    turns_of_light,
    verdict_of_row,
)
from airwrit.answers.before_flight.plan import PLANNED, FlightPlan
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.before_flight.surroundings import FactsHeld, from_washington
from airwrit.answers.sky.light import Phase
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.report import declared_uses
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.measured import Measured
from airwrit.base.places import Place
from airwrit.base.verdict import Margin, Undecided, Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import held_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.airspace import (
    AIRSPACE_CLASS,
    FLIGHT_AUTHORIZATION,
    NOTICE_COVERS,
    RESTRICTED_AREA,
)
from airwrit.facts.keys.authority import FLIGHT_ENDS, FLIGHT_STARTS, INSIDE_AUTHORIZED
from airwrit.facts.keys.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT, HEIGHT_AGL
from airwrit.facts.keys.flight_log import FLOWN_FOR
from airwrit.facts.keys.limits import GROUND_SPEED, HEIGHT_ERROR, IN_ALASKA, OTHER_CEILING, SPEED_ERROR
from airwrit.facts.keys.over_people import BROADCASTS, INSIDE_FRIA
from airwrit.facts.state import Held, State, with_held
from airwrit.facts.vocabulary import id_of
from airwrit.geo.terrain import GroundAlong
from airwrit.law import wording
from airwrit.law.flight.airspace import (
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
    RESTRICTED_AREA_PERMISSION_RULE,
    TFR_RULE,
)
from airwrit.law.flight.broadcast import STANDARD_REMOTE_ID_NOT_DISABLED_RULE
from airwrit.law.flight.ceiling import HEIGHT_LIMIT_FT
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE
from airwrit.law.flight.limits import HEIGHT_LIMIT, HEIGHT_LIMIT_RULE, SPEED_LIMIT, SPEED_LIMIT_RULE
from airwrit.law.parameters import Law, Param
from airwrit.law.rule import Rule, judge
from airwrit.sky.zones import Zone, zone_named, zone_of
from airwrit.tracks.airtime import Airtime, airtime_of
from airwrit.tracks.excursions import SECOND_US, Excursions, Floats, Sieve, excursions
from airwrit.tracks.heights import HeightFrom, Heights, heights_of
from airwrit.tracks.path import Doubts, FlownPath, path_of
from airwrit.tracks.track import TimeSource, Track

MOVING = Sieve(hysteresis=0.5, fastest=10.0)
"""For speeds in m/s: no aircraft here gains or loses more than 10 m/s in a second."""
SHOWN = (
    HEIGHT_LIMIT_RULE,
    SPEED_LIMIT_RULE,
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
    TFR_RULE,
    RESTRICTED_AREA_PERMISSION_RULE,
    NIGHT_LIGHTS_RULE,
    TWILIGHT_LIGHTS_RULE,
    STANDARD_REMOTE_ID_NOT_DISABLED_RULE,
)
"""The rules of a flight that a log can tell something of."""
_CLOCK_S = {TimeSource.FILE_UTC: 1.0, TimeSource.GPS_WEEK: 1.0}
_OTHER_CLOCK_S = 60.0
"""What a clock that no satellite set may be off; our own figure, and told as assumed."""
_FROM_LOG = "the log"
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class FlownQuestion(NamedTuple):
    """What was told with a log: the plan it was flown on, who flew what and what for, where the pilot stood, the zone.

    `day` is the day where the log tells none, `reserve` the share of the battery that was to be left at landing.
    """

    planned: SavedFlight | None = None
    aircraft: str = ""
    pilot: str = ""
    use: UsedFor | None = None
    pilot_at: Place | None = None
    zone_name: str = ""
    day: date | None = None
    reserve: float | None = None
    doubts: Doubts = Doubts()


class FlownFolders(NamedTuple):
    """Where airspace and terrain are kept; None where there is none."""

    airspace: Path | None = None
    terrain: Path | None = None


class _Flown(NamedTuple):
    """What is worked out of the track before any rule is asked."""

    track: Track
    path: FlownPath
    heights: Heights
    air: Airtime
    times: AirTimes
    zone: Zone
    plan: FlightPlan
    asked: FlownQuestion


class _Seen(NamedTuple):
    """What the arrays found: height and speed past the limits of the day, the airspace; None where the law was not read."""

    height: tuple[LimitHeld, Excursions] | None
    speed: tuple[LimitHeld, Excursions] | None
    airspace: AirspaceFlown
    remote_id: _RemoteIdSeen | None


class _RemoteIdSeen(NamedTuple):
    """Spans in the air, first and last sample each, with Remote ID off and with nothing said of it."""

    off: list[tuple[int, int]]
    unsaid: list[tuple[int, int]]


def flown_answer(
    track: Track,
    asked: FlownQuestion,
    program: Program,
    folders: FlownFolders = FlownFolders(),  # noqa: B008
) -> FlownAnswer:
    """The answer for a log. UnreadableFile for one without places; UsageError for what has to be told besides."""
    flown = _flown(track, asked, program, folders)
    seen_in = _seen_in(flown, folders)
    told = [
        one for one in (asked.planned.told if asked.planned else ()) if one.statement.key not in _LOOKED_UP
    ]
    program = program.with_told([*program.told, *told])
    lasting = _lasting(flown, seen_in, program)
    light = light_over(flown.plan, flown.plan.starts, flown.plan.ends)
    base = with_held(program.state_on(flown.plan.starts.astimezone(flown.zone.info)), lasting)
    papers = papers_flown(base, flown.path, flown.heights, flown.times, _counting(flown, seen_in.airspace))
    relied = _relied(papers)
    if relied is not None:
        lasting[PLANNED] |= _relying(relied)
    moments = [
        moment_of(flown.plan, program, lasting, light(at)) for at in instants_of(flown.plan, program, light)
    ]
    found = _by_paper(clauses_of(moments), relied, flown.plan)
    clauses = [
        *(_law_clause(one, flown, seen_in, light) for one in found if _is_clause(one)),
        *(clause for paper in papers for clause in paper.clauses),
        *_own_areas(flown, seen_in.airspace),
        *_reserve(flown),
    ]
    plan_clauses, differences = against_plan(
        asked.planned, flown.path, flown.heights, flown.times, flown.plan
    )
    rows, state, verdicts = _standing(flown, program, by_night=any(one.is_by_night for one in moments))
    return FlownAnswer(
        track,
        flown.path,
        flown.heights,
        flown.plan,
        flown.plan.use or UsedFor.WORK,
        asked.planned,
        _figures(flown),
        numbered([*clauses, *plan_clauses]),
        tuple(_cant_show(found, clauses, bool(told))),
        rows.get(flown.plan.aircraft),
        rows.get(flown.plan.pilot),
        state,
        verdicts,
        differences,
        tuple(_assumed(flown)),
        tuple((one.code, one.detail) for one in track.problems),
        asked.doubts.level_ground_m,
    )


_LOOKED_UP = frozenset(
    key.name
    for key in (
        HEIGHT_AGL,
        HEIGHT_ERROR,
        GROUND_SPEED,
        SPEED_ERROR,
        FLIGHT_STARTS,
        FLIGHT_ENDS,
        FLIGHT_AIRCRAFT,
        FLIGHT_PILOT,
    )
)
"""Facts that the log tells better than anybody before the flight."""


def _flown(track: Track, asked: FlownQuestion, program: Program, folders: FlownFolders) -> _Flown:
    path = path_of(track, asked.doubts)
    if not len(path):
        raise UnreadableFile(
            "it holds no positions", where=track.name, do="export the log again with positions"
        )
    grounds = (
        None if folders.terrain is None or not folders.terrain.is_dir() else GroundAlong(folders.terrain)
    )
    heights = heights_of(path, grounds, asked.doubts)
    air = airtime_of(path, heights)
    zone = zone_named(asked.zone_name, path.start) if asked.zone_name else zone_of(path.start)
    times = _times(path, air, track, asked)
    plan = _plan(path, heights, times, zone, asked)
    if plan.use is None:
        plan = plan._replace(use=_use(plan, program))
    return _Flown(track, path, heights, air, times, zone, plan, asked)


def _times(path: FlownPath, air: Airtime, track: Track, asked: FlownQuestion) -> AirTimes:
    first = 0 if air.first is None else air.first
    last = len(path) - 1 if air.last is None else air.last
    start_us, end_us = int(path.t_us[first]), int(path.t_us[last])
    instants = [path.utc_us(one) for one in (start_us, end_us)]
    starts, ends = (
        None if one is None else _EPOCH + timedelta(microseconds=one - one % SECOND_US) for one in instants
    )
    if starts is None and asked.day is None:
        raise UsageError(
            "the log doesn't tell the date", where="--day", do="give the date it was flown, like 2026-11-24"
        )
    return AirTimes(
        start_us, end_us, starts, ends, air.ends_in_the_air, _CLOCK_S.get(track.time_from, _OTHER_CLOCK_S)
    )


def _plan(path: FlownPath, heights: Heights, times: AirTimes, zone: Zone, asked: FlownQuestion) -> FlightPlan:
    """The flight as flown, in the form in which a plan is judged; without a clock it is taken at noon of its day."""
    starts, ends = times.starts, times.ends
    if starts is None or ends is None:
        starts = datetime.combine(asked.day or date.min, time(12), zone.info).astimezone(UTC)
        ends = starts + timedelta(microseconds=times.end_us - times.start_us)
    planned = None if asked.planned is None else asked.planned.plan
    reach = float(np.hypot(path.x_m, path.y_m).max()) + 1
    area = f"{path.start.latitude_deg:.7f}, {path.start.longitude_deg:.7f} within {reach:.0f} m"
    highest = _most(heights.agl_m)
    ground = _most(heights.ground_m)
    return FlightPlan(
        area,
        path.start,
        zone,
        starts,
        ends,
        Decimal(repr(round((highest or 0.0) / 0.3048, 1))),
        asked.aircraft or ("" if planned is None else planned.aircraft),
        asked.pilot or ("" if planned is None else planned.pilot),
        asked.use or (None if planned is None else planned.use),
        None if ground is None else Decimal(repr(round(ground / 0.3048, 1))),
    )


def _use(plan: FlightPlan, program: Program) -> UsedFor | None:
    """What the aircraft is used for, where that is one use."""
    if not plan.aircraft:
        return None
    declared = declared_uses(program.state_on(plan.starts.astimezone(plan.zone.info)), plan.aircraft)
    return declared[0] if len(declared) == 1 else None


def _most(values: Floats) -> float | None:
    return float(np.nanmax(values)) if np.isfinite(values).any() else None


def _seen_in(flown: _Flown, folders: FlownFolders) -> _Seen:
    path, heights = flown.path, flown.heights
    law = Law(flown.plan.starts.astimezone(flown.zone.info).date())
    height, speed = _height_limit(flown, law), _read(law, SPEED_LIMIT)
    return _Seen(
        None
        if height is None
        else _run(
            feet_limit(HEIGHT_LIMIT_RULE.name, height), heights.agl_m, heights.agl_doubt_m, path, CLIMBING
        ),
        None
        if speed is None
        else _run(
            knots_limit(SPEED_LIMIT_RULE.name, speed), path.speed_mps, path.speed_doubt_mps, path, MOVING
        ),
        airspace_flown(folders.airspace, path, heights, flown.plan),
        _remote_id_seen(flown),
    )


def _run(
    limit: LimitHeld, x: Floats, doubt: Floats | float, path: FlownPath, sieve: Sieve
) -> tuple[LimitHeld, Excursions]:
    return limit, excursions(x, doubt, path.t_us, float(limit.value) * limit.scale, sieve)


def _height_limit(flown: _Flown, law: Law) -> Decimal | None:
    """The height the rule holds the flight against: of its use, or the one told that the FAA set for recreation there."""
    if flown.plan.use is not UsedFor.RECREATION:
        return _read(law, HEIGHT_LIMIT)
    planned = flown.asked.planned
    for item in () if planned is None else planned.told:
        if item.statement.key == OTHER_CEILING.name:
            return Decimal(str(item.statement.value))
    return _read(law, HEIGHT_LIMIT_FT)


def _read(law: Law, param: Param[int]) -> Decimal | None:
    try:
        return Decimal(law[param])
    except Undecided:
        return None


def _remote_id_seen(flown: _Flown) -> _RemoteIdSeen | None:
    told = flown.track.remote_id
    if told is None:
        return None
    mine = told[flown.path.sample]
    flying = np.zeros(len(flown.path), dtype=bool)
    for first, last in flown.air.spans:
        flying[first : last + 1] = True
    return _RemoteIdSeen(runs_of((mine == 0) & flying), runs_of((mine < 0) & flying))


def _lasting(flown: _Flown, seen_in: _Seen, program: Program) -> FactsHeld:
    """The facts that hold for the whole flight, by the log, the airspace on file and the place."""
    plan, mine = flown.plan, dict[Key[Any], Held]()
    if plan.aircraft:
        mine |= _held(FLIGHT_AIRCRAFT, id_of(plan.aircraft))
    if plan.pilot:
        mine |= _held(FLIGHT_PILOT, id_of(plan.pilot))
    if plan.use is not None:
        mine |= _held(FLOWN_FOR, plan.use.value)
    if flown.zone.in_alaska is not None:
        mine |= _held(IN_ALASKA, flown.zone.in_alaska)
    if flown.times.starts is not None and flown.times.ends is not None:
        for key, at in ((FLIGHT_STARTS, flown.times.starts), (FLIGHT_ENDS, flown.times.ends)):
            mine |= _held(key, at.astimezone(flown.zone.info).isoformat(timespec="seconds"))
    for found, best, error in (
        (seen_in.height, HEIGHT_AGL, HEIGHT_ERROR),
        (seen_in.speed, GROUND_SPEED, SPEED_ERROR),
    ):
        worst = None if found is None else worst_in(found[1], found[0])
        if worst is not None:
            mine |= _held(best, str(worst.best)) | _held(error, str(worst.high - worst.best))
    mine |= (
        from_washington(plan)
        | _airspace_facts(seen_in.airspace, program)
        | _remote_id_fact(seen_in.remote_id)
    )
    return {PLANNED: mine}


def _held(key: Key[Any], raw: Raw) -> dict[Key[Any], Held]:
    held = held_of(key, raw, (_FROM_LOG,))
    return {} if held is None else {key: held}


def _airspace_facts(found: AirspaceFlown, program: Program) -> dict[Key[Any], Held]:
    """What the volumes surely tell; what may be otherwise than said before the flight is open again."""
    mine: dict[Key[Any], Held] = {}
    inside = [one for one in found.of(VolumeSays.CLASS) if one.inside.is_beyond]
    classes = [one.airspace_class for one in inside]
    told = {item.statement.key for item in program.told}
    for airspace_class in dict.fromkeys(one for one in classes if one is not None):
        mine = mine or _held(AIRSPACE_CLASS, airspace_class.value)
    for says, key in ((VolumeSays.NOTICE, NOTICE_COVERS), (VolumeSays.RESTRICTED, RESTRICTED_AREA)):
        if any(one.inside.is_beyond for one in found.of(says)):
            mine |= _held(key, raw=True)
    fria = found.of(VolumeSays.FRIA)
    if INSIDE_FRIA.name not in told and any(not one.inside.is_open and _all_inside(one) for one in fria):
        mine |= _held(INSIDE_FRIA, raw=True)
    return mine


def _all_inside(volume: VolumeFlown) -> bool:
    """Whether the whole track surely lies inside."""
    runs = [one for one in volume.inside.found if one.sure]
    return len(runs) == 1 and runs[0].first == 0 and runs[0].last == len(volume.place_m) - 1


def _remote_id_fact(found: _RemoteIdSeen | None) -> dict[Key[Any], Held]:
    if found is None or (found.unsaid and not found.off):
        return {}
    return _held(BROADCASTS, not found.off)


def _counting(flown: _Flown, airspace: AirspaceFlown) -> NDArray[np.bool_]:
    """The samples that count against a paper: in the air, and in controlled airspace where it is known which those are."""
    counts = np.zeros(len(flown.path), dtype=bool)
    for first, last in flown.air.spans or ((0, len(flown.path) - 1),):
        counts[first : last + 1] = True
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


def _is_clause(one: Clause) -> bool:
    """Whether a rule gets a line of its own: a log can tell of it, or what was told breaks it."""
    rule = one.finding.rule
    return rule in SHOWN or (one.verdict is Verdict.NOT_MET and rule not in NEVER_JUDGED)


def _law_clause(one: Clause, flown: _Flown, seen_in: _Seen, light: Light) -> FlownClause:
    """A rule of the law with its intervals."""
    rule, verdict, code = one.finding.rule, one.verdict, one.finding.outcome.code
    shown: Mapping[str, Any] = {}
    if rule is HEIGHT_LIMIT_RULE and seen_in.height is not None:
        shown = seen(*seen_in.height, flown.path)
        verdict, code = _unless_open(verdict, code, seen_in.height[1])
        if code == "by_structure":
            verdict, code = Verdict.UNKNOWN, "structure_said"
    elif rule is SPEED_LIMIT_RULE and seen_in.speed is not None:
        shown = seen(*seen_in.speed, flown.path)
        verdict, code = _unless_open(verdict, code, seen_in.speed[1])
    elif rule in _VOLUMES:
        verdict, code, shown = _in_volumes(one, flown, seen_in.airspace)
    elif rule in _PHASES and verdict is not Verdict.NOT_APPLICABLE:
        shown = {"intervals": tuple(_by_light(one, flown, light))}
    elif rule is STANDARD_REMOTE_ID_NOT_DISABLED_RULE and seen_in.remote_id is not None:
        shown = _by_remote_id(one, flown, seen_in.remote_id)
    if verdict in (Verdict.MET, Verdict.NOT_APPLICABLE):
        shown = {**shown, "intervals": ()}
    return FlownClause(rule.name, ClauseFrom.LAW, "", verdict, code, (), one.finding, one.state, **shown)


def _unless_open(verdict: Verdict, code: str, found: Excursions) -> tuple[Verdict, str]:
    """What a gap in the log leaves open is no yes."""
    if verdict is Verdict.MET and found.open_gaps:
        return Verdict.UNKNOWN, "gap"
    return verdict, code


_VOLUMES: Mapping[Rule, tuple[VolumeSays, tuple[AreaKind, ...]]] = {
    AUTHORITY_CONTROLLED_AIRSPACE_RULE: (VolumeSays.CLASS, (AreaKind.CLASS,)),
    TFR_RULE: (VolumeSays.NOTICE, (AreaKind.TFR, AreaKind.SECURITY)),
    RESTRICTED_AREA_PERMISSION_RULE: (VolumeSays.RESTRICTED, (AreaKind.SPECIAL,)),
}


def _in_volumes(
    one: Clause, flown: _Flown, airspace: AirspaceFlown
) -> tuple[Verdict, str, Mapping[str, Any]]:
    """A rule about airspace: never OK without an edition in force, or where the log leaves open whether it was inside."""
    says, kinds = _VOLUMES[one.finding.rule]
    volumes, verdict, code = airspace.of(says), one.verdict, one.finding.outcome.code
    free = verdict in (Verdict.MET, Verdict.NOT_APPLICABLE)
    surely_in = any(volume.inside.is_beyond for volume in volumes)
    if not airspace.is_sure(*kinds) and (free or verdict is Verdict.UNKNOWN) and not surely_in:
        return Verdict.UNKNOWN, "no_edition", {}
    if free and not surely_in and any(volume.inside.is_open for volume in volumes):
        verdict, code = Verdict.UNKNOWN, "maybe_inside"
    if verdict is Verdict.UNKNOWN and not volumes:
        return verdict, "none_on_file", {}
    if free and verdict is not Verdict.UNKNOWN:
        return verdict, code, {}
    found: list[FlownInterval] = []
    for volume in volumes:
        limit = feet_limit(one.finding.rule.name, Decimal(0), volume.area.name)
        found += [
            _deep(interval, volume, flown.path, sure=interval.sure and verdict is Verdict.NOT_MET)
            for interval in intervals_of(volume.inside, limit, flown.path)
        ]
    gaps = tuple(span for volume in volumes for span in volume.inside.open_gaps)
    return verdict, code, {"intervals": tuple(found), "open_spans": gaps, "unit": "ft"}


def _deep(interval: FlownInterval, volume: VolumeFlown, path: FlownPath, *, sure: bool) -> FlownInterval:
    """The interval with how far inside the edge it went over the ground."""
    run = slice(interval.first, interval.last + 1)
    deepest = interval.first + int(np.argmax(volume.place_m[run]))
    off = float(np.broadcast_to(np.asarray(path.place_doubt_m), len(path))[deepest])
    best, doubt = (Decimal(repr(round(one / 0.3048, 1))) for one in (float(volume.place_m[deepest]), off))
    return interval._replace(
        sure=sure,
        peak=Measured(best, best - doubt, best + doubt),
        margin=Margin(-best, "ft", -(best + doubt), doubt - best),
        peak_us=int(path.t_us[deepest]),
        place=path.place(deepest),
    )


_PHASES: Mapping[Rule, tuple[Phase, ...]] = {
    NIGHT_LIGHTS_RULE: (Phase.NIGHT, Phase.BOTH),
    TWILIGHT_LIGHTS_RULE: (Phase.TWILIGHT, Phase.BOTH),
}


def _by_light(one: Clause, flown: _Flown, light: Light) -> Iterator[FlownInterval]:
    """The time of the flight in the light that a rule is about; sure where it is nothing else and the rule is broken."""
    plan, phases = flown.plan, _PHASES[one.finding.rule]
    if flown.times.starts is None:
        return
    edges = sorted({plan.starts, *turns_of_light(light, plan.starts, plan.ends), plan.ends})
    for start, end in pairwise(edges):
        there = light(start + (end - start) / 2).phases
        if not any(phase in phases for phase in there):
            continue
        sure = all(phase in phases for phase in there) and one.verdict is Verdict.NOT_MET
        yield _span(one.finding.rule.name, flown, start, end, sure=sure)


def _span(name: str, flown: _Flown, start: datetime, end: datetime, *, sure: bool) -> FlownInterval:
    path, times = flown.path, flown.times
    shift = times.start_us - utc_us_of(flown.plan.starts)
    first_us, last_us = (min(utc_us_of(at) + shift, times.end_us) for at in (start, end))
    first, last = (min(int(np.searchsorted(path.t_us, at)), len(path) - 1) for at in (first_us, last_us))
    return _plain(name, path, first, last, sure=sure)._replace(start_us=first_us, until_us=last_us)


def _plain(name: str, path: FlownPath, first: int, last: int, *, sure: bool) -> FlownInterval:
    """An interval without a figure: from one sample to another."""
    start, until = int(path.t_us[first]), int(path.t_us[last])
    rows = rows_of(path, first, last)
    return FlownInterval(
        name, "", sure, start, until, start, None, None, "", None, path.place(first), first, last, rows
    )


def _by_remote_id(one: Clause, flown: _Flown, found: _RemoteIdSeen) -> Mapping[str, Any]:
    path, name = flown.path, one.finding.rule.name
    broken = one.verdict is Verdict.NOT_MET
    return {
        "intervals": tuple(_plain(name, path, *span, sure=broken) for span in found.off),
        "open_spans": tuple((int(path.t_us[a]), int(path.t_us[b])) for a, b in found.unsaid),
    }


def _own_areas(flown: _Flown, airspace: AirspaceFlown) -> Iterator[FlownClause]:
    """The areas of your own that it came into; they inform and are held against nobody."""
    for volume in airspace.of(VolumeSays.OWN):
        name = f"own_area {volume.area.name}"
        limit = feet_limit(name, Decimal(0), volume.area.name)
        inside = tuple(
            _deep(one, volume, flown.path, sure=False)
            for one in intervals_of(volume.inside, limit, flown.path)
        )
        yield FlownClause(
            name,
            ClauseFrom.YOURS,
            volume.area.name,
            Verdict.NOT_APPLICABLE,
            "own_area",
            (("name", volume.area.name),),
            intervals=inside,
        )


def _reserve(flown: _Flown) -> Iterator[FlownClause]:
    """The battery at the last landing against the reserve asked for."""
    wanted, left = flown.asked.reserve, _battery(flown)[1]
    if wanted is None:
        return
    limit = Decimal(repr(round(wanted * 100, 1)))
    if left is None:
        yield FlownClause("reserve", ClauseFrom.YOURS, "", Verdict.UNKNOWN, "no_battery")
        return
    best = Decimal(repr(round(left * 100, 1)))
    kept = best >= limit
    yield FlownClause(
        "reserve",
        ClauseFrom.YOURS,
        "",
        Verdict.MET if kept else Verdict.NOT_MET,
        "reserve_kept" if kept else "into_reserve",
        (("left", f"{best:f}"), ("wanted", f"{limit:f}")),
        best=Measured(best, best, best),
        limit=Measured(limit, limit, limit),
        unit="%",
        best_us=flown.times.end_us,
    )


def _battery(flown: _Flown) -> tuple[float | None, float | None]:
    """The battery at takeoff and at the last landing, as shares."""
    told = flown.track.battery
    if told is None:
        return None, None
    mine = told[flown.path.sample]
    first = 0 if flown.air.first is None else flown.air.first
    last = len(mine) - 1 if flown.air.last is None else flown.air.last
    known = np.flatnonzero(np.isfinite(mine[first : last + 1]))
    if not len(known):
        return None, None
    return float(mine[first + known[0]]), float(mine[first + known[-1]])


def _cant_show(
    found: Sequence[Clause], clauses: Sequence[FlownClause], told_before: bool
) -> Iterator[CantShow]:
    """What no log shows, with what is asked for; and beside a height over the limit the structure that may allow it."""
    lines = {one.name for one in clauses}
    for one in found:
        rule = one.finding.rule
        if rule.name in lines or rule in NEVER_JUDGED or one.verdict is Verdict.NOT_APPLICABLE:
            continue
        missing = wording.missing_fact(one.finding, one.state)
        asks = () if missing is None else (missing.key.name,)
        said = told_before and one.verdict is Verdict.MET
        yield CantShow(
            rule.name, "said_before" if said else "not_in_a_log", (), one.finding, one.state, asks, said
        )
    over = next((one for one in clauses if one.name == HEIGHT_LIMIT_RULE.name), None)
    if over is not None and over.past and over.verdict is Verdict.NOT_MET:
        yield CantShow(HEIGHT_LIMIT_RULE.name, "structure", (), None, None, (), said_before=False)


def _standing(
    flown: _Flown, program: Program, *, by_night: bool
) -> tuple[Mapping[str, SubjectStanding], State | None, tuple[Verdict, ...]]:
    """How aircraft and pilot stood at the takeoff; nothing where none was named."""
    plan = flown.plan
    named = [one for one in (plan.aircraft, plan.pilot) if one]
    if not named:
        return {}, None, ()
    found = standing_of(plan, program.with_told(()))
    rows = {subject: found.of(subject) for subject in named}
    use = plan.use or UsedFor.WORK
    return rows, found.state, tuple(verdict_of_row(row, use, by_night=by_night) for row in rows.values())


def _figures(flown: _Flown) -> FlownFigures:
    path, heights, air = flown.path, flown.heights, flown.air
    pilot_at = flown.asked.pilot_at
    first = 0 if air.first is None else air.first
    away = path.from_place_m(pilot_at or path.place(first))
    battery = _battery(flown)
    gaps = np.diff(path.t_us)
    whole = int(path.t_us[-1] - path.t_us[0])
    return FlownFigures(
        None if air.first is None else int(path.t_us[air.first]),
        None if air.last is None or air.ends_in_the_air else int(path.t_us[air.last]),
        air.flown_us / (60 * SECOND_US) if air.spans else None,
        air.landings,
        air.ends_in_the_air,
        path.length_m,
        _most(heights.agl_m),
        _most(heights.takeoff_m),
        _most(path.speed_mps),
        float(away.max()),
        "pilot" if pilot_at is not None else "takeoff",
        *battery,
        len(path),
        float(gaps[gaps <= 2 * SECOND_US].sum()) / whole if whole else 1.0,
    )


def _assumed(flown: _Flown) -> Iterator[str]:
    """Codes of what was taken for granted."""
    if flown.plan.use is None:
        yield "for_work"
    if flown.asked.pilot_at is None:
        yield "pilot_at_takeoff"
    if flown.track.time_from in (TimeSource.RECORDER_CLOCK, TimeSource.LOCAL_CLOCK, TimeSource.VIDEO):
        yield "clock"
    if not flown.path.speed_is_logged:
        yield "speed_from_positions"
    if flown.heights.based_on is HeightFrom.TAKEOFF:
        yield "began_on_the_ground"
    if flown.asked.doubts.level_ground_m is not None and not np.isfinite(flown.heights.ground_m).any():
        yield "level_ground"
