"""What a log gives before any rule is asked: its way, heights, hours, runs past limits, and the facts of the flight."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.answers.after_flight.airspace import (
    AirspaceFlown,
    VolumeFlown,
    VolumeSays,
    airspace_flown,
)
from airwrit.answers.after_flight.flown import (
    FlownFigures,
    SerialMatch,
)
from airwrit.answers.after_flight.intervals import (
    LimitHeld,
    feet_limit,
    knots_limit,
    runs_of,
    worst_in,
)
from airwrit.answers.after_flight.matching import PlanMatch, matching, serial_match
from airwrit.answers.after_flight.papers import AirTimes
from airwrit.answers.after_flight.question import FlownFolders, FlownQuestion
from airwrit.answers.before_flight.plan import PLANNED, FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import FactsHeld, from_washington
from airwrit.answers.standing.report import declared_uses
from airwrit.base.errors import UnreadableFile, UsageError
from airwrit.base.places import Place
from airwrit.base.verdict import Undecided
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import held_of
from airwrit.facts.key import Key, Raw
from airwrit.facts.keys.flights.airspace import (
    AIRSPACE_CLASS,
    NOTICE_COVERS,
    RESTRICTED_AREA,
    STADIUM_DISTANCE,
)
from airwrit.facts.keys.flights.authority import FLIGHT_ENDS, FLIGHT_STARTS
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT, HEIGHT_AGL, KEPT_IN_SIGHT
from airwrit.facts.keys.flights.limits import (
    GROUND_SPEED,
    HEIGHT_ERROR,
    IN_ALASKA,
    OTHER_CEILING,
    SPEED_ERROR,
)
from airwrit.facts.keys.flights.log import FLOWN_FOR
from airwrit.facts.keys.flights.over_people import BROADCASTS, INSIDE_FRIA
from airwrit.facts.state import Held
from airwrit.facts.vocabulary import id_of, kind_of
from airwrit.geo.earth import M_PER_NM
from airwrit.geo.outlines import states_around
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE, SPEED_LIMIT, SPEED_LIMIT_RULE
from airwrit.law.parameters import Law, Param
from airwrit.law.shared_parameters import HEIGHT_LIMIT, RECREATIONAL_HEIGHT_LIMIT
from airwrit.sky.zones import Zone, zone_named, zone_of
from airwrit.tracks.airtime import Airtime, airtime_of
from airwrit.tracks.excursions import CLIMBING, MOVING, SECOND_US, Excursions, Floats, excursions
from airwrit.tracks.faults import TrackFault
from airwrit.tracks.heights import FlownHeights, HeightFrom, heights_of
from airwrit.tracks.path import FlownPath, path_of
from airwrit.tracks.sight import SightFlown, sight_along
from airwrit.tracks.track import TimeSource, Track

_CLOCK_S = {TimeSource.FILE_UTC: 1.0, TimeSource.GPS_WEEK: 1.0}
_ABOUT_M = 1_000.0
_OTHER_CLOCK_S = 60.0
"""What a clock that no satellite set may be off; our own figure, and told as assumed."""
_BATTERY_HELD_US = 2 * SECOND_US
"""How long before the landing a value of the battery still is that of the landing."""
_ORIGIN = "the log"
_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class TrackFlown(NamedTuple):
    """What is worked out of the track before any rule is asked."""

    track: Track
    path: FlownPath
    heights: FlownHeights
    air: Airtime
    times: AirTimes
    zone: Zone
    plan: FlightPlan
    asked: FlownQuestion
    match: PlanMatch = PlanMatch(None)
    serial: SerialMatch = SerialMatch()


class TrackSeen(NamedTuple):
    """What the arrays found: runs past the limits (None where the law was not read), airspace, sight (None without terrain)."""

    height: tuple[LimitHeld, Excursions] | None
    speed: tuple[LimitHeld, Excursions] | None
    airspace: AirspaceFlown
    remote_id: RemoteIdSeen | None
    sight: SightFlown | None


class RemoteIdSeen(NamedTuple):
    """Spans in the air, first and last sample each, with Remote ID off and with nothing said of it."""

    off: list[tuple[int, int]]
    unsaid: list[tuple[int, int]]


FROM_LOG = frozenset(
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


def track_flown(track: Track, asked: FlownQuestion, program: Program, folders: FlownFolders) -> TrackFlown:
    """What a log gives before any rule is asked. UnreadableFile without places, UsageError without a day.

    Of a log with several vehicles nobody can guess which aircraft or which plan a track is of.
    """
    path = path_of(track, asked.doubts)
    if not len(path):
        raise UnreadableFile(
            "the log has no positions", where=track.name, do="export it again with positions"
        )
    heights = heights_of(path, folders.grounds(), asked.doubts)
    air = airtime_of(path, heights)
    zone = zone_named(asked.zone_name, path.start) if asked.zone_name else zone_of(path.start)
    times = _times(path, air, track, asked)
    serial = _serial(track, times, zone, program)
    asked = _by_serial(asked, track, serial)
    match = PlanMatch(None)
    if asked.planned is None and asked.plans:
        match = matching(asked.plans, asked.aircraft, times, path.start)
        asked = asked._replace(planned=match.planned)
    plan = _plan(path, heights, times, zone, asked)
    if plan.use is None:
        plan = plan._replace(use=_use(plan, program))
    return TrackFlown(track, path, heights, air, times, zone, plan, asked, match, serial)


def _serial(track: Track, times: AirTimes, zone: Zone, program: Program) -> SerialMatch:
    """The aircraft on file that day with a serial number that the log tells; nothing where no aircraft is on file."""
    if not track.serials or times.starts is None:
        return SerialMatch()
    state = program.state_on(times.starts.astimezone(zone.info))
    if not any(kind_of(subject) == "aircraft" for subject in state.held):
        return SerialMatch()
    return serial_match(track.serials, state)


def _by_serial(asked: FlownQuestion, track: Track, serial: SerialMatch) -> FlownQuestion:
    """The question with the aircraft of the log's serial number, where nobody named one; a guess by a name gives way."""
    is_told = asked.aircraft and not asked.by_name
    if serial.only and not is_told and asked.planned is None:
        return asked._replace(aircraft=serial.only, by_name=False)
    if any(one.code == TrackFault.OTHER_VEHICLE for one in track.problems):
        return asked._replace(plans=(), aircraft="" if asked.by_name else asked.aircraft)
    return asked


