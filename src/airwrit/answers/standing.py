"""Who and what may fly on a day, why not, what is due, and what is missing: the heart of the tool."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import date, datetime
from enum import StrEnum

from airwrit.answers.due import Due, due_items
from airwrit.answers.gaps import Gap, gaps_of
from airwrit.answers.one_number import one_number_each
from airwrit.answers.report import Report, bears_out, declared_uses
from airwrit.answers.reuse import NOTHING_KEPT, Kept, kept_findings
from airwrit.base.errors import UsageError
from airwrit.base.findings import Verdict
from airwrit.base.times import When, day_of
from airwrit.facts.aircraft import OWNER, REGISTRATION
from airwrit.facts.key import Key
from airwrit.facts.papers import FOR_COUNSEL
from airwrit.facts.people import LEFT_ON
from airwrit.facts.registration import REGISTERED_TO
from airwrit.facts.state import State, state_of
from airwrit.facts.statement import Known, Problem, Source
from airwrit.facts.vocabulary import kind_of
from airwrit.facts.words import UsedFor
from airwrit.law.judging import USES, Bears, Finding, Rule, judge, judge_uses
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rulebook import BY_NAME, RULES

ASKED_KINDS = ("aircraft", "registration", "owner", "person", "paper", "flight")
_ASKED = {
    kind: tuple(r for r in RULES if r.about == kind and r.bears is not Bears.ANSWER) for kind in ASKED_KINDS
}
_AGAINST = (Verdict.NOT_MET, Verdict.UNKNOWN)
_REGISTERED = BY_NAME["must_be_registered"]
_LIGHT_CODES = ("light", "struck")


class Headline(StrEnum):
    """How an aircraft or person stands in one phrase."""

    WORK = "may fly for work"
    RECREATION = "recreation only"
    GROUNDED = "grounded"
    CANT_SAY = "can't say"


@dataclass(frozen=True, slots=True)
class Row:
    """One aircraft or person: its headline, the verdict per use, all that stands in its way, and all its findings.

    `in_the_way` is in the order a lead would take it, for the use stated first; the first of it explains the headline.
    """

    subject: str
    headline: Headline
    work: Verdict
    recreation: Verdict
    night: Verdict | None
    in_the_way: tuple[Finding, ...]
    findings: tuple[Finding, ...]

    @property
    def deciding(self) -> Finding | None:
        """The finding that explains the headline; None when nothing stands in the way."""
        return self.in_the_way[0] if self.in_the_way else None


@dataclass(frozen=True, slots=True)
class Standing:
    """The whole answer: rows in the order of the input, what is due, what is missing, who has left, and the report."""

    report: Report
    rows: tuple[Row, ...]
    due: tuple[Due, ...]
    gaps: tuple[Gap, ...]
    left: tuple[tuple[str, date], ...]


def standing(
    known: Iterable[Known] | State,
    on: When,
    known_at: datetime,
    problems: Sequence[Problem] = (),
    sources: Sequence[Source] = (),
    house: Sequence[Rule] = (),
    *,
    counsel: bool = False,
    like: Standing | None = None,
) -> Standing:
    """How every aircraft and person stands on `on`, by the law of that day and the house rules given.

    `known` are statements, or the state that they make. What is found on papers marked for counsel counts and is withheld,
    unless `counsel` asks for it. `like` is a standing of the same day: what it found is taken over where nothing that was
    looked at is held otherwise. UsageError before the first day read.
    """
    if day_of(on) < FIRST_DAY:
        raise UsageError(
            f"{day_of(on)} is before {FIRST_DAY}",
            where="--on",
            do="older law was not read; ask about a later day",
        )
    spoiled = [pair for problem in problems for pair in problem.spoils]
    state = known if isinstance(known, State) else state_of(known, on, known_at, spoiled)
    state, shared = one_number_each(state)
    problems = (*problems, *shared)
    left = _left(state)
    subjects = _subjects(state, {subject for subject, _ in left})
    findings, asked = _judge_all(state, subjects, house, _taken_over(like, state))
    kept = set() if counsel else for_counsel(state)
    report = Report(
        "standing",
        state,
        tuple(asked),
        tuple(f for f in findings if f.subject not in kept),
        tuple(problems),
        tuple(sources),
        tuple(f for f in findings if f.subject in kept),
    )
    rows = _rows(state, findings)
    return Standing(report, rows, due_items(report), gaps_of(report, rows_decided(rows)), left)


def _taken_over(like: Standing | None, state: State) -> Kept:
    """What a standing of the same day found that holds in this state too."""
    if like is None or like.report.on != state.on:
        return NOTHING_KEPT
    return kept_findings((*like.report.findings, *like.report.withheld), like.report.state, state)


def rows_decided(rows: Iterable[Row]) -> dict[str, tuple[str, ...]]:
    """For each subject a finding may be about, the aircraft or people whose headline hangs on it."""
    hang: dict[str, list[str]] = defaultdict(list)
    for row in rows:
        for subject in dict.fromkeys(finding.subject for finding in row.findings):
            hang[subject].append(row.subject)
    return {subject: tuple(others) for subject, others in hang.items()}


def _left(state: State) -> tuple[tuple[str, date], ...]:
    """People who left on or before the day."""
    gone = []
    for subject in state.subjects("person"):
        held = state.held[subject].get(LEFT_ON)
        if held is not None and held.why is None and held.value <= day_of(state.on):
            gone.append((subject, held.value))
    return tuple(gone)


def _subjects(state: State, left: set[str]) -> dict[str, list[str]]:
    """The subjects asked about, by kind: those of which something is on file that day, and those that others point at."""
    found = {kind: dict.fromkeys(s for s in state.subjects(kind) if state.held[s]) for kind in ASKED_KINDS}
    links: tuple[Key[str], ...] = (OWNER, REGISTRATION, REGISTERED_TO)
    for facts in state.held.values():
        for key in links:
            held = facts.get(key)
            if held is not None and held.why is None:
                found[key.links_to].setdefault(f"{key.links_to}/{held.value}")
    return {
        kind: [subject for subject in subjects if subject not in left] for kind, subjects in found.items()
    }


def for_counsel(state: State) -> set[str]:
    """The papers marked for counsel; one whose mark cannot be read is taken as marked."""
    marks = {subject: state.held[subject].get(FOR_COUNSEL) for subject in state.subjects("paper")}
    return {subject for subject, held in marks.items() if held is not None and held.value is not False}


def _rules_asked(house: Sequence[Rule]) -> Mapping[str, tuple[Rule, ...]]:
    """The rules asked of each kind of subject: the law's first, so that they explain a headline before the house's."""
    own = {kind: tuple(rule for rule in house if rule.about == kind) for kind in ASKED_KINDS}
    return {kind: _ASKED[kind] + own[kind] for kind in ASKED_KINDS}


def _judge_all(
    state: State, subjects: dict[str, list[str]], house: Sequence[Rule], kept: Kept
) -> tuple[list[Finding], list[tuple[str, str]]]:
    day = day_of(state.on)
    findings: list[Finding] = []
    asked: list[tuple[str, str]] = []
    light: Rule = BY_NAME["weight_exemption"]
    rules = _rules_asked(house)
    for kind in ASKED_KINDS:
        for subject in subjects[kind]:
            for rule in rules[kind]:
                asked.append((rule.name, subject))
                found = kept.get((rule, subject)) or judge_uses(rule, state, subject, day)
                findings += found
                if rule is _REGISTERED and found[-1].outcome.code == "light":
                    more = kept.get((light, subject))
                    findings += more or (judge(light, state, subject, UsedFor.RECREATION, day),)
    return findings, asked


def _rows(state: State, findings: Sequence[Finding]) -> tuple[Row, ...]:
    by_subject: dict[str, list[Finding]] = defaultdict(list)
    for finding in findings:
        by_subject[finding.subject].append(finding)
    rows = []
    for subject, mine in by_subject.items():
        if kind_of(subject) in ("aircraft", "person"):
            rows.append(_row(state, subject, mine + _owners_findings(state, subject, by_subject)))
    return tuple(rows)


def _owners_findings(state: State, subject: str, by_subject: dict[str, list[Finding]]) -> list[Finding]:
    """The findings about an aircraft's owner, which its standing hangs on."""
    held = state.held.get(subject, {}).get(OWNER)
    if held is None or held.why is not None:
        return []
    return by_subject.get(f"owner/{held.value}", [])


