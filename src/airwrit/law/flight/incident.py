"""After an incident: the report to the FAA (14 CFR 107.9), and notice, report and preservation for the NTSB (49 CFR 830)."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from decimal import Decimal
from enum import StrEnum
from functools import partial

from airwrit.base.days import add_days, day_of
from airwrit.base.measured import grams_from_pounds
from airwrit.base.verdict import Outcome, Undecided, Why, days_left
from airwrit.facts.choices import OperatedUnder, UsedFor
from airwrit.facts.flight_choices import Cause, DamagedProperty, Hurt, IncidentUnder
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import TAKEOFF_WEIGHT
from airwrit.facts.keys.incident import (
    ABROAD,
    AIRCRAFT_MISSING,
    AIRWORTHINESS_CERTIFICATE,
    ANYONE_HURT,
    BLADE_RELEASED,
    CAUSE,
    COLLIDED,
    CONTROL_FAILED,
    CREW_UNABLE,
    DAMAGED,
    DEATH_OR_INJURY,
    FIRE_IN_FLIGHT,
    FLEW_AWAY,
    HAPPENED_ON,
    IN_OPERATION,
    INCIDENT_AIRCRAFT,
    INCIDENT_UNDER,
    NTSB_ASKED,
    NTSB_REPORT_ON,
    NTSB_TOLD_ON,
    PROPERTY_VALUE,
    RECREATION_RULES_KEPT,
    RELEASED_ON,
    REPAIR_COST,
    REPORTED_ON,
    REST_OF_LIST,
    ROTOR_DAMAGED,
    SERIOUS_INJURY,
    SUBSTANTIAL_DAMAGE,
    TOTAL_LOSS,
    UNCONSCIOUS,
    WRECKAGE_KEPT,
)
from airwrit.facts.state import Facts, State
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
NTSB_MISSING_DAYS = parameter("ntsb_report_missing_days", int)
NTSB_PRESERVATION = parameter("ntsb_preservation", bool)


class NtsbKind(StrEnum):
    """What an incident is to the NTSB."""

    ACCIDENT = "accident"
    LISTED = "listed incident of a certificated aircraft"
    LISTED_SMALL = "listed incident without airworthiness certificate"
    CAUSE_OPEN = "no item of the list asked"
    NOTHING = "neither"


ITEMS: tuple[tuple[Key[bool], Cause, str], ...] = (
    (FIRE_IN_FLIGHT, Cause.FIRE, "830.5(a)(4)"),
    (FLEW_AWAY, Cause.FLYAWAY, "830.5(a)(1)"),
    (CONTROL_FAILED, Cause.CONTROL, "830.5(a)(1)"),
    (CREW_UNABLE, Cause.CREW, "830.5(a)(2)"),
    (COLLIDED, Cause.COLLISION, "830.5(a)(5)"),
    (BLADE_RELEASED, Cause.BLADE, "830.5(a)(8)"),
    (ROTOR_DAMAGED, Cause.ROTOR, "830.5(a)(11)"),
    (AIRCRAFT_MISSING, Cause.MISSING, "830.5(b)"),
    (REST_OF_LIST, Cause.LISTED, "830.5(a)(3), (7), (9), (10), (12)"),
)
"""The NTSB's list beside the damage to other property, item by item: the fact, the cause that says the same, the paragraph."""
_OWN_LINE = {FIRE_IN_FLIGHT: "listed_fire", FLEW_AWAY: "listed_flyaway", AIRCRAFT_MISSING: "listed_missing"}
_OWED = (NtsbKind.ACCIDENT, NtsbKind.LISTED)


