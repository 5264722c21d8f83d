"""The papers a flight may have been flown on, held against its track: hours, area and height from the log, the rest as on file.

Only the time the flight was in controlled airspace counts against a paper's height and area where the airspace on file tells
which that was; else all of it.
"""

from __future__ import annotations

from collections.abc import Iterator
from datetime import datetime
from decimal import Decimal
from typing import Any, NamedTuple

import numpy as np
from numpy.typing import NDArray

from airwrit.answers.after_flight.airspace import utc_us_of
from airwrit.answers.after_flight.flown import ClauseFrom, FlownClause, FlownInterval
from airwrit.answers.after_flight.intervals import LimitHeld, feet_limit, intervals_of, rows_of, worst_in
from airwrit.answers.before_flight.plan import PLANNED
from airwrit.answers.site.area import read_area
from airwrit.answers.site.authority import (
    AuthorityAnswer,
    FieldFound,
    PaperField,
    PaperFound,
    authority_of,
)
from airwrit.answers.site.authority_view import field_sentence
from airwrit.base.errors import BadFact
from airwrit.base.measured import Measured
from airwrit.base.verdict import Margin, Outcome, Verdict, Why
from airwrit.facts.choices import PaperKind
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.airspace import (
    AUTHORIZED_HEIGHT,
    AUTHORIZES_FROM,
    AUTHORIZES_UNTIL,
    FLIGHT_AUTHORIZATION,
)
from airwrit.facts.keys.flights.authority import (
    AUTHORIZED_ALTITUDE,
    AUTHORIZED_AREA,
    FLIGHT_AREA,
    INSIDE_AUTHORIZED,
)
from airwrit.facts.keys.flights.flight import HEIGHT_AGL
from airwrit.facts.keys.flights.limits import HEIGHT_ERROR
from airwrit.facts.state import NOTHING_HELD, Held, State, value_held
from airwrit.facts.vocabulary import id_of
from airwrit.law.rule import met, not_met, unknown
from airwrit.tracks.depths import depth_in
from airwrit.tracks.excursions import CLIMBING, IN_OR_OUT, SECOND_US, Excursions, excursions
from airwrit.tracks.heights import FlownHeights
from airwrit.tracks.path import FlownPath


class PaperFlown(NamedTuple):
    """A paper held against the track: what is found of it, the answer its sentences are made from, and its clauses."""

    found: PaperFound
    answer: AuthorityAnswer
    clauses: tuple[FlownClause, ...]


class AirTimes(NamedTuple):
    """First takeoff and last landing: moments of the log, and instants; None where the log tells no day, or has no landing.

    `clock_s` are the seconds that the log's clock may be off.
    """

    start_us: int
    end_us: int
    starts: datetime | None
    ends: datetime | None
    ends_in_the_air: bool
    clock_s: float


def papers_flown(
    state: State, path: FlownPath, heights: FlownHeights, times: AirTimes, counts: NDArray[np.bool_]
) -> tuple[PaperFlown, ...]:
    """Every authorization, COA and approval on file whose hours the flight touches, or that it names; `counts` is (n,)."""
    named = value_held(state, PLANNED, FLIGHT_AUTHORIZATION)
    found = []
    for paper in authority_of(state, PLANNED).papers:
        if paper.kind is PaperKind.WAIVER:
            continue
        if id_of(paper.subject) == named or _touches(state, paper.subject, times):
            found.append(_flown(state, paper.subject, path, heights, times, counts))
    return tuple(found)


def _touches(state: State, paper: str, times: AirTimes) -> bool:
    """Whether any of the flight may lie in the hours of a paper that names hours."""
    begins, ends = (value_held(state, paper, key) for key in (AUTHORIZES_FROM, AUTHORIZES_UNTIL))
    if not isinstance(begins, datetime) or not isinstance(ends, datetime):
        return begins is not None or ends is not None
    if times.starts is None or times.ends is None:
        return True
    return times.starts <= ends and times.ends >= begins