def _times(path: FlownPath, air: Airtime, track: Track, asked: FlownQuestion) -> AirTimes:
    first = 0 if air.first is None else air.first
    last = len(path) - 1 if air.last is None else air.last
    start_us, end_us = int(path.t_us[first]), int(path.t_us[last])
    instants = [path.utc_us(one) for one in (start_us, end_us)]
    starts, ends = (
        None if one is None else _EPOCH + timedelta(microseconds=one - one % SECOND_US) for one in instants
    )
    if starts is None and asked.day is None:
        if any(one.code == TrackFault.NO_ZONE for one in track.problems):
            raise UsageError(
                "the log's times name no time zone",
                where="--zone",
                do="enter the time zone of these times, like America/Chicago",
            )
        raise UsageError(
            "the log doesn't say the date", where="--on", do="enter the date it was flown, like 2026-11-24"
        )
    return AirTimes(
        start_us, end_us, starts, ends, air.ends_in_the_air, _CLOCK_S.get(track.time_from, _OTHER_CLOCK_S)
    )


def _plan(
    path: FlownPath, heights: FlownHeights, times: AirTimes, zone: Zone, asked: FlownQuestion
) -> FlightPlan:
    """The flight as flown, in the form in which a plan is judged; without a clock it is taken at noon of its day."""
    starts, ends = times.starts, times.ends
    if starts is None or ends is None:
        starts = datetime.combine(asked.day or date.min, time(12), zone.info).astimezone(UTC)
        ends = starts + timedelta(microseconds=times.end_us - times.start_us)
    planned = None if asked.planned is None else asked.planned.plan
    reach = float(np.hypot(path.x_m, path.y_m).max()) + 1
    area = f"{path.start.latitude_deg:.7f}, {path.start.longitude_deg:.7f} within {reach:.0f} m"
    highest = most(heights.agl_m)
    ground = most(heights.ground_m)
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


def most(values: Floats) -> float | None:
    """The greatest of some values, None where none is known."""
    return float(np.nanmax(values)) if np.isfinite(values).any() else None


def track_seen(flown: TrackFlown, folders: FlownFolders, *, sight: bool = True) -> TrackSeen:
    """Where the track was past the limits of its day, the airspace it went through, its Remote ID, the ground in the way."""
    path, heights = flown.path, flown.heights
    law = Law(flown.plan.starts.astimezone(flown.zone.info).date())
    height, speed = _height_limit(flown, law), _limit(law, SPEED_LIMIT, knots_limit, SPEED_LIMIT_RULE.name)
    return TrackSeen(
        None if height is None else (height, above_limit(height, flown)),
        None if speed is None else (speed, above_limit(speed, flown)),
        airspace_flown(folders.layers(law.day), path, heights, flown.plan),
        _remote_id_seen(flown),
        _sight_seen(flown, folders) if sight else None,
    )


