"""What the rules of a flight share: which law binds it, and moments that may be a day or an instant."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date, datetime
from decimal import Decimal

from airwrit.base.days import Order, When, day_of, order_of
from airwrit.base.measured import Measured, exact, with_error
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.flight_choices import WaiverSection
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.airspace import FLIGHT_WAIVER, WAIVER_TERMS_KEPT, WAIVES
from airwrit.facts.keys.flights.flight import FLIGHT_AIRCRAFT, FLIGHT_PILOT, HEIGHT_AGL
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER, HEIGHT_ERROR
from airwrit.facts.keys.paper import COVERS_AIRCRAFT, COVERS_ALL, COVERS_PERSON, ENDS_ON, GRANTED_ON
from airwrit.facts.state import Facts
from airwrit.law.flight.other_law import UNDER_PART_107, beyond_part_107
from airwrit.law.holder.paper import not_granted
from airwrit.law.holder.pilot import part_107_pilot
from airwrit.law.parameters import Law, Param, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_asked, not_met, unknown

TERMS_BIND = parameter("waiver_terms_bind", bool)
OLD_NIGHT_WAIVERS = parameter("old_night_waivers_hold", bool)


def part_107_flight(facts: Facts, law: Law, *switches: Param[bool]) -> Outcome | None:
    """Why a limit of Part 107 does not bind the flight, or is not judged here; None when it binds.

    `switches` are what the law of the day has to ask for; where it does not, nothing binds.
    """
    free = part_107_pilot(facts, law) or _under_other_law(facts, law)
    return free or not_asked(law, *switches)


def _under_other_law(facts: Facts, law: Law) -> Outcome | None:
    """Why Part 107 does not reach the flight; None where it does."""
    under = facts.on_file(FLIGHT_UNDER)
    flown = facts.linked_on_file(FLIGHT_AIRCRAFT)
    if flown is not None:
        return beyond_part_107(flown, law, under)
    if under is None or under in UNDER_PART_107:
        return None
    return unknown(Why.OUTSIDE_THIS_TOOL, "other_law")


def measured(facts: Facts, key: Key[Decimal], error: Key[Decimal]) -> Measured:
    """The value with its error; a value without one is taken as said: a set limit, or a figure from a log."""
    value, off = facts[key], facts.on_file(error)
    return exact(value) if off is None else with_error(value, abs(off))


def height_of(facts: Facts) -> Measured:
    """The greatest height above ground in feet, with its error."""
    return measured(facts, HEIGHT_AGL, HEIGHT_ERROR)


def is_over(value: Measured, limit: Decimal, key: Key[Decimal]) -> bool:
    """Whether a measured value is more than a limit. Undecided when the limit lies within what it may be off."""
    if value.low <= limit < value.high:
        raise Undecided(Why.WITHIN_DOUBT, key.name)
    return value.low > limit


def has_begun(key: Key[date], bound: When, on: When) -> bool:
    """Whether `bound` is not after `on`; a day counts whole. Undecided when the hour decides and is missing."""
    if not isinstance(bound, datetime):
        return bound <= day_of(on)
    return _sure(key, order_of(bound, on)) is not Order.AFTER


def has_ended(key: Key[date], bound: When, on: When) -> bool:
    """Whether `bound` is before `on`; a day counts whole. Undecided when the hour decides and is missing."""
    if not isinstance(bound, datetime):
        return bound < day_of(on)
    return _sure(key, order_of(bound, on)) is Order.BEFORE


def _sure(key: Key[date], order: Order) -> Order:
    if order is Order.DOUBT:
        raise Undecided(Why.WITHIN_DOUBT, key.name)
    return order


def either(*checks: Callable[[], bool]) -> bool:
    """Whether one of several checks holds; a gap is raised only when none of the others does."""
    gap: Undecided | None = None
    for check in checks:
        try:
            if check():
                return True
        except Undecided as undecided:
            gap = gap or undecided
    if gap is not None:
        raise gap
    return False


def waived(section: WaiverSection, facts: Facts, law: Law) -> Outcome | None:
    """What a waiver of the section makes of a flight outside it; None when the flight relies on no such waiver."""
    if not facts.has(FLIGHT_WAIVER):
        return None
    if facts.linked(FLIGHT_WAIVER)[WAIVES] is not section:
        return None
    terms = waiver_terms(facts, law)
    return met("by_waiver") if terms.verdict is Verdict.MET else terms


def unless_waived(outcome: Outcome, section: WaiverSection, facts: Facts, law: Law) -> Outcome:
    """What holds of a limit that a waiver of its section can open.

    A waiver that holds opens it; one that does not hold leaves a limit in doubt in doubt.
    """
    if outcome.verdict is Verdict.MET:
        return outcome
    by_waiver = waived(section, facts, law)
    if by_waiver is None or (outcome.verdict is Verdict.UNKNOWN and by_waiver.verdict is not Verdict.MET):
        return outcome
    return by_waiver


def waiver_terms(facts: Facts, law: Law) -> Outcome:
    """Whether the flight follows the waiver it relies on: its dates, aircraft, pilot and terms."""
    free = part_107_flight(facts, law, TERMS_BIND)
    if free is not None:
        return free
    if not facts.has(FLIGHT_WAIVER):
        return no_duty("no_waiver")
    waiver = facts.linked(FLIGHT_WAIVER)
    return all_hold(
        lambda: _granted(waiver),
        lambda: _in_term(waiver),
        lambda: _old_rule(waiver, law),
        lambda: _names_aircraft(facts, waiver),
        lambda: _names_pilot(facts, waiver),
        lambda: met("terms_kept") if facts[WAIVER_TERMS_KEPT] else not_met("term_broken"),
    )


WAIVER_TERMS_RULE = Rule("waiver_terms", "flight", Bears.ANSWER, waiver_terms, own=(TERMS_BIND,))


def _granted(waiver: Facts) -> Outcome:
    code = not_granted(waiver)
    return met("terms_kept") if code is None else not_met(code)


def _in_term(waiver: Facts) -> Outcome:
    on, first, last = day_of(waiver.on), waiver[GRANTED_ON], waiver[ENDS_ON]
    if on < first:
        return not_met("waiver_not_yet", value=first)
    return met("terms_kept") if on <= last else not_met("waiver_ended", value=last)


def _old_rule(waiver: Facts, law: Law) -> Outcome:
    if waiver[WAIVES] is WaiverSection.DAYLIGHT and not law[OLD_NIGHT_WAIVERS]:
        return not_met("night_waivers_ended")
    return met("terms_kept")


def _names_aircraft(facts: Facts, waiver: Facts) -> Outcome:
    named = waiver.on_file(COVERS_AIRCRAFT)
    if named is not None:
        return met("terms_kept") if named == facts[FLIGHT_AIRCRAFT] else not_met("other_aircraft")
    return met("terms_kept") if waiver[COVERS_ALL] else not_met("other_aircraft")


def _names_pilot(facts: Facts, waiver: Facts) -> Outcome:
    """Whether the waiver names this pilot; one that names none asks for none."""
    named = waiver.on_file(COVERS_PERSON)
    if named is None or named == facts[FLIGHT_PILOT]:
        return met("terms_kept")
    return not_met("other_pilot", value=named)
