"""Which way must this aircraft be registered, why not another, what to do in which order, and what would change it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.answers.ask_changes import Change, changes_of
from airwrit.answers.ask_events import Event, about_event, event_of, events_told
from airwrit.answers.ask_idle import Idle, idle_facts
from airwrit.answers.ask_words import PART_48, AskStep, Line, lines_of, steps_of, value, what_holds, words
from airwrit.answers.questions import Question, question_of
from airwrit.answers.report import Report, counts
from airwrit.answers.ways import Ways, ways_of
from airwrit.answers.whose_name import WhoseName, whose_name
from airwrit.base.errors import UsageError
from airwrit.base.findings import Undecided, Verdict, Why, worst_of
from airwrit.base.times import day_of, first_of_month_before
from airwrit.facts.aircraft import IS_REGISTERED, MAKER, MODEL, OWNER, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.key import Key
from airwrit.facts.registration import ISSUED_ON, OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.state import Facts, Held, State, Used, with_held
from airwrit.facts.statement import Problem, Source
from airwrit.facts.words import OwnerKind, RegistrationKind, UsedFor
from airwrit.law import wording
from airwrit.law.fees import price_of_certificate
from airwrit.law.judging import Bears, Finding, judge_uses
from airwrit.law.parameters import FIRST_DAY, Law, Param
from airwrit.law.part_47 import GUIDANCE, PART_47_FEE_USD
from airwrit.law.provenance import hearsay
from airwrit.law.registration import FILING_DATA, PART_47_TEMPORARY_MONTHS
from airwrit.law.rulebook import RULES
from airwrit.law.terms import PART_47_TERM_YEARS, PENDING_RENEWAL, WINDOW_MONTHS, part_47_term, part_48_term
from airwrit.law.ways import Way

_WAY_IN_REGISTER = {
    Way.RECREATIONAL: RegistrationKind.RECREATIONAL,
    Way.PERSON: RegistrationKind.PER_AIRCRAFT,
    Way.ORGANIZATION: RegistrationKind.PER_AIRCRAFT,
    Way.PART_47: RegistrationKind.PART_47,
}
_ONCE_REGISTERED = (
    "registration_in_term",
    "right_kind_for_use",
    "registered_to_owner",
    "marked_outside",
    "mark_shows_number",
    "serial_form",
    "serial_on_right_certificate",
)
_NOT_REGISTERED_HERE = (Way.NONE, Way.RECOGNITION)
_COUNTED = ("day", "month", "year")
_TURNOVER, _HORIZON = Decimal("0.5"), 6
"""For the short comparison at the end of an organization's answer: one who leaves every other year, over six years."""
_NO_WAY = {"can't say": "cant_say", "not the owner": "not_the_owner", "not eligible": "not_eligible"}
UNNAMED = ("owner", "the true owner")
"""The names of an owner of whom only the kind was told."""
_GOOD = ("must_be_registered", "registration_in_term", "right_kind_for_use", "registered_to_owner")


class Other(NamedTuple):
    """A way beside the one that fits: open too, shut or not known, and why, with the sections."""

    way: Way
    verdict: Verdict
    says: str
    do: str
    cites: str
    missing: str


class Ready(NamedTuple):
    """One thing the application asks for, and what is on file of it (None: nothing)."""

    item: str
    held: str | None


class Cost(NamedTuple):
    """The fee in USD, for how many years, and the reading it rests on."""

    usd: Decimal
    years: int
    cites: str
    confidence: str
    hearsay: str


class Dates(NamedTuple):
    """Were it issued on the day asked about: when it would end, and between which days it can be renewed."""

    issued: date
    ends: date
    renew_from: date | None
    renew_to: date


@dataclass(frozen=True, slots=True)
class Asked:
    """The whole answer for one aircraft."""

    ways: Ways
    way: Way | None
    title: str
    because: str
    holding: frozenset[str]
    registered_well: bool
    term: str
    others: tuple[Other, ...]
    steps: tuple[AskStep, ...]
    ready: tuple[Ready, ...]
    ready_cites: str
    cost: Cost | None
    dates: Dates | None
    guidance: tuple[Line, ...]
    carry: tuple[Line, ...]
    changes: tuple[Change, ...]
    cautions: tuple[Line, ...]
    missing: tuple[Question, ...]
    silent: tuple[Used, ...]
    against: tuple[Finding, ...]
    whose: WhoseName | None


