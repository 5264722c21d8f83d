"""The term of a registration, its price, its renewal: 14 CFR 48.30, 48.100(c), 48.105, 47.40; 49 USC 44103(e)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, timedelta
from decimal import Decimal
from typing import NamedTuple, TypeVar

from airwrit.base.days import add_years, day_of, end_of_calendar_months, first_of_month_before
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why, days_left
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.aircraft import FOREIGN_REGISTRY, IS_REGISTERED, REGISTRATION
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.registration import (
    EXPIRES_ON,
    ISSUED_ON,
    REGISTRATION_KIND,
    RENEWAL_FILED_ON,
    RENEWED_ON,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import (
    ending_of,
    happened,
    is_part_47,
    kind_of,
    lost_and_not_cancelled,
    why_no_duty,
)
from airwrit.law.parameters import Law, Param, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_met, unknown
from airwrit.law.shared_parameters import FEE_USD, TERM_YEARS


class Price(NamedTuple):
    """The fee of one certificate in USD and the years it buys."""

    usd: Decimal
    years: int


def price_of_certificate(law: Law) -> Price:
    """The price of a Part 48 certificate, new or renewed. Undecided before the law was read."""
    return Price(law[FEE_USD], law[TERM_YEARS])


T = TypeVar("T")

RECREATIONAL_TERM_YEARS = parameter("recreational_term_years", int)
WINDOW_MONTHS = parameter("renewal_window_months", int)
RENEWAL_FROM_EXPIRY = parameter("renewal_counts_from_expiry", bool)
EARLY_RECREATIONAL_EXPIRY = parameter("early_recreational_expiry", date)
EARLY_RECREATIONAL_BEFORE = parameter("early_recreational_issued_before", date)
PART_47_TERM_YEARS = parameter("part_47_term_years", int)
PART_47_WINDOW_MONTHS = parameter("part_47_renewal_window_months", int)
PART_47_RENEWAL_BEFORE_END = parameter("part_47_renewal_before_end", bool)
PENDING_RENEWAL = parameter("part_47_pending_renewal_allowance", bool)


class Window(NamedTuple):
    """The first and the last day on which a renewal may be filed for sure."""

    opens: date
    closes: date


def window_before(expiry: date, law: Law) -> Window:
    """The renewal window of a Part 48 certificate: the six months before the month of expiry, read to the letter."""
    opens = first_of_month_before(expiry, law[WINDOW_MONTHS])
    return Window(opens, first_of_month_before(expiry, 0) - timedelta(days=1))


def part_47_window(expiry: date, law: Law) -> Window:
    """The renewal window of a Part 47 certificate: the six months that end on the last day of its term."""
    return Window(first_of_month_before(expiry, law[PART_47_WINDOW_MONTHS] - 1), expiry)


class Term(NamedTuple):
    """The expiry written down, the one worked out from issue and renewal, and the first day; None where not on file.

    It is doubtful where the renewal on file lies outside every window; the renewal then counts for nothing in it.
    """

    stated: date | None
    worked_out: date | None
    first: date | None
    is_doubtful: bool = False

    @property
    def agree(self) -> bool:
        """True when the two expiries do not contradict each other."""
        return self.stated is None or self.worked_out is None or self.stated == self.worked_out

    @property
    def expiry(self) -> date:
        """The earlier of the expiries on file. Undecided when there is none."""
        return min(self._expiries)

    @property
    def latest(self) -> date:
        """The later of the expiries on file. Undecided when there is none."""
        return max(self._expiries)

    @property
    def _expiries(self) -> list[date]:
        days = [day for day in (self.stated, self.worked_out) if day is not None]
        if not days:
            raise Undecided(Why.MISSING, EXPIRES_ON.name)
        return days


def term_of(certificate: Facts, law: Law) -> Term:
    """The term of a certificate of either part, with the last renewal up to the day asked about."""
    return part_47_term(certificate, law) if is_part_47(certificate) else part_48_term(certificate, law)


def term_to_renew(certificate: Facts, law: Law) -> Term:
    """The term that a renewal on the day asked about would extend: where one of that day or later is on file, the term before.

    The expiry written down is then that of the later term and tells nothing.
    """
    renewed, issued = certificate.on_file(RENEWED_ON), certificate.on_file(ISSUED_ON)
    if renewed is None or issued is None or renewed < day_of(certificate.on):
        return term_of(certificate, law)
    if is_part_47(certificate):
        return Term(None, part_47_end(issued, law), issued)
    return Term(None, _of_either_kind(certificate, lambda kind: _first_end(issued, kind, law)), issued)


def part_48_term(certificate: Facts, law: Law) -> Term:
    """The term of a Part 48 certificate. A renewal adds the term to the old expiry, not to the day of renewal.

    It asks for the kind only where the two kinds give different terms.
    """
    law.span(TERM_YEARS)
    issued, stated = certificate.on_file(ISSUED_ON), certificate.on_file(EXPIRES_ON)
    if issued is None:
        return Term(certificate[EXPIRES_ON], None, None)
    return _of_either_kind(certificate, lambda kind: _counted_term(certificate, issued, stated, kind, law))


def _counted_term(
    certificate: Facts, issued: date, stated: date | None, kind: RegistrationKind, law: Law
) -> Term:
    renewed, end = happened(certificate, RENEWED_ON), _first_end(issued, kind, law)
    if renewed is None:
        return Term(stated, end, issued)
    longer = _renewed_end(end, renewed, kind, law)
    if longer is None:
        return Term(stated, end, issued, is_doubtful=True)
    return Term(stated, longer, issued)


def _of_either_kind(certificate: Facts, work: Callable[[RegistrationKind], T]) -> T:
    """What the kind on file gives; where none is, what both Part 48 kinds give. Undecided where they differ."""
    if not certificate.has(REGISTRATION_KIND):
        one, other = work(RegistrationKind.PER_AIRCRAFT), work(RegistrationKind.RECREATIONAL)
        if one == other:
            return one
    return work(kind_of(certificate))


def _first_end(issued: date, kind: RegistrationKind, law: Law) -> date:
    end = add_years(issued, law.then(issued)[_years(kind)])
    if kind is RegistrationKind.RECREATIONAL and issued < law[EARLY_RECREATIONAL_BEFORE]:
        return max(end, law[EARLY_RECREATIONAL_EXPIRY])
    return end


def _years(kind: RegistrationKind) -> Param[int]:
    return RECREATIONAL_TERM_YEARS if kind is RegistrationKind.RECREATIONAL else TERM_YEARS


def _renewed_end(end: date, renewed: date, kind: RegistrationKind, law: Law) -> date | None:
    """The end once renewed: a term after the end in whose window the renewal lies; None where it lies in no window."""
    years = law.then(renewed)[_years(kind)]
    while renewed > end:
        end = add_years(end, years)
    if renewed < window_before(end, law).opens:
        return None
    return add_years(end if law[RENEWAL_FROM_EXPIRY] else renewed, years)


def part_47_term(certificate: Facts, law: Law) -> Term:
    """The term of a Part 47 certificate: to the end of the month, stretched where it ran when the longer term began.

    A renewal gives a certificate of its own, whose term counts from the month in which it was renewed.
    """
    issued, stated = certificate.on_file(ISSUED_ON), certificate.on_file(EXPIRES_ON)
    if issued is None:
        return Term(certificate[EXPIRES_ON], None, None)
    renewed = happened(certificate, RENEWED_ON)
    if renewed is not None and not _in_a_part_47_window(issued, renewed, law):
        return Term(stated, part_47_end(issued, law), issued, is_doubtful=True)
    made = issued if renewed is None else renewed
    end, printed = part_47_end(made, law), end_of_calendar_months(made, 12 * _years_47(made, law))
    return Term(end if stated == printed else stated, end, issued)


def _years_47(made: date, law: Law) -> int:
    return law.then(made)[PART_47_TERM_YEARS]


def part_47_end(issued: date, law: Law) -> date:
    """The last day of a Part 47 certificate made on a day; one in force when the longer term began got it, whatever it says."""
    end = end_of_calendar_months(issued, 12 * _years_47(issued, law))
    now = law.span(PART_47_TERM_YEARS)
    return end_of_calendar_months(issued, 12 * now.value) if issued < now.start <= end else end


def _in_a_part_47_window(issued: date, renewed: date, law: Law) -> bool:
    """Whether a renewal can have been made on its day: in the window of the first end, or of one that earlier renewals gave."""
    early = late = part_47_end(issued, law)
    while True:
        opens = part_47_window(early, law).opens
        if renewed <= late:
            return renewed >= opens
        early, late = part_47_end(opens, law), part_47_end(late, law)


def registration_in_term(facts: Facts, law: Law) -> Outcome:
    """Whether the registration is in force on that day. The law isn't clear about the expiration date itself."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    if facts.on_file(FOREIGN_REGISTRY):
        free = why_no_duty(facts, law)
        if free:
            return no_duty("no_registration_needed")
    outcome = all_hold(lambda: certificate_in_term(facts, law))
    if outcome.verdict is Verdict.MET:
        return outcome
    try:
        free = why_no_duty(facts, law)
    except Undecided:
        if outcome.verdict is Verdict.UNKNOWN:
            return outcome
        raise
    return no_duty("no_registration_needed") if free else outcome


