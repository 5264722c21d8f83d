"""What the answer after a flight is made of: clauses with their intervals, what the log can't show, the flight in figures."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from enum import StrEnum
from typing import NamedTuple

from airwrit.answers.after_flight.question import FlownQuestion
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.saved import SavedFlight
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.base.measured import Measured
from airwrit.base.places import Place
from airwrit.base.verdict import Margin, Verdict, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.state import State
from airwrit.law.rule import Finding
from airwrit.tracks.heights import FlownHeights
from airwrit.tracks.path import FlownPath
from airwrit.tracks.track import Track, TrackProblem

_EPOCH = datetime(1970, 1, 1, tzinfo=UTC)


class ClauseFrom(StrEnum):
    """What a clause is from."""

    LAW = "law"
    PAPER = "paper"
    PLAN = "plan"
    YOURS = "yours"


class FlownWhole(StrEnum):
    """The answer in a word: a code that the words of the faces hang on. None of them is a verdict of law."""

    PAST_LIMITS = "past_limits"
    CANT_TELL = "cant_tell"
    NOTHING_SHOWN = "nothing_shown"


class FlownInterval(NamedTuple):
    """One interval of a clause: past its limit, or within doubt where `sure` is not so. Numbered over the whole flight.

    Moments are microseconds of the log. `peak` and `limit` are in `unit`; the margin is below zero past the limit. `about`
    names the airspace or the paper. `first`, `last` are samples of the path, `rows` those of the file.
    """

    clause: str
    about: str
    sure: bool
    start_us: int
    until_us: int
    peak_us: int
    peak: Measured | None
    limit: Measured | None
    unit: str
    margin: Margin | None
    place: Place
    first: int
    last: int
    rows: tuple[int, int]
    number: int = 0
    informs: bool = False
    """surely so, and held against nobody"""

    @property
    def verdict(self) -> Verdict:
        """Not met where it surely was past a limit, unknown within doubt, and neither where it only informs."""
        if self.informs:
            return Verdict.NOT_APPLICABLE
        return Verdict.NOT_MET if self.sure else Verdict.UNKNOWN

    @property
    def lasts(self) -> timedelta:
        """How long it is."""
        return timedelta(microseconds=self.until_us - self.start_us)


class StripPart(NamedTuple):
    """A part of a clause's time, in microseconds of the log, with its verdict and the interval it is (0: none)."""

    start_us: int
    until_us: int
    verdict: Verdict
    number: int = 0


class FlownClause(NamedTuple):
    """A clause over the whole flight: its verdict, the sentence's code or finding, intervals, and where the log can't tell.

    `finding` with the `state` it saw is what a rule of the law found; of another clause it is None and `code` names its words,
    which `fields` fill. `best` is the value that speaks most against the flight, `limit` what it is held against, in `unit`;
    `cites` is the section that limit is from, where a finding may name others besides.
    """

    name: str
    source: ClauseFrom
    about: str
    verdict: Verdict
    code: str
    fields: tuple[tuple[str, str], ...] = ()
    finding: Finding | None = None
    state: State | None = None
    intervals: tuple[FlownInterval, ...] = ()
    open_spans: tuple[tuple[int, int], ...] = ()
    best: Measured | None = None
    limit: Measured | None = None
    unit: str = ""
    best_us: int | None = None
    cites: str = ""

    @property
    def informs(self) -> bool:
        """Whether it is held against nobody: an area of yours, or one that somebody asks about."""
        return self.source is ClauseFrom.YOURS and self.verdict is Verdict.NOT_APPLICABLE

    @property
    def past(self) -> tuple[FlownInterval, ...]:
        """The intervals that surely were past the limit."""
        return tuple(one for one in self.intervals if one.sure)

    @property
    def in_doubt(self) -> tuple[FlownInterval, ...]:
        """The intervals of which this log can't tell."""
        return tuple(one for one in self.intervals if one.verdict is Verdict.UNKNOWN)

    @property
    def surely_inside(self) -> tuple[FlownInterval, ...]:
        """The intervals surely inside airspace of which only is open whether that was allowed."""
        if self.source is not ClauseFrom.LAW or self.code == "maybe_inside":
            return ()
        return tuple(
            one
            for one in self.in_doubt
            if one.limit is not None and one.limit.best == 0 and one.peak is not None and one.peak.low > 0
        )

    @property
    def too_close(self) -> tuple[FlownInterval, ...]:
        """The intervals with a figure that lies too near the limit to tell."""
        inside = self.surely_inside
        return tuple(one for one in self.in_doubt if one.peak is not None and one not in inside)


class CantShow(NamedTuple):
    """Something no log shows, or this one doesn't: the rule, why (a code), its finding, and what was said before the flight.

    `asks` are the names of the facts that somebody can tell.
    """

    rule: str
    code: str
    fields: tuple[tuple[str, str], ...]
    finding: Finding | None
    state: State | None
    asks: tuple[str, ...]
    said_before: bool