def _row(state: State, subject: str, findings: list[Finding]) -> Row:
    of_flight = [f for f in findings if f.rule.bears is Bears.FLIGHT]
    deciding = {use: bearing(use, of_flight) for use in USES}
    verdicts = {use: _verdict_of(mine) for use, mine in deciding.items()}
    declared = declared_uses(state, subject)
    headline, use = _headline(declared, verdicts)
    night = next(
        (f.verdict for f in findings if f.rule.bears is Bears.NIGHT and f.use is not UsedFor.RECREATION), None
    )
    return Row(
        subject,
        headline,
        verdicts[UsedFor.WORK],
        verdicts[UsedFor.RECREATION],
        night,
        _in_the_way(headline, _of_flight(findings) if use is None else deciding[use]),
        tuple(findings),
    )


def _of_flight(findings: Iterable[Finding]) -> list[Finding]:
    """The findings that bear on whether the subject may fly, under whatever use."""
    return [f for f in findings if f.rule.bears is not Bears.PAPERS]


def bearing(use: UsedFor, findings: Iterable[Finding]) -> list[Finding]:
    """The findings that decide whether the subject may fly for a use."""
    mine = [f for f in findings if (f.use is None or f.use is use) and f.rule.bears is Bears.FLIGHT]
    for finding in mine:
        if finding.rule is _REGISTERED and finding.outcome.verdict is Verdict.NOT_APPLICABLE:
            return [f for f in mine if f.rule.about != "owner"]
    return mine


