"""Judging many subjects: what rules found of one subject is found of every other that answers each of their steps alike.

The steps of what was asked are kept as a tree: at a node what is asked next, a branch for each answer, at the end what was
then found. A subject is led down the tree by its own answers. Where there is no branch yet the rules themselves are asked,
and their steps make one. Each rule and use has a tree of its own; after some subjects, the rules that tell subjects apart by
the same facts share one, in which nothing is asked twice. A rule whose runs are seldom alike is asked directly.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from datetime import date, datetime
from decimal import Decimal
from typing import Any, NamedTuple

from airwrit.base.findings import Outcome
from airwrit.facts.state import NOTHING_HELD, Look, State
from airwrit.facts.tracked import (
    GAPS,
    HAS,
    LINK,
    LINKING,
    NAMED,
    OF,
    THERE,
    VALUE,
    Branch,
    JudgedAloneError,
    Place,
    Step,
    Track,
    Tracked,
    answer_of,
    answer_of_links,
    answer_of_sharing,
    exactly,
)
from airwrit.facts.words import UsedFor
from airwrit.law.judging import USES, Finding, Rule, judge, judge_uses, outcome_of
from airwrit.law.parameters import Law, Reading

_TRIED, _ALIKE = 256, 8
"""After so many subjects, a rule by which not even so many were alike is asked directly."""

_MOST = 2048
"""After so many branches a rule is asked directly unless more subjects than that were alike."""

_MANY = 12
"""A step with more branches than this tells subjects apart by what each has of its own."""

_WORK, _RECREATION = USES


class Looks:
    """The looks of a rule at the subjects it came to; told one by one when somebody asks."""

    __slots__ = ("shape", "subjects")

    def __init__(self, subjects: tuple[str, ...], shape: tuple[Place, ...]) -> None:
        """Looks at places of `subjects`, of which the rule may have passed some by."""
        self.subjects, self.shape = subjects, shape

    def __iter__(self) -> Iterator[Look]:
        """The looks in their order."""
        subjects = self.subjects
        return iter([(subjects[place], key, closed) for place, key, closed in self.shape])

    def __len__(self) -> int:
        """How many."""
        return len(self.shape)

    def __contains__(self, look: object) -> bool:
        """Whether it is one of them."""
        return look in tuple(self)

    def __eq__(self, other: object) -> bool:
        """Whether the other looks are the same in the same order."""
        return isinstance(other, (Looks, tuple)) and tuple(self) == tuple(other)

    def __hash__(self) -> int:
        """Of the looks as a tuple."""
        return hash(tuple(self))


class _Found(NamedTuple):
    """What a rule finds: of which use (None: of both), and the shape of its looks."""

    rule: Rule
    use: UsedFor | None
    outcome: Outcome
    shape: tuple[Place, ...]
    law: tuple[Reading, ...]


class _End(NamedTuple):
    """At the end of the steps: what each rule finds; None for one of which the steps do not tell all that it looks at."""

    found: tuple[tuple[_Found, ...] | None, ...]


_Node = tuple[Step, dict[Any, Any]]
"""A step, and what follows it by the branch: a node or an end."""


class _Tree:
    """The runs of some rules under one use, or under both."""

    __slots__ = ("branches", "follows", "is_given_up", "led", "rules", "uses")

    def __init__(self, rules: tuple[Rule, ...], uses: tuple[UsedFor, ...]) -> None:
        self.rules, self.uses = rules, uses
        self.follows: dict[Any, Any] = {}
        self.led = self.branches = 0
        self.is_given_up = False

    def keep(self, steps: Mapping[Step, Branch], end: _End) -> None:
        """Keep a run."""
        follows, branch = self.follows, None
        for step, answer in steps.items():
            node = follows.get(branch)
            if node is None:
                node = follows[branch] = (step, {})
            if node.__class__ is _End or node[0] != step:
                self.is_given_up = True  # other questions after the same answers: it hangs on something else
                return
            follows, branch = node[1], answer
        if branch in follows:
            self.is_given_up = True
            return
        follows[branch] = end
        self.branches += 1
        self.is_given_up = (self.branches >= _TRIED and self.led < _ALIKE) or self.led < self.branches - _MOST

    def keys_apart(self) -> Iterator[Any]:
        """The keys of the steps that tell subjects apart by what each has of its own."""
        nodes = list(self.follows.values())
        while nodes:
            node = nodes.pop()
            if node.__class__ is tuple:
                (_, _, key), follows = node
                nodes += follows.values()
                if len(follows) > _MANY:
                    yield key


class Alike:
    """The judge of many subjects of one state on one day. What it finds is what `judge_uses` finds of each."""

    __slots__ = ("_alone", "_seen", "_shared", "day", "state")

    def __init__(self, state: State, day: date) -> None:
        """Nothing is judged yet."""
        self.state, self.day = state, day
        self._alone: dict[tuple[Rule, UsedFor], _Tree] = {}
        self._seen: dict[tuple[Rule, ...], int] = {}
        self._shared: dict[tuple[Rule, ...], list[tuple[_Tree, list[int]]]] = {}

    def judged_all(self, rules: tuple[Rule, ...], subject: str) -> list[tuple[Finding, ...]]:
        """The findings of each of some rules about one kind of subject, for work and for recreation."""
        seen = self._seen[rules] = self._seen.get(rules, 0) + 1
        if seen <= _TRIED:
            return [self.judged_uses(rule, subject) for rule in rules]
        if rules not in self._shared:
            self._shared[rules] = self._trees_shared(rules)
        found: list[tuple[Finding, ...] | None] = [None] * len(rules)
        for tree, places in self._shared[rules]:
            if not tree.is_given_up:
                for place, mine in zip(places, self._through(tree, subject), strict=True):
                    found[place] = mine or judge_uses(rules[place], self.state, subject, self.day)
        return [mine or self.judged_uses(rule, subject) for rule, mine in zip(rules, found, strict=True)]

    def _trees_shared(self, rules: Sequence[Rule]) -> list[tuple[_Tree, list[int]]]:
        """A tree for the rules that tell subjects apart by the same steps, with their places."""
        groups: dict[frozenset[Any], list[int]] = {}
        for place, rule in enumerate(rules):
            trees = [self._alone[rule, use] for use in USES if (rule, use) in self._alone]
            if not any(tree.is_given_up for tree in trees):
                apart = frozenset(key for tree in trees for key in tree.keys_apart())
                groups.setdefault(apart, []).append(place)
        return [
            (_Tree(tuple(rules[place] for place in places), USES), places)
            for places in groups.values()
            if len(places) > 1
        ]

    def judged_uses(self, rule: Rule, subject: str) -> tuple[Finding, ...]:
        """The findings for work and for recreation; one finding when the rule did not ask for the use."""
        first = self.judged(rule, subject, _WORK)
        if first.use is None:
            return (first,)
        return (first, self.judged(rule, subject, _RECREATION))

    def judged(self, rule: Rule, subject: str, use: UsedFor) -> Finding:
        """The finding of one rule under one use."""
        tree = self._alone.get((rule, use))
        if tree is None:
            tree = self._alone[rule, use] = _Tree((rule,), (use,))
        if not tree.is_given_up:
            found = self._through(tree, subject)[0]
            if found is not None:
                return found[0]
        return judge(rule, self.state, subject, use, self.day)

    def _through(self, tree: _Tree, subject: str) -> list[tuple[Finding, ...] | None]:
        """What each rule of a tree finds of a subject; None for those that have to be asked of it alone."""
        subjects = [subject]
        end = self._led(tree, subjects)
        if end is None:
            track = Track(subject)
            end = self._asked(tree, track)
            tree.keep(track.steps, end)
            subjects = track.subjects
        else:
            tree.led += 1
        names, make = tuple(subjects), tuple.__new__
        return [
            None
            if found is None
            else tuple(
                [
                    make(Finding, (rule, subject, use, outcome, Looks(names, shape), law))
                    for rule, use, outcome, shape, law in found
                ]
            )
            for found in end.found
        ]

    def _led(self, tree: _Tree, subjects: list[str]) -> _End | None:
        """The end to which the answers of a subject lead; None where it was not come to yet. Adds the subjects on the way.

        This is the inner loop of judging, so what `answer_to` tells is written out in it.
        """
        everything = self.state.held
        facts = [everything.get(subjects[0], NOTHING_HELD)]
        node = tree.follows.get(None)
        while node.__class__ is tuple:
            (asks, place, key), follows = node
            if asks <= LINK:
                held = facts[place].get(key)
                if held is None:
                    node = follows.get(None)
                    continue
                value, why, _ = held
                if why is not None:
                    node = follows.get(GAPS[why])
                elif asks == VALUE:
                    kind = value.__class__
                    node = follows.get(exactly(value) if kind is Decimal or kind is datetime else value)
                elif asks == HAS:
                    node = follows.get(THERE)
                else:
                    name = f"{key.links_to}/{value}"
                    subjects.append(name)
                    facts.append(everything.get(name, NOTHING_HELD))
                    node = follows.get(THERE)
            elif asks == NAMED:
                subjects.append(key)
                facts.append(everything.get(key, NOTHING_HELD))
                node = follows.get(None)
            elif asks == LINKING:
                node = follows.get(answer_of_links(self.state, subjects[place], *key))
            elif asks == OF:
                node = follows.get(answer_of(facts[place], *key))
            else:
                node = follows.get(answer_of_sharing(self.state, facts[place].get(key), key))
        return node

    def _asked(self, tree: _Tree, track: Track) -> _End:
        """What each rule finds when it is asked itself."""
        return _End(tuple(self._found(rule, tree.uses, track) for rule in tree.rules))

    def _found(self, rule: Rule, uses: Sequence[UsedFor], track: Track) -> tuple[_Found, ...] | None:
        found = []
        for use in uses:
            track.begin()
            law = Law(self.day)
            try:
                outcome = outcome_of(rule, Tracked(self.state, track, use), law)
            except JudgedAloneError:
                return None
            told = use if track.asked_use else None
            found.append(_Found(rule, told, outcome, tuple(track.looks), tuple(law.used)))
            if told is None:
                break
        return tuple(found)