REGISTRATION_IN_TERM_RULE = Rule(
    "registration_in_term",
    "aircraft",
    Bears.FLIGHT,
    registration_in_term,
    topic=Topic.REGISTRATION,
    shown_by=(DocumentShows.REGISTRATION,),
    has_last_day=True,
    lapse="ended",
)


def certificate_in_term(facts: Facts, law: Law) -> Outcome:
    """Whether the certificate is in force on the day, needed or not."""
    certificate = facts.linked(REGISTRATION)
    ended = ending_of(facts, law)
    if ended is not None:
        return not_met(ended[0], value=ended[1])
    if lost_and_not_cancelled(facts, law) is not None:
        return unknown(Why.OPEN_READING, "lost")
    part_47 = is_part_47(certificate)
    on, term = day_of(facts.on), term_of(certificate, law)
    if term.first is not None and on < term.first:
        return not_met("not_yet_issued", value=term.first)
    if term.first is None and on < _first_shown(certificate, term, law):
        return unknown(Why.MISSING, ISSUED_ON.name)
    if on <= term.expiry if part_47 else on < term.expiry:
        return _runs_47(on, term.expiry) if part_47 else _runs_48(on, term.expiry, law)
    if term.is_doubtful and (term.stated is None or on < term.stated):
        return unknown(Why.CONFLICT, "renewed_outside_window", value=certificate.on_file(RENEWED_ON))
    if on < term.latest or (part_47 and on == term.latest):
        return unknown(Why.CONFLICT, "expiries_disagree", value=term.worked_out)
    return _over_47(certificate, on, term, law) if part_47 else _over_48(on, term)