class FlownFigures(NamedTuple):
    """The flight in figures: moments of the log, meters, shares; None where the log doesn't tell.

    `minutes` are those in the air, `landings` the times it came down, `ends_in_the_air` that the log stops before.
    """

    takeoff_us: int | None
    landing_us: int | None
    minutes: float | None
    landings: int
    ends_in_the_air: bool
    length_m: float
    highest_agl_m: float | None
    highest_takeoff_m: float | None
    fastest_mps: float | None
    farthest_m: float | None
    farthest_from: str
    battery_first: float | None
    battery_last: float | None
    samples: int
    coverage: float


class PlanDifference(NamedTuple):
    """What was planned and what was flown, by the name of what is compared; empty where one isn't known."""

    what: str
    planned: str
    flown: str
    differs: bool


class SerialMatch(NamedTuple):
    """A serial number that a log tells, and the aircraft on file with it; `serial` is "" where the log tells none."""

    serial: str = ""
    aircraft: tuple[str, ...] = ()

    @property
    def only(self) -> str:
        """The one aircraft with that serial, "" where there is none or several have it."""
        return self.aircraft[0] if len(self.aircraft) == 1 else ""


@dataclass(frozen=True, slots=True)
class FlownAnswer:
    """The whole answer. `plan` is the flight as flown, judged as a plan is; `planned` what it was released with, if on file.

    `assumed` are codes of what was taken for granted, `problems` of what is wrong with the log.
    """

    track: Track
    path: FlownPath
    heights: FlownHeights
    plan: FlightPlan
    use: UsedFor
    planned: SavedFlight | None
    figures: FlownFigures
    clauses: tuple[FlownClause, ...]
    cant_show: tuple[CantShow, ...]
    aircraft: SubjectStanding | None
    pilot: SubjectStanding | None
    standing_state: State | None
    standing_verdicts: tuple[Verdict, ...]
    differences: tuple[PlanDifference, ...]
    assumed: tuple[str, ...]
    problems: tuple[TrackProblem, ...]
    asked: FlownQuestion = FlownQuestion()  # noqa: RUF009  a NamedTuple never changes
    plans_that_fit: tuple[str, ...] = ()
    """the names of the planned flights it may be, where there are several"""
    serial: SerialMatch = SerialMatch()  # noqa: RUF009  a NamedTuple never changes

    @property
    def intervals(self) -> tuple[FlownInterval, ...]:
        """Every interval, in order of time."""
        return tuple(sorted((one for c in self.clauses for one in c.intervals), key=lambda one: one.number))

    @property
    def past(self) -> tuple[FlownClause, ...]:
        """The clauses of law, papers and your own limits that the flight went past."""
        return tuple(
            one
            for one in self.clauses
            if one.verdict is Verdict.NOT_MET and one.source is not ClauseFrom.PLAN
        )

    @property
    def open(self) -> tuple[FlownClause, ...]:
        """The clauses that this log could show but can't decide."""
        return tuple(
            one
            for one in self.clauses
            if one.verdict is Verdict.UNKNOWN and one.source is not ClauseFrom.PLAN
        )

    @property
    def verdict(self) -> Verdict:
        """Not met where anything is past; else unknown: what no log shows is always open."""
        found = {one.verdict for one in self.clauses if one.source is not ClauseFrom.PLAN}
        found |= set(self.standing_verdicts) | ({Verdict.UNKNOWN} if self.cant_show else set())
        return worst_of(found)

    @property
    def whole(self) -> FlownWhole:
        """The answer in a word."""
        if self.past or Verdict.NOT_MET in self.standing_verdicts:
            return FlownWhole.PAST_LIMITS
        return (
            FlownWhole.CANT_TELL
            if self.open or Verdict.UNKNOWN in self.standing_verdicts
            else FlownWhole.NOTHING_SHOWN
        )

    def at(self, t_us: int) -> datetime | None:
        """A moment of the log as an instant (UTC); None where the log tells no day."""
        utc = self.path.utc_us(t_us)
        return None if utc is None else _EPOCH + timedelta(microseconds=utc)

    def strip(self, clause: FlownClause) -> tuple[StripPart, ...]:
        """A clause over the time of the log, without a gap: past, in doubt or open, and inside; in order.

        Of an area that only informs, the time inside it is what is met.
        """
        if not len(self.path):
            return ()
        begin, end = int(self.path.t_us[0]), int(self.path.t_us[-1])
        marked = [
            StripPart(one.start_us, one.until_us, Verdict.MET if one.informs else one.verdict, one.number)
            for one in clause.intervals
        ]
        marked += [StripPart(*span, Verdict.UNKNOWN) for span in clause.open_spans]
        rest = clause.verdict if clause.verdict is not Verdict.NOT_MET or not marked else Verdict.MET
        if clause.verdict is Verdict.UNKNOWN and marked:
            rest = Verdict.MET
        return tuple(_laid(sorted(marked), begin, end, rest))


def _laid(marked: list[StripPart], begin: int, end: int, rest: Verdict) -> Iterator[StripPart]:
    at = begin
    for one in marked:
        start, until = max(one.start_us, at), min(one.until_us, end)
        if start > at:
            yield StripPart(at, start, rest)
        if until >= start:
            yield one._replace(start_us=start, until_us=until)
            at = max(at, until)
    if at < end:
        yield StripPart(at, end, rest)