def report_107_9(facts: Facts, law: Law) -> Outcome:
    """Whether an injury, or damage over the limit, was reported to the FAA within ten calendar days. Weekends count.

    A flight for recreation is outside Part 107 only if it kept every rule of 49 USC 44809(a). That is asked where harm counts.
    """
    under = facts.on_file(INCIDENT_UNDER)
    for_fun = under is IncidentUnder.RECREATION or (under is None and facts.use is not UsedFor.WORK)
    if for_fun and facts.has(RECREATION_RULES_KEPT) and facts[RECREATION_RULES_KEPT]:
        return no_duty("recreation")
    start = happened_day(facts)
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    if not in_operation(facts):
        return no_duty("not_in_operation")
    if facts.on_file(ABROAD):
        return unknown(Why.OUTSIDE_THIS_TOOL, "abroad")
    then = law_of_event(law, start, FAA_DAYS)
    free = part_107_pilot(facts.under(UsedFor.WORK), then) or _beyond_part_107(facts, under, then)
    if free is not None:
        return free
    limit, days = Decimal(then[FAA_DAMAGE]), then[FAA_DAYS]
    injury = then[FAA_INJURY]
    if either(
        lambda: "serious injury" in injury and was_hurt(facts, SERIOUS_INJURY),
        lambda: "loss of consciousness" in injury and was_hurt(facts, UNCONSCIOUS),
        lambda: _damage_counts(facts, limit),
    ):
        if for_fun and facts[RECREATION_RULES_KEPT]:
            return no_duty("recreation")
        return _sent(facts, REPORTED_ON, start, add_days(start, days))
    if facts[DAMAGED] is DamagedProperty.NOTHING:
        return no_duty("nothing_counts")
    repair = facts.on_file(REPAIR_COST)
    if repair is None or repair > limit:
        return no_duty("value_not_over", value=facts[PROPERTY_VALUE])
    return no_duty("not_over", value=repair)


REPORT_107_9_RULE = Rule("report_107_9", "incident", Bears.ANSWER, report_107_9)


def in_operation(facts: Facts) -> bool:
    """Whether it came of operating the aircraft: 14 CFR 107.9 and 49 CFR 830 ask about nothing else. Unsaid is taken as so."""
    return facts.on_file(IN_OPERATION) is not False


def happened_day(facts: Facts) -> date:
    """The civil day of the event, at its place."""
    return day_of(facts[HAPPENED_ON])


def was_hurt(facts: Facts, key: Key[bool]) -> bool:
    """Whether somebody was hurt in a way that a rule asks about; what was said in plain words of the place settles it too."""
    if facts.has(key):
        return facts[key]
    said = facts.on_file(ANYONE_HURT)
    if said in (Hurt.NOBODY, Hurt.FIRST_AID):
        return False
    return (said is Hurt.DIED and key is not UNCONSCIOUS) or facts[key]


def _beyond_part_107(facts: Facts, under: IncidentUnder | None, law: Law) -> Outcome | None:
    """Why 107.9 does not reach what the aircraft did: 55 lb or more, a COA, other law; None where it does."""
    if under in (IncidentUnder.COA, IncidentUnder.OTHER):
        return unknown(Why.OUTSIDE_THIS_TOOL, "other_law")
    flown = facts.linked_on_file(INCIDENT_AIRCRAFT)
    stated = OperatedUnder.PART_107 if under is IncidentUnder.PART_107 else None
    return None if flown is None else beyond_part_107(flown, law, stated)


def _damage_counts(facts: Facts, limit: Decimal) -> bool:
    """Whether damage to other property is over the limit: the repair over it, and the value over it too.

    Either figure at the limit or under it excuses, also where the property can be repaired: AC 107-2 takes the lower of the
    two (its example, from pages that quote it: worth $200, repair $600, not reported). Where only the repair is known the
    value is taken as over the limit unless it is a total loss. A total loss counts by its value where nobody made an estimate.
    """
    damaged = facts[DAMAGED]
    if damaged is DamagedProperty.NOTHING:
        return False
    repair = facts.on_file(REPAIR_COST)
    if any(facts.has(key) and facts[key] <= limit for key in (REPAIR_COST, PROPERTY_VALUE)):
        return False
    if repair is None and not facts[TOTAL_LOSS]:
        facts[REPAIR_COST]
    over = _lost_over(facts, limit)
    if over and damaged is DamagedProperty.CARRIED:
        raise Undecided(Why.OPEN_READING, "carried_property")
    return over


