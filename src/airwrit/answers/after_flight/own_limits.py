"""What is held against a flown track beside the law: your own rules and areas, an area somebody asks about, the reserve."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal
from typing import Any

import numpy as np
from numpy.typing import NDArray

from airwrit.answers.after_flight.airspace import VolumeFlown, VolumeSays
from airwrit.answers.after_flight.clauses import deep, spans_in_light
from airwrit.answers.after_flight.distances import far_out
from airwrit.answers.after_flight.flown import ClauseFrom, FlownClause, FlownInterval
from airwrit.answers.after_flight.intervals import LimitHeld, feet_limit, intervals_of, knots_limit
from airwrit.answers.after_flight.papers import seen
from airwrit.answers.after_flight.track_facts import (
    TrackFlown,
    TrackSeen,
    above_limit,
    battery_of,
    in_the_air,
    knows_pilot,
)
from airwrit.answers.before_flight.check import Clause, Light
from airwrit.answers.site.territory import area_of_rule
from airwrit.answers.sky.light import Phase
from airwrit.base.measured import Measured
from airwrit.base.places import Place
from airwrit.base.verdict import Verdict
from airwrit.facts.keys.flights.flight import HEIGHT_AGL
from airwrit.facts.keys.flights.limits import GROUND_SPEED
from airwrit.facts.keys.flights.planning import FARTHEST_FROM_PILOT, FARTHEST_OUT
from airwrit.geo.fixed import point_of
from airwrit.geo.footprint import Footprint, filled
from airwrit.house.rows import HouseRow
from airwrit.house.rules import row_of
from airwrit.tracks.depths import depth_in
from airwrit.tracks.excursions import IN_OR_OUT, Excursions, Floats, excursions

_NEAR_M = 1e6
"""How deep a track is inside an area that somebody asks about is worked out however far off it is."""
_NIGHT = (Phase.NIGHT, Phase.BOTH)


def own_clauses(
    flown: TrackFlown, seen_in: TrackSeen, found: Sequence[Clause], light: Light
) -> Iterator[FlownClause]:
    """Every clause that isn't the law's, a paper's or the plan's."""
    for one in found:
        row = row_of(one.finding.rule)
        if row is not None and one.verdict is not Verdict.NOT_APPLICABLE:
            yield _house_clause(row, one, flown, light)
    for volume in (*seen_in.airspace.of(VolumeSays.PEOPLE), *seen_in.airspace.of(VolumeSays.OWN)):
        yield _area_clause(volume, flown)
    if flown.asked.near is not None:
        yield _near_clause(flown.asked.near, flown)
    yield from _reserve(flown)


def _house_clause(row: HouseRow, one: Clause, flown: TrackFlown, light: Light) -> FlownClause:
    """A rule of your own: by the track where it bounds height, speed, place or night; else as the facts have it."""
    rule, verdict, code = one.finding.rule, one.verdict, one.finding.outcome.code
    name, shown = f"house {rule.name}", dict[str, Any]()
    waits_for_scope = verdict is Verdict.UNKNOWN and code in {key.name for key, _ in row.scope}
    limit = _limit_of(row, name)
    if waits_for_scope:
        pass
    elif limit is not None:
        runs = _past_limit(row, limit, flown)
        verdict, code = _verdict_of(runs, "house_over", "house_under")
        shown = seen(limit, runs, flown.path)
        if row.key is FARTHEST_FROM_PILOT and not knows_pilot(flown) and runs.worst >= 0:
            verdict, code = Verdict.UNKNOWN, "house_from_takeoff"
            shown |= {"intervals": tuple(_unsure(one) for one in shown["intervals"])}
    elif (area := _area(row, one)) is not None:
        limit = feet_limit(f"{name} plan_area", Decimal(0), rule.name.replace("_", " "))
        runs = _outside(area, flown)
        verdict, code = _verdict_of(runs, "house_outside", "house_inside")
        shown = seen(limit, runs, flown.path)
    elif row.kind == "by_day" and verdict is not Verdict.MET:
        sure = verdict is Verdict.NOT_MET
        shown = {"intervals": tuple(spans_in_light(name, flown, light, _NIGHT, sure=sure))}
    if verdict is Verdict.MET:
        shown = {**shown, "intervals": ()}
    fields = (("name", rule.name.replace("_", " ").capitalize()),)
    return FlownClause(name, ClauseFrom.YOURS, "", verdict, code, fields, one.finding, one.state, **shown)


def _limit_of(row: HouseRow, name: str) -> LimitHeld | None:
    """The limit of a rule that bounds from above height over ground, speed, or the distance from takeoff or pilot."""
    if row.kind != "at_most":
        return None
    made = {
        HEIGHT_AGL: feet_limit,
        GROUND_SPEED: knots_limit,
        FARTHEST_OUT: feet_limit,
        FARTHEST_FROM_PILOT: feet_limit,
    }
    held = None if row.key is None else made.get(row.key)
    return None if held is None else held(name, row.limit, row.name.replace("_", " "))


def _past_limit(row: HouseRow, limit: LimitHeld, flown: TrackFlown) -> Excursions:
    """The runs past the limit of a rule."""
    if row.key not in (FARTHEST_OUT, FARTHEST_FROM_PILOT):
        return above_limit(limit, flown)
    return far_out(limit, flown, from_pilot=row.key is FARTHEST_FROM_PILOT and knows_pilot(flown))


def _unsure(one: FlownInterval) -> FlownInterval:
    """An interval that can't be told: it was measured from another place than the rule says."""
    return one._replace(sure=False)


