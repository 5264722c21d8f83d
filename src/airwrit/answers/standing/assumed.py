"""What a standing takes as "no" because nothing is on file of it: told once, not with every finding."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.standing.headline import SubjectStanding, taken_from_certificate
from airwrit.answers.standing.report import Report
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.state import NOTHING_HELD
from airwrit.facts.vocabulary import kind_of

_INELIGIBLE = ("certificate", "owner_eligible")
"""That the owner may not register: taken as "no" where the FAA registered the aircraft to it."""


class Assumed(NamedTuple):
    """A fact taken as "no", in words, and of which subjects."""

    fact: str
    words: str
    subjects: tuple[str, ...]


@cache
def words() -> Mapping[str, Mapping[str, str]]:
    """The facts told of, by kind of subject, each in words."""
    return tomllib.loads(Path(__file__).with_name("assumed.toml").read_text(encoding="utf-8"))


def assumed_in(report: Report, rows: Sequence[SubjectStanding]) -> tuple[Assumed, ...]:
    """What is taken as "no" in the findings that count, in the order of the words; last what certificates are taken to show."""
    state, known = report.state, words()
    found: dict[tuple[str, str], dict[str, None]] = {}
    for finding in report.counted:
        for subject, key, closed in finding.looks:
            if key is FLIGHT_AIRCRAFT and finding.outcome.code != "none_on_file":
                continue
            if not closed or key.name not in known.get(kind_of(subject), {}):
                continue
            if key not in state.held.get(subject, NOTHING_HELD):
                found.setdefault((kind_of(subject), key.name), {})[subject] = None
    for row in rows:
        if taken_from_certificate(row.findings, state):
            found.setdefault(_INELIGIBLE, {})[row.subject] = None
    return tuple(
        Assumed(fact, said, tuple(found[kind, fact]))
        for kind, facts in known.items()
        for fact, said in facts.items()
        if (kind, fact) in found
    )
