"""Papers of the program: in term, who answers for them, when to ask for a renewal. 14 CFR 107.200, 89.225, 48.115.

What a paper other than a waiver or a recognized area binds to is its own text, which nobody reads here: only its days are,
and no section of law is named for it.
"""

from __future__ import annotations

from datetime import date
from decimal import Decimal

from airwrit.base.days import add_days, day_of, end_of_calendar_months
from airwrit.base.verdict import Outcome, Why, days_left
from airwrit.facts.choices import PaperKind
from airwrit.facts.flight_choices import PaperState
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.flights.authority import PAPER_STATE
from airwrit.facts.keys.paper import (
    ASK_DAYS_BEFORE,
    ENDS_ON,
    GRANTED_ON,
    PAPER_KIND,
    PAPER_RESPONSIBLE,
    RENEWAL_ASKED_ON,
)
from airwrit.facts.keys.person import LEFT_ON
from airwrit.facts.keys.registration import REGISTRY_LOGIN_HOLDER
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import happened
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, met, no_duty, not_asked, not_met, unknown
from airwrit.law.shared_parameters import FILING_DAYS, FRIA_MONTHS

OWN_TERMS = parameter("paper_binds_on_its_own_terms", bool)
FRIA_ASK_DAYS = parameter("fria_renewal_ask_days", int)

_LONGEST_LEAD = 3660


_NOT_GRANTED = {
    PaperState.REQUESTED: "pending",
    PaperState.DENIED: "denied",
    PaperState.WITHDRAWN: "withdrawn",
}


def not_granted(paper: Facts) -> str | None:
    """Why a paper grants nothing: a request that is pending, denied or withdrawn, as a code; None where nothing says so."""
    state = paper.on_file(PAPER_STATE)
    return None if state is None else _NOT_GRANTED.get(state)


def paper_in_term(facts: Facts, law: Law) -> Outcome:
    """Whether a document is in force on that day, and when you have to apply for its renewal."""
    free = _not_bound(facts, law)
    if free is not None:
        return free
    waits = not_granted(facts)
    if waits is not None:
        return no_duty(waits)
    on, granted, last = day_of(facts.on), facts.on_file(GRANTED_ON), last_day(facts, law)
    if granted is not None and on < granted:
        return not_met("not_yet", value=granted)
    margin = days_left(last, on)
    if on > last:
        return not_met("ended", value=last, due_on=last, margin=margin)
    lead = _lead_days(facts, law)
    ask_by = last if lead is None else add_days(last, -lead)
    asked = happened(facts, RENEWAL_ASKED_ON)
    if asked is not None and (granted is None or asked >= granted):
        return met("renewal_asked", value=last, due_on=last, holds_until=last, margin=margin)
    code = "in_term" if lead is None else "in_term_ask" if on <= ask_by else "ask_late"
    return met(code, value=last, due_on=ask_by, holds_until=last, margin=margin)


PAPER_IN_TERM_RULE = Rule(
    "paper_in_term",
    "paper",
    Bears.PAPERS,
    paper_in_term,
    shown_by=(
        DocumentShows.WAIVER,
        DocumentShows.INSURANCE,
    ),
    has_last_day=True,
)


def _not_bound(paper: Facts, law: Law) -> Outcome | None:
    """Why a waiver does not bind by the section that says it binds on its own terms; that speaks of no other paper.

    A note on a land or local rule has no term, and nobody answers for it.
    """
    if paper.on_file(PAPER_KIND) is PaperKind.LOCAL:
        return no_duty("a_note")
    is_waiver = paper.on_file(PAPER_KIND) is PaperKind.WAIVER
    return not_asked(law, OWN_TERMS) if is_waiver else None


def last_day(paper: Facts, law: Law) -> date:
    """The last day of a paper: as written, or for a recognized area by the law's term. Undecided when neither can be said."""
    kind = paper[PAPER_KIND]
    if kind is PaperKind.FRIA and not paper.has(ENDS_ON):
        return end_of_calendar_months(paper[GRANTED_ON], law[FRIA_MONTHS])
    return paper[ENDS_ON]


def _lead_days(paper: Facts, law: Law) -> int | None:
    """Days before the end by which a renewal is asked for: as noted, and for a recognized area at least the law's; or None."""
    noted = paper.on_file(ASK_DAYS_BEFORE)
    days = None if noted is None else int(min(max(noted, Decimal(0)), Decimal(_LONGEST_LEAD)))
    if paper[PAPER_KIND] is PaperKind.FRIA:
        return law[FRIA_ASK_DAYS] if days is None else max(days, law[FRIA_ASK_DAYS])
    return days


def renewal_asked_in_time(facts: Facts, law: Law) -> Outcome:
    """Whether you applied to renew a document early enough."""
    lead = _lead_days(facts, law)
    if lead is None:
        return no_duty("no_day_set")
    ask_by, on = add_days(last_day(facts, law), -lead), day_of(facts.on)
    asked = happened(facts, RENEWAL_ASKED_ON)
    if asked is not None:
        return met("asked", value=asked) if asked <= ask_by else not_met("asked_late", value=ask_by)
    if on <= ask_by:
        return unknown(Why.MISSING, "owed", value=ask_by, due_on=ask_by)
    return not_met("not_asked_yet", value=ask_by, due_on=ask_by)


RENEWAL_ASKED_IN_TIME_RULE = Rule("renewal_asked_in_time", "paper", Bears.ANSWER, renewal_asked_in_time)


def paper_responsible_present(facts: Facts, law: Law) -> Outcome:
    """Whether the person responsible for a document is still with the program."""
    free = _not_bound(facts, law)
    if free is not None:
        return free
    left = happened(facts.linked(PAPER_RESPONSIBLE), LEFT_ON)
    return met("present") if left is None else not_met("left", value=left)


PAPER_RESPONSIBLE_PRESENT_RULE = Rule(
    "paper_responsible_present", "paper", Bears.PAPERS, paper_responsible_present
)


def login_holder_present(facts: Facts, law: Law) -> Outcome:
    """Whether the person who has the FAA login is still with the program."""
    law.span(FILING_DAYS)
    if not facts.has(REGISTRY_LOGIN_HOLDER):
        return no_duty("nobody_named")
    left = happened(facts.linked(REGISTRY_LOGIN_HOLDER), LEFT_ON)
    return met("present") if left is None else not_met("left", value=left)


LOGIN_HOLDER_PRESENT_RULE = Rule("login_holder_present", "owner", Bears.PAPERS, login_holder_present)
