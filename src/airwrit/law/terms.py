"""How long a registration lasts: term, renewal window, new expiry. 14 CFR 48.100(c), 48.105(c), 47.40; 49 USC 44103(e)."""

from __future__ import annotations

from datetime import date, timedelta
from typing import NamedTuple

from airwrit.base.findings import Outcome, Undecided, Verdict, Why, days_left
from airwrit.base.times import add_years, day_of, end_of_calendar_months, first_of_month_before
from airwrit.facts.aircraft import IS_REGISTERED, REGISTRATION
from airwrit.facts.registration import EXPIRES_ON, ISSUED_ON, REGISTRATION_KIND, RENEWAL_FILED_ON, RENEWED_ON
from airwrit.facts.state import Facts
from airwrit.facts.words import RegistrationKind
from airwrit.law.judging import all_hold, met, no_duty, not_met, unknown
from airwrit.law.parameters import Law, parameter
from airwrit.law.registration import ending_of, happened, lost_and_not_cancelled, why_no_duty

TERM_YEARS = parameter("registration_term_years", int)
RECREATIONAL_TERM_YEARS = parameter("recreational_term_years", int)
WINDOW_MONTHS = parameter("renewal_window_months", int)
RENEWAL_FROM_EXPIRY = parameter("renewal_counts_from_expiry", bool)
EARLY_RECREATIONAL_EXPIRY = parameter("early_recreational_expiry", date)
EARLY_RECREATIONAL_BEFORE = parameter("early_recreational_issued_before", date)
PART_47_TERM_YEARS = parameter("part_47_term_years", int)
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


class Term(NamedTuple):
    """The expiry written down, the one worked out from issue and renewal, and the first day; None where not on file."""

    stated: date | None
    worked_out: date | None
    first: date | None

    @property
    def agree(self) -> bool:
        """True when the two expiries do not contradict each other."""
        return self.stated is None or self.worked_out is None or self.stated == self.worked_out

    @property
    def expiry(self) -> date:
        """The earlier of the expiries on file. Undecided when there is none."""
        days = [day for day in (self.stated, self.worked_out) if day is not None]
        if not days:
            raise Undecided(Why.MISSING, EXPIRES_ON.name)
        return min(days)


def part_48_term(certificate: Facts, law: Law) -> Term:
    """The term of a Part 48 certificate. A renewal adds the term to the old expiry, not to the day of renewal."""
    law.span(TERM_YEARS)
    issued, renewed = certificate.on_file(ISSUED_ON), happened(certificate, RENEWED_ON)
    recreational = certificate[REGISTRATION_KIND] is RegistrationKind.RECREATIONAL
    stated = certificate.on_file(EXPIRES_ON)
    if issued is None and stated is None:
        certificate[EXPIRES_ON]
    worked_out = None if issued is None else _worked_out(issued, renewed, recreational, law)
    return Term(stated, worked_out, issued)


def _worked_out(issued: date, renewed: date | None, recreational: bool, law: Law) -> date | None:
    years = law.then(issued)[RECREATIONAL_TERM_YEARS if recreational else TERM_YEARS]
    first_end = add_years(issued, years)
    if recreational and issued < law[EARLY_RECREATIONAL_BEFORE] and renewed is None:
        return max(first_end, law[EARLY_RECREATIONAL_EXPIRY])
    if renewed is None:
        return first_end
    if renewed > first_end or not law[RENEWAL_FROM_EXPIRY]:
        return None
    return add_years(issued, 2 * years)


def part_47_term(certificate: Facts, law: Law) -> Term:
    """The term of a Part 47 certificate: to the end of the month, stretched where it ran when the longer term began."""
    issued, stated = certificate.on_file(ISSUED_ON), certificate.on_file(EXPIRES_ON)
    if issued is None:
        return Term(certificate[EXPIRES_ON], None, None)
    years_then = law.then(issued)[PART_47_TERM_YEARS]
    end = end_of_calendar_months(issued, 12 * years_then)
    now = law.span(PART_47_TERM_YEARS)
    if issued < now.start <= end:
        end = end_of_calendar_months(issued, 12 * now.value)
    return Term(stated, end, issued)


