"""What a standing takes as "no" because nothing is on file of it: told once, not with every finding."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache
from pathlib import Path
from typing import NamedTuple

from airwrit.answers.standing.headline import SubjectStanding
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.state import NOTHING_HELD, State
from airwrit.facts.vocabulary import kind_of
from airwrit.law.rule import Finding

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


class SilentSubject(NamedTuple):
    """A subject of which nothing is on file under some facts, that a finding takes as "no": its kind, and their names."""

    subject: str
    kind: str
    facts: frozenset[str]


def silences_of(counted: Iterable[Finding], state: State) -> tuple[SilentSubject, ...]:
    """What the findings about a subject take as "no", of itself and of others."""
    known = words()
    found: dict[str, set[str]] = defaultdict(set)
    for finding in counted:
        for subject, key, closed in finding.looks:
            if not closed or (key is FLIGHT_AIRCRAFT and finding.outcome.code != "none_on_file"):
                continue
            if key.name in known.get(kind_of(subject), ()) and key not in state.held.get(
                subject, NOTHING_HELD
            ):
                found[subject].add(key.name)
    return tuple([SilentSubject(one, kind_of(one), frozenset(facts)) for one, facts in found.items()])


def assumed_in(silent: Iterable[SilentSubject], rows: Iterable[SubjectStanding]) -> tuple[Assumed, ...]:
    """What is taken as "no" in the findings that count, in the order of the words; last what certificates are taken to show."""
    found: dict[tuple[str, str], dict[str, None]] = defaultdict(dict)
    for subject, kind, facts in silent:
        for fact in facts:
            found[kind, fact][subject] = None
    for row in rows:
        if row.by_certificate:
            found[_INELIGIBLE][row.subject] = None
    return tuple(
        Assumed(fact, said, tuple(found[kind, fact]))
        for kind, facts in words().items()
        for fact, said in facts.items()
        if (kind, fact) in found
    )


def words_assumed(silent: Iterable[SilentSubject], rows: Iterable[SubjectStanding]) -> tuple[str, ...]:
    """The same in words alone, without of whom."""
    alike = {one[1:] for one in silent}
    some = [SilentSubject("", kind, facts) for kind, facts in alike]
    return tuple(one.words for one in assumed_in(some, [row for row in rows if row.by_certificate][:1]))
