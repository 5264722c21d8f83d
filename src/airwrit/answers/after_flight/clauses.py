"""A rule of the law over a flown track: the finding, and when it was past its limit, in doubt or not told by the log."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from datetime import datetime
from decimal import Decimal
from itertools import pairwise
from typing import Any

import numpy as np

from airwrit.airspace.kinds import AreaKind
from airwrit.answers.after_flight.airspace import (
    AirspaceFlown,
    VolumeFlown,
    VolumeSays,
    utc_us_of,
)
from airwrit.answers.after_flight.flown import (
    ClauseFrom,
    FlownClause,
    FlownInterval,
)
from airwrit.answers.after_flight.intervals import (
    feet_limit,
    intervals_of,
    rows_of,
)
from airwrit.answers.after_flight.papers import seen
from airwrit.answers.after_flight.track_facts import RemoteIdSeen, TrackFlown, TrackSeen, battery_of
from airwrit.answers.before_flight.check import (
    Clause,
    Light,
    turns_of_light,
)
from airwrit.answers.sky.light import Phase
from airwrit.base.measured import Measured
from airwrit.base.verdict import Margin, Verdict
from airwrit.law.flight.airspace import (
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
    RESTRICTED_AREA_PERMISSION_RULE,
    TFR_RULE,
)
from airwrit.law.flight.broadcast import STANDARD_REMOTE_ID_NOT_DISABLED_RULE
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE, SPEED_LIMIT_RULE
from airwrit.law.rule import Rule
from airwrit.tracks.excursions import Excursions
from airwrit.tracks.faults import HIDES_SAMPLES
from airwrit.tracks.path import FlownPath
from airwrit.tracks.track import Track

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


def law_clause(one: Clause, flown: TrackFlown, seen_in: TrackSeen, light: Light) -> FlownClause:
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
    one: Clause, flown: TrackFlown, airspace: AirspaceFlown
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


def _by_light(one: Clause, flown: TrackFlown, light: Light) -> Iterator[FlownInterval]:
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


def _span(name: str, flown: TrackFlown, start: datetime, end: datetime, *, sure: bool) -> FlownInterval:
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


def _by_remote_id(one: Clause, flown: TrackFlown, found: RemoteIdSeen) -> Mapping[str, Any]:
    path, name = flown.path, one.finding.rule.name
    broken = one.verdict is Verdict.NOT_MET
    return {
        "intervals": tuple(_plain(name, path, *span, sure=broken) for span in found.off),
        "open_spans": tuple((int(path.t_us[a]), int(path.t_us[b])) for a, b in found.unsaid),
    }


def unless_hidden(track: Track, clauses: Iterable[FlownClause]) -> Iterator[FlownClause]:
    """The clauses; where part of the log couldn't be read, none of what it shows is OK."""
    hidden = any(one.code in HIDES_SAMPLES for one in track.problems)
    for one in clauses:
        is_shown = one.source is not ClauseFrom.YOURS and (one.best is not None or one.name in _SHOWN_NAMES)
        if hidden and is_shown and one.verdict is Verdict.MET:
            yield one._replace(verdict=Verdict.UNKNOWN, code="hidden")
        else:
            yield one


_SHOWN_NAMES = frozenset(rule.name for rule in SHOWN)


def own_areas(flown: TrackFlown, airspace: AirspaceFlown) -> Iterator[FlownClause]:
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


def reserve_of(flown: TrackFlown) -> Iterator[FlownClause]:
    """The battery at the last landing against the reserve asked for."""
    wanted, left = flown.asked.reserve, battery_of(flown)[1]
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
