"""What is missing before anything can be said: each fact once, best first, with everything that waits for it.

Best first means what helps to settle the most: an aircraft that waits for one fact more counts whole, one that waits for four
counts a quarter for each of them.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.base.verdict import Verdict, Why
from airwrit.facts.choices import CrewRole, ServiceStatus
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    DECLARATION_ACCEPTED,
    MAKER,
    MODEL,
    REMOTE_ID_WAY,
    TAKEOFF_WEIGHT,
)
from airwrit.facts.keys.person import COMPLETED_ON, CREW_ROLE
from airwrit.facts.keys.service import HOLDS, SERVICE_STATUS
from airwrit.facts.state import NOTHING_HELD, State
from airwrit.facts.vocabulary import kind_of
from airwrit.law.rule import Finding
from airwrit.law.wording import held_up, missing_fact


class Scope(StrEnum):
    """For how many at once a missing fact can be answered."""

    ALL = "all"
    OWNER = "owner"
    MODEL = "model"
    ONE = "one"
    WORD = "word"
    COLUMN = "column"


_BY_MODEL = frozenset((TAKEOFF_WEIGHT, REMOTE_ID_WAY, DECLARATION_ACCEPTED))
NO_MATTER = "doesn't matter"
"""What may be said of a text that was not understood, beside what it means."""
MEANS: Mapping[str, Key[ServiceStatus] | Key[CrewRole]] = {"aircraft": SERVICE_STATUS, "person": CREW_ROLE}
"""By kind of subject, the fact that a text which was not understood may turn out to say."""


def meanings_of(kind: str) -> tuple[str, ...]:
    """What may be said of a text about a kind of subject that was not understood."""
    return (NO_MATTER, *MEANS[kind].kind) if kind in MEANS else (NO_MATTER,)


def choices_of(key: Key[Any]) -> tuple[str, ...]:
    """The words in which a fact may be told; empty for a number, a day or a name."""
    if key.kind is bool:
        return ("yes", "no")
    return tuple(str(word) for word in key.kind) if issubclass(key.kind, StrEnum) else ()


class MissingFact(NamedTuple):
    """A fact that is missing, contradicted or damaged for some subjects, and the aircraft and people that wait for it.

    `why` tells missing only where it is so of all of them.
    `gain` is how many of them it helps to settle. `word` is a text that was not understood, with the cells it stands in.
    """

    key: Key[Any]
    why: Why
    subjects: tuple[str, ...]
    holds_up: tuple[str, ...]
    gain: float = 0.0
    word: str = ""
    places: tuple[str, ...] = ()

    @property
    def scope(self) -> Scope:
        """For how many at once it can be answered."""
        if self.word:
            return Scope.WORD
        if self.key.table == "owner":
            return Scope.OWNER
        if self.key in _BY_MODEL:
            return Scope.MODEL
        return Scope.ALL if self.choices or self.key.links_to == "owner" else Scope.ONE

    @property
    def choices(self) -> tuple[str, ...]:
        """The words it may be answered in; empty for a number, a day or a name."""
        return meanings_of(kind_of(self.subjects[0])) if self.word else choices_of(self.key)


class FactWanted(NamedTuple):
    """What a finding about a subject (`of`) waits for: a fact of some subject, or what a text about it means."""

    of: str
    key: Key[Any]
    why: Why
    word: str
    subject: str
    place: str


def wanted_of(counted: Iterable[Finding], state: State) -> tuple[FactWanted, ...]:
    """What the findings about a subject wait for."""
    return tuple(
        [
            wanted
            for finding in counted
            if finding.outcome.verdict is Verdict.UNKNOWN
            for wanted in _wanted(finding, state)
        ]
    )


def gaps_of(
    wanted: Iterable[FactWanted], gone: Container[str], hang: Mapping[str, Sequence[str]]
) -> tuple[MissingFact, ...]:
    """The gaps in what is known: texts first, then facts, what settles the most first. `hang` tells who waits for whom.

    What an aircraft lacks that the program does not have (`gone`) is no gap: nothing waits for it.
    """
    found: dict[tuple[Key[Any], str], list[FactWanted]] = defaultdict(list)
    waiting: dict[tuple[Key[Any], str], dict[str, None]] = defaultdict(dict)
    for one in wanted:
        if one.of in gone:
            continue
        wait = [other for other in hang.get(one.of, (one.of,)) if other not in gone]
        if wait:
            found[one.key, one.word].append(one)
            waiting[one.key, one.word].update(dict.fromkeys(wait))
    many = Counter(subject for subjects in waiting.values() for subject in subjects)
    gaps = [
        MissingFact(
            key,
            next((one.why for one in mine if one.why is not Why.MISSING), Why.MISSING),
            tuple(dict.fromkeys(one.subject for one in mine)),
            tuple(waiting[key, word]),
            sum(1 / many[subject] for subject in waiting[key, word]),
            word,
            tuple(dict.fromkeys(one.place for one in mine if one.place)),
        )
        for (key, word), mine in found.items()
    ]
    return tuple(sorted(gaps, key=lambda gap: (not gap.word, -gap.gain)))


def _wanted(finding: Finding, state: State) -> Iterator[FactWanted]:
    """What a finding that is open waits for."""
    hold, outcome = HOLDS.get(kind_of(finding.subject)), finding.outcome
    if hold is not None and finding.rule.name.endswith("_understood") and outcome.code == "open":
        for text, place in held_up(state, finding.subject):
            yield FactWanted(finding.subject, hold.released, Why.MISSING, text, finding.subject, place)
        return
    if outcome.code == "no_event":
        yield FactWanted(finding.subject, COMPLETED_ON, Why.MISSING, "", finding.subject, "")
        return
    used = missing_fact(finding, state)
    if used is not None and outcome.why is not None:
        yield FactWanted(finding.subject, used.key, outcome.why, "", used.subject, "")


def groups_of(gap: MissingFact, state: State) -> dict[str, tuple[str, ...]]:
    """The subjects of a gap by what they have in common: the model of an aircraft, an owner; empty where nothing is told."""
    if gap.scope is not Scope.MODEL:
        return {}
    found: dict[str, list[str]] = defaultdict(list)
    for subject in gap.subjects:
        name = model_of(state, subject)
        if name:
            found[name].append(subject)
    return {name: tuple(subjects) for name, subjects in found.items()}


def model_of(state: State, subject: str) -> str:
    """Maker and model of an aircraft as its sheet writes them; empty where the model is not on file."""
    facts = state.held.get(subject, NOTHING_HELD)
    maker, model = facts.get(MAKER), facts.get(MODEL)
    if model is None or model.why is not None:
        return ""
    first = "" if maker is None or maker.why is not None else str(maker.value)
    return f"{first} {model.value}".strip()