def _flown(
    state: State,
    paper: str,
    path: FlownPath,
    heights: FlownHeights,
    times: AirTimes,
    counts: NDArray[np.bool_],
) -> PaperFlown:
    high = _height_of(state, paper, path, heights, counts)
    area = _area_of(state, paper, path, counts)
    mine = _facts_of(state, high, area)
    answer = authority_of(mine, PLANNED)
    found = next(one for one in answer.papers if one.subject == paper)
    fields = tuple(_by_track(one, state, paper, area, times) for one in found.fields)
    found = found._replace(fields=fields)
    clauses = tuple(
        FlownClause(
            f"{paper} {one.field.name.lower()}",
            ClauseFrom.PAPER,
            paper,
            one.verdict,
            one.outcome.code,
            (("field", one.field.value), ("says", _says(one, found, answer))),
            **_seen_of(one, state, paper, path, high, area, times),
        )
        for one in fields
    )
    return PaperFlown(found, answer, clauses)


_OWN_CODES = ("area_in_doubt", "no_clock", "clock_in_doubt", "no_landing")
"""What a log leaves open of a paper, which no answer before a flight knows."""


def _says(found: FieldFound, paper: PaperFound, answer: AuthorityAnswer) -> str:
    """A field in the words of the answer before a flight; "" for what only a log leaves open."""
    return "" if found.outcome.code in _OWN_CODES else field_sentence(found, paper, answer)


class _Seen(NamedTuple):
    """What the track says of a paper's height or area: the limit, and the runs past it."""

    limit: LimitHeld
    runs: Excursions


def _height_of(
    state: State, paper: str, path: FlownPath, heights: FlownHeights, counts: NDArray[np.bool_]
) -> _Seen | None:
    """The track against the height above ground of a paper; by its altitude where it names only that."""
    ceiling, altitude = (value_held(state, paper, key) for key in (AUTHORIZED_HEIGHT, AUTHORIZED_ALTITUDE))
    limit = ceiling if ceiling is not None else altitude
    if limit is None:
        return None
    by_sea = ceiling is None
    held = feet_limit(f"{paper} height", limit, paper)
    x = np.where(counts, heights.sea_m if by_sea else heights.agl_m, np.nan)
    doubt = heights.sea_doubt_m if by_sea else heights.agl_doubt_m
    return _Seen(held, excursions(x, doubt, path.t_us, held.bound, CLIMBING, path.breaks))


def _area_of(state: State, paper: str, path: FlownPath, counts: NDArray[np.bool_]) -> _Seen | None:
    """The track against the area of a paper: meters outside it. None where it tells none that can be read."""
    told = value_held(state, paper, AUTHORIZED_AREA)
    try:
        area = None if told is None else read_area(told)
    except BadFact:
        return None
    if area is None:
        return None
    outside = np.where(counts, -depth_in([area], path).depth_m, np.nan)
    held = feet_limit(f"{paper} place", Decimal(0), paper)
    return _Seen(held, excursions(outside, path.place_doubt_m, path.t_us, 0.0, IN_OR_OUT, path.breaks))


def _facts_of(state: State, high: _Seen | None, area: _Seen | None) -> State:
    """The state with the height as this paper's limit sees it, and whether the track kept to its area."""
    changes: dict[Key[Any], Held] = dict(state.held.get(PLANNED, NOTHING_HELD))
    changes.pop(FLIGHT_AREA, None)
    worst = None if high is None else worst_in(high.runs, high.limit)
    if worst is not None:
        changes[HEIGHT_AGL] = Held(worst.best, None, ("the log",))
        changes[HEIGHT_ERROR] = Held(worst.high - worst.best, None, ("the log",))
    if area is not None and (area.runs.is_beyond or not area.runs.is_open):
        changes[INSIDE_AUTHORIZED] = Held(not area.runs.is_beyond, None, ("the log",))
    return state.with_facts({PLANNED: changes})


def _by_track(found: FieldFound, state: State, paper: str, area: _Seen | None, times: AirTimes) -> FieldFound:
    """A field as the track tells it, where the answer before a flight would have to be told."""
    if found.field is PaperField.PLACE and area is not None:
        return found._replace(outcome=_area_outcome(area.runs))
    if found.field in (PaperField.START, PaperField.END):
        return found._replace(outcome=_time_outcome(found, state, paper, times))
    return found


