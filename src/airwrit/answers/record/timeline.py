"""How one aircraft or person stood, day by day, through a span of time: lanes of stretches with one verdict each.

The past is judged by the law of each day, the days to come by the facts as they stand and the law as it was last read. A
verdict is looked for on every day that the facts, the law or an earlier finding name; between two such days it is taken to
change once at most, and the day of that change is found by halving.
"""

from __future__ import annotations

import heapq
from bisect import bisect_right
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta
from typing import Any, NamedTuple

from airwrit.answers.standing.neighbors import circle_of
from airwrit.answers.standing.report import bears_out, declared_uses
from airwrit.answers.standing.standing import rules_asked_about
from airwrit.base.days import EARLIEST, day_of
from airwrit.base.verdict import Outcome, Verdict
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import AsKnown
from airwrit.facts.key import value_of
from airwrit.facts.keys.aircraft import OWNER
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Unreadable
from airwrit.facts.vocabulary import KEYS, kind_of
from airwrit.law.aircraft.fleet import IN_THE_FLEET_RULE
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import Bears, Finding, Rule, Topic, judge
from airwrit.law.rulebook import RULES

_LAW_OF = {"aircraft": ("aircraft", "owner"), "person": ("person",)}
LANES: Mapping[str, tuple[Topic, ...]] = {
    kind: tuple(
        topic for topic in Topic if topic and any(r.topic is topic and r.about in about for r in RULES)
    )
    for kind, about in _LAW_OF.items()
}
"""The lanes of an aircraft and of a person; `HOUSE` and `WHOLE` come with them."""

WHOLE = "All of it"
HOUSE = "House rules"

_DAY = timedelta(days=1)
_UNBEARING = (Verdict.NOT_APPLICABLE, Verdict.MET)


class LaneSpan(NamedTuple):
    """Days from `start` to before `until` with one verdict; None where nothing was on record. `finding` decides it."""

    start: date
    until: date
    verdict: Verdict | None
    finding: Finding | None


class Lane(NamedTuple):
    """What must hold, and how it held: stretches without a gap, in order."""

    name: str
    stretches: tuple[LaneSpan, ...]


class DaySpan(NamedTuple):
    """The days to be told: from `start` to before `until`."""

    start: date
    until: date


def lanes_of(
    known: Iterable[Known],
    subject: str,
    span: DaySpan,
    known_at: datetime,
    house: Sequence[Rule] = (),
) -> tuple[Lane, ...]:
    """The lanes of an aircraft or person over a span, as known at a moment; days before the first one judged are left out.

    Each day is judged for the use stated on it, for work where none was. ValueError for another kind of subject.
    """
    kind = kind_of(subject)
    if kind not in LANES:
        raise ValueError(f"{subject} is neither an aircraft nor a person")
    span = DaySpan(max(span.start, FIRST_DAY), span.until)
    if span.start >= span.until:
        return ()
    heard = [item for item in known if item.recorded_at <= known_at]
    circle = circle_of(heard, subject)
    mine = [item for item in heard if item.statement.subject in circle]
    looker = _Looker(subject, mine, AsKnown(mine, known_at), tuple(house))
    looker.look_through(span)
    names = [topic.value for topic in LANES[kind]]
    names += [HOUSE] if any(rule.about == kind for rule in house) else []
    return tuple(looker.lane(name, span) for name in (WHOLE, *names))


class _LanesSeen(NamedTuple):
    """How the lanes stood on a day, by name."""

    verdicts: Mapping[str, tuple[Verdict | None, Finding | None]]

    def stands_like(self, other: _LanesSeen) -> bool:
        """Whether every lane stands as on the other day, decided by the same sentence."""
        return all(_gist(self, name) == _gist(other, name) for name in self.verdicts)


def _gist(seen: _LanesSeen, name: str) -> tuple[Verdict | None, str, str]:
    verdict, finding = seen.verdicts[name]
    return (
        verdict,
        "" if finding is None else finding.rule.name,
        "" if finding is None else finding.outcome.code,
    )


