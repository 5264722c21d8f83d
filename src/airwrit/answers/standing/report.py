"""A report: every answer owed, the findings, the problems of the input, and the verdict of the whole."""

from __future__ import annotations

from dataclasses import InitVar, dataclass, field
from datetime import datetime

from airwrit.base.days import When
from airwrit.base.verdict import Verdict, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import USED_FOR
from airwrit.facts.keys.person import FLIES_AT_NIGHT, FLIES_FOR
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Problem, Source
from airwrit.facts.vocabulary import kind_of
from airwrit.law.aircraft.fleet import IN_THE_FLEET_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.rule import Bears, Finding

_GONE = ("sold", "destroyed", "exported")
_FLEET = IN_THE_FLEET_RULE


@dataclass(frozen=True, slots=True)
class Report:
    """The answer to a question. `asked` names every (rule, subject) owed a finding; one not found is unknown."""

    question: str
    state: State
    asked: tuple[tuple[str, str], ...]
    findings: tuple[Finding, ...]
    problems: tuple[Problem, ...]
    sources: tuple[Source, ...]
    withheld: tuple[Finding, ...] = ()
    """findings that count and are not shown: those on papers marked for counsel"""
    picked: InitVar[tuple[Finding, ...] | None] = None
    counted: tuple[Finding, ...] = field(init=False)

    def __post_init__(self, picked: tuple[Finding, ...] | None) -> None:
        """Take the findings that bear on the verdict of the whole, or pick them."""
        if picked is None:
            picked = tuple([f for f in self.findings if counts(f, self.state)])
        object.__setattr__(self, "counted", picked)

    @property
    def on(self) -> When:
        """The day or instant asked about."""
        return self.state.on

    @property
    def known_at(self) -> datetime:
        """What was known then counts."""
        return self.state.known_at

    @property
    def verdict(self) -> Verdict:
        """Not met when any counted finding is, else unknown on any gap, unread row or answer owed and not given, else met."""
        unseen = (finding for finding in self.withheld if counts(finding, self.state))
        verdicts = {f.outcome.verdict for f in (*self.counted, *unseen) if bears_out(f)}
        answered = {(finding.rule.name, finding.subject) for finding in (*self.findings, *self.withheld)}
        if any(owed not in answered for owed in self.asked) or any(
            problem.unread for problem in self.problems
        ):
            verdicts.add(Verdict.UNKNOWN)
        return worst_of(verdicts)


def declared_uses(state: State, subject: str) -> tuple[UsedFor, ...]:
    """The uses stated for an aircraft or person; empty when nobody said, or when what was said cannot be read."""
    key = FLIES_FOR if kind_of(subject) == "person" else USED_FOR
    used = value_held(state, subject, key)
    if used is None:
        return ()
    return (UsedFor.WORK, UsedFor.RECREATION) if used is UsedFor.BOTH else (used,)


def bears_out(finding: Finding) -> bool:
    """Whether a verdict may rest on a finding: a house rule can stand in the way, its being met allows nothing by itself."""
    return not finding.rule.document or finding.verdict is not Verdict.MET


def is_gone(finding: Finding) -> bool:
    """Whether a finding says that the program does not have the aircraft: sold, retired, not there yet."""
    if finding.rule is _FLEET:
        return finding.outcome.verdict is Verdict.NOT_MET
    return finding.outcome.code in _GONE and finding.rule is MUST_BE_REGISTERED_RULE


def counts(finding: Finding, state: State) -> bool:
    """Whether a finding bears on the verdict of the whole: answers never; a use or the night only where it was stated."""
    if finding.use is None and finding.rule.bears in (Bears.FLIGHT, Bears.PAPERS):
        return True
    if finding.rule.bears is Bears.ANSWER:
        return False
    if finding.rule.bears is Bears.NIGHT:
        held = state.held.get(finding.subject, {}).get(FLIES_AT_NIGHT)
        if held is None or held.value is not True:
            return False
    return finding.use is None or finding.use in declared_uses(state, finding.subject)