def _first_shown(certificate: Facts, term: Term, law: Law) -> date:
    """The first day of which an expiration alone shows something: before it lies more than the longest term."""
    renewed = certificate.on_file(RENEWED_ON)
    if is_part_47(certificate):
        first = add_years(term.expiry.replace(day=1), -law[PART_47_TERM_YEARS])
    else:
        first = add_years(term.expiry, -law[TERM_YEARS])
    return first if renewed is None else min(first, renewed)


def _runs_48(on: date, expiry: date, law: Law) -> Outcome:
    window, last_good = window_before(expiry, law), expiry - timedelta(days=1)
    due = window.closes if on <= window.closes else expiry
    code = "in_term" if on < window.opens else "in_term_renew"
    if on > window.closes:
        code = "in_term_last_month"
    return met(code, value=expiry, due_on=due, holds_until=last_good, margin=days_left(last_good, on))


def _runs_47(on: date, expiry: date) -> Outcome:
    return met("in_term_47", value=expiry, due_on=expiry, holds_until=expiry, margin=days_left(expiry, on))


def _over_48(on: date, term: Term) -> Outcome:
    if on == term.expiry:
        return unknown(Why.OPEN_READING, "expiry_day", value=on, due_on=on)
    return not_met("ended", value=term.expiry, margin=days_left(term.expiry, on))