@dataclass(slots=True)
class _Looker:
    """Judges a subject day by day and remembers what it saw."""

    subject: str
    known: Sequence[Known]
    as_known: AsKnown
    house: Sequence[Rule]
    seen: dict[date, _LanesSeen] = field(default_factory=dict)
    turns: list[date] = field(default_factory=list)

    def look_through(self, span: DaySpan) -> None:
        """Find every day of the span on which a lane turns."""
        ahead = [span.start, *(day for day in named_days(self.known) if span.start < day < span.until)]
        heapq.heapify(ahead)
        self.turns = [span.start]
        last = span.start
        while ahead:
            day = heapq.heappop(ahead)
            if day in self.seen:
                continue
            for later in self._look(day):
                if day < later < span.until and later not in self.seen:
                    heapq.heappush(ahead, later)
            self._close(last, day)
            last = day
        self._close(last, span.until)

    def _close(self, earlier: date, later: date) -> None:
        """Find where a lane turns after `earlier` and before `later`, and whether it turns on `later` itself."""
        low, high = earlier, later - _DAY
        if high > low:
            self._look(high)
            while not self.seen[low].stands_like(self.seen[high]):
                low = self._first_unlike(low, high)
                self.turns.append(low)
        if later in self.seen and not self.seen[max(low, high)].stands_like(self.seen[later]):
            self.turns.append(later)

    def _first_unlike(self, low: date, high: date) -> date:
        """The first day after `low` that stands otherwise, by halving; `high` does."""
        same, other = low, high
        while other - same > _DAY:
            middle = same + (other - same) // 2
            self._look(middle)
            if self.seen[middle].stands_like(self.seen[low]):
                same = middle
            else:
                other = middle
        return other

    def _look(self, day: date) -> list[date]:
        """Judge one day; the days after which its findings may turn."""
        if day in self.seen:
            return []
        state = self.as_known.on(day)
        findings = _findings(state, self.subject, day, self.house)
        self.seen[day] = _LanesSeen(_lanes_on(state, self.subject, findings))
        return [turn for finding in findings for turn in _turns_of(finding)]

    def lane(self, name: str, span: DaySpan) -> Lane:
        """The stretches of one lane, those that stand alike put together."""
        starts: list[date] = []
        for day in self.turns:
            if not starts or _gist(self.seen[day], name) != _gist(self.seen[starts[-1]], name):
                starts.append(day)
        ends = [*starts[1:], span.until]
        made = [
            LaneSpan(day, end, *self.seen[day].verdicts[name]) for day, end in zip(starts, ends, strict=True)
        ]
        return Lane(name, tuple(made))


def named_days(known: Iterable[Known]) -> set[date]:
    """Every day that statements name: where they begin and end, and the days they tell, with the day after."""
    found: set[date] = set()
    for item in known:
        _, name, value, start, until = item.statement
        found.update(day_of(when) for when in (start, until) if when is not None and when != EARLIEST)
        if KEYS[name].kind is date and isinstance(value, str) and not isinstance(value, Unreadable):
            day = day_of(value_of(KEYS[name], value))
            found.add(day)
            if day < date.max:
                found.add(day + _DAY)
    return found


def _findings(state: State, subject: str, day: date, house: Sequence[Rule]) -> list[Finding]:
    """The findings that bear on whether the subject may fly, for the use stated on the day."""
    if not state.held.get(subject):
        return []
    use = next(iter(declared_uses(state, subject)), UsedFor.WORK)
    found = [
        judge(rule, state, subject, use, day)
        for rule in rules_asked_about(state, subject, (*RULES, *house))
        if rule.about == kind_of(subject) and rule.bears in (Bears.FLIGHT, Bears.NIGHT)
    ]
    held = state.held[subject].get(OWNER)
    if held is not None and held.why is None:
        owner = f"owner/{held.value}"
        found += [
            judge(rule, state, owner, use, day)
            for rule in RULES
            if rule.about == "owner" and rule.bears is Bears.FLIGHT
        ]
    return found


def _lanes_on(
    state: State, subject: str, findings: Sequence[Finding]
) -> dict[str, tuple[Verdict | None, Finding | None]]:
    if not state.held.get(subject) or any(map(_is_before_all, findings)):
        names = [topic.value for topic in LANES[kind_of(subject)]]
        return dict.fromkeys((WHOLE, *names, HOUSE), (None, None))
    found = {
        topic.value: _worst([f for f in findings if f.rule.topic is topic])
        for topic in LANES[kind_of(subject)]
    }
    found[HOUSE] = _worst([f for f in findings if f.rule.document])
    found[WHOLE] = _worst([f for f in findings if bears_out(f) and f.rule.bears is Bears.FLIGHT])
    return found


def _is_before_all(finding: Finding) -> bool:
    """Whether it says that the program did not have the aircraft yet: of such a day nothing else is told."""
    return finding.rule is IN_THE_FLEET_RULE and finding.outcome.code == "not_yet"


def _worst(findings: Sequence[Finding]) -> tuple[Verdict | None, Finding | None]:
    """Not met beats unknown beats met; the first finding that says so decides."""
    for verdict in (Verdict.NOT_MET, Verdict.UNKNOWN, Verdict.MET, Verdict.NOT_APPLICABLE):
        for finding in findings:
            if finding.verdict is verdict:
                return verdict, finding
    return Verdict.NOT_APPLICABLE, None


def _turns_of(finding: Finding) -> Iterable[date]:
    """The days after which a finding may say otherwise: ends, days due, and where the law it read begins or ends."""
    outcome: Outcome = finding.outcome
    ends: list[Any] = [outcome.holds_until, outcome.due_on, outcome.value]
    for end in ends:
        if isinstance(end, date) and end < date.max:
            yield day_of(end)
            yield day_of(end) + _DAY
    for reading in finding.law:
        for span in reading.param.spans:
            yield span.start


def standing_on(lane: Lane, day: date) -> LaneSpan | None:
    """The stretch that holds a day; None outside the span."""
    at = bisect_right([stretch.start for stretch in lane.stretches], day) - 1
    return lane.stretches[at] if at >= 0 and day < lane.stretches[at].until else None
