"""After an incident: the report to the FAA (14 CFR 107.9), and notice, report and preservation for the NTSB (49 CFR 830)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import partial

from airwrit.base.findings import Outcome, Undecided, Why, days_left
from airwrit.base.times import add_days, day_of
from airwrit.base.units import grams_from_pounds
from airwrit.facts.aircraft import TAKEOFF_WEIGHT
from airwrit.facts.flight_words import Cause, DamagedProperty
from airwrit.facts.incident import (
    AIRWORTHINESS_CERTIFICATE,
    CAUSE,
    DAMAGED,
    DEATH_OR_INJURY,
    HAPPENED_ON,
    INCIDENT_AIRCRAFT,
    NTSB_ASKED,
    NTSB_REPORT_ON,
    NTSB_TOLD_ON,
    PROPERTY_VALUE,
    RELEASED_ON,
    REPAIR_COST,
    REPORTED_ON,
    SERIOUS_INJURY,
    SUBSTANTIAL_DAMAGE,
    TOTAL_LOSS,
    UNCONSCIOUS,
    WRECKAGE_KEPT,
)
from airwrit.facts.key import Key
from airwrit.facts.state import Facts
from airwrit.law.flights import either
from airwrit.law.judging import met, no_duty, not_met, unknown
from airwrit.law.parameters import Law, parameter
from airwrit.law.pilots import part_107_pilot
from airwrit.law.registration import happened
from airwrit.law.weight import weight_as_flown_g

FAA_DAYS = parameter("faa_report_days", int)
FAA_INJURY = parameter("faa_report_injury", str)
FAA_DAMAGE = parameter("faa_report_damage_usd", int)
NTSB_BY_WEIGHT = parameter("ntsb_by_weight", bool)
NTSB_WEIGHT = parameter("ntsb_weight_lb", int)
NTSB_INJURY = parameter("ntsb_serious_injury", str)
NTSB_LIST = parameter("ntsb_listed_incidents", bool)
NTSB_LIST_BINDS = parameter("ntsb_list_binds_small", str)
NTSB_OTHER_DAMAGE = parameter("ntsb_other_damage_usd", int)
NTSB_DAYS = parameter("ntsb_report_days", int)
NTSB_PRESERVATION = parameter("ntsb_preservation", bool)


class _Kind(StrEnum):
    """What an incident is to the NTSB."""

    ACCIDENT = "accident"
    LISTED = "listed incident of a certificated aircraft"
    LISTED_SMALL = "listed incident without airworthiness certificate"
    CAUSE_OPEN = "cause not on file"
    NOTHING = "neither"


_LISTED_CAUSES = (Cause.CONTROL, Cause.FLYAWAY, Cause.CREW, Cause.FIRE, Cause.COLLISION, Cause.BLADE)
_OWED = (_Kind.ACCIDENT, _Kind.LISTED)


def report_107_9(facts: Facts, law: Law) -> Outcome:
    """Whether an injury, or damage over the limit, was reported to the FAA within ten calendar days, weekends counted."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    limit, days = Decimal(law[FAA_DAMAGE]), law[FAA_DAYS]
    law.span(FAA_INJURY)
    start = facts[HAPPENED_ON]
    if either(
        lambda: facts[SERIOUS_INJURY],
        lambda: facts[UNCONSCIOUS],
        lambda: _damage_counts(facts, limit),
    ):
        return _sent(facts, REPORTED_ON, start, add_days(start, days))
    if facts[DAMAGED] is DamagedProperty.NOTHING:
        return no_duty("nothing_counts")
    return no_duty("not_over", value=facts[REPAIR_COST])


def _damage_counts(facts: Facts, limit: Decimal) -> bool:
    """Whether damage to other property is over the limit: repair over it and, on a total loss, the value over it too."""
    damaged = facts[DAMAGED]
    if damaged is DamagedProperty.NOTHING or facts[REPAIR_COST] <= limit:
        return False
    if not facts.has(PROPERTY_VALUE) and facts.on_file(TOTAL_LOSS) is False:
        over = True
    else:
        over = facts[PROPERTY_VALUE] > limit or not facts[TOTAL_LOSS]
    if over and damaged is DamagedProperty.CARRIED:
        raise Undecided(Why.OPEN_READING, "carried_property")
    return over


def _sent(facts: Facts, key: Key[date], start: date, due: date) -> Outcome:
    """Whether a report was sent from the day it was owed to its last day."""
    sent, on = happened(facts, key), day_of(facts.on)
    if sent is not None and sent >= start:
        return met("sent", value=sent) if sent <= due else not_met("sent_late", value=due)
    if on <= due:
        return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))
    return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))


