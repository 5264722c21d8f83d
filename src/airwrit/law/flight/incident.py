"""After an incident: the report to the FAA (14 CFR 107.9), and notice, report and preservation for the NTSB (49 CFR 830)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import partial

from airwrit.base.days import add_days, day_of
from airwrit.base.units import grams_from_pounds
from airwrit.base.verdict import Outcome, Undecided, Why, days_left
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import Cause, DamagedProperty
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.facts.keys.incident import (
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
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import happened
from airwrit.law.aircraft.weight import weight_as_flown_g
from airwrit.law.flight.other_law import beyond_part_107
from airwrit.law.flight.regime import either
from airwrit.law.holder.pilot import part_107_pilot
from airwrit.law.parameters import Law, law_of_event, parameter
from airwrit.law.rule import Bears, Rule, met, no_duty, not_asked, not_met, unknown

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
    if facts.use is not UsedFor.WORK:
        return no_duty("recreation")
    start = facts[HAPPENED_ON]
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    then = law_of_event(law, start, FAA_DAYS)
    free = part_107_pilot(facts, then) or _beyond_part_107(facts, then)
    if free is not None:
        return free
    limit, days = Decimal(then[FAA_DAMAGE]), then[FAA_DAYS]
    injury = then[FAA_INJURY]
    if either(
        lambda: "serious injury" in injury and facts[SERIOUS_INJURY],
        lambda: "loss of consciousness" in injury and facts[UNCONSCIOUS],
        lambda: _damage_counts(facts, limit),
    ):
        return _sent(facts, REPORTED_ON, start, add_days(start, days))
    if facts[DAMAGED] is DamagedProperty.NOTHING:
        return no_duty("nothing_counts")
    repair = facts.on_file(REPAIR_COST)
    if repair is None or repair > limit:
        return no_duty("value_not_over", value=facts[PROPERTY_VALUE])
    return no_duty("not_over", value=repair)


REPORT_107_9_RULE = Rule("report_107_9", "incident", Bears.ANSWER, report_107_9)


def _beyond_part_107(facts: Facts, law: Law) -> Outcome | None:
    """Why 107.9 does not reach what the aircraft did: 55 lb or more, a COA, other law; None where it does."""
    flown = facts.linked_on_file(INCIDENT_AIRCRAFT)
    return None if flown is None else beyond_part_107(flown, law, None)


def _damage_counts(facts: Facts, limit: Decimal) -> bool:
    """Whether damage to other property is over the limit: repair over it and, on a total loss, the value over it too.

    Either figure at the limit or under it excuses; a total loss counts by its value where nobody made an estimate.
    """
    damaged = facts[DAMAGED]
    if damaged is DamagedProperty.NOTHING:
        return False
    repair = facts.on_file(REPAIR_COST)
    if repair is not None and repair <= limit:
        return False
    if repair is None and not facts[TOTAL_LOSS]:
        facts[REPAIR_COST]
    over = _lost_over(facts, limit)
    if over and damaged is DamagedProperty.CARRIED:
        raise Undecided(Why.OPEN_READING, "carried_property")
    return over


def _lost_over(facts: Facts, limit: Decimal) -> bool:
    """Whether it is no total loss, or one of a value over the limit."""
    if not facts.has(PROPERTY_VALUE) and facts.on_file(TOTAL_LOSS) is False:
        return True
    return facts[PROPERTY_VALUE] > limit or not facts[TOTAL_LOSS]


def _sent(facts: Facts, key: Key[date], start: date, due: date) -> Outcome:
    """Whether a report was sent from the day it was owed to its last day."""
    sent, on = happened(facts, key), day_of(facts.on)
    if sent is not None and sent >= start:
        return met("sent", value=sent) if sent <= due else not_met("sent_late", value=due)
    if on <= due:
        return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))
    return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))


def _kind(facts: Facts, law: Law) -> _Kind:
    law.written_for(NTSB_INJURY, "830.2")
    if either(lambda: facts[DEATH_OR_INJURY], lambda: _substantial(facts, law)):
        return _Kind.ACCIDENT
    if not law[NTSB_LIST]:
        return _Kind.NOTHING
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
    if value is not None and not facts.has(REPAIR_COST) and facts.on_file(TOTAL_LOSS):
        return value > limit
    return facts[REPAIR_COST] > limit and (value is None or value > limit)


def notify_ntsb(facts: Facts, law: Law) -> Outcome:
    """Whether the NTSB was told at once where it must be; for small aircraft the list of incidents is read both ways."""
    start, on = facts[HAPPENED_ON], day_of(facts.on)
    if start > on:
        return no_duty("still_to_come")
    law = law_of_event(law, start, NTSB_BY_WEIGHT)
    kind = _kind(facts, law)
    if kind is _Kind.NOTHING:
        return no_duty("not_listed")
    told = happened(facts, NTSB_TOLD_ON)
    if told == start:
        return met("told", value=told)
    if kind not in _OWED:
        if not law[NTSB_LIST_BINDS]:
            return no_duty("not_listed")
        return unknown(Why.OPEN_READING, "listed_small" if kind is _Kind.LISTED_SMALL else "cause_open")
    if told is not None and told > start:
        return unknown(Why.OPEN_READING, "told_later", value=told)
    if on <= start:
        return unknown(Why.MISSING, "owed", value=start, due_on=start)
    return not_met("not_told", value=start)


NOTIFY_NTSB_RULE = Rule("notify_ntsb", "incident", Bears.ANSWER, notify_ntsb)


def ntsb_written_report(facts: Facts, law: Law) -> Outcome:
    """Whether the written report went to the NTSB within ten days of an accident, or when it was asked for."""
    start = facts[HAPPENED_ON]
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    law = law_of_event(law, start, NTSB_DAYS)
    days, kind = law[NTSB_DAYS], _kind(facts, law)
    if kind is _Kind.ACCIDENT:
        return _sent(facts, NTSB_REPORT_ON, start, add_days(start, days))
    if not facts.on_file(NTSB_ASKED):
        return no_duty("only_when_asked")
    sent = happened(facts, NTSB_REPORT_ON)
    return unknown(Why.MISSING, "asked") if sent is None else met("sent", value=sent)


NTSB_WRITTEN_REPORT_RULE = Rule("ntsb_written_report", "incident", Bears.ANSWER, ntsb_written_report)


def preserve_wreckage_and_records(facts: Facts, law: Law) -> Outcome:
    """Whether wreckage and records are kept until the NTSB releases them; it stands or falls with the notice."""
    start = facts[HAPPENED_ON]
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    law = law_of_event(law, start, NTSB_PRESERVATION)
    free = not_asked(law, NTSB_PRESERVATION)
    if free is not None:
        return free
    kind = _kind(facts, law)
    if kind is _Kind.NOTHING:
        return no_duty("not_listed")
    released = happened(facts, RELEASED_ON)
    if released is not None and released >= start:
        return met("released", value=released)
    if kind not in _OWED:
        if not law[NTSB_LIST_BINDS]:
            return no_duty("not_listed")
        return unknown(Why.OPEN_READING, "follows_the_notice")
    return met("kept") if facts[WRECKAGE_KEPT] else not_met("not_kept")


PRESERVE_WRECKAGE_AND_RECORDS_RULE = Rule(
    "preserve_wreckage_and_records", "incident", Bears.ANSWER, preserve_wreckage_and_records
)
