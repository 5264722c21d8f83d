"""Remote pilots: certificate, recency and its history, night, temporary certificate, address, age. 14 CFR Part 107."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime, timedelta
from decimal import Decimal
from functools import partial
from typing import NamedTuple

from airwrit.base.days import (
    Order,
    When,
    add_days,
    day_of,
    end_of_calendar_months,
    first_of_month_before,
    order_of,
    whole_years_between,
)
from airwrit.base.verdict import Outcome, Verdict, Why, days_left
from airwrit.facts.choices import EventKind, UsedFor
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.event import MOVE_OF
from airwrit.facts.keys.person import (
    ADDRESS_CHANGED_ON,
    ADDRESS_TOLD_ON,
    BORN_ON,
    COMPLETED_ON,
    EVENT_KIND,
    EVENT_OF,
    FLIES_AT_NIGHT,
    FLIES_FOR,
    FLIGHT_REVIEW_ON,
    HAS_CERTIFICATE,
    PART_61_PILOT,
    RECURRENT_DUE_ON,
    SAFETY_TEST_ON,
    SAFETY_TEST_PROOF,
    SUPERVISED,
    TEMPORARY_ISSUED_ON,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import change_day, happened
from airwrit.law.parameters import Law, law_of_event, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, known_of, met, no_duty, not_asked, not_met, unknown

PART_107_IN_FORCE = parameter("part_107_in_force", bool)
RECENCY_MONTHS = parameter("recency_months", int)
TRAINING_COUNTS = parameter("recurrent_training_counts", bool)
RELIEF = parameter("recency_relief", bool)
RELIEF_FIRST_LAPSE = parameter("recency_relief_first_lapse", date)
RELIEF_LAST_LAPSE = parameter("recency_relief_last_lapse", date)
FLIGHT_REVIEW_MONTHS = parameter("flight_review_months", int)
NIGHT_BY_TRAINING = parameter("night_by_training", bool)
NIGHT_TRAINING_AFTER = parameter("night_training_after", date)
TEMPORARY_DAYS = parameter("temporary_certificate_days", int)
ADDRESS_DAYS = parameter("pilot_address_days", int)
LEAST_AGE = parameter("remote_pilot_least_age", int)
SUPERVISION_ALLOWED = parameter("supervised_manipulation_allowed", bool)
PURPOSE_DECIDES = parameter("all_conditions_or_part_107", bool)
SAFETY_TEST_CONDITION = parameter("safety_test_condition", bool)
SAFETY_TEST_AVAILABLE = parameter("safety_test_available", bool)


_FARTHEST_WEST = timedelta(hours=11)
"""How far the clock of American Samoa, the last of the United States, is behind UTC."""


class TrainingEvent(NamedTuple):
    """A test or training on file: which, when completed, and how its completion lies against the day asked about."""

    kind: EventKind
    completed: When
    order: Order


def _events(facts: Facts) -> tuple[list[TrainingEvent], Outcome | None]:
    """The events on file, and the first gap among them."""

    return known_of([partial(_read, event) for event in facts.linking(EVENT_OF)])


def _read(event: Facts) -> TrainingEvent:
    completed = event[COMPLETED_ON]
    order = order_of(completed, event.on)
    return TrainingEvent(event[EVENT_KIND], completed, Order.DOUBT if order is Order.SAME else order)


def _counts(event: TrainingEvent, facts: Facts, law: Law) -> bool:
    """Whether the event counts for recency by the law of the day it was completed."""
    if event.kind in (EventKind.INITIAL_TEST, EventKind.RECURRENT):
        return True
    if event.kind is EventKind.PART_61_TRAINING:
        return facts.on_file(PART_61_PILOT) is True
    by_training = law.then(day_of(event.completed))[TRAINING_COUNTS]
    if event.kind is EventKind.RECURRENT_TEST:
        return not by_training
    return by_training or facts.on_file(PART_61_PILOT) is True


def _end(event: TrainingEvent, law: Law) -> date:
    return end_of_calendar_months(day_of(event.completed), law[RECENCY_MONTHS])


def _sure_end(event: TrainingEvent, law: Law) -> date:
    """The last day it surely counts. An instant in UTC may fall on the day before by the clock where it was completed."""
    done = event.completed
    in_utc = isinstance(done, datetime) and done.utcoffset() == timedelta()
    return end_of_calendar_months(day_of(done - _FARTHEST_WEST if in_utc else done), law[RECENCY_MONTHS])


class Counted(NamedTuple):
    """An event on file by its subject: what it is (None: cannot be read), whether it counts for recency, until when.

    `for_night` tells whether it also is the training that flight at night asks for.
    """

    subject: str
    event: TrainingEvent | None
    counts: bool
    until: date | None
    for_night: bool


def events_counted(facts: Facts, law: Law) -> tuple[Counted, ...]:
    """Every test and training on file of a person, and what each is good for by the law of the day."""
    found = []
    for one in facts.linking(EVENT_OF):
        read, _ = known_of([partial(_read, one)])
        if not read:
            found.append(Counted(one.subject, None, False, None, False))
            continue
        event = read[0]
        counts = event.order is not Order.AFTER and _counts(event, facts, law)
        night = counts and law[NIGHT_BY_TRAINING] and day_of(event.completed) > law[NIGHT_TRAINING_AFTER]
        found.append(Counted(one.subject, event, counts, _end(event, law) if counts else None, night))
    return tuple(found)


def flies_for_stated(facts: Facts, law: Law) -> Outcome:
    """Whether we know what the person flies for. The law doesn't ask this, but the answers depend on it."""
    free = not_asked(law, PURPOSE_DECIDES)
    if free is not None:
        return free
    facts[FLIES_FOR]
    return no_duty("stated")


