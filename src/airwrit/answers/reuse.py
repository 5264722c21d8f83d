"""Findings that hold in a second state of the same day because nothing they looked at is held otherwise there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from airwrit.facts.aircraft import LISTED_SERIAL, REMOTE_ID_SERIAL
from airwrit.facts.key import Key
from airwrit.facts.state import Held, State
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
    changed = _changed(before, after)
    touched = {subject for subject, _ in changed}
    anywhere = {key for _, key in changed if key.links_to or key in _SHARED}
    groups: dict[tuple[Rule, str], list[Finding]] = {}
    spoiled: set[tuple[Rule, str]] = set()
    for finding in findings:
        place = finding.rule, finding.subject
        mine = groups.get(place)
        if mine is None:
            groups[place] = [finding]
        else:
            mine.append(finding)
        for subject, key, closed in finding.looks:
            if (subject in touched and (subject, key) in changed) or (closed and key in anywhere):
                spoiled.add(place)
                break
    return {place: tuple(mine) for place, mine in groups.items() if place not in spoiled}


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
