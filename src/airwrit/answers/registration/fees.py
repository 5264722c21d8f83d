"""What the fleet's Part 48 certificates cost over one term: each certificate once, and whose cost is not known here."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from enum import StrEnum
from typing import NamedTuple, TypeVar

from airwrit.answers.document import Json
from airwrit.answers.standing.headline import SubjectStanding
from airwrit.answers.standing.report import declared_uses, is_gone
from airwrit.answers.standing.standing import Standing
from airwrit.base.days import day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import OwnerKind, RegistrationKind, UsedFor
from airwrit.facts.keys.aircraft import OWNER, REGISTRATION
from airwrit.facts.keys.registration import OWNER_KIND, REGISTRATION_KIND
from airwrit.facts.state import State, value_held
from airwrit.facts.vocabulary import kind_of, subject_named
from airwrit.law.aircraft.duty import PART_48_PATH_RULE, RIGHT_KIND_FOR_USE_RULE
from airwrit.law.aircraft.in_force import MUST_BE_REGISTERED_RULE
from airwrit.law.aircraft.renewal import REGISTRATION_IN_TERM_RULE, price_of_certificate
from airwrit.law.parameters import Law, LawReading
from airwrit.law.rule import Finding, Rule, judge
from airwrit.law.wording import worded

T = TypeVar("T")

PART_47_FEES = "Part 47 has its own fees, which we don't check"
_HELD_BY = (MUST_BE_REGISTERED_RULE, REGISTRATION_IN_TERM_RULE)


class FeeReason(StrEnum):
    """What the fee is paid for."""

    RENEW = "renew"
    REGISTER = "register"
    UNKNOWN = "unknown"


class Fee(NamedTuple):
    """One certificate needed: its kind, the aircraft under it, and what to do by when; no day: before the next flight."""

    kind: RegistrationKind
    subjects: tuple[str, ...]
    act: FeeReason
    by: date | None
    usd: Decimal


class Uncounted(NamedTuple):
    """An aircraft that adds nothing to the sum, and why; `unknown` where that is for want of a fact."""

    subject: str
    unknown: bool
    why: str


class Fees(NamedTuple):
    """The fees of one term from the day on, the years of a term, and the law read."""

    fees: tuple[Fee, ...]
    uncounted: tuple[Uncounted, ...]
    years: int
    law: tuple[LawReading, ...]

    @property
    def total_usd(self) -> Decimal:
        """The sum over the term."""
        return sum((fee.usd for fee in self.fees), Decimal(0))

    @property
    def complete(self) -> bool:
        """Whether no fact was wanting."""
        return not any(one.unknown for one in self.uncounted)


def fees_of(standing: Standing) -> Fees:
    """The fees of a fleet: within one term every certificate is renewed, or had anew, exactly once."""
    state = standing.report.state
    law = Law(day_of(state.on))
    price = price_of_certificate(law)
    over: dict[tuple[RegistrationKind, str], list[SubjectStanding]] = {}
    uncounted = []
    for row in standing.rows:
        if kind_of(row.subject) != "aircraft":
            continue
        needed = certificate_needed(row, state)
        if isinstance(needed, Uncounted):
            uncounted.append(needed)
        elif needed[0] is RegistrationKind.PART_47:
            uncounted.append(Uncounted(row.subject, False, PART_47_FEES))
        else:
            over.setdefault(needed, []).append(row)
    fees = []
    for (kind, _), rows in over.items():
        act, by = _act_of(rows, state)
        fees.append(Fee(kind, tuple(row.subject for row in rows), act, by, price.usd))
    return Fees(tuple(fees), tuple(uncounted), price.years, tuple(law.used))


def fee_for(standing: Standing, row: SubjectStanding) -> Fee | None:
    """The fee of the certificate that one aircraft stands under, or needs; None where none is counted here.

    It is the same that `fees_of` counts: a recreational certificate with all the aircraft of its owner that need it.
    """
    state = standing.report.state
    needed = certificate_needed(row, state)
    if isinstance(needed, Uncounted) or needed[0] is RegistrationKind.PART_47:
        return None
    rows = [row]
    if needed[0] is RegistrationKind.RECREATIONAL:
        owned = set(state.holding(OWNER, needed[1]))
        rows = [
            one for one in standing.rows if one.subject in owned and certificate_needed(one, state) == needed
        ]
    act, by = _act_of(rows, state)
    usd = price_of_certificate(Law(day_of(state.on))).usd
    return Fee(needed[0], tuple(one.subject for one in rows), act, by, usd)


def certificate_needed(row: SubjectStanding, state: State) -> tuple[RegistrationKind, str] | Uncounted:
    """The certificate an aircraft needs: its kind and whom it is for; or why none is needed, or none can be told."""
    uses = declared_uses(state, row.subject)
    if not uses:
        return Uncounted(row.subject, True, "what it's flown for isn't on file")
    duty = _findings(MUST_BE_REGISTERED_RULE, row, state)
    free = next((f for f in duty if is_gone(f)), None)
    if free is None and all(f.verdict is Verdict.NOT_APPLICABLE for f in duty):
        free = duty[0]
    if free is not None:
        return Uncounted(row.subject, False, worded(free, state).says)
    number = value_held(state, row.subject, REGISTRATION)
    held = (
        None
        if number is None
        else value_held(state, subject_named("registration", number), REGISTRATION_KIND)
    )
    path = judge(PART_48_PATH_RULE, state, row.subject, uses[0], day_of(state.on))
    if held is RegistrationKind.PART_47 or path.verdict is Verdict.NOT_MET:
        return RegistrationKind.PART_47, row.subject
    if uses != (UsedFor.RECREATION,) or held is RegistrationKind.PER_AIRCRAFT:
        return RegistrationKind.PER_AIRCRAFT, row.subject
    return _for_recreation(row.subject, state)


def _for_recreation(subject: str, state: State) -> tuple[RegistrationKind, str] | Uncounted:
    """One certificate covers all that a person flies for recreation alone; nobody else may have such a certificate."""
    owner = value_held(state, subject, OWNER)
    if owner is None:
        return Uncounted(subject, True, "its owner isn't on file")
    kind = value_held(state, subject_named("owner", owner), OWNER_KIND)
    if kind is None:
        return Uncounted(subject, True, "the kind of owner isn't on file")
    if kind is OwnerKind.PERSON:
        return RegistrationKind.RECREATIONAL, owner
    return RegistrationKind.PER_AIRCRAFT, subject


def _act_of(rows: list[SubjectStanding], state: State) -> tuple[FeeReason, date | None]:
    """What is done for a certificate and by when: renewed where one of its aircraft stands on a good one."""
    acts = [_act(row, state) for row in rows]
    renewals = [by for act, by in acts if act is FeeReason.RENEW and by is not None]
    if renewals:
        return FeeReason.RENEW, min(renewals)
    return (
        FeeReason.REGISTER if any(act is FeeReason.REGISTER for act, _ in acts) else FeeReason.UNKNOWN
    ), None


def _act(row: SubjectStanding, state: State) -> tuple[FeeReason, date | None]:
    held = [f.verdict for rule in _HELD_BY for f in _findings(rule, row, state)]
    kind = [f.verdict for f in _findings(RIGHT_KIND_FOR_USE_RULE, row, state)]
    if Verdict.NOT_MET in (*held, *kind):
        return FeeReason.REGISTER, None
    if Verdict.UNKNOWN in held:
        return FeeReason.UNKNOWN, None
    return FeeReason.RENEW, next(f.outcome.due_on for f in _findings(REGISTRATION_IN_TERM_RULE, row, state))


def _findings(rule: Rule, row: SubjectStanding, state: State) -> list[Finding]:
    """What a rule found of the aircraft, for the uses stated."""
    uses = declared_uses(state, row.subject)
    return [
        finding
        for finding in row.findings
        if finding.rule is rule and finding.subject == row.subject and finding.use in (None, *uses)
    ]


def fees_json(fees: Fees) -> Json:
    """The fees as part of a document."""
    spans = dict.fromkeys(reading.span for reading in fees.law)
    return {
        "years": fees.years,
        "total_usd": format(fees.total_usd, "f"),
        "complete": fees.complete,
        "certificates": [
            {
                "kind": fee.kind.value,
                "subjects": list(fee.subjects),
                "act": fee.act.value,
                "by": None if fee.by is None else fee.by.isoformat(),
                "usd": format(fee.usd, "f"),
            }
            for fee in fees.fees
        ],
        "uncounted": [one._asdict() for one in fees.uncounted],
        "cites": "; ".join(dict.fromkeys(span.cites for span in spans)),
        "law_text_of": [str(span.text_of) for span in spans],
        "law_read_on": [span.read_on.isoformat() for span in spans],
    }
