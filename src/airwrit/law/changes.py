"""What must be filed when things change: 14 CFR 48.115, fourteen calendar days."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial

from airwrit.base.findings import Outcome, Why, days_left
from airwrit.base.times import add_days, day_of
from airwrit.facts.aircraft import DESTROYED_ON, EXPORTED_ON, IS_REGISTERED, REGISTRATION, SOLD_ON
from airwrit.facts.events import CHANGE_OF
from airwrit.facts.people import LEFT_ON
from airwrit.facts.registration import CANCELLED_ON, CHANGE_FILED_ON, DETAILS_CHANGED_ON, REPRESENTATIVE
from airwrit.facts.state import Facts
from airwrit.law.judging import known_of, met, no_duty, not_met, unknown
from airwrit.law.parameters import Law, parameter
from airwrit.law.registration import change_day, happened, lost_and_not_cancelled

FILING_DAYS = parameter("change_filing_days", int)


def update_registration(facts: Facts, law: Law) -> Outcome:
    """Whether every change in what the application said was filed in time; a representative who leaves is such a change.

    One filing tells all that changed up to its day; what changed after it is owed from the first such day.
    """
    changed, gap = known_of(_changes(facts))
    days = law[FILING_DAYS]
    happened_by_now = [day for day in changed if day is not None]
    if gap is None and not happened_by_now:
        return no_duty("nothing_changed")
    filed = happened(facts, CHANGE_FILED_ON)
    owed = [day for day in happened_by_now if filed is None or day > filed]
    on = day_of(facts.on)
    due = add_days(min(owed), days) if owed else on
    if owed and on > due:
        return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))
    if gap is not None:
        return gap
    if not owed:
        return met("filed", value=filed)
    return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))


def _changes(facts: Facts) -> list[Callable[[], date | None]]:
    """Looks for the days on which a detail changed: None where that is still to come or nothing is on file."""
    looks: list[Callable[[], date | None]] = [
        lambda: happened(facts, DETAILS_CHANGED_ON),
        lambda: _left(facts),
    ]
    return looks + [partial(change_day, event) for event in facts.linking(CHANGE_OF)]


def _left(facts: Facts) -> date | None:
    if not facts.has(REPRESENTATIVE):
        return None
    return happened(facts.linked(REPRESENTATIVE), LEFT_ON)


def cancel_registration(facts: Facts, law: Law) -> Outcome:
    """Whether a registration was cancelled after sale, destruction or export; loss is not named, so it stays open."""
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    gone = [day for day in (happened(facts, key) for key in (SOLD_ON, DESTROYED_ON, EXPORTED_ON)) if day]
    lost = lost_and_not_cancelled(facts, law)
    if not gone and lost is None:
        return no_duty("nothing_happened")
    cancelled = None
    if facts.has(REGISTRATION):
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
