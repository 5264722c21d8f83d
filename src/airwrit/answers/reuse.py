"""Findings that hold in a second state of the same day because nothing they looked at is held otherwise there."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any

from airwrit.facts.aircraft import LISTED_SERIAL, REMOTE_ID_SERIAL
from airwrit.facts.key import Key
from airwrit.facts.state import Held, Look, State
from airwrit.law.alike import Looks
from airwrit.law.judging import Finding, Rule

Kept = Mapping[tuple[Rule, str], tuple[Finding, ...]]

NOTHING_KEPT: Kept = {}

_SHARED = (LISTED_SERIAL, REMOTE_ID_SERIAL)
_NOTHING: Mapping[Key[Any], Held] = {}


def kept_findings(findings: Iterable[Finding], before: State, after: State) -> Kept:
    """By rule and subject, the findings made of `before` that a rule would make of `after` too.

    A rule sees a state through its looks alone. A look at one fact hangs on that fact. A look that reads silence as
    "nothing on file" may also have looked for all that point here, or share a value, through its key: it then hangs on
    that key of every subject.
    """
    changes = _Changes(_changed(before, after))
    groups: dict[tuple[Rule, str], list[Finding]] = {}
    spoiled: set[tuple[Rule, str]] = set()
    for finding in findings:
        place = finding.rule, finding.subject
        mine = groups.get(place)
        if mine is None:
            groups[place] = [finding]
        else:
            mine.append(finding)
        if changes.touch(finding.looks):
            spoiled.add(place)
    return {place: tuple(mine) for place, mine in groups.items() if place not in spoiled}


class _Changes:
    """The facts that two states hold otherwise, to be held against looks."""

    def __init__(self, changed: set[tuple[str, Key[Any]]]) -> None:
        self._changed = changed
        self._subjects = {subject for subject, _ in changed}
        self._anywhere = {key for _, key in changed if key.links_to or key in _SHARED}
        self._shapes: dict[int, bool] = {}

    def touch(self, looks: Collection[Look]) -> bool:
        """Whether any of some looks hangs on what changed."""
        if isinstance(looks, Looks) and self._subjects.isdisjoint(looks.subjects):
            return self._touches_anywhere(looks)
        return any(
            (subject in self._subjects and (subject, key) in self._changed)
            or (closed and key in self._anywhere)
            for subject, key, closed in looks
        )

    def _touches_anywhere(self, looks: Looks) -> bool:
        """Of looks at subjects of which nothing changed; those of one shape hang on the same."""
        if not self._anywhere:
            return False
        found = self._shapes.get(id(looks.shape))
        if found is None:
            found = any(closed and key in self._anywhere for _, key, closed in looks.shape)
            self._shapes[id(looks.shape)] = found
        return found


def _changed(before: State, after: State) -> set[tuple[str, Key[Any]]]:
    """The facts that the two states hold otherwise; where they come from does not count."""
    found: set[tuple[str, Key[Any]]] = set()
    for subject in before.held.keys() | after.held.keys():
        old, new = before.held.get(subject, _NOTHING), after.held.get(subject, _NOTHING)
        if old is new:
            continue
        for key in old.keys() | new.keys():
            one, other = old.get(key), new.get(key)
            if (one and one[:2]) != (other and other[:2]):
                found.add((subject, key))
    return found