def _over_47(certificate: Facts, on: date, term: Term, law: Law) -> Outcome:
    expiry, filed = term.expiry, certificate.on_file(RENEWAL_FILED_ON)
    if filed is not None and filed <= expiry and law[PENDING_RENEWAL]:
        return unknown(Why.OPEN_READING, "renewal_pending_47", value=expiry)
    return not_met("ended", value=expiry, margin=days_left(expiry, on))


def renewal_window(facts: Facts, law: Law) -> Outcome:
    """Whether you can renew on that day. Read literally, you have the six months before the month it expires."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    ended = ending_of(facts, law)
    if ended is not None:
        return not_met("nothing_to_renew", value=ended[1])
    certificate, on = facts.linked(REGISTRATION), day_of(facts.on)
    term = term_to_renew(certificate, law)
    if term.is_doubtful:
        return unknown(Why.CONFLICT, "renewed_outside_window", value=certificate.on_file(RENEWED_ON))
    if term.first is not None and on < term.first:
        return not_met("not_yet_issued", value=term.first)
    if is_part_47(certificate):
        return _window_47(on, term.expiry, law)
    return _window_48(on, term.expiry, law)


RENEWAL_WINDOW_RULE = Rule("renewal_window", "aircraft", Bears.ANSWER, renewal_window)


def _window_48(on: date, expiry: date, law: Law) -> Outcome:
    window = window_before(expiry, law)
    if on < window.opens:
        return not_met("too_early", value=window.opens)
    if on <= window.closes:
        return met("open", value=expiry, due_on=window.closes)
    if on <= expiry:
        return unknown(Why.OPEN_READING, "expiry_month", value=expiry, due_on=expiry)
    return not_met("too_late", value=expiry)


def _window_47(on: date, expiry: date, law: Law) -> Outcome:
    before_end = law[PART_47_RENEWAL_BEFORE_END]
    window = part_47_window(expiry, law)
    if on < window.opens:
        return not_met("too_early", value=window.opens)
    if on <= window.closes or not before_end:
        return met("before_end_47", value=expiry, due_on=expiry)
    return not_met("too_late", value=expiry)


def new_expiry(facts: Facts, law: Law) -> Outcome:
    """The expiration date after a renewal: three years after the old one, no matter when you renew."""
    certificate = facts.linked(REGISTRATION)
    if is_part_47(certificate):
        return no_duty("part_47")
    ended = ending_of(facts, law)
    if ended is not None:
        return not_met("nothing_to_renew", value=ended[1])
    term = term_to_renew(certificate, law)
    if term.is_doubtful:
        return unknown(Why.CONFLICT, "renewed_outside_window", value=certificate.on_file(RENEWED_ON))
    return met("worked_out", value=_end_of_renewed(term, day_of(facts.on), law))


def _end_of_renewed(term: Term, on: date, law: Law) -> date:
    return add_years(term.expiry if law[RENEWAL_FROM_EXPIRY] else on, law[TERM_YEARS])


def expiry_now(certificate: Facts, law: Law) -> date | None:
    """The expiry of a certificate by all that is on file; None where it can't be worked out."""
    try:
        return term_of(certificate, law).expiry
    except Undecided:
        return None


def expiry_if_renewed(certificate: Facts, law: Law) -> date | None:
    """The expiry that a renewal on the day gives a Part 48 certificate; None where it can't be worked out."""
    try:
        term, on = term_to_renew(certificate, law), day_of(certificate.on)
        return None if term.is_doubtful else _end_of_renewed(term, on, law)
    except Undecided:
        return None


NEW_EXPIRY_RULE = Rule("new_expiry", "aircraft", Bears.ANSWER, new_expiry)


def stated_expiry_agrees(facts: Facts, law: Law) -> Outcome:
    """Whether the expiration date on file fits the issue and renewal dates."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    term = term_of(facts.linked(REGISTRATION), law)
    if term.stated is None or term.worked_out is None:
        return no_duty("one_source_only")
    if term.agree:
        return met("agrees", value=term.worked_out)
    return not_met("differs", value=term.worked_out)


STATED_EXPIRY_AGREES_RULE = Rule("stated_expiry_agrees", "aircraft", Bears.PAPERS, stated_expiry_agrees)