@dataclass(frozen=True, slots=True)
class AskAnswer:
    """The answers for every aircraft, flight and incident of the state, with the report of all findings.

    `idle` are the facts told that changed nothing.
    """

    report: Report
    aircraft: tuple[Asked, ...]
    events: tuple[Event, ...] = ()
    idle: tuple[Idle, ...] = ()

    @property
    def verdict(self) -> Verdict:
        """Not met when a counted clause is not, no way is open or an event breaks a rule; unknown on any gap; else met."""
        free = {one.ways.subject for one in self.aircraft if one.way in _NOT_REGISTERED_HERE}
        owners = {_owner_of(self.report.state, subject) for subject in free}
        needless = [f for f in self.report.counted if f.subject in owners or _of_papers(f, free)]
        verdicts = {finding.verdict for finding in self.report.counted if finding not in needless}
        verdicts |= {one.ways.decision.verdict for one in self.aircraft}
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
        return AskAnswer(report, (_asked(aircraft, report),))
    told = events_told(state)
    findings, owed = _judged(state, _told_of(state, told))
    report = Report("ask", state, tuple(owed), tuple(findings), tuple(problems), tuple(sources))
    asked = tuple(_asked(subject, report) for subject in state.subjects("aircraft"))
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


def _check_day(state: State) -> None:
    if day_of(state.on) < FIRST_DAY:
        raise UsageError(
            f"{day_of(state.on)} is before {FIRST_DAY}", where="--on", do="ask about a later day"
        )


def concerned(state: State, aircraft: str) -> tuple[str, ...]:
    """The aircraft, the registration it stands under and its owner."""
    number, owner = value(state, aircraft, REGISTRATION), _owner_of(state, aircraft)
    registration = None if number is None else f"registration/{number}"
    return tuple(subject for subject in (aircraft, registration, owner) if subject is not None)


def _told_of(state: State, events: Iterable[str]) -> tuple[str, ...]:
    """Every subject on file; an owner an aircraft points at is a subject too, and so is what a flight points at.

    A flight of which only the purpose is told is no flight to judge: it says what the aircraft is for.
    """
    told = tuple(events)
    subjects = dict.fromkeys(s for s in state.held if not s.startswith("flight/") or s in told)
    for name in state.subjects("aircraft"):
        owner = _owner_of(state, name)
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


def _asked(subject: str, report: Report) -> Asked:
    state, day = report.state, day_of(report.on)
    ways = ways_of(state, subject)
    way = ways.decision.way
    mine = [f for f in report.findings if f.subject in (subject, _owner_of(state, subject))]
    holding = what_holds(ways, way or ways.decision.sure, state, mine)
    well = _registered_well(mine, report)
    told = way or ways.decision.sure
    law = Law(day)
    ready = law[FILING_DATA] if told in (*PART_48, Way.RECOGNITION) else ()
    return Asked(
        ways,
        way,
        _title(ways),
        _because(ways, state),
        holding,
        well,
        _term(mine, state) if well else "",
        _others(ways, state),
        () if told is None or well else steps_of(told, holding, day),
        () if well else tuple(Ready(item, _held_of(item, subject, state)) for item in ready),
        law.used[-1].span.cites if ready else "",
        _cost(told, law),
        None if told is None or well else _dates(told, state),
        tuple(_guidance(law)) if told is Way.PART_47 else (),
        lines_of("carry", "what", holding, day),
        changes_of(ways, state),
        lines_of("cautions", "says", holding, day),
        _missing(ways, mine, state),
        _silent(ways, state),
        _against(mine, ways, report),
        whose_name(1, _TURNOVER, _HORIZON, day) if _is_of_an_organization(told, holding) else None,
    )


def _is_of_an_organization(way: Way | None, holding: frozenset[str]) -> bool:
    return "organization" in holding and way in (Way.ORGANIZATION, Way.PART_47)


