"""Findings that hold in a second state of the same day because nothing they looked at is held otherwise there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping, Sequence
from itertools import groupby
from operator import itemgetter
from typing import Any, NamedTuple

from airwrit.facts.aircraft import LISTED_SERIAL, REMOTE_ID_SERIAL
from airwrit.facts.key import Key
from airwrit.facts.state import NOTHING_HELD, Look, State
from airwrit.facts.vocabulary import TABLES, kind_of
from airwrit.law.judging import Finding, Rule


class Kept(NamedTuple):
    """Findings that hold in another state too."""

    whole: Mapping[str, Sequence[Finding]]
    """all about subjects of which nothing is held otherwise, where all of them hold"""
    parts: Mapping[tuple[Rule, str], tuple[Finding, ...]]
    """by rule and subject, those about the others"""


NOTHING_KEPT = Kept({}, {})

_SHARED = (LISTED_SERIAL, REMOTE_ID_SERIAL)
_RULE, _SUBJECT = itemgetter(0), itemgetter(1)


def kept_findings(findings: Iterable[Finding], before: State, after: State) -> Kept:
    """The findings made of `before`, those of a subject together, that the rules would make of `after` too.

    A rule sees a state through its looks alone. A look at one fact hangs on that fact. A look under a key that only another
    kind of subject has is a look over all of that kind, of which some may have been passed over: it hangs on all that is held
    of each. A look that reads silence as "nothing on file" under a key whose values are shared hangs on that key of each.
    """
    changes = _Changes(_changed(before, after))
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
    return Kept(whole, parts)


class _Changes:
    """The facts that two states hold otherwise, to be held against looks."""

    def __init__(self, changed: set[tuple[str, Key[Any]]]) -> None:
        self._changed = changed
        self.subjects = {subject for subject, _ in changed}
        self._kinds = {kind_of(subject) for subject in self.subjects}
        self._shared = {key for _, key in changed if key in _SHARED}

    def touch(self, looks: Collection[Look]) -> bool:
        """Whether any of some looks hangs on what changed."""
        return any(
            (subject in self.subjects and (subject, key) in self._changed)
            or (closed and self._over_all(kind_of(subject), key))
            for subject, key, closed in looks
        )

    def _over_all(self, kind: str, key: Key[Any]) -> bool:
        """Whether a look that may be one over many subjects hangs on what changed."""
        others = TABLES[key.table]
        return (others != kind and others in self._kinds) or key in self._shared


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