FLIES_FOR_STATED_RULE = Rule("flies_for_stated", "person", Bears.FLIGHT, flies_for_stated)


def part_107_pilot(facts: Facts, law: Law) -> Outcome | None:
    """Why a remote pilot duty does not bind under this use on this day; None when it does."""
    if facts.use is not UsedFor.WORK:
        return no_duty("recreation")
    if not law[PART_107_IN_FORCE]:
        return unknown(Why.OUTSIDE_THIS_TOOL, "before_part_107")
    return None


def certificate_held(facts: Facts, law: Law) -> Outcome:
    """Whether the person holds a remote pilot certificate."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    return met("held") if facts[HAS_CERTIFICATE] else not_met("not_held")


CERTIFICATE_HELD_RULE = Rule(
    "certificate_held",
    "person",
    Bears.FLIGHT,
    certificate_held,
    topic=Topic.CERTIFICATE,
    shown_by=(DocumentShows.CERTIFICATE,),
)


def recency(facts: Facts, law: Law) -> Outcome:
    """Whether a test or training was completed within the 24 calendar months before that day."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    events, gap = _events(facts)
    done = [event for event in events if event.order is not Order.AFTER and _counts(event, facts, law)]
    return _recent(done, gap, facts, law)


RECENCY_RULE = Rule(
    "recency",
    "person",
    Bears.FLIGHT,
    recency,
    topic=Topic.RECENCY,
    shown_by=(
        DocumentShows.TRAINING,
        DocumentShows.TEST,
    ),
    has_last_day=True,
    lapse="lapsed",
)


def _recent(done: list[TrainingEvent], gap: Outcome | None, facts: Facts, law: Law) -> Outcome:
    on = day_of(facts.on)
    before = [event for event in done if event.order is Order.BEFORE]
    last = max((_end(event, law) for event in before), default=None)
    surely = max((_sure_end(event, law) for event in before), default=None)
    if surely is not None and on <= surely:
        return met("recent", value=surely, due_on=surely, holds_until=surely, margin=days_left(surely, on))
    if last is not None and on <= last:
        return unknown(Why.OPEN_READING, "month_by_utc", value=surely)
    if any(event.order is Order.DOUBT for event in done):
        return unknown(Why.WITHIN_DOUBT, "completed_that_day")
    if gap is not None:
        return gap
    written = _as_written(facts, law)
    if written is not None:
        return written
    if last is None:
        return unknown(Why.MISSING, "no_event")
    if law[RELIEF] and law[RELIEF_FIRST_LAPSE] <= last <= law[RELIEF_LAST_LAPSE]:
        return unknown(Why.OPEN_READING, "relief_of_2020", value=last)
    return not_met("lapsed", value=last, margin=days_left(last, on))