def _owner_of(state: State, subject: str) -> str | None:
    owner = value(state, subject, OWNER)
    return None if owner is None else f"owner/{owner}"


def _title(ways: Ways) -> str:
    decision, titles = ways.decision, words()["titles"]
    if decision.way is None:
        return str(titles[_NO_WAY[_why_no_way(ways)]])
    if decision.verdict is Verdict.UNKNOWN:
        return str(titles["only_one_left"]).format(way=decision.way.value)
    return decision.way.value


def _why_no_way(ways: Ways) -> str:
    """Why no way can be named: several are possible, the one asking is no owner, or none is open to the owner."""
    if ways.decision.verdict is Verdict.UNKNOWN:
        return "can't say"
    leased = ways.findings[Way.PART_47].outcome.code == "lessee"
    return "not the owner" if leased else "not eligible"


def _because(ways: Ways, state: State) -> str:
    """Why that way: what it says where that is more than that it is open, and what the way means."""
    table, decision = words()["ways"], ways.decision
    if decision.way is None:
        means = str(table[_why_no_way(ways)]["means"])
        if not decision.left:
            return means
        return f"{means}; {decision.left[0].value}: {wording.worded(ways.findings[decision.left[0]], state).says}"
    finding = ways.findings[decision.way]
    means = str(table[decision.way.value]["means"])
    if finding.outcome.code == "way_open":
        return means
    return f"{wording.worded(finding, state).says}; {means}"


def _registered_well(findings: Iterable[Finding], report: Report) -> bool:
    """Whether it stands on a certificate already that nothing speaks against."""
    good = [f for f in findings if f.rule.name in _GOOD and counts(f, report.state)]
    return bool(good) and all(f.verdict is Verdict.MET for f in good)


def _term(findings: Iterable[Finding], state: State) -> str:
    """How long the registration it stands on runs, and when to renew it."""
    for finding in findings:
        if finding.rule.name == "registration_in_term":
            told = wording.worded(finding, state)
            return f"{told.says}; {told.do}" if told.do else told.says
    return ""


def _others(ways: Ways, state: State) -> tuple[Other, ...]:
    found = []
    for way, finding in ways.findings.items():
        if way is ways.decision.way:
            continue
        told = wording.worded(finding, state)
        gap = wording.missing_fact(finding, state)
        cites = finding.law[-1].span.cites if finding.law else ""
        found.append(
            Other(way, finding.verdict, told.says, told.do, cites, "" if gap is None else gap.key.name)
        )
    return tuple(found)


def _held_of(item: str, subject: str, state: State) -> str | None:
    owner: str | None = value(state, subject, OWNER)
    if item.startswith("name of the owner"):
        return None if owner in UNNAMED else owner
    if item.startswith("authorized representative"):
        kind = None if owner is None else value(state, f"owner/{owner}", OWNER_KIND)
        return "not needed: the owner is a person" if kind is OwnerKind.PERSON else None
    keys: tuple[Key[Any], ...] = (MAKER, MODEL) if item.startswith("maker") else ()
    keys = (REMOTE_ID_SERIAL,) if item.startswith("Remote ID serial") else keys
    told = " ".join(str(value(state, subject, key)) for key in keys if value(state, subject, key) is not None)
    return told or None


def _cost(way: Way | None, law: Law) -> Cost | None:
    if way in PART_48:
        price = price_of_certificate(law)
        span = law.used[-2].span
        return Cost(price.usd, price.years, span.cites, span.confidence, hearsay(span.had))
    if way is Way.PART_47:
        usd, years = law[PART_47_FEE_USD], law[PART_47_TERM_YEARS]
        span = law.used[-2].span
        return Cost(usd, years, span.cites, span.confidence, hearsay(span.had))
    return None