def registration_in_term(facts: Facts, law: Law) -> Outcome:
    """Whether the registration is in force on the day; on the expiry day itself the text leaves it open."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    outcome = all_hold(lambda: _in_term(facts, facts.linked(REGISTRATION), law))
    if outcome.verdict is Verdict.MET:
        return outcome
    try:
        free = why_no_duty(facts, law)
    except Undecided:
        if outcome.verdict is Verdict.UNKNOWN:
            return outcome
        raise
    return no_duty("no_registration_needed") if free else outcome


def _in_term(facts: Facts, certificate: Facts, law: Law) -> Outcome:
    ended = ending_of(facts, law)
    if ended is not None:
        return not_met(ended[0], value=ended[1])
    if lost_and_not_cancelled(facts, law) is not None:
        return unknown(Why.OPEN_READING, "lost")
    if certificate[REGISTRATION_KIND] is RegistrationKind.PART_47:
        return _part_47_in_term(facts, certificate, law)
    return _part_48_in_term(facts, part_48_term(certificate, law), law)


def _part_48_in_term(facts: Facts, term: Term, law: Law) -> Outcome:
    on, expiry = day_of(facts.on), term.expiry
    if term.first is not None and on < term.first:
        return not_met("not_yet_issued", value=term.first)
    if on < expiry:
        window = window_before(expiry, law)
        due = window.closes if on <= window.closes else expiry
        code = (
            "in_term"
            if on < window.opens
            else "in_term_renew"
            if on <= window.closes
            else "in_term_last_month"
        )
        last_good = expiry - timedelta(days=1)
        return met(code, value=expiry, due_on=due, holds_until=last_good, margin=days_left(last_good, on))
    if not term.agree and max(day for day in term[:2] if day is not None) > on:
        return unknown(Why.CONFLICT, "expiries_disagree", value=term.worked_out)
    if on == expiry:
        return unknown(Why.OPEN_READING, "expiry_day", value=expiry, due_on=expiry)
    return not_met("ended", value=expiry, margin=days_left(expiry, on))


def _part_47_in_term(facts: Facts, certificate: Facts, law: Law) -> Outcome:
    on, term = day_of(facts.on), part_47_term(certificate, law)
    expiry = term.expiry
    if term.first is not None and on < term.first:
        return not_met("not_yet_issued", value=term.first)
    if on <= expiry:
        return met(
            "in_term_47", value=expiry, due_on=expiry, holds_until=expiry, margin=days_left(expiry, on)
        )
    if not term.agree and max(day for day in term[:2] if day is not None) >= on:
        return unknown(Why.CONFLICT, "expiries_disagree", value=term.worked_out)
    filed = certificate.on_file(RENEWAL_FILED_ON)
    if filed is not None and filed <= expiry and law[PENDING_RENEWAL]:
        return unknown(Why.OPEN_READING, "renewal_pending_47", value=expiry)
    return not_met("ended", value=expiry, margin=days_left(expiry, on))


def renewal_window(facts: Facts, law: Law) -> Outcome:
    """Whether a renewal may be filed on the day: the six months before the month of expiry, read to the letter."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    certificate, on = facts.linked(REGISTRATION), day_of(facts.on)
    if certificate[REGISTRATION_KIND] is RegistrationKind.PART_47:
        expiry = part_47_term(certificate, law).expiry
        law.span(PART_47_RENEWAL_BEFORE_END)
        return met("before_end_47", value=expiry) if on <= expiry else not_met("too_late", value=expiry)
    expiry = _expiry_before_renewal(certificate, law)
    window = window_before(expiry, law)
    if on < window.opens:
        return not_met("too_early", value=window.opens)
    if on <= window.closes:
        return met("open", value=expiry, due_on=window.closes)
    if on <= expiry:
        return unknown(Why.OPEN_READING, "expiry_month", value=expiry, due_on=expiry)
    return not_met("too_late", value=expiry)


def _expiry_before_renewal(certificate: Facts, law: Law) -> date:
    """The expiry a renewal on the day asked about would extend: the one before the renewal on file, if it lies later."""
    renewed, issued = certificate.on_file(RENEWED_ON), certificate.on_file(ISSUED_ON)
    if renewed is not None and issued is not None and day_of(certificate.on) <= renewed:
        return add_years(issued, law.then(issued)[TERM_YEARS])
    return part_48_term(certificate, law).expiry


def new_expiry(facts: Facts, law: Law) -> Outcome:
    """The expiry that a renewal gives: three years from the old expiry, whatever the day of renewal."""
    certificate = facts.linked(REGISTRATION)
    if certificate[REGISTRATION_KIND] is RegistrationKind.PART_47:
        return no_duty("part_47")
    law.span(RENEWAL_FROM_EXPIRY)
    expiry = _expiry_before_renewal(certificate, law)
    return met("worked_out", value=add_years(expiry, law[TERM_YEARS]))


def stated_expiry_agrees(facts: Facts, law: Law) -> Outcome:
    """Whether the expiry written down is the one that issue and renewal give."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    certificate = facts.linked(REGISTRATION)
    part_47 = certificate[REGISTRATION_KIND] is RegistrationKind.PART_47
    term = part_47_term(certificate, law) if part_47 else part_48_term(certificate, law)
    if term.stated is None or term.worked_out is None:
        return no_duty("one_source_only")
    if term.agree:
        return met("agrees", value=term.worked_out)
    return not_met("differs", value=term.worked_out)
