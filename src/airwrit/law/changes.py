"""What must be filed when things change: 14 CFR 48.115, fourteen calendar days."""

from __future__ import annotations

from datetime import date

from airwrit.base.findings import Outcome, Why, days_left
from airwrit.base.times import add_days, day_of
from airwrit.facts.aircraft import DESTROYED_ON, EXPORTED_ON, IS_REGISTERED, REGISTRATION, SOLD_ON
from airwrit.facts.people import LEFT_ON
from airwrit.facts.registration import CANCELLED_ON, CHANGE_FILED_ON, DETAILS_CHANGED_ON, REPRESENTATIVE
from airwrit.facts.state import Facts
from airwrit.law.judging import met, no_duty, not_met, unknown
from airwrit.law.parameters import Law, parameter
from airwrit.law.registration import happened, lost_and_not_cancelled

FILING_DAYS = parameter("change_filing_days", int)


def update_registration(facts: Facts, law: Law) -> Outcome:
    """Whether a change in what the application said was filed in time; a representative who leaves is such a change."""
    changed, days = _last_change(facts), law[FILING_DAYS]
    if changed is None:
        return no_duty("nothing_changed")
    filed = happened(facts, CHANGE_FILED_ON)
    due = add_days(changed, days)
    if filed is not None and filed >= changed:
        return met("filed", value=filed)
    on = day_of(facts.on)
    if on <= due:
        return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))
    return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))


def _last_change(facts: Facts) -> date | None:
    days = [happened(facts, DETAILS_CHANGED_ON)]
    if facts.on_file(REPRESENTATIVE) is not None:
        days.append(happened(facts.linked(REPRESENTATIVE), LEFT_ON))
    return max((day for day in days if day is not None), default=None)


def cancel_registration(facts: Facts, law: Law) -> Outcome:
    """Whether a registration was cancelled after sale, destruction or export; loss is not named, so it stays open."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    gone = [day for day in (happened(facts, key) for key in (SOLD_ON, DESTROYED_ON, EXPORTED_ON)) if day]
    lost = lost_and_not_cancelled(facts, law)
    if not gone and lost is None:
        return no_duty("nothing_happened")
    cancelled = None
    if facts.on_file(REGISTRATION) is not None:
        cancelled = happened(facts.linked(REGISTRATION), CANCELLED_ON)
    on, days = day_of(facts.on), law[FILING_DAYS]
    if cancelled is not None:
        return met("cancelled", value=cancelled)
    if not gone and lost is not None:
        due = add_days(lost, days)
        return unknown(Why.OPEN_READING, "lost", value=due, due_on=due)
    due = add_days(min(gone), days)
    if on <= due:
        return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))
    return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))
