"""What must be filed when things change: 14 CFR 48.115, fourteen calendar days; for N-numbers 47.41(b) and 47.45."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial
from typing import NamedTuple

from airwrit.base.days import Order, add_days, day_of, order_of
from airwrit.base.verdict import Outcome, Undecided, Why, days_left
from airwrit.facts.choices import RegistrationKind, ServiceStatus
from airwrit.facts.keys.aircraft import (
    DESTROYED_ON,
    EXPORTED_ON,
    FOREIGN_REGISTRY,
    IS_REGISTERED,
    REGISTRATION,
    SOLD_ON,
    SOLD_UNDER,
    SOLD_UNDER_ON,
)
from airwrit.facts.keys.event import CHANGE_OF, FILED_ON
from airwrit.facts.keys.person import LEFT_ON
from airwrit.facts.keys.registration import (
    CANCELLED_ON,
    CHANGE_FILED_ON,
    CITIZENSHIP_LOST_ON,
    DETAILS_CHANGED_ON,
    ISSUED_ON,
    OWNER_DIED_ON,
    REGISTERED_TO,
    REGISTRATION_KIND,
    REPRESENTATIVE,
)
from airwrit.facts.keys.service import SERVICE_STATUS
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import (
    cancelled,
    change_day,
    happened,
    is_part_47,
    lost_and_not_cancelled,
    old_number,
    under_certificate,
)
from airwrit.law.parameters import Law, Param
from airwrit.law.rule import Bears, Rule, known_of, met, no_duty, not_met, unknown
from airwrit.law.shared_parameters import ADDRESS_DAYS, FILING_DAYS, RETURN_DAYS, RETURN_DAYS_AFTER_DEATH


class Days(NamedTuple):
    """The days to file: as many for the one part as for the other, unless it cannot be told which part it is."""

    least: int
    most: int
    hangs_on: str = ""
    """the fact that tells the part, where it is missing"""


class ReportedChange(NamedTuple):
    """A change in what the application said: its day, and the day it was filed where that is on file for it alone."""

    day: date
    filed: date | None


def _days(certificate: Facts | None, law: Law, of_part_48: Param[int], of_part_47: Param[int]) -> Days:
    """The days there are by the part a certificate is of; None for a certificate of which not even the number is on file."""
    if certificate is None:
        return Days(law[of_part_48], law[of_part_47], REGISTRATION.name)
    try:
        days = law[of_part_47 if is_part_47(certificate) else of_part_48]
    except Undecided as gap:
        if gap.why is not Why.MISSING:
            raise
        return Days(law[of_part_48], law[of_part_47], gap.about)
    return Days(days, days)


def _is_past(day: date, event: date, days: Days) -> bool:
    """Whether a day is after the last day to file an event. Undecided where that hangs on the part, and it is not known."""
    if day > add_days(event, days.most):
        return True
    if day > add_days(event, days.least):
        raise Undecided(Why.MISSING, days.hangs_on)
    return False


def update_registration(facts: Facts, law: Law) -> Outcome:
    """Whether every change to the registration details was filed in time. A new representative is a change.

    A filing tells all that changed up to its day. What was filed late stays late; what is cancelled is not updated.
    """
    if cancelled(facts) is not None:
        return no_duty("no_longer")
    days = _days(facts, law, FILING_DAYS, ADDRESS_DAYS)
    changes, gap = known_of(_looks(facts))
    made = [change for change in changes if change is not None]
    if gap is None and not made:
        return no_duty("nothing_changed")
    filed, on = happened(facts, CHANGE_FILED_ON), day_of(facts.on)
    owed = [one.day for one in made if one.filed is None and (filed is None or one.day > filed)]
    due = add_days(min(owed), days.least) if owed else on
    if owed and _is_past(on, min(owed), days):
        return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))
    late = _late_by_itself(made, days) or gap or _late_by_the_last(made, filed, days)
    if late is not None:
        return late
    if not owed:
        return met("filed", value=filed or max(one.filed or one.day for one in made))
    return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))


UPDATE_REGISTRATION_RULE = Rule(
    "update_registration", "registration", Bears.PAPERS, update_registration, has_last_day=True
)


def _late_by_itself(changes: list[ReportedChange], days: Days) -> Outcome | None:
    """A change of which it is on file that it was filed after its last day; None for none."""
    for one in changes:
        if one.filed is not None and _is_past(one.filed, one.day, days):
            return not_met("filed_late", value=add_days(one.day, days.most))
    return None


def _late_by_the_last(changes: list[ReportedChange], filed: date | None, days: Days) -> Outcome | None:
    """What the last filing on file told too late; None for nothing.

    It told the last change up to its day. An earlier change may have been told by a filing that is no longer on file.
    """
    told = sorted(one.day for one in changes if filed and one.filed is None and one.day <= filed)
    if not told or filed is None or not _is_past(filed, told[0], days):
        return None
    if _is_past(filed, told[-1], days):
        return not_met("filed_late", value=add_days(told[-1], days.most))
    return unknown(Why.MISSING, "filed_when", value=add_days(told[0], days.most))


def _looks(facts: Facts) -> list[Callable[[], ReportedChange | None]]:
    """Looks for the changes: None where one is still to come or not on file. Part 47 knows no representative."""
    looks: list[Callable[[], ReportedChange | None]] = [lambda: _change(happened(facts, DETAILS_CHANGED_ON))]
    if facts.has(REPRESENTATIVE) and not is_part_47(facts):
        looks.append(lambda: _change(happened(facts.linked(REPRESENTATIVE), LEFT_ON)))
    return looks + [partial(_event, event) for event in facts.linking(CHANGE_OF)]


def _change(day: date | None, filed: date | None = None) -> ReportedChange | None:
    return None if day is None else ReportedChange(day, filed)


def _event(event: Facts) -> ReportedChange | None:
    return _change(change_day(event), happened(event, FILED_ON))


def cancel_registration(facts: Facts, law: Law) -> Outcome:
    """Whether a registration was canceled in time after a sale, destruction or export. The law doesn't mention a lost aircraft.

    A Part 47 certificate goes back to the Registry, after the death of its holder too.
    """
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    ends = _ends(facts, law)
    lost, on = lost_and_not_cancelled(facts, law), day_of(facts.on)
    done = happened(facts.linked(REGISTRATION), CANCELLED_ON) if facts.has(REGISTRATION) else None
    if facts.on_file(FOREIGN_REGISTRY) and not ends and done is None:
        return unknown(Why.MISSING, "registered_abroad")
    if not ends and lost is None:
        return _gone_undated(facts, law, done)
    settled = _settled(ends, done, on)
    if settled is not None:
        return settled
    if not ends and lost is not None:
        due = add_days(lost, law[FILING_DAYS])
        return unknown(Why.OPEN_READING, "lost", value=due, due_on=due)
    return _owed(ends, on)


CANCEL_REGISTRATION_RULE = Rule(
    "cancel_registration", "aircraft", Bears.PAPERS, cancel_registration, has_last_day=True
)


def cancel_old_registration(facts: Facts, law: Law) -> Outcome:
    """Whether the seller's registration was canceled in time after a sale.

    On a recreational certificate, which others may fly under, taking it off is enough.
    """
    old = old_number(facts)
    if old is None:
        return no_duty("no_old_number")
    sold = facts.on_file(SOLD_UNDER_ON) or facts[SOLD_ON]
    certificate = facts.linked(SOLD_UNDER)
    issued = happened(certificate, ISSUED_ON)
    if order_of(sold, facts.on) is Order.AFTER or (issued is not None and sold < issued):
        return no_duty("no_old_number")
    ends = [(sold, _days(certificate, law, FILING_DAYS, RETURN_DAYS))]
    on = day_of(facts.on)
    return _settled(ends, _taken_care_of(certificate, sold), on) or _owed(ends, on)


CANCEL_OLD_REGISTRATION_RULE = Rule(
    "cancel_old_registration", "aircraft", Bears.PAPERS, cancel_old_registration, has_last_day=True
)


def _taken_care_of(certificate: Facts, sold: date) -> date | None:
    """The day a certificate was cancelled after a sale, or a change of a recreational one filed."""
    done = happened(certificate, CANCELLED_ON)
    if done is not None or certificate.on_file(REGISTRATION_KIND) is not RegistrationKind.RECREATIONAL:
        return done
    filed = happened(certificate, CHANGE_FILED_ON)
    return filed if filed is not None and filed >= sold else None


def _settled(ends: list[tuple[date, Days]], done: date | None, on: date) -> Outcome | None:
    """Whether it was cancelled, in time or not, or is overdue; None while it is owed."""
    late = next((end for end in ends if _is_past(done or on, *end)), None)
    if late is not None:
        due = add_days(late[0], late[1].most)
        if done is not None:
            return not_met("cancelled_late", value=due)
        return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))
    return None if done is None else met("cancelled", value=done)


def _owed(ends: list[tuple[date, Days]], on: date) -> Outcome:
    due = min(add_days(day, days.least) for day, days in ends)
    return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))


def _gone_undated(facts: Facts, law: Law, done: date | None) -> Outcome:
    """What is owed where no day is on file: something only where the aircraft is said to be sold or destroyed."""
    status = facts.on_file(SERVICE_STATUS)
    if status is not ServiceStatus.SOLD and status is not ServiceStatus.DESTROYED:
        return no_duty("nothing_happened")
    if status is ServiceStatus.SOLD and old_number(facts) is not None:
        return no_duty("nothing_happened")
    if done is not None:
        return met("cancelled", value=done)
    law.span(FILING_DAYS)
    return unknown(Why.MISSING, "owed_no_day")


def _ends(facts: Facts, law: Law) -> list[tuple[date, Days]]:
    """The events that call for cancelling, each with the days there are for it."""
    gone = [under_certificate(facts, key) for key in (SOLD_ON, DESTROYED_ON, EXPORTED_ON)]
    certificate = facts.linked(REGISTRATION) if facts.has(REGISTRATION) else None
    found: list[tuple[date, Days]] = []
    if any(gone):
        days = _days(certificate, law, FILING_DAYS, RETURN_DAYS)
        found += [(day, days) for day in gone if day is not None]
    return found if certificate is None else found + _ends_of_holder(certificate, law)


def _ends_of_holder(certificate: Facts, law: Law) -> list[tuple[date, Days]]:
    """What befell the one named on a Part 47 certificate and calls for returning it."""
    holder = certificate.linked_on_file(REGISTERED_TO)
    if holder is None:
        return []
    found: list[tuple[date, Days]] = []
    for key, param in ((OWNER_DIED_ON, RETURN_DAYS_AFTER_DEATH), (CITIZENSHIP_LOST_ON, RETURN_DAYS)):
        day = happened(holder, key)
        if day is not None and is_part_47(certificate):
            found.append((day, Days(law[param], law[param])))
    return found