def above_limit(limit: LimitHeld, flown: TrackFlown) -> Excursions:
    """The runs of a track over a limit of height above ground in feet, or of speed over the ground in knots."""
    path, heights = flown.path, flown.heights
    if limit.unit == "ft":
        return excursions(heights.agl_m, heights.agl_doubt_m, path.t_us, limit.bound, CLIMBING, path.breaks)
    return excursions(path.speed_mps, path.speed_doubt_mps, path.t_us, limit.bound, MOVING, path.breaks)


def _height_limit(flown: TrackFlown, law: Law) -> LimitHeld | None:
    """The height the rule holds the flight against: of its use, or the one told that the FAA set for recreation there."""
    name = HEIGHT_LIMIT_RULE.name
    if flown.plan.use is not UsedFor.RECREATION:
        return _limit(law, HEIGHT_LIMIT, feet_limit, name)
    planned = flown.asked.planned
    for item in () if planned is None else planned.told:
        if item.statement.key == OTHER_CEILING.name:
            return feet_limit(name, Decimal(str(item.statement.value)))
    return _limit(law, RECREATIONAL_HEIGHT_LIMIT, feet_limit, name)


def _limit(
    law: Law, param: Param[int], held: Callable[[str, Decimal], LimitHeld], name: str
) -> LimitHeld | None:
    """A limit of the law of the day with its section; None where the law was not read for it."""
    try:
        return held(name, Decimal(law[param]))._replace(cites=law.span(param).cites)
    except Undecided:
        return None


def in_the_air(flown: TrackFlown) -> NDArray[np.bool_]:
    """Whether each sample is in the air, (n,); all of them where no takeoff was seen."""
    found = np.zeros(len(flown.path), dtype=bool)
    for first, last in flown.air.spans or ((0, len(flown.path) - 1),):
        found[first : last + 1] = True
    return found


def _sight_seen(flown: TrackFlown, folders: FlownFolders) -> SightFlown | None:
    """The ground between the aircraft and where the pilot stood, else the takeoff; None without terrain."""
    grounds = folders.grounds()
    return None if grounds is None else sight_along(flown.path, flown.heights, pilot_place(flown), grounds)


def pilot_place(flown: TrackFlown) -> Place:
    """Where the pilot stood: as told, as logged, else the takeoff."""
    first = 0 if flown.air.first is None else flown.air.first
    return flown.asked.pilot_at or flown.path.pilot_at or flown.path.place(first)


def knows_pilot(flown: TrackFlown) -> bool:
    """Whether somebody or the log told where the pilot stood."""
    return flown.asked.pilot_at is not None or flown.path.pilot_at is not None


def _remote_id_seen(flown: TrackFlown) -> RemoteIdSeen | None:
    told = flown.track.remote_id
    if told is None:
        return None
    mine, flying = told[flown.path.sample], in_the_air(flown)
    return RemoteIdSeen(runs_of((mine == 0) & flying), runs_of((mine < 0) & flying))


def facts_of(flown: TrackFlown, seen_in: TrackSeen, program: Program) -> FactsHeld:
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
        | _airspace_facts(seen_in.airspace, flown.path, program)
        | _remote_id_fact(seen_in.remote_id)
    )
    if seen_in.sight is not None and knows_pilot(flown) and hidden_spans(seen_in.sight, flown.path):
        mine |= _held(KEPT_IN_SIGHT, raw=False)
    return {PLANNED: mine}


def hidden_spans(sight: SightFlown, path: FlownPath) -> list[tuple[int, int]]:
    """First and last sample of each time of two seconds and more for which the ground surely hid the aircraft."""
    spans = [(int(sight.samples[a]), int(sight.samples[b])) for a, b in runs_of(sight.blocked)]
    return [(a, b) for a, b in spans if path.t_us[b] - path.t_us[a] >= 2 * SECOND_US]


def _held(key: Key[Any], raw: Raw) -> dict[Key[Any], Held]:
    held = held_of(key, raw, (_ORIGIN,))
    return {} if held is None else {key: held}


def _airspace_facts(found: AirspaceFlown, path: FlownPath, program: Program) -> dict[Key[Any], Held]:
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
    rings = [one for one in found.of(VolumeSays.STADIUM) if one.inside.is_beyond]
    if rings and STADIUM_DISTANCE.name not in told:
        mine |= _held(STADIUM_DISTANCE, f"{min(one.from_middle_m for one in rings) / M_PER_NM:.2f}")
    if INSIDE_FRIA.name not in told and is_in_fria(found, path):
        mine |= _held(INSIDE_FRIA, raw=True)
    return mine


def is_in_fria(found: AirspaceFlown, path: FlownPath) -> bool:
    """Whether the whole track surely lies in one FAA-recognized identification area."""
    return any(_all_inside(one, path) for one in found.of(VolumeSays.FRIA))


