"""Which way must this aircraft be registered, why not another, what to do in which order, and what would change it."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from decimal import Decimal
from enum import StrEnum
from typing import Any, NamedTuple

from airwrit.answers.asking.alternatives import Alternative, changes_of
from airwrit.answers.asking.gone import AircraftGone, gone_of, holds_of_holder
from airwrit.answers.asking.kind import is_kind_open, put_by_form
from airwrit.answers.asking.questions import Prompt, question_of
from airwrit.answers.asking.steps import (
    PART_48,
    AnswerLine,
    AskStep,
    lines_of,
    steps_of,
    steps_of_gone,
    what_holds,
    words,
)
from airwrit.answers.registration.way import Ways, ways_of
from airwrit.answers.registration.whose_name import WhoseName, obeying, whose_name
from airwrit.answers.registration.whose_ways import (
    AIRCRAFT_IF_LEFT_OUT,
    TURNOVER_IF_LEFT_OUT,
    YEARS_IF_LEFT_OUT,
    not_available,
)
from airwrit.answers.standing.report import Report, counts
from airwrit.base.days import day_of, first_of_month_before
from airwrit.base.verdict import Undecided, Verdict, Why
from airwrit.facts.choices import ApplicationPart, OwnerKind, RegistrationKind, words_of
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import IS_REGISTERED, MAKER, MODEL, OWNER, REGISTRATION, REMOTE_ID_SERIAL
from airwrit.facts.keys.registration import CANCELLED_ON, ISSUED_ON, OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.looks import Used
from airwrit.facts.state import Facts, Held, State, value_held, with_held
from airwrit.law import wording
from airwrit.law.aircraft.duty import FILING_DATA, PART_47_TEMPORARY_MONTHS, RIGHT_KIND_FOR_USE_RULE
from airwrit.law.aircraft.filings import CANCEL_REGISTRATION_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.marking import MARK_SHOWS_NUMBER_RULE, MARKED_OUTSIDE_RULE
from airwrit.law.aircraft.remote_id import SERIAL_FORM_RULE, SERIAL_ON_RIGHT_CERTIFICATE_RULE
from airwrit.law.aircraft.renewal import (
    PART_47_TERM_YEARS,
    PENDING_RENEWAL,
    REGISTRATION_IN_TERM_RULE,
    WINDOW_MONTHS,
    part_47_term,
    part_48_term,
    price_of_certificate,
)
from airwrit.law.flight.other_law import OPERATING_RULES_RULE
from airwrit.law.holder.owner import REGISTERED_TO_OWNER_RULE
from airwrit.law.holder.ways import RegistrationWay
from airwrit.law.parameters import FIRST_DAY, Law, Param, hearsay
from airwrit.law.rule import Bears, Finding
from airwrit.law.shared_parameters import GUIDANCE, PART_47_FEE_USD

_WAY_IN_REGISTER = {
    RegistrationWay.RECREATIONAL: RegistrationKind.RECREATIONAL,
    RegistrationWay.PERSON: RegistrationKind.PER_AIRCRAFT,
    RegistrationWay.ORGANIZATION: RegistrationKind.PER_AIRCRAFT,
    RegistrationWay.PART_47: RegistrationKind.PART_47,
}
_ONCE_REGISTERED = (
    REGISTRATION_IN_TERM_RULE,
    RIGHT_KIND_FOR_USE_RULE,
    REGISTERED_TO_OWNER_RULE,
    MARKED_OUTSIDE_RULE,
    MARK_SHOWS_NUMBER_RULE,
    SERIAL_FORM_RULE,
    SERIAL_ON_RIGHT_CERTIFICATE_RULE,
)
NOT_REGISTERED_HERE = (RegistrationWay.NONE, RegistrationWay.RECOGNITION)
_COUNTED = ("day", "month", "year")
_NO_WAY = {"can't tell yet": "cant_say", "not the owner": "not_the_owner", "not eligible": "not_eligible"}
UNNAMED = ("owner", "the true owner")
"""The names of an owner of whom only the kind was told."""
_GOOD = (
    MUST_BE_REGISTERED_RULE,
    REGISTRATION_IN_TERM_RULE,
    RIGHT_KIND_FOR_USE_RULE,
    REGISTERED_TO_OWNER_RULE,
)


class Other(NamedTuple):
    """A way beside the one that fits: open too, shut or not known, and why, with the sections."""

    way: RegistrationWay
    verdict: Verdict
    says: str
    do: str
    cites: str
    missing: str


class Ready(NamedTuple):
    """One thing the application asks for, and what is on file of it (None: nothing)."""

    item: ApplicationPart
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
class AircraftAnswer:
    """The whole answer for one aircraft."""

    ways: Ways
    way: RegistrationWay | None
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
    guidance: tuple[AnswerLine, ...]
    carry: tuple[AnswerLine, ...]
    changes: tuple[Alternative, ...]
    cautions: tuple[AnswerLine, ...]
    missing: tuple[Prompt, ...]
    silent: tuple[Used, ...]
    against: tuple[Finding, ...]
    whose: WhoseName | None
    gone: AircraftGone | None = None

    @property
    def verdict(self) -> Verdict:
        """That of the way; of an aircraft that is gone, that of canceling its registration."""
        return self.ways.decision.verdict if self.gone is None else self.gone.outcome.verdict

    @property
    def sure(self) -> RegistrationWay | None:
        """A way that is open whatever the missing facts turn out to be, while none can be named."""
        return self.ways.decision.sure if self.way is None and self.gone is None else None


def asked_of(subject: str, report: Report) -> AircraftAnswer:
    """The answer for one aircraft, by the findings of a report."""
    state, day = report.state, day_of(report.on)
    ways = ways_of(state, subject)
    mine = [f for f in report.findings if f.subject in (subject, owner_of(state, subject))]
    gone = gone_of(state, subject, mine)
    if gone is not None:
        return _asked_gone(gone, ways, mine, report)
    way = ways.decision.way
    told = way or ways.decision.sure
    holding = what_holds(ways, told, state, mine) | holds_of_holder(state, subject)
    well = _registered_well(mine, report)
    law = Law(day)
    ready = law[FILING_DATA] if told in (*PART_48, RegistrationWay.RECOGNITION) else ()
    return AircraftAnswer(
        ways,
        way,
        _title(ways),
        _because(ways, state),
        holding,
        well,
        _term(mine, state) if well else "",
        _others(ways, state),
        () if told is None or well else steps_of(told, holding, day),
        ()
        if well
        else tuple(Ready(part, _held_of(part, subject, state)) for part in map(ApplicationPart, ready)),
        law.used[-1].span.cites if ready else "",
        _cost(told, law),
        None if told is None or well else _dates(told, state),
        tuple(_guidance(law)) if told is RegistrationWay.PART_47 else (),
        lines_of("carry", "what", holding, day),
        changes_of(ways, state),
        lines_of("cautions", "says", holding, day),
        _missing(ways, mine, state),
        _silent(ways, state),
        _against(mine, ways, report),
        _whose(ways, state) if _is_of_an_organization(told, holding) else None,
    )


def _asked_gone(gone: AircraftGone, ways: Ways, mine: Sequence[Finding], report: Report) -> AircraftAnswer:
    """The answer for an aircraft that was sold, destroyed, exported or lost: what is left to do of its registration."""
    state, day = report.state, day_of(report.on)
    steps = steps_of_gone(gone.holding, day)
    canceling = [f for f in mine if f.rule is CANCEL_REGISTRATION_RULE]
    missing = _missing_when_gone(gone, canceling, state)
    against = tuple(f for f in canceling if counts(f, state) and f.verdict is Verdict.NOT_MET)
    nothing: tuple[()] = ()
    return AircraftAnswer(
        *(
            ways,
            None,
            gone.title,
            gone.because,
            gone.holding,
            False,
            "",
            nothing,
            steps,
            nothing,
            "",
            None,
            None,
        ),
        *(nothing, nothing, nothing, nothing, missing, nothing, against, None, gone),
    )


def _missing_when_gone(gone: AircraftGone, canceling: Sequence[Finding], state: State) -> tuple[Prompt, ...]:
    """What has to be told of the registration of an aircraft that is gone: its number, kind, and canceling."""
    if not canceling or gone.holding & {"canceled", "unregistered"}:
        return ()
    aircraft = canceling[0].subject
    number = value_held(state, aircraft, REGISTRATION)
    places: list[tuple[str, Key[Any]]] = [(aircraft, IS_REGISTERED), (aircraft, REGISTRATION)]
    if number is not None:
        kind = (REGISTRATION_KIND,) if is_kind_open(state, number) else ()
        places += [(f"registration/{number}", key) for key in (*kind, CANCELLED_ON)]
    open_ = [p for p in places if p[1] is REGISTRATION_KIND or value_held(state, *p) is None]
    return tuple(put_by_form(question_of(place, canceling[0], day_of(state.on)), state) for place in open_)


def _whose(ways: Ways, state: State) -> WhoseName:
    """The short comparison, which obeys the ways that are not available to this aircraft."""
    found = whose_name(AIRCRAFT_IF_LEFT_OUT, TURNOVER_IF_LEFT_OUT, YEARS_IF_LEFT_OUT, day_of(state.on))
    return obeying(found, not_available(ways, state))


def _is_of_an_organization(way: RegistrationWay | None, holding: frozenset[str]) -> bool:
    return "organization" in holding and way in (RegistrationWay.ORGANIZATION, RegistrationWay.PART_47)


def owner_of(state: State, subject: str) -> str | None:
    """The owner an aircraft points at."""
    owner = value_held(state, subject, OWNER)
    return None if owner is None else f"owner/{owner}"


def _title(ways: Ways) -> str:
    decision, titles = ways.decision, words()["titles"]
    if decision.way is None:
        return str(titles[_NO_WAY[_why_no_way(ways)]])
    if decision.waits_for_filer:
        return str(titles["once_filed"]).format(way=decision.way.words)
    if decision.verdict is Verdict.UNKNOWN:
        return str(titles["only_one_left"]).format(way=decision.way.words)
    return decision.way.words


def _why_no_way(ways: Ways) -> str:
    """Why no way can be named: several are possible, the one asking is no owner, or none is open to the owner."""
    if ways.decision.verdict is Verdict.UNKNOWN:
        return "can't tell yet"
    leased = ways.findings[RegistrationWay.PART_47].outcome.code == "lessee"
    return "not the owner" if leased else "not eligible"


def _because(ways: Ways, state: State) -> str:
    """Why that way: what it says where that is more than that it is open, and what the way means."""
    table, decision = words()["ways"], ways.decision
    if decision.way is None:
        means = str(table[_why_no_way(ways)]["means"])
        if not decision.left:
            return means
        return (
            f"{means} {decision.left[0].value}: {wording.worded(ways.findings[decision.left[0]], state).says}"
        )
    finding = ways.findings[decision.way]
    means = str(table[decision.way.value]["means"])
    if decision.waits_for_filer:
        return f"{means} {table['filer']['means']}"
    if finding.outcome.code == "way_open":
        return means
    return f"{wording.worded(finding, state).says} {means}"


def _registered_well(findings: Iterable[Finding], report: Report) -> bool:
    """Whether it stands on a certificate already that nothing speaks against."""
    good = [f for f in findings if f.rule in _GOOD and counts(f, report.state)]
    return bool(good) and all(f.verdict is Verdict.MET for f in good)


def _term(findings: Iterable[Finding], state: State) -> str:
    """How long the registration it stands on runs, and when to renew it."""
    for finding in findings:
        if finding.rule is REGISTRATION_IN_TERM_RULE:
            told = wording.worded(finding, state)
            return f"{told.says} {told.do}".rstrip()
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


_KEYS_OF_PART: dict[ApplicationPart, tuple[Key[Any], ...]] = {
    ApplicationPart.MAKER_AND_MODEL: (MAKER, MODEL),
    ApplicationPart.REMOTE_ID_SERIAL: (REMOTE_ID_SERIAL,),
}


def _held_of(part: ApplicationPart, subject: str, state: State) -> str | None:
    owner: str | None = value_held(state, subject, OWNER)
    if part is ApplicationPart.OWNER:
        return None if owner in UNNAMED else owner
    if part is ApplicationPart.REPRESENTATIVE:
        kind = None if owner is None else value_held(state, f"owner/{owner}", OWNER_KIND)
        return "not needed, because the owner is a person" if kind is OwnerKind.PERSON else None
    keys = _KEYS_OF_PART.get(part, ())
    told = " ".join(
        str(value_held(state, subject, key)) for key in keys if value_held(state, subject, key) is not None
    )
    return told or None


def _cost(way: RegistrationWay | None, law: Law) -> Cost | None:
    if way in PART_48:
        price = price_of_certificate(law)
        span = law.used[-2].span
        return Cost(price.usd, price.years, span.cites, span.confidence, hearsay(span.had))
    if way is RegistrationWay.PART_47:
        usd, years = law[PART_47_FEE_USD], law[PART_47_TERM_YEARS]
        span = law.used[-2].span
        return Cost(usd, years, span.cites, span.confidence, hearsay(span.had))
    return None


def _dates(way: RegistrationWay, state: State) -> Dates | None:
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


def _guidance(law: Law) -> Iterable[AnswerLine]:
    """What to know of the paper way, as read."""
    terms = (PART_47_TERM_YEARS, PART_47_TEMPORARY_MONTHS, PENDING_RENEWAL)
    for param in (*GUIDANCE, *terms):
        line = reading_line(param, law)
        if line is not None:
            yield line
    span = law.span(PART_47_TERM_YEARS)
    if span.start > FIRST_DAY:
        says = f"certificates in force on {span.start} were stretched to {span.value} years from their issue"
        yield AnswerLine(says, span.cites, span.confidence, hearsay(span.had))


def reading_line(param: Param[Any], law: Law) -> AnswerLine | None:
    """A parameter of the day as a line: title, value, section, confidence; None where the law of the day was not read."""
    try:
        held = law[param]
    except Undecided:
        return None
    span = law.used[-1].span
    shown = "; ".join(map(words_of, held)) if isinstance(held, tuple) else wording.shown(held)
    unit = f" {param.unit}" + ("s" if param.unit in _COUNTED and held != 1 else "") if param.unit else ""
    edge = " (the text isn't clear)" if span.open_edge else ""
    return AnswerLine(f"{param.title}: {shown}{unit}{edge}", span.cites, span.confidence, hearsay(span.had))


def _missing(ways: Ways, mine: Sequence[Finding], state: State) -> tuple[Prompt, ...]:
    """The questions that stand open: of the ways not shut first, then of the duties."""
    if ways.decision.verdict is Verdict.NOT_MET:
        return ()
    open_ways = [f for f in ways.findings.values() if f.verdict is Verdict.UNKNOWN]
    if ways.decision.verdict is Verdict.MET:
        open_ways = []
    later = () if value_held(state, ways.subject, IS_REGISTERED) else _ONCE_REGISTERED
    duties = [
        f for f in mine if f.rule.bears is Bears.FLIGHT and f.use in (None, ways.use) and f.rule not in later
    ]
    found: dict[tuple[str, str], Prompt] = {}
    for finding in (*open_ways, *duties):
        used = wording.missing_fact(finding, state)
        if used is None or (ways.decision.way is RegistrationWay.NONE and finding.rule.about == "owner"):
            continue
        question = put_by_form(question_of((used.subject, used.key), finding, day_of(state.on)), state)
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
    if way is RegistrationWay.NONE:
        return tuple(f for f in found if f.rule is OPERATING_RULES_RULE)
    needless = "owner" if way is RegistrationWay.RECOGNITION else ""
    return tuple(f for f in found if f.use in (None, ways.use) and f.rule.about != needless)