def _kind(facts: Facts, law: Law) -> _Kind:
    law.span(NTSB_INJURY)
    law.span(NTSB_LIST)
    if either(lambda: facts[DEATH_OR_INJURY], lambda: _substantial(facts, law)):
        return _Kind.ACCIDENT
    cause = facts.on_file(CAUSE)
    if cause in _LISTED_CAUSES or _dear_damage(facts, law):
        return _Kind.LISTED if facts.on_file(AIRWORTHINESS_CERTIFICATE) else _Kind.LISTED_SMALL
    return _Kind.CAUSE_OPEN if cause is None else _Kind.NOTHING


def _substantial(facts: Facts, law: Law) -> bool:
    """Whether substantial damage makes it an accident: by weight until 2022-08-15, then by airworthiness certificate."""
    if law[NTSB_BY_WEIGHT]:
        return _all_true(lambda: facts[SUBSTANTIAL_DAMAGE], lambda: _heavy(facts, law))
    return _all_true(lambda: facts[SUBSTANTIAL_DAMAGE], lambda: facts[AIRWORTHINESS_CERTIFICATE])


def _all_true(*checks: Callable[[], bool]) -> bool:
    """Whether all hold; one that fails settles it whatever the gaps."""
    return not either(*(partial(_fails, check) for check in checks))


def _fails(check: Callable[[], bool]) -> bool:
    return not check()


def _heavy(facts: Facts, law: Law) -> bool:
    grams = grams_from_pounds(Decimal(law[NTSB_WEIGHT]))
    weight = weight_as_flown_g(facts.linked(INCIDENT_AIRCRAFT))
    if weight.low < grams <= weight.high:
        raise Undecided(Why.WITHIN_DOUBT, TAKEOFF_WEIGHT.name)
    return weight.low >= grams


def _dear_damage(facts: Facts, law: Law) -> bool:
    """Whether other property was damaged over the NTSB's limit, by the lesser of repair and value."""
    limit = Decimal(law[NTSB_OTHER_DAMAGE])
    if facts.on_file(DAMAGED) is not DamagedProperty.OTHERS:
        return False
    value = facts.on_file(PROPERTY_VALUE)
    return facts[REPAIR_COST] > limit and (value is None or value > limit)


def notify_ntsb(facts: Facts, law: Law) -> Outcome:
    """Whether the NTSB was told at once where it must be; for small aircraft the list of incidents is read both ways."""
    start, on, kind = facts[HAPPENED_ON], day_of(facts.on), _kind(facts, law)
    if kind is _Kind.NOTHING:
        return no_duty("not_listed")
    told = happened(facts, NTSB_TOLD_ON)
    if told == start:
        return met("told", value=told)
    if kind not in _OWED:
        law.span(NTSB_LIST_BINDS)
        return unknown(Why.OPEN_READING, "listed_small" if kind is _Kind.LISTED_SMALL else "cause_open")
    if told is not None and told > start:
        return unknown(Why.OPEN_READING, "told_later", value=told)
    if on <= start:
        return unknown(Why.MISSING, "owed", value=start, due_on=start)
    return not_met("not_told", value=start)


def ntsb_written_report(facts: Facts, law: Law) -> Outcome:
    """Whether the written report went to the NTSB within ten days of an accident, or when it was asked for."""
    start, days, kind = facts[HAPPENED_ON], law[NTSB_DAYS], _kind(facts, law)
    if kind is _Kind.ACCIDENT:
        return _sent(facts, NTSB_REPORT_ON, start, add_days(start, days))
    if not facts.on_file(NTSB_ASKED):
        return no_duty("only_when_asked")
    sent = happened(facts, NTSB_REPORT_ON)
    return unknown(Why.MISSING, "asked") if sent is None else met("sent", value=sent)


def preserve_wreckage_and_records(facts: Facts, law: Law) -> Outcome:
    """Whether wreckage and records are kept until the NTSB releases them; it stands or falls with the notice."""
    law.span(NTSB_PRESERVATION)
    kind = _kind(facts, law)
    if kind is _Kind.NOTHING:
        return no_duty("not_listed")
    released = happened(facts, RELEASED_ON)
    if released is not None and released >= facts[HAPPENED_ON]:
        return met("released", value=released)
    if kind not in _OWED:
        law.span(NTSB_LIST_BINDS)
        return unknown(Why.OPEN_READING, "follows_the_notice")
    return met("kept") if facts[WRECKAGE_KEPT] else not_met("not_kept")