def _as_written(facts: Facts, law: Law) -> Outcome | None:
    """What the day written down for the next training shows: nothing before the longest time a training counts."""
    due, on = facts.on_file(RECURRENT_DUE_ON), day_of(facts.on)
    if due is None or on < first_of_month_before(due, law[RECENCY_MONTHS]):
        return None
    if on <= due:
        return met("recent_as_written", value=due, due_on=due, holds_until=due, margin=days_left(due, on))
    return not_met("due_passed", value=due, margin=days_left(due, on))


def flight_review(facts: Facts, law: Law) -> Outcome:
    """Whether a pilot who uses the Part 61 training has had a flight review in the last 24 months."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    events, gap = _events(facts)
    on = day_of(facts.on)
    good = [e for e in events if e.order is Order.BEFORE and _counts(e, facts, law) and on <= _end(e, law)]
    if not any(event.kind is EventKind.PART_61_TRAINING for event in good):
        return gap if gap is not None and not good else no_duty("not_resting_on_part_61")
    if any(event.kind is not EventKind.PART_61_TRAINING for event in good):
        return no_duty("not_resting_on_part_61")
    last = end_of_calendar_months(facts[FLIGHT_REVIEW_ON], law[FLIGHT_REVIEW_MONTHS])
    if facts[FLIGHT_REVIEW_ON] > on:
        return not_met("review_to_come", value=facts[FLIGHT_REVIEW_ON])
    if on <= last:
        return met("reviewed", value=last, due_on=last, holds_until=last, margin=days_left(last, on))
    return not_met("review_lapsed", value=last, margin=days_left(last, on))


FLIGHT_REVIEW_RULE = Rule(
    "flight_review",
    "person",
    Bears.FLIGHT,
    flight_review,
    topic=Topic.RECENCY,
    shown_by=(DocumentShows.TRAINING,),
    has_last_day=True,
    lapse="review_lapsed",
)


def night_eligible(facts: Facts, law: Law) -> Outcome:
    """Whether a test or training was completed after April 6, 2021. Flying at night requires that, besides being current."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    if facts.on_file(FLIES_AT_NIGHT) is False:
        return no_duty("not_at_night")
    if not law[NIGHT_BY_TRAINING]:
        return not_met("waiver_only")
    after = law[NIGHT_TRAINING_AFTER]
    events, gap = _events(facts)
    done = [event for event in events if event.order is not Order.AFTER and _counts(event, facts, law)]
    return _night(done, gap, after)


NIGHT_ELIGIBLE_RULE = Rule("night_eligible", "person", Bears.NIGHT, night_eligible, topic=Topic.NIGHT)


def _night(done: list[TrainingEvent], gap: Outcome | None, after: date) -> Outcome:
    trained = [event for event in done if day_of(event.completed) > after]
    if any(event.order is Order.BEFORE for event in trained):
        return met("trained")
    if trained:
        return unknown(Why.WITHIN_DOUBT, "completed_that_day")
    if gap is not None:
        return gap
    if not done:
        return unknown(Why.MISSING, "no_event")
    if any(day_of(event.completed) == after for event in done):
        return unknown(Why.OPEN_READING, "on_the_day_itself", value=after)
    return not_met("trained_before", value=max(day_of(event.completed) for event in done))


