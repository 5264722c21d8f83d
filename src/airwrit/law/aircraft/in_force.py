"""Is the aircraft registered, where it must be, and does nothing on file speak against that? 14 CFR 48.15; Part 47."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial

from airwrit.base.days import add_days, add_months, day_of
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.keys.aircraft import APPLIED_ON, FOREIGN_REGISTRY, IS_REGISTERED, OWNER, REGISTRATION
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import (
    EXEMPT_ANY_PURPOSE,
    FILING_DATA,
    FOREIGN_RECOGNITION,
    PART_47_TEMPORARY_MONTHS,
    ending_of,
    exempt_but_for_weight,
    happened,
    right_kind_for_use,
    why_no_duty,
)
from airwrit.law.aircraft.renewal import certificate_in_term
from airwrit.law.aircraft.weight import WEIGHT_EXEMPTION_RULE, weight_exemption
from airwrit.law.holder.owner import not_void_for, owner_eligible, registered_to_owner
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_met, unknown

PART_47_TEMPORARY_DAYS = parameter("part_47_temporary_authority_days", int)

_ASKED_ELSEWHERE = (Why.MISSING, Why.OPEN_READING, Why.OUTSIDE_THIS_TOOL)


def must_be_registered(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft is registered, if the law of that day requires it.

    A fault that another rule finds in the certificate is handed on. What that rule leaves open is told by it alone.
    """
    law.span(EXEMPT_ANY_PURPOSE)
    if facts.on_file(IS_REGISTERED):
        if facts.on_file(FOREIGN_REGISTRY) and law[FOREIGN_RECOGNITION]:
            return no_duty("foreign")
        standing = _in_force(facts, law)
        if standing.verdict is Verdict.MET:
            return standing
        free = why_no_duty(facts, law)
        return no_duty(free) if free else standing
    free = why_no_duty(facts, law)
    if free:
        return no_duty(free)
    return _application_pending(facts, law) or _not_registered(facts, law)


MUST_BE_REGISTERED_RULE = Rule(
    "must_be_registered",
    "aircraft",
    Bears.FLIGHT,
    must_be_registered,
    topic=Topic.REGISTRATION,
    shown_by=(DocumentShows.REGISTRATION,),
    upon={"light": WEIGHT_EXEMPTION_RULE},
)


def _in_force(facts: Facts, law: Law) -> Outcome:
    quiet = facts.quietly()
    return all_hold(
        lambda: _still_registered(facts, law),
        partial(_nothing_against, lambda: right_kind_for_use(quiet, law)),
        partial(_nothing_against, lambda: registered_to_owner(quiet, law)),
        partial(_nothing_against, lambda: owner_eligible(quiet.linked(OWNER), law)),
        partial(_nothing_against, lambda: not_void_for(quiet.linked(REGISTRATION), quiet, law)),
        partial(_nothing_against, lambda: certificate_in_term(quiet, law)),
    )


def _still_registered(facts: Facts, law: Law) -> Outcome:
    ended = ending_of(facts, law)
    return met("registered") if ended is None else not_met(ended[0], value=ended[1])


def _nothing_against(check: Callable[[], Outcome]) -> Outcome:
    """What another rule finds, where it is a fault, or where what is on file cannot be read; else met."""
    try:
        outcome = check()
    except Undecided as gap:
        if gap.why not in _ASKED_ELSEWHERE:
            raise
        return met("registered")
    if outcome.verdict is Verdict.UNKNOWN and outcome.why not in _ASKED_ELSEWHERE:
        return outcome
    return outcome if outcome.verdict is Verdict.NOT_MET else met("registered")


def _application_pending(facts: Facts, law: Law) -> Outcome | None:
    applied = happened(facts, APPLIED_ON)
    if applied is None:
        return None
    until = add_days(add_months(applied, law[PART_47_TEMPORARY_MONTHS]), law[PART_47_TEMPORARY_DAYS])
    if day_of(facts.on) > until:
        return not_met("temporary_authority_over", value=until)
    return unknown(Why.OPEN_READING, "application_pending", value=until)


def _not_registered(facts: Facts, law: Law) -> Outcome:
    """Not registered though it must be; tells the weight where only the weight stands in the way of the exemption."""
    facts[IS_REGISTERED]
    law.span(FILING_DATA)
    if law[EXEMPT_ANY_PURPOSE] or exempt_but_for_weight(facts, law):
        return weight_exemption(facts, law)._replace(code="over_weight")
    return not_met("not_registered")
