"""A rule of the law over a flown track: the finding, and when it was past its limit, in doubt or not told by the log."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Mapping
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
from airwrit.answers.after_flight.track_facts import RemoteIdSeen, TrackFlown, TrackSeen, hidden_spans
from airwrit.answers.asking.events import NEVER_JUDGED
from airwrit.answers.before_flight.check import (
    Clause,
    Light,
    turns_of_light,
)
from airwrit.answers.sky.light import Phase
from airwrit.base.measured import Measured
from airwrit.base.verdict import Margin, Verdict
from airwrit.facts.keys.flights.flight import HEIGHT_AGL
from airwrit.facts.keys.flights.over_people import BROADCASTS
from airwrit.law import wording
from airwrit.law.flight.airspace import (
    AUTHORITY_CONTROLLED_AIRSPACE_RULE,
    RESTRICTED_AREA_PERMISSION_RULE,
    TFR_RULE,
)
from airwrit.law.flight.broadcast import STANDARD_REMOTE_ID_NOT_DISABLED_RULE
from airwrit.law.flight.light import NIGHT_LIGHTS_RULE, TWILIGHT_LIGHTS_RULE
from airwrit.law.flight.limits import HEIGHT_LIMIT_RULE, LINE_OF_SIGHT_RULE, SPEED_LIMIT_RULE
from airwrit.law.flight.places import EVENT_RING_RULE
from airwrit.law.rule import Rule
from airwrit.tracks.excursions import Excursions, Floats
from airwrit.tracks.faults import HIDES_SAMPLES
from airwrit.tracks.path import FlownPath
from airwrit.tracks.sight import SightFlown
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


def is_shown(one: Clause, flown: TrackFlown, seen_in: TrackSeen) -> bool:
    """Whether a rule of the law gets a line of its own: a log can tell of it, or what was told breaks it."""
    rule = one.finding.rule
    if rule.document or rule in NEVER_JUDGED:
        return False
    if rule is EVENT_RING_RULE and any(
        one.day.kind is AreaKind.STADIUM and one.edition is not None for one in seen_in.airspace.layers
    ):
        return True
    if rule is LINE_OF_SIGHT_RULE and seen_in.sight is not None and hidden_spans(seen_in.sight, flown.path):
        return True
    return rule in SHOWN or one.verdict is Verdict.NOT_MET


def law_clause(one: Clause, flown: TrackFlown, seen_in: TrackSeen, light: Light) -> FlownClause:
    """A rule of the law with its intervals."""
    rule, verdict, code = one.finding.rule, one.verdict, one.finding.outcome.code
    shown: Mapping[str, Any] = {}
    if rule is HEIGHT_LIMIT_RULE and seen_in.height is not None:
        shown = seen(*seen_in.height, flown.path)
        verdict, code = _unless_open(verdict, code, seen_in.height[1])
        if code == "by_structure":
            verdict, code = Verdict.UNKNOWN, "structure_said"
        elif code == HEIGHT_AGL.name:
            code = _why_no_height(flown)
    elif rule is SPEED_LIMIT_RULE and seen_in.speed is not None:
        shown = seen(*seen_in.speed, flown.path)
        verdict, code = _unless_open(verdict, code, seen_in.speed[1])
    elif rule in _VOLUMES:
        verdict, code, shown = _in_volumes(one, flown, seen_in.airspace)
    elif rule in _PHASES and verdict is not Verdict.NOT_APPLICABLE:
        sure = verdict is Verdict.NOT_MET
        shown = {"intervals": tuple(spans_in_light(rule.name, flown, light, _PHASES[rule], sure=sure))}
    elif rule is STANDARD_REMOTE_ID_NOT_DISABLED_RULE:
        shown = _by_remote_id(one, flown, seen_in.remote_id)
        if verdict is Verdict.UNKNOWN and (seen_in.remote_id is None or code == BROADCASTS.name):
            code = "remote_id_none" if seen_in.remote_id is None else "remote_id_part"
    elif rule is LINE_OF_SIGHT_RULE and seen_in.sight is not None:
        verdict, code, shown = _by_sight(one, flown, seen_in.sight)
    if verdict in (Verdict.MET, Verdict.NOT_APPLICABLE):
        shown = {**shown, "intervals": ()}
    return FlownClause(
        rule.name, ClauseFrom.LAW, "", verdict, code, finding=one.finding, state=one.state, **shown
    )


def _unless_open(verdict: Verdict, code: str, found: Excursions) -> tuple[Verdict, str]:
    """What a gap in the log leaves open is no yes."""
    if verdict is Verdict.MET and found.open_gaps:
        return Verdict.UNKNOWN, "gap"
    return verdict, code


def _why_no_height(flown: TrackFlown) -> str:
    """Why no height above ground could be told."""
    if not any(np.isfinite(one).any() for one in flown.track.heights_m.values()):
        return "no_heights"
    heights = flown.heights
    if np.isfinite(heights.takeoff_m).any():
        return "no_terrain"
    return "no_takeoff" if np.isnan(heights.sea_m).all() else "no_terrain_alone"


_VOLUMES: Mapping[Rule, tuple[VolumeSays, tuple[AreaKind, ...]]] = {
    AUTHORITY_CONTROLLED_AIRSPACE_RULE: (VolumeSays.CLASS, (AreaKind.CLASS,)),
    TFR_RULE: (VolumeSays.NOTICE, (AreaKind.TFR, AreaKind.SECURITY)),
    RESTRICTED_AREA_PERMISSION_RULE: (VolumeSays.RESTRICTED, (AreaKind.SPECIAL,)),
    EVENT_RING_RULE: (VolumeSays.STADIUM, (AreaKind.STADIUM,)),
}


def _in_volumes(
    one: Clause, flown: TrackFlown, airspace: AirspaceFlown
) -> tuple[Verdict, str, Mapping[str, Any]]:
    """A rule about airspace: never OK without an edition in force, or where the log leaves open whether it was inside."""
    says, kinds = _VOLUMES[one.finding.rule]
    volumes, verdict, code = airspace.of(says), one.verdict, one.finding.outcome.code
    free = verdict in (Verdict.MET, Verdict.NOT_APPLICABLE)
    surely_in = any(volume.inside.is_beyond for volume in volumes)
    is_open = any(volume.inside.is_open for volume in volumes)
    if not airspace.is_sure(*kinds) and (free or verdict is Verdict.UNKNOWN) and not (surely_in or is_open):
        return Verdict.UNKNOWN, "no_edition", {}
    if (free or verdict is Verdict.UNKNOWN) and not surely_in and is_open:
        verdict = Verdict.UNKNOWN
        within = next((one for one in volumes if _is_within_edges(one, flown)), None)
        if within is not None and not any(one.inside.found for one in volumes):
            return verdict, "inside_edges", {"fields": (("about", within.area.name),)}
        code = "maybe_inside"
    if verdict is Verdict.UNKNOWN and not volumes:
        return verdict, "no_ring_on_file" if says is VolumeSays.STADIUM else "none_on_file", {}
    if verdict is Verdict.UNKNOWN and says is VolumeSays.STADIUM:
        code = "in_ring" if surely_in else "maybe_inside"
    if free and verdict is not Verdict.UNKNOWN:
        return verdict, code, {}
    found: list[FlownInterval] = []
    for volume in volumes:
        limit = feet_limit(one.finding.rule.name, Decimal(0), volume.area.name)
        found += [
            deep(interval, volume.place_m, flown.path, sure=interval.sure and verdict is Verdict.NOT_MET)
            for interval in intervals_of(volume.inside, limit, flown.path)
        ]
    gaps = tuple(span for volume in volumes for span in volume.inside.open_gaps)
    return verdict, code, {"intervals": tuple(found), "open_spans": gaps, "unit": "ft"}


def _is_within_edges(volume: VolumeFlown, flown: TrackFlown) -> bool:
    """Whether it surely was inside the edges of a volume over the ground, while its heights or hours leave it open."""
    return volume.inside.is_open and bool((volume.place_m > flown.path.place_doubt_m).any())


def deep(interval: FlownInterval, place_m: Floats, path: FlownPath, *, sure: bool) -> FlownInterval:
    """The interval with how far inside the edge it went over the ground, by meters inside (n,)."""
    run = slice(interval.first, interval.last + 1)
    deepest = interval.first + int(np.argmax(place_m[run]))
    off = float(np.broadcast_to(np.asarray(path.place_doubt_m), len(path))[deepest])
    best, doubt = (Decimal(repr(round(one / 0.3048, 1))) for one in (float(place_m[deepest]), off))
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


def spans_in_light(
    name: str, flown: TrackFlown, light: Light, phases: Collection[Phase], *, sure: bool
) -> Iterator[FlownInterval]:
    """The time of the flight in some light; sure, where that is wanted, only while it is nothing else."""
    plan = flown.plan
    if flown.times.starts is None:
        return
    edges = sorted({plan.starts, *turns_of_light(light, plan.starts, plan.ends), plan.ends})
    parts: list[tuple[datetime, datetime, bool]] = []
    for start, end in pairwise(edges):
        there = light(start + (end - start) / 2).phases
        if not any(phase in phases for phase in there):
            continue
        is_sure = sure and all(phase in phases for phase in there)
        begins = parts.pop()[0] if parts and parts[-1][1:] == (start, is_sure) else start
        parts.append((begins, end, is_sure))
    for start, end, is_sure in parts:
        yield _span(name, flown, start, end, sure=is_sure)


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


_REMOTE_ID_PART = "14 CFR 89."


def _by_sight(one: Clause, flown: TrackFlown, sight: SightFlown) -> tuple[Verdict, str, Mapping[str, Any]]:
    """When the ground was in the way; nobody's fault yet where it isn't known where the pilot stood."""
    spans = hidden_spans(sight, flown.path)
    if not spans or one.verdict is Verdict.NOT_APPLICABLE:
        return one.verdict, one.finding.outcome.code, {}
    sure, name = one.verdict is Verdict.NOT_MET, one.finding.rule.name
    code = "ground_between" if sure else "ground_between_takeoff"
    intervals = tuple(_plain(name, flown.path, *span, sure=sure) for span in spans)
    return Verdict.NOT_MET if sure else Verdict.UNKNOWN, code, {"intervals": intervals}


def _by_remote_id(one: Clause, flown: TrackFlown, found: RemoteIdSeen | None) -> Mapping[str, Any]:
    sections = (one for one in wording.cites(one.finding) if one.startswith(_REMOTE_ID_PART))
    cites = {"cites": next(sections, "")}
    if found is None:
        return cites
    path, name = flown.path, one.finding.rule.name
    broken = one.verdict is Verdict.NOT_MET
    return {
        **cites,
        "intervals": tuple(_plain(name, path, *span, sure=broken) for span in found.off),
        "open_spans": tuple((int(path.t_us[a]), int(path.t_us[b])) for a, b in found.unsaid),
    }


def unless_hidden(track: Track, clauses: Iterable[FlownClause]) -> Iterator[FlownClause]:
    """The clauses; where part of the log couldn't be read, none of what it shows is OK."""
    hidden = any(one.code in HIDES_SAMPLES for one in track.problems)
    for one in clauses:
        is_house = one.name.startswith("house ")
        by_track = one.source is not ClauseFrom.YOURS and (one.best is not None or one.name in _SHOWN_NAMES)
        is_shown = is_house or by_track
        if hidden and is_shown and one.verdict is Verdict.MET:
            yield one._replace(verdict=Verdict.UNKNOWN, code="hidden")
        else:
            yield one


_SHOWN_NAMES = frozenset(rule.name for rule in SHOWN)
