"""Is the registration in its term, may it be renewed, and what would that give? 14 CFR 48.100(c), 47.40; 49 USC 44103(e)."""

from __future__ import annotations

from datetime import date, timedelta

from airwrit.base.days import add_years, day_of
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why, days_left
from airwrit.facts.keys.aircraft import FOREIGN_REGISTRY, IS_REGISTERED, REGISTRATION
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.registration import ISSUED_ON, RENEWAL_FILED_ON, RENEWED_ON
from airwrit.facts.state import Facts
from airwrit.law.aircraft.certificate import is_part_47
from airwrit.law.aircraft.duty import ending_of, lost_and_not_cancelled, why_no_duty
from airwrit.law.aircraft.price import TERM_YEARS
from airwrit.law.aircraft.term import (
    PART_47_RENEWAL_BEFORE_END,
    PART_47_TERM_YEARS,
    PENDING_RENEWAL,
    RENEWAL_FROM_EXPIRY,
    Term,
    part_47_window,
    term_of,
    term_to_renew,
    window_before,
)
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_met, unknown


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
