"""What is missing before anything can be said: each fact once, with everything that waits for it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from airwrit.answers.standing.report import Report, is_gone
from airwrit.base.verdict import Verdict, Why
from airwrit.facts.key import Key
from airwrit.law.wording import missing_fact


class MissingFact(NamedTuple):
    """A fact that is missing, contradicted or damaged for some subjects, and the aircraft and people that wait for it."""

    key: Key[str]
    why: Why
    subjects: tuple[str, ...]
    holds_up: tuple[str, ...]


def gaps_of(report: Report, hang: Mapping[str, Sequence[str]]) -> tuple[MissingFact, ...]:
    """The gaps of a report, the one that holds up the most first. `hang` tells who waits for which subject.

    What an aircraft lacks that was sold, destroyed or exported is no gap: nothing waits for it.
    """
    gone: set[str] = set()
    open_ones = []
    for finding in report.counted:
        if finding.outcome.verdict is Verdict.UNKNOWN:
            open_ones.append(finding)
        if is_gone(finding):
            gone.add(finding.subject)
    found: dict[tuple[Key[str], Why], tuple[dict[str, None], dict[str, None]]] = {}
    for finding in open_ones:
        if finding.subject in gone:
            continue
        used, why = missing_fact(finding, report.state), finding.outcome.why
        if used is None or why is None:
            continue
        subjects, waiting = found.setdefault((used.key, why), ({}, {}))
        subjects[used.subject] = None
        waiting.update(dict.fromkeys(hang.get(finding.subject, (finding.subject,))))
    gaps = [
        MissingFact(key, why, tuple(subjects), tuple(waiting))
        for (key, why), (subjects, waiting) in found.items()
    ]
    return tuple(sorted(gaps, key=lambda gap: -len(gap.holds_up)))