def _lost_over(facts: Facts, limit: Decimal) -> bool:
    """Whether it is no total loss, or one of a value over the limit. A value over it settles this by itself."""
    if facts.has(PROPERTY_VALUE) and facts[PROPERTY_VALUE] > limit:
        return True
    return not facts[TOTAL_LOSS] or facts[PROPERTY_VALUE] > limit


def _sent(facts: Facts, key: Key[date], start: date, due: date) -> Outcome:
    """Whether a report was sent from the day it was owed until the last day."""
    sent, on = happened(facts, key), day_of(facts.on)
    if sent is not None and sent >= start:
        return met("sent", value=sent) if sent <= due else not_met("sent_late", value=due)
    if on <= due:
        return unknown(Why.MISSING, "owed", value=due, due_on=due, margin=days_left(due, on))
    return not_met("overdue", value=due, due_on=due, margin=days_left(due, on))


def kind_of_incident(facts: Facts, law: Law) -> NtsbKind:
    """What it is to the NTSB, by the law of its day. Undecided where an item of the list was not asked and none was said.

    An item of the list that happened settles that it is at least listed, also where it may turn out to be an accident.
    """
    try:
        if is_accident(facts, law):
            return NtsbKind.ACCIDENT
    except Undecided:
        if _surely(lambda: law[NTSB_LIST] and _on_list(facts, law)):
            return _small_or_not(facts)
        raise
    if not law[NTSB_LIST]:
        return NtsbKind.NOTHING
    if not (any(facts.has(key) for key, _, _ in ITEMS) or facts.has(CAUSE)):
        is_dear = _surely(lambda: _dear_damage(facts, law))
        return _small_or_not(facts) if is_dear else NtsbKind.CAUSE_OPEN
    return _small_or_not(facts) if _on_list(facts, law) else NtsbKind.NOTHING


def _on_list(facts: Facts, law: Law) -> bool:
    """Whether an item of the NTSB's list happened."""
    listed = [partial(_happened, facts, key, cause) for key, cause, _ in ITEMS]
    return either(*listed, lambda: _dear_damage(facts, law))


def _surely(check: Callable[[], bool]) -> bool:
    """Whether something is so by what is known: False where it can't be told."""
    try:
        return check()
    except Undecided:
        return False


def is_accident(facts: Facts, law: Law) -> bool:
    """Whether it is an accident to the NTSB: death or serious injury, or substantial damage as the law of the day has it."""
    law.written_for(NTSB_INJURY, "830.2")
    return either(lambda: was_hurt(facts, DEATH_OR_INJURY), lambda: _substantial(facts, law))


def _small_or_not(facts: Facts) -> NtsbKind:
    return NtsbKind.LISTED if facts.on_file(AIRWORTHINESS_CERTIFICATE) else NtsbKind.LISTED_SMALL


def _happened(facts: Facts, key: Key[bool], cause: Cause) -> bool:
    """Whether an item of the list happened: as asked by itself, or by the one cause that was said of the whole list."""
    if facts.has(key):
        return facts[key]
    said = facts.on_file(CAUSE)
    return facts[key] if said is None else said is cause


def _substantial(facts: Facts, law: Law) -> bool:
    """Whether substantial damage makes it an accident: by weight until 2022-08-15, then by airworthiness certificate."""
    if law[NTSB_BY_WEIGHT]:
        return _all_true(lambda: facts[SUBSTANTIAL_DAMAGE], lambda: _heavy(facts, law))
    return _all_true(lambda: facts[AIRWORTHINESS_CERTIFICATE], lambda: facts[SUBSTANTIAL_DAMAGE])


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
    """Whether other property was damaged over the NTSB's limit, by the lesser of repair and value.

    What the aircraft carried is property other than the aircraft too: 830.2 has no definition that makes it a part of it, as
    14 CFR 1.1 has for a small unmanned aircraft.
    """
    limit = Decimal(law[NTSB_OTHER_DAMAGE])
    if facts[DAMAGED] is DamagedProperty.NOTHING:
        return False
    value = facts.on_file(PROPERTY_VALUE)
    if value is not None and not facts.has(REPAIR_COST) and facts.on_file(TOTAL_LOSS):
        return value > limit
    return facts[REPAIR_COST] > limit and (value is None or value > limit)