def _verdict_of(runs: Excursions, past: str, kept: str) -> tuple[Verdict, str]:
    """What the runs of a value come to."""
    if runs.is_beyond:
        return Verdict.NOT_MET, past
    if runs.worst < 0:
        return Verdict.UNKNOWN, "not_in_this_log"
    if runs.is_open:
        return Verdict.UNKNOWN, "house_in_doubt" if runs.found else "gap"
    return Verdict.MET, kept


def _area(row: HouseRow, one: Clause) -> Footprint | None:
    """The box or area of a rule about where flights may be."""
    if row.kind == "inside_area":
        return area_of_rule(row, one.state)
    if row.kind != "inside_box":
        return None
    south, north, west, east = map(float, row.values)
    corners = ((south, west), (south, east), (north, east), (north, west), (south, west))
    return filled((tuple(point_of(Place(*corner)) for corner in corners),))


def _outside(area: Footprint, flown: TrackFlown) -> Excursions:
    path = flown.path
    outside = -depth_in([area], path).depth_m
    return excursions(outside, path.place_doubt_m, path.t_us, 0.0, IN_OR_OUT, path.breaks)


def _area_clause(volume: VolumeFlown, flown: TrackFlown) -> FlownClause:
    """An area on file: where people are, it asks who was below; another one informs and is held against nobody."""
    says, area = volume.says.value, volume.area.name
    name = f"{says}_area {area}"
    limit = feet_limit(name, Decimal(0), area)
    asks = volume.says is VolumeSays.PEOPLE
    inside = tuple(_inside(volume.inside, limit, volume.place_m, flown, asks=asks))
    verdict = Verdict.UNKNOWN if inside and asks else Verdict.NOT_APPLICABLE
    return FlownClause(
        name,
        ClauseFrom.YOURS,
        area,
        verdict,
        f"{says}_area" if inside else "area_missed",
        (("name", area), *_closest(volume.place_m, flown)),
        intervals=inside,
    )


