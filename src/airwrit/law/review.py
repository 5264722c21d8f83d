"""The one path that judges many subjects: what the rules find of each, and what a change of some facts leaves of it.

Every finding hangs on the facts that its rule looked at, and on nothing else. A look is told by the steps from the subject
judged to the subject looked at. So from a fact that changed one can walk the steps back to those whose findings hang on it;
only they are asked again. Three things have to be seen to. A link that cannot be read may lead to anyone. Steps are walked
back by what was held before the change and by what is held after it, since a subject may have come within reach or gone
out of it. And what a rule passed over, for want of some fact, counts as looked at under that fact.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Any

from airwrit.base.days import day_of
from airwrit.facts.key import Key
from airwrit.facts.looks import Look, Path, Step, Way, watched_by
from airwrit.facts.state import NOTHING_HELD, State, changed_keys
from airwrit.facts.vocabulary import kind_of
from airwrit.law.contradictions import settled
from airwrit.law.rule import Finding, Rule, findings_of

Fact = tuple[str, Key[Any]]
Asked = Mapping[str, tuple[Rule, ...]]
"""The rules to be asked, by subject."""


class Hanging:
    """Which rules hang on which facts: each row of looks is told once, however many findings share it."""

    __slots__ = ("_rows", "_rules")

    def __init__(self) -> None:
        self._rows: dict[Rule, set[tuple[Look, ...]]] = defaultdict(set)
        self._rules: dict[Key[Any], dict[Path, set[Rule]]] = defaultdict(dict)

    def add(self, rule: Rule, findings: Iterable[Finding]) -> None:
        """Note what the findings that came of asking a rule hang on."""
        rows = self._rows[rule]
        for finding in findings:
            looks = finding.looks.looks
            if looks not in rows:
                rows.add(looks)
                for path, key in watched_by(looks):
                    self._rules[key].setdefault(path, set()).add(rule)

    def on(self, key: Key[Any]) -> Iterable[tuple[Path, set[Rule]]]:
        """The paths by which rules come to a fact, with the rules."""
        return self._rules.get(key, {}).items()


@dataclass(frozen=True, slots=True)
class Review:
    """What the rules found of some subjects, by the law of a day and a state in which contradictions decide nothing.

    `anew` are the subjects of which something is held otherwise, or that were judged, wholly or in part, since the review
    that this one goes on from; None where it goes on from none.
    """

    state: State
    law_on: date
    asked: Asked
    findings: Mapping[str, tuple[Finding, ...]]
    anew: frozenset[str] | None
    hanging: Hanging

    def goes_on_to(self, state: State, day: date) -> bool:
        """Whether it holds in another state but for facts: one of the same day or instant, known on the same day, and law."""
        known_on = day_of(self.state.known_at)
        return self.law_on == day and self.state.on == state.on and known_on == day_of(state.known_at)

    def again(self, touched: Iterable[Fact], after: State) -> Mapping[str, set[Rule]]:
        """The rules to be asked again, by subject, where some facts are held otherwise in the state `after`."""
        again: dict[str, set[Rule]] = defaultdict(set)
        for subject, key in touched:
            for path, rules in self.hanging.on(key):
                was, will = _reached(path, subject, self.state), _reached(path, subject, after)
                if was is None or will is None:
                    kinds = {rule.about for rule in rules}
                    was, will = {one for one in self.findings if kind_of(one) in kinds}, set()
                for one in was | will:
                    again[one] |= rules
        return again


def review(state: State, day: date, asked: Asked, earlier: Review | None = None) -> Review:
    """What rules find of each subject by the law of a day.

    Where an earlier review goes on to the state, only what hangs on facts that are held otherwise is asked again.
    """
    if earlier is not None and earlier.goes_on_to(state, day):
        return _gone_on(earlier, settled(state, day, earlier.state), asked)
    state = settled(state, day)
    hanging = Hanging()
    made = {
        subject: tuple(_of_subject(state, day, subject, rules, hanging, {}))
        for subject, rules in asked.items()
    }
    return Review(state, day, asked, made, None, hanging)


def _gone_on(before: Review, state: State, asked: Asked) -> Review:
    touched = list(facts_changed(before.state, state))
    again = before.again(touched, state)
    anew = {subject for subject, _ in touched}
    made: dict[str, tuple[Finding, ...]] = {}
    for subject, rules in asked.items():
        earlier = before.findings.get(subject)
        if earlier is not None and subject not in again and before.asked[subject] == rules:
            made[subject] = earlier
            continue
        kept = _by_rule(earlier or (), before.asked.get(subject, ()), again.get(subject, ()))
        made[subject] = tuple(_of_subject(state, before.law_on, subject, rules, before.hanging, kept))
        anew.add(subject)
    return Review(state, before.law_on, asked, made, frozenset(anew), before.hanging)


def _of_subject(
    state: State,
    day: date,
    subject: str,
    rules: Iterable[Rule],
    hanging: Hanging,
    kept: Mapping[Rule, Sequence[Finding]],
) -> Iterator[Finding]:
    """The findings of rules about a subject; of a rule of which some are kept these stand."""
    for rule in rules:
        found = kept.get(rule)
        if found is None:
            found = findings_of(rule, state, subject, day)
            hanging.add(rule, found)
        yield from found


def _by_rule(
    findings: Iterable[Finding], rules: Iterable[Rule], but: Iterable[Rule]
) -> Mapping[Rule, Sequence[Finding]]:
    """The findings that came of asking each rule, but for some rules."""
    asked, left_out = set(rules), set(but)
    found: dict[Rule, list[Finding]] = {}
    mine: list[Finding] = []
    for finding in findings:
        if finding.rule in asked:
            mine = found.setdefault(finding.rule, [])
        mine.append(finding)  # one that is asked besides follows the finding it is asked upon
    return {rule: several for rule, several in found.items() if rule not in left_out}


def facts_changed(before: State, after: State) -> Iterator[Fact]:
    """The facts that two states hold otherwise; where they come from does not count."""
    for subject, facts in after.held.items():
        was = before.held.get(subject)
        if was is not facts:
            for key in changed_keys(was, facts):
                yield subject, key
    if not before.held.keys() <= after.held.keys():
        for subject in before.held.keys() - after.held.keys():
            for key in before.held[subject]:
                yield subject, key


def _reached(path: Path, subject: str, state: State) -> set[str] | None:
    """The subjects from which a path leads to one; None for all, where a link cannot be read or a step leads from anyone."""
    found = {subject}
    for step in reversed(path):
        nearer: set[str] = set()
        for one in found:
            before = _before(step, one, state)
            if before is None:
                return None
            nearer.update(before)
        found = nearer
    return found


def _before(step: Step, subject: str, state: State) -> Iterable[str] | None:
    """The subjects from which one step leads to a subject; None for all."""
    if step.way is Way.TO:
        return state.holding(step.key, subject.partition("/")[2])
    held = state.held.get(subject, NOTHING_HELD).get(step.key)
    if held is None:
        return ()
    if step.way is Way.SAME:
        return () if held.why is not None else state.holding(step.own or step.key, held.value)
    if step.way is Way.ALL:
        return None if held.value is True else ()
    if held.why is not None:
        return None
    return [f"{step.key.links_to}/{value}" for value in step.key.values_in(held.value)]
