"""Rules and findings, and the one place where a gap in facts or law becomes a verdict."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache
from typing import Any, NamedTuple, TypedDict, TypeVar, Unpack

from airwrit.base.verdict import Margin, Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.looks import LookedAt, Used
from airwrit.facts.state import Facts, State
from airwrit.law.contradictions import settled
from airwrit.law.parameters import Law, LawReading, Param

T = TypeVar("T")


class Bears(StrEnum):
    """What a rule's verdict bears on."""

    FLIGHT = "flight"
    """whether the subject may fly"""
    NIGHT = "night"
    """whether a person may fly at night, a second check"""
    PAPERS = "papers"
    """a filing owed or a record to put right; it grounds nothing by itself"""
    ANSWER = "answer"
    """a question that duties hang on; it binds nobody by itself"""


class Topic(StrEnum):
    """What of an aircraft or a person a rule belongs to, where its standing is told through time."""

    NONE = ""
    REGISTRATION = "Registration"
    OWNER = "Owner"
    MARK = "Mark"
    REMOTE_ID = "Remote ID"
    CERTIFICATE = "Certificate"
    RECENCY = "Recency"
    NIGHT = "Night"
    SAFETY_TEST = "Safety test"


@dataclass(frozen=True, slots=True, eq=False)
class Rule:
    """One question of the law, or of a house rule, about one kind of subject: all that answers and faces know of it.

    `shown_by` are the documents that are evidence for it; `has_last_day` tells that its findings may name a last day, and
    `lapse` is the code of its finding once that day has passed. `upon` are rules asked besides, of recreation, by the code
    of its last finding. `own` are the parameters whose section is the rule's own, the main one first: a finding names it
    before the law it leaned on. A house rule names its `document` and brings its own texts by code; a rule of the law has
    neither.
    """

    name: str
    about: str
    bears: Bears
    judge: Callable[[Facts, Law], Outcome]
    topic: Topic = Topic.NONE
    shown_by: tuple[DocumentShows, ...] = ()
    has_last_day: bool = False
    lapse: str = "lapsed"
    upon: Mapping[str, Rule] = field(default_factory=dict)
    own: tuple[Param[Any], ...] = ()
    document: str = ""
    texts: Mapping[str, Mapping[str, str]] = field(default_factory=dict)


class Finding(NamedTuple):
    """What a rule found of a subject under a use (None: the same under every use). Sentences are made when shown."""

    rule: Rule
    subject: str
    use: UsedFor | None
    outcome: Outcome
    looks: LookedAt
    law: tuple[LawReading, ...]

    @property
    def verdict(self) -> Verdict:
        """The verdict of the outcome."""
        return self.outcome.verdict

    @property
    def used(self) -> tuple[Used, ...]:
        """The facts looked at, in the order of the looks."""
        return tuple(Used(*look) for look in self.looks)


USES = (UsedFor.WORK, UsedFor.RECREATION)


def outcome_of(rule: Rule, facts: Facts, law: Law) -> Outcome:
    """What a rule concludes of what it sees; a gap is unknown."""
    try:
        return rule.judge(facts, law)
    except Undecided as gap:
        return Outcome(Verdict.UNKNOWN, gap.about, gap.why)


def judge(rule: Rule, state: State, subject: str, use: UsedFor, day: date) -> Finding:
    """The finding of one rule on one subject under one use; facts that cannot all be so decide nothing."""
    state = settled(state, day)
    facts, law = Facts(state, subject, use), Law(day)
    outcome = outcome_of(rule, facts, law)
    told = use if facts.asked_use else None
    read = law.own_first(rule.own, is_read=outcome.why is not Why.LAW_NOT_READ)
    return Finding(rule, subject, told, outcome, facts.looks, read)


def judge_uses(rule: Rule, state: State, subject: str, day: date) -> tuple[Finding, ...]:
    """The findings for work and for recreation; one finding when the rule did not ask for the use."""
    first = judge(rule, state, subject, UsedFor.WORK, day)
    if first.use is None:
        return (first,)
    return (first, judge(rule, state, subject, UsedFor.RECREATION, day))


def findings_of(rule: Rule, state: State, subject: str, day: date) -> tuple[Finding, ...]:
    """The findings of a rule for each use, and that of the rule that is asked besides."""
    found = judge_uses(rule, state, subject, day)
    besides = rule.upon.get(found[-1].outcome.code)
    return found if besides is None else (*found, judge(besides, state, subject, UsedFor.RECREATION, day))


class More(TypedDict, total=False):
    """The optional parts of an outcome."""

    margin: Margin | None
    value: date | Decimal | str | None
    due_on: date | None
    holds_until: date | None


@cache
def _plain(verdict: Verdict, code: str) -> Outcome:
    """An outcome of a verdict and a code alone, made once."""
    return Outcome(verdict, code)


def met(code: str, **more: Unpack[More]) -> Outcome:
    """Met, with the code of its sentence."""
    return Outcome(Verdict.MET, code, **more) if more else _plain(Verdict.MET, code)


def not_met(code: str, **more: Unpack[More]) -> Outcome:
    """Not met, with the code of its sentence."""
    return Outcome(Verdict.NOT_MET, code, **more) if more else _plain(Verdict.NOT_MET, code)


def no_duty(code: str, **more: Unpack[More]) -> Outcome:
    """Not applicable, with the code of its sentence."""
    return Outcome(Verdict.NOT_APPLICABLE, code, **more) if more else _plain(Verdict.NOT_APPLICABLE, code)


def unknown(why: Why, code: str, **more: Unpack[More]) -> Outcome:
    """Unknown for a reason a rule knows, with the code of its sentence."""
    return Outcome(Verdict.UNKNOWN, code, why, **more)


def all_hold(*checks: Callable[[], Outcome]) -> Outcome:
    """All of several checks: the first that is not met; else the first gap or unknown; else the last met.

    A known failure outweighs a gap elsewhere; a gap is never passed over.
    """
    gap: Outcome | None = None
    last = Outcome(Verdict.UNKNOWN, "nothing_asked", Why.MISSING)
    for check in checks:
        try:
            last = check()
        except Undecided as undecided:
            last = Outcome(Verdict.UNKNOWN, undecided.about, undecided.why)
        if last.verdict is Verdict.NOT_MET:
            return last
        if last.verdict is Verdict.UNKNOWN and gap is None:
            gap = last
    return last if gap is None else gap


def not_asked(law: Law, *switches: Param[bool]) -> Outcome | None:
    """No duty where the law of the day asks for none of it, or not for all; None where it does."""
    asked = [law[switch] for switch in switches]
    return None if all(asked) else no_duty("not_asked")


def known_of(looks: Iterable[Callable[[], T]]) -> tuple[list[T], Outcome | None]:
    """What several looks give, and the first gap among them as an unknown outcome (None when all could be read)."""
    values: list[T] = []
    gap: Outcome | None = None
    for look in looks:
        try:
            values.append(look())
        except Undecided as undecided:
            if gap is None:
                gap = Outcome(Verdict.UNKNOWN, undecided.about, undecided.why)
    return values, gap
