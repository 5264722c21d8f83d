"""The answer to a file of facts, a dialogue or a subject of the ledger: of each aircraft, flight and incident told of."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from airwrit.answers.asking.aircraft import NOT_REGISTERED_HERE, AircraftAnswer, asked_of, owner_of
from airwrit.answers.asking.events import EventAnswer, about_event, event_of, events_told
from airwrit.answers.asking.idle_facts import Idle, idle_facts
from airwrit.answers.registration.whose_ways import is_of_a_person, not_available
from airwrit.answers.standing.report import Report
from airwrit.base.days import day_of
from airwrit.base.errors import UsageError
from airwrit.base.verdict import Verdict, Why, worst_of
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Problem, Source
from airwrit.law.parameters import FIRST_DAY
from airwrit.law.rule import Bears, Finding, judge_uses
from airwrit.law.rulebook import RULES


@dataclass(frozen=True, slots=True)
class AskAnswer:
    """The answers for every aircraft, flight and incident of the state, with the report of all findings.

    `idle` are the facts told that changed nothing.
    """

    report: Report
    aircraft: tuple[AircraftAnswer, ...]
    events: tuple[EventAnswer, ...] = ()
    idle: tuple[Idle, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Not met when a counted clause is not, no way is open or an event breaks a rule; unknown on any gap; else met."""
        free = {one.ways.subject for one in self.aircraft if one.way in NOT_REGISTERED_HERE}
        owners = {owner_of(self.report.state, subject) for subject in free}
        needless = [f for f in self.report.counted if f.subject in owners or _of_papers(f, free)]
        verdicts = {finding.verdict for finding in self.report.counted if finding not in needless}
        verdicts |= {one.verdict for one in self.aircraft}
        verdicts |= {event.verdict for event in self.events}
        if any(problem.unread or problem.spoils for problem in self.report.problems):
            verdicts.add(Verdict.UNKNOWN)
        return worst_of(verdicts)


def _of_papers(finding: Finding, free: set[str]) -> bool:
    """Whether a finding waits for papers of an aircraft that needs none."""
    return (
        finding.subject in free and finding.rule.bears is Bears.PAPERS and finding.outcome.why is Why.MISSING
    )


def ask(
    state: State,
    problems: Sequence[Problem] = (),
    sources: Sequence[Source] = (),
    *,
    aircraft: str | None = None,
    use: UsedFor | None = None,
) -> AskAnswer:
    """The answer for a state: of every aircraft, flight and incident told of, or of one aircraft among all of a program.

    `use` is what flights are for that say nothing themselves. UsageError before the first day of law that was read.
    """
    _check_day(state)
    if aircraft is not None:
        findings, owed = _judged(state, concerned(state, aircraft))
        report = Report("ask", state, tuple(owed), tuple(findings), tuple(problems), tuple(sources))
        return AskAnswer(report, (asked_of(aircraft, report),))
    told = events_told(state)
    findings, owed = _judged(state, _told_of(state, told))
    report = Report("ask", state, tuple(owed), tuple(findings), tuple(problems), tuple(sources))
    asked = tuple(asked_of(subject, report) for subject in state.subjects("aircraft"))
    events = tuple(event_of(subject, findings, state, use) for subject in told)
    ways = [finding for one in asked for finding in one.ways.findings.values()]
    idle = idle_facts(state, [*findings, *ways], events, ready=any(one.ready for one in asked))
    return AskAnswer(report, asked, events, idle)


def ask_event(
    state: State,
    event: str,
    problems: Sequence[Problem] = (),
    sources: Sequence[Source] = (),
    *,
    use: UsedFor | None = None,
) -> AskAnswer:
    """The answer for one flight or incident among all that a program has. UsageError before the first day of law read."""
    _check_day(state)
    findings, owed = _judged(state, (event, *about_event(event, state)))
    report = Report("ask", state, tuple(owed), tuple(findings), tuple(problems), tuple(sources))
    return AskAnswer(report, (), (event_of(event, findings, state, use),))


def not_available_to(answer: AskAnswer) -> Mapping[str, str]:
    """Why ways are not available to the one aircraft of an answer, for the table of whose name it should be in.

    UsageError for more than one aircraft or none, one that is gone, and one whose owner is a person.
    """
    state, found = answer.report.state, answer.aircraft
    if len(found) != 1 or found[0].gone is not None or is_of_a_person(state, found[0].ways.subject):
        raise UsageError(
            "this comparison works for one aircraft that an organization owns",
            where="FACTS",
            do="use facts about one such aircraft, or leave FACTS out",
        )
    return not_available(found[0].ways, state)


def _check_day(state: State) -> None:
    if day_of(state.on) < FIRST_DAY:
        raise UsageError(
            f"{day_of(state.on)} is too early. We check dates from {FIRST_DAY} on",
            where="--on",
            do="use a later date",
        )


def concerned(state: State, aircraft: str) -> tuple[str, ...]:
    """The aircraft, the registration it stands under and its owner."""
    number, owner = value_held(state, aircraft, REGISTRATION), owner_of(state, aircraft)
    registration = None if number is None else f"registration/{number}"
    return tuple(subject for subject in (aircraft, registration, owner) if subject is not None)


def _told_of(state: State, events: Iterable[str]) -> tuple[str, ...]:
    """Every subject on file; an owner an aircraft points at is a subject too, and so is what a flight points at.

    A flight of which only the purpose is told is no flight to judge: it says what the aircraft is for.
    """
    told = tuple(events)
    subjects = dict.fromkeys(s for s in state.held if not s.startswith("flight/") or s in told)
    for name in state.subjects("aircraft"):
        owner = owner_of(state, name)
        if owner is not None:
            subjects.setdefault(owner)
    for event in told:
        subjects.update(dict.fromkeys(about_event(event, state)))
    return tuple(subjects)


def _judged(state: State, subjects: Iterable[str]) -> tuple[list[Finding], list[tuple[str, str]]]:
    """Every rule of every subject."""
    owed = [(rule, s) for rule in RULES for s in subjects if s.startswith(rule.about + "/")]
    day = day_of(state.on)
    findings = [finding for rule, subject in owed for finding in judge_uses(rule, state, subject, day)]
    return findings, [(rule.name, subject) for rule, subject in owed]