def temporary_certificate(facts: Facts, law: Law) -> Outcome:
    """Whether a temporary certificate is within its 120 days, if the pilot has no permanent one."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    issued = facts.on_file(TEMPORARY_ISSUED_ON)
    if issued is None:
        return no_duty("none_on_file")
    on, last = day_of(facts.on), add_days(issued, law[TEMPORARY_DAYS])
    if on < issued:
        return not_met("not_yet", value=issued)
    if on <= last:
        return met("running", value=last, due_on=last, holds_until=last, margin=days_left(last, on))
    return not_met("run_out", value=last, margin=days_left(last, on))


TEMPORARY_CERTIFICATE_RULE = Rule(
    "temporary_certificate",
    "person",
    Bears.FLIGHT,
    temporary_certificate,
    topic=Topic.CERTIFICATE,
    shown_by=(DocumentShows.CERTIFICATE,),
    has_last_day=True,
    lapse="run_out",
)


def address_told(facts: Facts, law: Law) -> Outcome:
    """Whether the FAA was notified of every new mailing address. If not, the pilot can't fly after 30 days.

    Telling once tells all moves up to its day; of those after it the first one counts.
    """
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    on = day_of(facts.on)
    law.span(ADDRESS_DAYS)
    moves, gap = known_of(_moves(facts))
    changed = [day for day in moves if day is not None]
    if gap is None and not changed:
        return no_duty("nothing_changed")
    told = happened(facts, ADDRESS_TOLD_ON)
    owed = [day for day in changed if told is None or day > told]
    last = add_days(min(owed), law_of_event(law, min(owed), ADDRESS_DAYS)[ADDRESS_DAYS]) if owed else on
    if owed and on > last:
        return not_met("privileges_stopped", value=last, margin=days_left(last, on))
    if gap is not None:
        return gap
    if not owed:
        return met("told", value=told)
    return met("within_30_days", due_on=last, value=last, holds_until=last, margin=days_left(last, on))


ADDRESS_TOLD_RULE = Rule(
    "address_told",
    "person",
    Bears.FLIGHT,
    address_told,
    topic=Topic.CERTIFICATE,
    has_last_day=True,
    lapse="privileges_stopped",
)


def _moves(facts: Facts) -> list[Callable[[], date | None]]:
    """Looks for the days on which the address changed: None where that is still to come or nothing is on file."""
    stated: list[Callable[[], date | None]] = [lambda: happened(facts, ADDRESS_CHANGED_ON)]
    return stated + [partial(change_day, event) for event in facts.linking(MOVE_OF)]


def certificate_age(facts: Facts, law: Law) -> Outcome:
    """Whether the person is old enough for a remote pilot certificate."""
    age, least = whole_years_between(facts[BORN_ON], day_of(facts.on)), Decimal(law[LEAST_AGE])
    return met("old_enough", value=least) if age >= least else not_met("too_young", value=least)


CERTIFICATE_AGE_RULE = Rule("certificate_age", "person", Bears.ANSWER, certificate_age)


def may_manipulate_supervised(facts: Facts, law: Law) -> Outcome:
    """Whether someone without a current certificate may fly. They need a pilot in command who can take over immediately."""
    free = part_107_pilot(facts, law)
    if free is not None:
        return free
    if law[SUPERVISION_ALLOWED] and facts.on_file(SUPERVISED):
        return met("supervised")
    alone = _alone(facts, law)
    if alone.verdict is Verdict.MET:
        return no_duty("certificated")
    if alone.verdict is Verdict.UNKNOWN:
        return alone
    facts[SUPERVISED]
    return not_met("alone" if alone.code == "not_held" else "lapsed")


MAY_MANIPULATE_SUPERVISED_RULE = Rule(
    "may_manipulate_supervised", "person", Bears.ANSWER, may_manipulate_supervised
)


def _alone(facts: Facts, law: Law) -> Outcome:
    """Whether the person may work the controls alone: a certificate that still runs, and recency."""
    if not facts.on_file(HAS_CERTIFICATE):
        return not_met("not_held")
    return all_hold(
        lambda: temporary_certificate(facts, law),
        lambda: flight_review(facts, law),
        lambda: recency(facts, law),
    )


def recreational_safety_test(facts: Facts, law: Law) -> Outcome:
    """Whether a recreational flyer passed the safety test and keeps the proof."""
    if facts.use is not UsedFor.RECREATION or not law[SAFETY_TEST_CONDITION]:
        return no_duty("work" if facts.use is UsedFor.WORK else "no_test_then")
    if not law[SAFETY_TEST_AVAILABLE]:
        return unknown(Why.OPEN_READING, "not_obtainable")
    return all_hold(lambda: _proof(facts), lambda: _passed(facts))


RECREATIONAL_SAFETY_TEST_RULE = Rule(
    "recreational_safety_test",
    "person",
    Bears.FLIGHT,
    recreational_safety_test,
    topic=Topic.SAFETY_TEST,
    shown_by=(DocumentShows.TEST,),
)


def _proof(facts: Facts) -> Outcome:
    return met("proof") if facts[SAFETY_TEST_PROOF] else not_met("no_proof")


def _passed(facts: Facts) -> Outcome:
    passed = facts.on_file(SAFETY_TEST_ON)
    if passed is not None and passed > day_of(facts.on):
        return not_met("test_to_come", value=passed)
    return met("proof", value=passed)
