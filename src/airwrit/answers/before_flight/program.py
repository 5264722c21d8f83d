"""The program as a flight is judged by it: what is on file, its house rules, what was told; and findings that still stand."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import UTC, date, datetime, timedelta
from functools import cached_property
from typing import Any

from airwrit.answers.before_flight import checklists
from airwrit.answers.before_flight.plan import Booking
from airwrit.answers.site import saved_sites
from airwrit.answers.standing.neighbors import Circles
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import AsKnown
from airwrit.facts.key import Key, value_of
from airwrit.facts.looks import watched_by
from airwrit.facts.state import State
from airwrit.facts.statement import Known, Unreadable
from airwrit.facts.vocabulary import KEYS, kind_of
from airwrit.law.contradictions import settled
from airwrit.law.flight.places import ring_edges
from airwrit.law.rule import Finding, Rule, facts_changed, judge


def is_of_every_flight(item: Known) -> bool:
    """Whether a fact can bear on any flight: those of papers, checklists and saved sites."""
    return kind_of(item.statement.subject) in ("paper", checklists.KIND, saved_sites.KIND)


class FindingsKept:
    """Findings of one question after another, each used again as long as its rule would look at the same.

    A rule sees nothing but the facts it looks at, the law of the day and, where it asks for it, the instant. So a finding
    stands from one state to the next of the same day as long as no key that it hangs on is held otherwise of any subject.
    """

    __slots__ = ("_day", "_found", "_state")

    def __init__(self) -> None:
        """Nothing found yet."""
        self._state: State | None = None
        self._day: date | None = None
        self._found: dict[tuple[Rule, str, UsedFor], tuple[Finding, frozenset[Key[Any]]]] = {}

    def findings(
        self, rules: Iterable[Rule], state: State, subject: str, uses: Sequence[UsedFor], day: date
    ) -> list[Finding]:
        """The findings in the order of rules and uses."""
        now = settled(state, day)
        self._drop(now, day)
        self._state, self._day = now, day
        return [self._finding(rule, now, subject, use, day) for rule in rules for use in uses]

    def _drop(self, now: State, day: date) -> None:
        """Forget the findings that may be others now."""
        before = self._state
        if before is None or self._day != day or before.known_at != now.known_at:
            self._found.clear()
            return
        changed = {key for _, key in facts_changed(before, now)}
        moved = before.on != now.on
        self._found = {
            about: (finding, keys)
            for about, (finding, keys) in self._found.items()
            if keys.isdisjoint(changed) and not (moved and finding.looks.asked_when)
        }

    def _finding(self, rule: Rule, state: State, subject: str, use: UsedFor, day: date) -> Finding:
        about = rule, subject, use
        if about not in self._found:
            made = judge(rule, state, subject, use, day)
            self._found[about] = made, frozenset(one.key for one in watched_by(made.looks.looks))
        return self._found[about][0]


@dataclass(frozen=True)
class Program:
    """What is on file of the program as known at a moment, its house rules, and what was told with the question."""

    known: Sequence[Known]
    known_at: datetime
    house: Sequence[Rule] = ()
    told: Sequence[Known] = ()
    spoiled: Sequence[tuple[str, str]] = ()
    """facts (subject, key) whose cell could not be read"""
    booked: Sequence[Booking] = ()
    """other planned flights"""

    def around(self, *subjects: str) -> Program:
        """What of it can bear on some subjects, at any time."""
        circles = Circles(self.known)
        near = set[str]().union(*map(circles.of, subjects))
        near |= {item.statement.subject for item in self.known if is_of_every_flight(item)}
        return replace(
            self,
            known=[item for item in self.known if item.statement.subject in near],
            spoiled=[pair for pair in self.spoiled if pair[0] in near],
        )

    def with_told(self, told: Sequence[Known]) -> Program:
        """The same with other facts told with the question."""
        return replace(self, told=told)

    def state_on(self, on: datetime) -> State:
        """How things stand at an instant, in the zone of the place."""
        return self._as_known.on(on)

    def findings(
        self, rules: Iterable[Rule], state: State, subject: str, uses: Sequence[UsedFor], day: date
    ) -> list[Finding]:
        """What rules find of a subject under each use; one is asked again only where what it hangs on has changed."""
        return self._kept.findings(rules, state, subject, uses, day)

    @cached_property
    def _as_known(self) -> AsKnown:
        """All of it, laid out once for every instant that is asked about."""
        return AsKnown((*self.known, *self.told), self.known_at, self.spoiled)

    @cached_property
    def _kept(self) -> FindingsKept:
        return FindingsKept()


def instants_on_file(program: Program) -> set[datetime]:
    """The instants that facts name: where they begin and end, and the instants they tell, with the one just after."""
    return {at for item in (*program.known, *program.told) for at in _instants(item)}


def _instants(item: Known) -> Iterator[datetime]:
    _, name, value, begins, until = item.statement
    for when in (begins, until):
        if isinstance(when, datetime):
            yield when.astimezone(UTC)
    key = KEYS[name]
    if key.instants and isinstance(value, str) and not isinstance(value, Unreadable):
        told = value_of(key, value)
        if isinstance(told, datetime):
            for at in (told, *ring_edges(key, told)):
                yield at.astimezone(UTC)
                yield at.astimezone(UTC) + timedelta(microseconds=1)
