"""Rules and findings, the one place where a gap becomes a verdict, and the one path that judges many subjects.

Every finding hangs on the facts that its rule looked at, and on nothing else. A look is told by the steps from the subject
judged to the subject looked at. So from a fact that changed one can walk the steps back to those whose findings hang on it;
only they are asked again. Three things have to be seen to. A link that cannot be read may lead to anyone. Steps are walked
back by what was held before the change and by what is held after it, since a subject may have come within reach or gone
out of it. And what a rule passed over, for want of some fact, counts as looked at under that fact.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import cache
from typing import Any, NamedTuple, TypedDict, TypeVar, Unpack

from airwrit.base.days import day_of
from airwrit.base.verdict import Margin, Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.looks import Look, LookedAt, Path, Step, Used, Way, watched_by
from airwrit.facts.state import NOTHING_HELD, Facts, State, changed_keys
from airwrit.facts.vocabulary import kind_of
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


Fact = tuple[str, Key[Any]]
Asked = Mapping[str, tuple[Rule, ...]]
"""The rules to be asked, by subject."""


class Hanging:
    """Which rules hang on which facts: each row of looks is told once, however many findings share it."""

    __slots__ = ("_rows", "_rules")

    def __init__(self) -> None:
        self._rows: dict[Rule, set[tuple[Look, ...]]] = defaultdict(set)
        self._rules: dict[Key[Any], dict[Path, set[Rule]]] = defaultdict(dict)

    def add(self, rule: Rule, findings: Iterable[Finding]) -> None:
        """Note what the findings that came of asking a rule hang on."""
        rows = self._rows[rule]
        for finding in findings:
            looks = finding.looks.looks
            if looks not in rows:
                rows.add(looks)
                for path, key in watched_by(looks):
                    self._rules[key].setdefault(path, set()).add(rule)

    def on(self, key: Key[Any]) -> Iterable[tuple[Path, set[Rule]]]:
        """The paths by which rules come to a fact, with the rules."""
        return self._rules.get(key, {}).items()


@dataclass(frozen=True, slots=True)
class Review:
    """What the rules found of some subjects, by the law of a day and a state in which contradictions decide nothing.

    `anew` are the subjects of which something is held otherwise, or that were judged, wholly or in part, since the review
    that this one goes on from; None where it goes on from none.
    """

    state: State
    law_on: date
    asked: Asked
    findings: Mapping[str, tuple[Finding, ...]]
    anew: frozenset[str] | None
    hanging: Hanging

    def goes_on_to(self, state: State, day: date) -> bool:
        """Whether it holds in another state but for facts: one of the same day or instant, known on the same day, and law."""
        known_on = day_of(self.state.known_at)
        return self.law_on == day and self.state.on == state.on and known_on == day_of(state.known_at)

    def again(self, touched: Iterable[Fact], after: State) -> Mapping[str, set[Rule]]:
        """The rules to be asked again, by subject, where some facts are held otherwise in the state `after`."""
        again: dict[str, set[Rule]] = defaultdict(set)
        for subject, key in touched:
            for path, rules in self.hanging.on(key):
                was, will = _reached(path, subject, self.state), _reached(path, subject, after)
                if was is None or will is None:
                    kinds = {rule.about for rule in rules}
                    was, will = {one for one in self.findings if kind_of(one) in kinds}, set()
                for one in was | will:
                    again[one] |= rules
        return again


def review(state: State, day: date, asked: Asked, earlier: Review | None = None) -> Review:
    """What rules find of each subject by the law of a day.

    Where an earlier review goes on to the state, only what hangs on facts that are held otherwise is asked again.
    """
    if earlier is not None and earlier.goes_on_to(state, day):
        return _gone_on(earlier, settled(state, day, earlier.state), asked)
    state = settled(state, day)
    hanging = Hanging()
    made = {
        subject: tuple(_of_subject(state, day, subject, rules, hanging, {}))
        for subject, rules in asked.items()
    }
    return Review(state, day, asked, made, None, hanging)


def _gone_on(before: Review, state: State, asked: Asked) -> Review:
    touched = list(facts_changed(before.state, state))
    again = before.again(touched, state)
    anew = {subject for subject, _ in touched}
    made: dict[str, tuple[Finding, ...]] = {}
    for subject, rules in asked.items():
        earlier = before.findings.get(subject)
        if earlier is not None and subject not in again and before.asked[subject] == rules:
            made[subject] = earlier
            continue
        kept = _by_rule(earlier or (), before.asked.get(subject, ()), again.get(subject, ()))
        made[subject] = tuple(_of_subject(state, before.law_on, subject, rules, before.hanging, kept))
        anew.add(subject)
    return Review(state, before.law_on, asked, made, frozenset(anew), before.hanging)


def _of_subject(
    state: State,
    day: date,
    subject: str,
    rules: Iterable[Rule],
    hanging: Hanging,
    kept: Mapping[Rule, Sequence[Finding]],
) -> Iterator[Finding]:
    """The findings of rules about a subject; of a rule of which some are kept these stand."""
    for rule in rules:
        found = kept.get(rule)
        if found is None:
            found = findings_of(rule, state, subject, day)
            hanging.add(rule, found)
        yield from found


def _by_rule(
    findings: Iterable[Finding], rules: Iterable[Rule], but: Iterable[Rule]
) -> Mapping[Rule, Sequence[Finding]]:
    """The findings that came of asking each rule, but for some rules."""
    asked, left_out = set(rules), set(but)
    found: dict[Rule, list[Finding]] = {}
    mine: list[Finding] = []
    for finding in findings:
        if finding.rule in asked:
            mine = found.setdefault(finding.rule, [])
        mine.append(finding)  # one that is asked besides follows the finding it is asked upon
    return {rule: several for rule, several in found.items() if rule not in left_out}


def facts_changed(before: State, after: State) -> Iterator[Fact]:
    """The facts that two states hold otherwise; where they come from does not count."""
    for subject, facts in after.held.items():
        was = before.held.get(subject)
        if was is not facts:
            for key in changed_keys(was, facts):
                yield subject, key
    if not before.held.keys() <= after.held.keys():
        for subject in before.held.keys() - after.held.keys():
            for key in before.held[subject]:
                yield subject, key


def _reached(path: Path, subject: str, state: State) -> set[str] | None:
    """The subjects from which a path leads to one; None for all, where a link cannot be read or a step leads from anyone."""
    found = {subject}
    for step in reversed(path):
        nearer: set[str] = set()
        for one in found:
            before = _before(step, one, state)
            if before is None:
                return None
            nearer.update(before)
        found = nearer
    return found


def _before(step: Step, subject: str, state: State) -> Iterable[str] | None:
    """The subjects from which one step leads to a subject; None for all."""
    if step.way is Way.TO:
        return state.holding(step.key, subject.partition("/")[2])
    held = state.held.get(subject, NOTHING_HELD).get(step.key)
    if held is None:
        return ()
    if step.way is Way.SAME:
        return () if held.why is not None else state.holding(step.own or step.key, held.value)
    if step.way is Way.ALL:
        return None if held.value is True else ()
    if held.why is not None:
        return None
    return [f"{step.key.links_to}/{value}" for value in step.key.values_in(held.value)]