def _verdict_of(mine: list[Finding]) -> Verdict:
    """Not met, unknown or met for a use. An aircraft freed by its weight counts its weight as what is met."""
    verdicts = {f.outcome.verdict for f in mine if not f.rule.document or bears_out(f)}
    if Verdict.NOT_MET in verdicts:
        return Verdict.NOT_MET
    if Verdict.UNKNOWN in verdicts:
        return Verdict.UNKNOWN
    if Verdict.MET in verdicts:
        return Verdict.MET
    freed = any(f.rule is _REGISTERED and f.outcome.code in _LIGHT_CODES for f in mine)
    return Verdict.MET if freed else Verdict.UNKNOWN


def _headline(
    declared: tuple[UsedFor, ...], verdicts: dict[UsedFor, Verdict]
) -> tuple[Headline, UsedFor | None]:
    """The headline and the use whose findings decide it; nothing is grounded for a use nobody stated."""
    if not declared:
        return Headline.CANT_SAY, None
    first = declared[0]
    if first is UsedFor.WORK and verdicts[first] is Verdict.MET:
        return Headline.WORK, first
    if verdicts[UsedFor.RECREATION] is Verdict.MET and (
        UsedFor.RECREATION in declared or verdicts[UsedFor.WORK] is Verdict.NOT_MET
    ):
        return Headline.RECREATION, first
    if verdicts[first] is Verdict.NOT_MET:
        return Headline.GROUNDED, first
    return Headline.CANT_SAY, first


def _in_the_way(headline: Headline, findings: list[Finding]) -> tuple[Finding, ...]:
    """What stands in the way: what explains the headline first, then what else is not met or unknown."""
    if headline is Headline.WORK:
        return ()
    wanted = Verdict.UNKNOWN if headline is Headline.CANT_SAY else Verdict.NOT_MET
    against = [f for f in findings if f.outcome.verdict in _AGAINST]
    first = next((f for f in against if f.outcome.verdict is wanted), None)
    return () if first is None else (first, *(f for f in against if f is not first))