def _area_outcome(runs: Excursions) -> Outcome:
    if runs.is_beyond:
        return not_met("partly_outside")
    return unknown(Why.WITHIN_DOUBT, "area_in_doubt") if runs.is_open else met("inside_area")


def _time_outcome(found: FieldFound, state: State, paper: str, times: AirTimes) -> Outcome:
    """Hours by the log's own clock: open where it tells no day, where it may be off by more, or where it ends in the air."""
    outcome = found.outcome
    if times.starts is None or times.ends is None:
        return unknown(Why.MISSING, "no_clock")
    at_end = found.field is PaperField.END
    bound = value_held(state, paper, AUTHORIZES_UNTIL if at_end else AUTHORIZES_FROM)
    if not isinstance(bound, datetime) or outcome.verdict is Verdict.UNKNOWN:
        return outcome
    off = abs((bound - (times.ends if at_end else times.starts)).total_seconds())
    if off <= times.clock_s:
        return unknown(Why.WITHIN_DOUBT, "clock_in_doubt")
    if at_end and times.ends_in_the_air and outcome.verdict is Verdict.MET:
        return unknown(Why.MISSING, "no_landing")
    return outcome


def _seen_of(
    found: FieldFound,
    state: State,
    paper: str,
    path: FlownPath,
    high: _Seen | None,
    area: _Seen | None,
    times: AirTimes,
) -> dict[str, Any]:
    """The intervals and the figures of a field."""
    if found.field is PaperField.HEIGHT and high is not None:
        return seen(high.limit, high.runs, path)
    if found.field is PaperField.PLACE and area is not None:
        return seen(area.limit, area.runs, path)
    if found.field in (PaperField.START, PaperField.END):
        late = tuple(_late(found, state, paper, path, times))
        return {"intervals": late, "best": late[0].peak, "unit": "min"} if late else {}
    return {}


def seen(limit: LimitHeld, runs: Excursions, path: FlownPath) -> dict[str, Any]:
    """What a clause shows of a value: its intervals, where it is open, and the figure that speaks most against it."""
    worst = worst_in(runs, limit)
    return {
        "intervals": intervals_of(runs, limit, path),
        "open_spans": runs.open_gaps,
        "best": worst,
        "limit": Measured(limit.value, limit.value, limit.value),
        "unit": limit.unit,
        "cites": limit.cites,
        "best_us": None if runs.worst < 0 else int(path.t_us[runs.worst]),
    }


def _late(
    found: FieldFound, state: State, paper: str, path: FlownPath, times: AirTimes
) -> Iterator[FlownInterval]:
    """The time flown before a paper begins or after it ends."""
    at_end = found.field is PaperField.END
    bound = value_held(state, paper, AUTHORIZES_UNTIL if at_end else AUTHORIZES_FROM)
    if times.starts is None or times.ends is None or not isinstance(bound, datetime):
        return
    shift = utc_us_of(bound) - utc_us_of(times.starts)
    edge = times.start_us + shift
    start, until = (
        (max(edge, times.start_us), times.end_us) if at_end else (times.start_us, min(edge, times.end_us))
    )
    if until <= start:
        return
    minutes = Decimal(until - start) / (60 * SECOND_US)
    off = Decimal(repr(times.clock_s)) / 60
    first, last = np.searchsorted(path.t_us, (start, until)).tolist()
    last = max(first, min(last, len(path) - 1))
    best, low, high = (round(one, 1) for one in (minutes, max(Decimal(0), minutes - off), minutes + off))
    yield FlownInterval(
        f"{paper} {found.field.name.lower()}",
        paper,
        found.verdict is Verdict.NOT_MET,
        start,
        until,
        until if at_end else start,
        Measured(best, low, high),
        Measured(Decimal(0), Decimal(0), Decimal(0)),
        "min",
        Margin(-best, "min", -high, -low),
        path.place(last if at_end else first),
        first,
        last,
        rows_of(path, first, last),
    )
