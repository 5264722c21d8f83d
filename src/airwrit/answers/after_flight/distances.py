"""How far a flown track got from the pilot or the takeoff point, against the distances its plan and its papers allow."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from decimal import Decimal

import numpy as np

from airwrit.answers.after_flight.flown import ClauseFrom, FlownClause
from airwrit.answers.after_flight.intervals import LimitHeld, feet_limit
from airwrit.answers.after_flight.papers import seen
from airwrit.answers.after_flight.track_facts import TrackFlown, knows_pilot, pilot_place
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.answers.site.authority import KINDS
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import PaperKind
from airwrit.facts.flight_choices import PaperState
from airwrit.facts.keys.flights.airspace import FLIGHT_AUTHORIZATION, FLIGHT_WAIVER
from airwrit.facts.keys.flights.authority import AUTHORIZED_DISTANCE, PAPER_STATE
from airwrit.facts.keys.flights.planning import FARTHEST_FROM_PILOT, FARTHEST_OUT
from airwrit.facts.keys.paper import COVERS_AIRCRAFT, COVERS_ALL, ENDS_ON, GRANTED_ON, PAPER_KIND
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import id_of
from airwrit.tracks.excursions import IN_OR_OUT, Excursions, excursions


def far_out(limit: LimitHeld, flown: TrackFlown, *, from_pilot: bool) -> Excursions:
    """The runs farther than a limit from the pilot or the takeoff point; nothing is known where the log shows no takeoff.

    The pilot's place may be off as much as the least certain place of the track.
    """
    path, first = flown.path, flown.air.first
    doubts = np.broadcast_to(np.asarray(path.place_doubt_m, dtype=np.float64), len(path))
    if from_pilot:
        away, doubt = path.from_place_m(pilot_place(flown)), np.hypot(doubts, doubts.max())
    elif first is None or flown.air.begins_in_the_air:
        away, doubt = np.full(len(path), np.nan), doubts
    else:
        away, doubt = path.from_place_m(path.place(first)), np.hypot(doubts, doubts[first])
    return excursions(away, doubt, path.t_us, limit.bound, IN_OR_OUT, path.breaks)


def plan_distances(flown: TrackFlown) -> Iterator[FlownClause]:
    """A clause for each distance that the plan was released with: from the pilot, from the takeoff point."""
    planned = flown.asked.planned
    for item in () if planned is None else planned.told:
        for key, name in ((FARTHEST_FROM_PILOT, "plan_distance"), (FARTHEST_OUT, "plan_distance_out")):
            if item.statement.key == key.name:
                limit = feet_limit(name, Decimal(str(item.statement.value)))
                is_from_pilot = key is FARTHEST_FROM_PILOT
                yield _far_clause(limit, ClauseFrom.PLAN, flown, from_pilot=is_from_pilot)


def paper_distances(state: State, flown: TrackFlown) -> Iterator[FlownClause]:
    """A clause for each paper with a distance from the pilot that the flight names, or may have been flown under.

    Past the distance of a paper that nobody says it was flown under, nothing is broken yet.
    """
    named = {value_held(state, PLANNED, key) for key in (FLIGHT_WAIVER, FLIGHT_AUTHORIZATION)}
    for paper in state.subjects("paper"):
        most = value_held(state, paper, AUTHORIZED_DISTANCE)
        is_named = id_of(paper) in named
        if most is None or not (is_named or _may_cover(state, paper, flown)):
            continue
        limit = feet_limit(f"{paper} distance", most, paper)
        clause = _far_clause(limit, ClauseFrom.PAPER, flown, from_pilot=True)
        if clause.verdict is Verdict.NOT_MET and not is_named:
            clause = _unsure(clause, "far_if_relied")
        yield clause._replace(about=paper, fields=(*clause.fields, ("field", "distance")))


def breaks_waiver(state: State, distances: Sequence[FlownClause]) -> bool:
    """Whether the flight surely went past the distance of the waiver it names."""
    waiver = value_held(state, PLANNED, FLIGHT_WAIVER)
    return any(one.verdict is Verdict.NOT_MET and id_of(one.about) == waiver for one in distances)


def _may_cover(state: State, paper: str, flown: TrackFlown) -> bool:
    """Whether a paper that was granted holds that day for that aircraft, by what is on file."""
    kind, granted = (value_held(state, paper, key) for key in (PAPER_KIND, PAPER_STATE))
    if kind not in KINDS or granted not in (None, PaperState.GRANTED):
        return False
    on = flown.plan.starts.astimezone(flown.zone.info).date()
    first, last = (value_held(state, paper, key) for key in (GRANTED_ON, ENDS_ON))
    if (first is None and kind is PaperKind.WAIVER) or (first is not None and on < day_of(first)):
        return False
    if last is not None and on > day_of(last):
        return False
    covered = value_held(state, paper, COVERS_AIRCRAFT)
    is_mine = covered is not None and flown.plan.aircraft and covered == id_of(flown.plan.aircraft)
    return bool(is_mine or value_held(state, paper, COVERS_ALL))


def _far_clause(limit: LimitHeld, source: ClauseFrom, flown: TrackFlown, *, from_pilot: bool) -> FlownClause:
    """A distance against its limit; from a pilot nobody placed it can't be told, and the one from the takeoff is."""
    by_pilot = from_pilot and knows_pilot(flown)
    runs = far_out(limit, flown, from_pilot=by_pilot)
    place = "pilot" if from_pilot else "takeoff point"
    clause = FlownClause(
        limit.clause,
        source,
        limit.about,
        Verdict.UNKNOWN,
        "not_in_this_log",
        (("place", place),),
        **seen(limit, runs, flown.path),
    )
    if runs.worst < 0:
        return clause
    if from_pilot and not by_pilot:
        return _unsure(clause, "far_from_takeoff")
    if runs.is_beyond:
        return clause._replace(verdict=Verdict.NOT_MET, code="too_far")
    if runs.is_open:
        return clause._replace(code="far_in_doubt" if runs.found else "gap")
    return clause._replace(verdict=Verdict.MET, code="near_enough")


def _unsure(clause: FlownClause, code: str) -> FlownClause:
    """A clause that can't be told, with its intervals: measured from another place, or under a paper nobody named."""
    intervals = tuple(one._replace(sure=False) for one in clause.intervals)
    return clause._replace(verdict=Verdict.UNKNOWN, code=code, intervals=intervals)