def _near_clause(area: Footprint, flown: TrackFlown) -> FlownClause:
    """The area that somebody asks about: when it was over it, or how close it came."""
    path = flown.path
    place = depth_in([area], path, _NEAR_M).depth_m
    runs = excursions(place, path.place_doubt_m, path.t_us, 0.0, IN_OR_OUT, path.breaks)
    limit = feet_limit("near_area", Decimal(0))
    inside = tuple(_inside(runs, limit, place, flown, asks=False))
    surely, maybe = any(one.sure for one in runs.found), bool(runs.found or runs.open_gaps)
    code = "near_over" if surely else "near_maybe" if maybe else "near_missed"
    closest = tuple(_lowest(place > 0, flown) if surely else _closest(place, flown))
    return FlownClause(
        "near_area",
        ClauseFrom.YOURS,
        "",
        Verdict.NOT_APPLICABLE,
        code,
        closest,
        intervals=inside,
        open_spans=runs.open_gaps,
    )


def _inside(
    runs: Excursions, limit: LimitHeld, place_m: Floats, flown: TrackFlown, *, asks: bool
) -> Iterator[FlownInterval]:
    """The time inside an area: it informs, unless it asks something or can't be told."""
    for one in intervals_of(runs, limit, flown.path):
        yield deep(one, place_m, flown.path, sure=False)._replace(informs=one.sure and not asks)


def _lowest(over: NDArray[np.bool_], flown: TrackFlown) -> Iterator[tuple[str, str]]:
    """How low it was at the least over an area, when, and what that may be off; nothing where no height is known."""
    heights = flown.heights
    for name, values, doubt in (
        ("agl_m", heights.agl_m, heights.agl_doubt_m),
        ("takeoff_m", heights.takeoff_m, heights.takeoff_doubt_m),
    ):
        known = over & in_the_air(flown) & np.isfinite(values)
        if known.any():
            at = int(np.argmin(np.where(known, values, np.inf)))
            yield "low_us", str(int(flown.path.t_us[at]))
            yield "low_doubt_m", repr(float(doubt[at]))
            yield name, repr(float(values[at]))
            return


def _closest(place_m: Floats, flown: TrackFlown) -> Iterator[tuple[str, str]]:
    """How close to an area it came in the air, when, and how high it was then; what that may be off."""
    path, heights = flown.path, flown.heights
    at = int(np.argmax(np.where(in_the_air(flown), place_m, -np.inf)))
    doubt = np.broadcast_to(np.asarray(path.place_doubt_m), len(path))
    yield "away_m", repr(max(0.0, -float(place_m[at])))
    yield "doubt_m", repr(float(doubt[at]))
    yield "at_us", str(int(path.t_us[at]))
    for name, values in (("agl_m", heights.agl_m), ("takeoff_m", heights.takeoff_m)):
        if np.isfinite(values[at]):
            yield name, repr(float(values[at]))


def _reserve(flown: TrackFlown) -> Iterator[FlownClause]:
    """The battery at the last landing against the reserve asked for."""
    wanted, battery = flown.asked.reserve, battery_of(flown)
    left = battery.last
    if wanted is None:
        return
    limit = Decimal(repr(round(wanted * 100, 1)))
    if left is None:
        yield FlownClause("reserve", ClauseFrom.YOURS, "", Verdict.UNKNOWN, "no_battery")
        return
    best = Decimal(repr(round(left * 100, 1)))
    kept = best >= limit
    if battery.after is not None and (battery.after >= wanted) is not kept:
        yield _between_readings(best, limit, battery.after)
        return
    if kept and flown.times.ends_in_the_air:
        yield FlownClause("reserve", ClauseFrom.YOURS, "", Verdict.UNKNOWN, "no_landing")
        return
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


def _between_readings(best: Decimal, limit: Decimal, after: float) -> FlownClause:
    """A landing between a reading above the reserve and one below it."""
    low = Decimal(repr(round(after * 100, 1)))
    fields = (("left", f"{best:f}"), ("after", f"{low:f}"), ("wanted", f"{limit:f}"))
    return FlownClause("reserve", ClauseFrom.YOURS, "", Verdict.UNKNOWN, "between_readings", fields)