def _dates(way: Way, state: State) -> Dates | None:
    """The term of a certificate issued on the day asked about, by the rules of terms."""
    kind = _WAY_IN_REGISTER.get(way)
    if kind is None:
        return None
    day = day_of(state.on)
    made: dict[Key[Any], Held] = {REGISTRATION_KIND: Held(kind), ISSUED_ON: Held(day)}
    new = Facts(with_held(state, {"registration/(new)": made}), "registration/(new)")
    law = Law(day)
    try:
        if kind is RegistrationKind.PART_47:
            ends = part_47_term(new, law).expiry
            return Dates(day, ends, None, ends)
        ends = part_48_term(new, law).expiry
        opens = first_of_month_before(ends, law[WINDOW_MONTHS])
    except Undecided:
        return None
    return Dates(day, ends, opens, first_of_month_before(ends, 0) - timedelta(days=1))


def _guidance(law: Law) -> Iterable[Line]:
    """What to know of the paper way, as read."""
    terms = (PART_47_TERM_YEARS, PART_47_TEMPORARY_MONTHS, PENDING_RENEWAL)
    for param in (*GUIDANCE, *terms):
        line = reading_line(param, law)
        if line is not None:
            yield line
    span = law.span(PART_47_TERM_YEARS)
    if span.start > FIRST_DAY:
        says = f"certificates in force on {span.start} were stretched to {span.value} years from their issue"
        yield Line(says, span.cites, span.confidence, hearsay(span.had))


def reading_line(param: Param[Any], law: Law) -> Line | None:
    """A parameter of the day as a line: title, value, section, confidence; None where the law of the day was not read."""
    try:
        held = law[param]
    except Undecided:
        return None
    span = law.used[-1].span
    shown = "; ".join(held) if isinstance(held, tuple) else wording.shown(held)
    unit = f" {param.unit}" + ("s" if param.unit in _COUNTED and held != 1 else "") if param.unit else ""
    edge = " (the text leaves a question open)" if span.open_edge else ""
    return Line(f"{param.title}: {shown}{unit}{edge}", span.cites, span.confidence, hearsay(span.had))


def _missing(ways: Ways, mine: Sequence[Finding], state: State) -> tuple[Question, ...]:
    """The questions that stand open: of the ways not shut first, then of the duties."""
    if ways.decision.verdict is Verdict.NOT_MET:
        return ()
    open_ways = [f for f in ways.findings.values() if f.verdict is Verdict.UNKNOWN]
    if ways.decision.verdict is Verdict.MET:
        open_ways = []
    later = () if value(state, ways.subject, IS_REGISTERED) else _ONCE_REGISTERED
    duties = [
        f
        for f in mine
        if f.rule.bears is Bears.FLIGHT and f.use in (None, ways.use) and f.rule.name not in later
    ]
    found: dict[tuple[str, str], Question] = {}
    for finding in (*open_ways, *duties):
        used = wording.missing_fact(finding, state)
        if used is None or (ways.decision.way is Way.NONE and finding.rule.about == "owner"):
            continue
        question = question_of((used.subject, used.key), finding, day_of(state.on))
        found.setdefault((used.subject, used.key.name), question)
    return tuple(found.values())


def _silent(ways: Ways, state: State) -> tuple[Used, ...]:
    """Facts nobody stated that were read as "not so" for the way."""
    decided = (
        f for way, f in ways.findings.items() if ways.decision.way in (None, way) or f.verdict is Verdict.MET
    )
    quiet = (used for finding in decided for used in wording.silences(finding, state))
    plain = (used for used in quiet if used.key.kind is bool or issubclass(used.key.kind, StrEnum))
    return tuple(dict.fromkeys(plain))


def _against(mine: Sequence[Finding], ways: Ways, report: Report) -> tuple[Finding, ...]:
    """What is not met or stays open today for the use stated, missing facts apart."""
    found = [
        f
        for f in mine
        if f.rule.bears in (Bears.FLIGHT, Bears.PAPERS)
        and counts(f, report.state)
        and f.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN)
        and f.outcome.why is not Why.MISSING
    ]
    way = ways.decision.way
    if way is Way.NONE:
        return tuple(f for f in found if f.rule.name == "operating_rules")
    needless = "owner" if way is Way.RECOGNITION else ""
    return tuple(f for f in found if f.use in (None, ways.use) and f.rule.about != needless)
