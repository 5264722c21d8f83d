"""Findings that hold in a second state of the same day because nothing they looked at is held otherwise there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

from airwrit.facts.key import Key
from airwrit.facts.keys.paper import COVERS_ALL
from airwrit.facts.state import NOTHING_HELD, Look, State
from airwrit.facts.vocabulary import TABLES, id_of, kind_of
from airwrit.law.rule import Finding, Rule


class ReusedFindings(NamedTuple):
    """Findings that hold in another state too."""

    whole: Mapping[str, Sequence[Finding]]
    """all about subjects of which nothing is held otherwise, where all of them hold"""
    parts: Mapping[tuple[Rule, str], tuple[Finding, ...]]
    """by rule and subject, those about the others"""


NOTHING_KEPT = ReusedFindings({}, {})

_RULE, _SUBJECT = itemgetter(0), itemgetter(1)


def kept_findings(findings: Iterable[Finding], before: State, after: State) -> ReusedFindings:
    """The findings made of `before`, those of a subject together, that the rules would make of `after` too.

    A rule sees a state through its looks alone. A look at one fact hangs on that fact. A look under a key that only another
    kind of subject has is a look over those of that kind that point at the subject, of which some may have been passed over:
    it hangs on all that is held of each, and of those of which it cannot be read where they point, or which cover all. A look
    that reads silence as "nothing on file" under a key whose values are shared hangs on that key of each.
    """
    changes = _Changes(before, after)
    whole: dict[str, Sequence[Finding]] = {}
    parts: dict[tuple[Rule, str], tuple[Finding, ...]] = {}
    for subject, group in groupby(findings, key=_SUBJECT):
        mine = list(group)
        spoiled = {finding.rule for finding in mine if changes.touch(finding.looks)}
        if not spoiled and subject not in changes.subjects:
            whole[subject] = mine
            continue
        for rule, found in groupby(mine, key=_RULE):
            if rule not in spoiled:
                parts[rule, subject] = tuple(found)
    return ReusedFindings(whole, parts)


class _Changes:
    """The facts that two states hold otherwise, to be held against looks."""

    def __init__(self, before: State, after: State) -> None:
        self._changed = _changed(before, after)
        self.subjects = {subject for subject, _ in self._changed}
        self._shared = {key for _, key in self._changed if key.shared}
        self._pointed, self._anywhere = _targets(self.subjects, before, after)

    def touch(self, looks: Collection[Look]) -> bool:
        """Whether any of some looks hangs on what changed."""
        return any(
            (subject in self.subjects and (subject, key) in self._changed)
            or (closed and self._is_over_changed(subject, key))
            for subject, key, closed in looks
        )

    def _is_over_changed(self, subject: str, key: Key[Any]) -> bool:
        """Whether a look that may be one over many subjects came, or may have come, to one of which something changed."""
        others = TABLES[key.table]
        if key in self._shared or (others != kind_of(subject) and others in self._anywhere):
            return True
        return others != kind_of(subject) and (key, id_of(subject)) in self._pointed


def _targets(
    subjects: Collection[str], before: State, after: State
) -> tuple[set[tuple[Key[Any], str]], set[str]]:
    """What some subjects point at in either state, by key; and the kinds of those that may point anywhere, or cover all."""
    pointed: set[tuple[Key[Any], str]] = set()
    anywhere: set[str] = set()
    for subject in subjects:
        for state in (before, after):
            for key, held in state.held.get(subject, NOTHING_HELD).items():
                if key is COVERS_ALL or (key.links_to and held.why is not None):
                    anywhere.add(kind_of(subject))
                elif key.links_to:
                    pointed.add((key, held.value))
    return pointed, anywhere


def _changed(before: State, after: State) -> set[tuple[str, Key[Any]]]:
    """The facts that the two states hold otherwise; where they come from does not count."""
    found: set[tuple[str, Key[Any]]] = set()
    for subject in before.held.keys() | after.held.keys():
        old, new = before.held.get(subject, NOTHING_HELD), after.held.get(subject, NOTHING_HELD)
        if old is new:
            continue
        for key in old.keys() | new.keys():
            one, other = old.get(key), new.get(key)
            if (one and one[:2]) != (other and other[:2]):
                found.add((subject, key))
    return found
