"""What is missing before anything can be said: each fact once, best first, with everything that waits for it.

Best first means what helps to settle the most: an aircraft that waits for one fact more counts whole, one that waits for four
counts a quarter for each of them.
"""

from __future__ import annotations

import tomllib
from collections import Counter, defaultdict
from collections.abc import Container, Iterable, Iterator, Mapping, Sequence
from datetime import date
from enum import StrEnum
from functools import cache, lru_cache
from pathlib import Path
from typing import Any, NamedTuple

from airwrit.answers.standing.headline import DueFinding, SubjectStanding, day_due, due_of
from airwrit.answers.standing.report import counts, is_gone
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
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT
from airwrit.facts.keys.person import COMPLETED_ON, CREW_ROLE
from airwrit.facts.keys.service import HOLDS, SERVICE_STATUS
from airwrit.facts.looks import Look
from airwrit.facts.state import NOTHING_HELD, Held, State
from airwrit.facts.vocabulary import kind_of
from airwrit.law.rule import Bears, Finding, Review
from airwrit.law.wording import held_up, missing_fact, read_between

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
    return tuple(key.kind) if issubclass(key.kind, StrEnum) else ()


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


class SubjectTally(NamedTuple):
    """What the findings about one subject add up to, with the findings and facts that it hangs on.

    `counted` are the findings that bear on the verdict of the whole; `beside` records to put right and batteries that are not
    fit, which ground no aircraft; `read` the first and last day on which the law behind any of it was read.
    """

    findings: tuple[Finding, ...]
    held: Mapping[Key[Any], Held]
    counted: tuple[Finding, ...]
    is_gone: bool
    due: tuple[DueFinding, ...]
    wanted: tuple[FactWanted, ...]
    silent: tuple[SilentSubject, ...]
    beside: tuple[Finding, ...]
    read: tuple[date, date] | None


Tallies = Mapping[str, SubjectTally]
"""The tallies of a standing, by subject."""


def tallies_of(found: Review, hidden: Container[str], before: Tallies) -> Tallies:
    """The tally of every subject judged that is not hidden.

    `before` are tallies of a review that this one goes on from. One stands where the findings are the very same and what is
    held of the subject too: whatever else a finding hangs on would have made it anew.
    """
    made: dict[str, SubjectTally] = {}
    for subject, findings in found.findings.items():
        if subject in hidden:
            continue
        kept, held = before.get(subject), found.state.held.get(subject, NOTHING_HELD)
        if kept is None or kept.findings is not findings or kept.held is not held:
            kept = _tally(subject, findings, held, found.state)
        made[subject] = kept
    return made


def _tally(
    subject: str, findings: tuple[Finding, ...], held: Mapping[Key[Any], Held], state: State
) -> SubjectTally:
    counted = tuple([finding for finding in findings if counts(finding, state)])
    return SubjectTally(
        findings,
        held,
        counted,
        any(is_gone(finding) for finding in counted),
        due_of(subject, counted, state),
        wanted_of(counted, state),
        silences_of(counted, state),
        (*filter(_is_unfit_battery, findings), *filter(_is_record_to_put_right, findings)),
        read_between(findings),
    )


def _is_record_to_put_right(finding: Finding) -> bool:
    """Whether a paper is wrong and grounds nothing by itself. A filing with a day stands in the due list."""
    return (
        finding.outcome.verdict is Verdict.NOT_MET
        and finding.rule.bears is Bears.PAPERS
        and day_due(finding) is None
    )


def _is_unfit_battery(finding: Finding) -> bool:
    """Whether something stands in the way of flying with a battery: what is not met, and records that disagree."""
    return (
        finding.rule.about == "battery"
        and finding.rule.bears is Bears.FLIGHT
        and (finding.outcome.verdict is Verdict.NOT_MET or finding.outcome.why is Why.CONFLICT)
        and day_due(finding) is None
    )
