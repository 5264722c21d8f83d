"""What a standing takes as "no" because nothing is on file of it: told once, not with every finding."""

from __future__ import annotations

import tomllib
from collections import defaultdict
from collections.abc import Iterable, Mapping
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.standing.headline import SubjectStanding
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.looks import Look
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


class _LookTold(NamedTuple):
    """A look at a fact that is told of some kinds of subjects: at the how-manieth subject, under which key."""

    number: int
    key: Key[Any]
    kinds: frozenset[str]


@lru_cache(maxsize=1 << 14)
def _looks_told(looks: tuple[Look, ...]) -> tuple[_LookTold, ...]:
    """Those of some looks that may tell a silence, each once: many findings share their looks."""
    found = []
    for look in looks:
        kinds = frozenset(kind for kind, facts in words().items() if look.key.name in facts)
        if look.closed and kinds:
            found.append(_LookTold(look.place.number, look.key, kinds))
    return tuple(dict.fromkeys(found))


def silences_of(counted: Iterable[Finding], state: State) -> tuple[SilentSubject, ...]:
    """What the findings about a subject take as "no", of itself and of others."""
    found: dict[str, set[str]] = defaultdict(set)
    for finding in counted:
        for number, key, kinds in _looks_told(finding.looks.looks):
            if key is FLIGHT_AIRCRAFT and finding.outcome.code != "none_on_file":
                continue
            subject = finding.looks.subjects[number]
            if key not in state.held.get(subject, NOTHING_HELD) and kind_of(subject) in kinds:
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