def dear_damage(state: State, incident: str) -> tuple[int, bool | None]:
    """The NTSB's limit of damage to other property on the day of an incident, and whether it was over it (None: not known).

    Where the day is not known the limit of the day asked about stands in.
    """
    facts = Facts(state, incident)
    law = Law(day_of(facts.on_file(HAPPENED_ON) or state.on))
    try:
        return law[NTSB_OTHER_DAMAGE], _dear_damage(facts, law)
    except Undecided:
        return law[NTSB_OTHER_DAMAGE], None


def notify_ntsb(facts: Facts, law: Law) -> Outcome:
    """Whether the NTSB was notified immediately if it had to be. It isn't clear if its list covers small drones."""
    start, on = happened_day(facts), day_of(facts.on)
    if start > on:
        return no_duty("still_to_come")
    if not in_operation(facts):
        return no_duty("not_in_operation")
    law = law_of_event(law, start, NTSB_BY_WEIGHT)
    kind = kind_of_incident(facts, law)
    if kind is NtsbKind.NOTHING:
        return no_duty("not_listed")
    told = happened(facts, NTSB_TOLD_ON)
    if told == start:
        return met("told", value=told)
    if kind not in _OWED:
        if not law[NTSB_LIST_BINDS]:
            return no_duty("not_listed")
        return unknown(Why.OPEN_READING, _line_of(facts) if kind is NtsbKind.LISTED_SMALL else "cause_open")
    if told is not None:
        return unknown(Why.OPEN_READING, "told_later", value=told)
    if on <= start:
        return unknown(Why.MISSING, "owed", value=start, due_on=start)
    return not_met("not_told", value=start)


def _line_of(facts: Facts) -> str:
    """The code of what happened to a small aircraft: a fire, a fly-away and a missing aircraft have their own."""
    said = facts.on_file(CAUSE)
    for key, cause, _ in ITEMS:
        if key in _OWN_LINE and (facts.on_file(key) or (said is cause and not facts.has(key))):
            return _OWN_LINE[key]
    return "listed_small"


NOTIFY_NTSB_RULE = Rule("notify_ntsb", "incident", Bears.ANSWER, notify_ntsb)


def ntsb_written_report(facts: Facts, law: Law) -> Outcome:
    """Whether the written report went to the NTSB in time: ten days after an accident, or when the NTSB asked."""
    start = happened_day(facts)
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    if not in_operation(facts):
        return no_duty("not_in_operation")
    law = law_of_event(law, start, NTSB_DAYS)
    days = law[NTSB_DAYS]
    if is_accident(facts, law):
        return _sent(facts, NTSB_REPORT_ON, start, add_days(start, days))
    if facts.on_file(AIRCRAFT_MISSING):
        due = add_days(start, law[NTSB_MISSING_DAYS])
        if facts.on_file(AIRWORTHINESS_CERTIFICATE):
            return _sent(facts, NTSB_REPORT_ON, start, due)
        return unknown(Why.OPEN_READING, "missing_small", value=due, due_on=due)
    if not facts.on_file(NTSB_ASKED):
        return no_duty("only_when_asked")
    sent = happened(facts, NTSB_REPORT_ON)
    return unknown(Why.MISSING, "asked") if sent is None else met("sent", value=sent)


NTSB_WRITTEN_REPORT_RULE = Rule("ntsb_written_report", "incident", Bears.ANSWER, ntsb_written_report)


def preserve_wreckage_and_records(facts: Facts, law: Law) -> Outcome:
    """Whether wreckage and records are kept until the NTSB releases them."""
    start = happened_day(facts)
    if start > day_of(facts.on):
        return no_duty("still_to_come")
    if not in_operation(facts):
        return no_duty("not_in_operation")
    law = law_of_event(law, start, NTSB_PRESERVATION)
    free = not_asked(law, NTSB_PRESERVATION)
    if free is not None:
        return free
    kind = kind_of_incident(facts, law)
    if kind is NtsbKind.NOTHING:
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