def _all_inside(volume: VolumeFlown, path: FlownPath) -> bool:
    """Whether the whole track surely lies inside, each sample of it and no gap left open."""
    runs = [] if volume.inside.is_open else [one for one in volume.inside.found if one.sure]
    is_whole = len(runs) == 1 and runs[0].first == 0 and runs[0].last == len(volume.place_m) - 1
    return is_whole and bool((volume.place_m > path.place_doubt_m).all())


def _remote_id_fact(found: RemoteIdSeen | None) -> dict[Key[Any], Held]:
    if found is None or (found.unsaid and not found.off):
        return {}
    return _held(BROADCASTS, not found.off)


class BatteryLeft(NamedTuple):
    """Shares of the battery: at takeoff, at the last landing, and the next value after it where the log has none at it."""

    first: float | None = None
    last: float | None = None
    after: float | None = None


def battery_of(flown: TrackFlown) -> BatteryLeft:
    """The battery at takeoff and at the last landing."""
    told = flown.track.battery
    if told is None:
        return BatteryLeft()
    mine, t_us = told[flown.path.sample], flown.path.t_us
    first = 0 if flown.air.first is None else flown.air.first
    last = len(mine) - 1 if flown.air.last is None else flown.air.last
    known = first + np.flatnonzero(np.isfinite(mine[first : last + 1]))
    if not len(known):
        return BatteryLeft()
    later = last + np.flatnonzero(np.isfinite(mine[last:]))
    is_old = int(t_us[last] - t_us[known[-1]]) > _BATTERY_HELD_US
    after = float(mine[later[0]]) if is_old and len(later) else None
    return BatteryLeft(float(mine[known[0]]), float(mine[known[-1]]), after)


def figures_of(flown: TrackFlown) -> FlownFigures:
    """The flight in figures."""
    path, heights, air = flown.path, flown.heights, flown.air
    away = path.from_place_m(pilot_place(flown))
    battery = battery_of(flown)
    gaps = np.diff(path.t_us)
    whole = int(path.t_us[-1] - path.t_us[0])
    return FlownFigures(
        None if air.first is None else int(path.t_us[air.first]),
        None if air.last is None or air.ends_in_the_air else int(path.t_us[air.last]),
        air.flown_us / (60 * SECOND_US) if air.spans else None,
        air.landings,
        air.ends_in_the_air,
        path.length_m,
        most(heights.agl_m),
        most(heights.takeoff_m),
        most(path.speed_mps),
        float(away.max()),
        "pilot" if knows_pilot(flown) else "takeoff",
        battery.first,
        battery.last,
        len(path),
        float(gaps[gaps <= 2 * SECOND_US].sum()) / whole if whole else 1.0,
    )


def assumed_of(flown: TrackFlown) -> Iterator[str]:
    """Codes of what was taken for granted."""
    if states_around(flown.plan.place, _ABOUT_M) == {""}:
        yield "outside_us"
    if flown.plan.use is None:
        yield "for_work"
    if not knows_pilot(flown):
        yield "pilot_at_takeoff"
    if flown.track.time_from in (TimeSource.RECORDER_CLOCK, TimeSource.LOCAL_CLOCK, TimeSource.VIDEO):
        yield "clock"
    if not flown.path.speed_is_logged:
        yield "speed_from_positions"
    if flown.heights.based_on is HeightFrom.TAKEOFF:
        yield "began_on_the_ground"
    yield from _matched_of(flown)
    if flown.asked.doubts.level_ground_m is not None and not np.isfinite(flown.heights.ground_m).any():
        yield "level_ground"


def _matched_of(flown: TrackFlown) -> Iterator[str]:
    """Codes of what tells which plan and which aircraft the log is of."""
    if flown.match.planned is not None:
        yield "plan_matched"
    elif flown.match.several:
        yield "plans_several"
    if _is_an_hour_off(flown):
        yield "hour_off"
    if flown.asked.by_name and flown.asked.aircraft:
        yield "aircraft_by_name"
    if flown.serial.serial:
        yield _serial_code(flown)


def _serial_code(flown: TrackFlown) -> str:
    """What the log's serial number says of the aircraft."""
    if not flown.serial.aircraft:
        return "serial_unknown"
    if flown.plan.aircraft and flown.plan.aircraft not in flown.serial.aircraft:
        return "serial_other"
    return "serial_fits" if flown.serial.only else "serial_several"


def _is_an_hour_off(flown: TrackFlown) -> bool:
    """Whether it took off an hour before or after its plan, to within minutes: a clock that is off looks like that."""
    planned, starts = flown.asked.planned, flown.times.starts
    if planned is None or starts is None:
        return False
    away = abs(starts - planned.plan.starts)
    return abs(away - timedelta(hours=1)) <= timedelta(minutes=10)
