"""Aircraft, crew and right of way before and during a flight: 14 CFR 107.15 to 107.49; 49 USC 44809(a)(4)."""

from __future__ import annotations

from decimal import Decimal

from airwrit.base.verdict import Outcome
from airwrit.facts.choices import UsedFor
from airwrit.facts.flight_choices import WaiverSection
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.flight import FLIGHT_PILOT, GIVES_WAY
from airwrit.facts.keys.flights.over_people import (
    CONDITION_CHECKED,
    CREW_FIT,
    HOURS_SINCE_DRINK,
    INTERFERES,
    OBSERVER_ABLE,
    OBSERVER_USED,
    PREFLIGHT_DONE,
    SEVERAL_AT_ONCE,
)
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import part_107_flight, waived
from airwrit.law.parameters import Law, Param, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_asked, not_met
from airwrit.law.shared_parameters import CONDITION, PREFLIGHT, RECREATIONAL_WAY

WAY_GIVEN = parameter("right_of_way_given", bool)
ONE_AIRCRAFT = parameter("one_aircraft_at_a_time", bool)
OBSERVER = parameter("observer_duties", bool)
AIRPORTS = parameter("airport_left_alone", bool)
ALCOHOL_HOURS = parameter("alcohol_hours", int)
NO_CONDITION = parameter("crew_without_condition", bool)
IN_COMMAND = parameter("pilot_in_command_named", bool)


def right_of_way(facts: Facts, law: Law) -> Outcome:
    """Whether the flight gives way to every other aircraft."""
    if facts.use is UsedFor.RECREATION:
        free = not_asked(law, RECREATIONAL_WAY)
        if free is not None:
            return free
        return met("way_given") if facts[GIVES_WAY] else not_met("no_way_given")
    free = part_107_flight(facts, law, WAY_GIVEN)
    if free is not None:
        return free
    if facts[GIVES_WAY]:
        return met("way_given")
    return waived(WaiverSection.YIELDING, facts, law) or not_met("no_way_given")


RIGHT_OF_WAY_RULE = Rule(
    "right_of_way", "flight", Bears.ANSWER, right_of_way, own=(WAY_GIVEN, RECREATIONAL_WAY)
)


def one_aircraft(facts: Facts, law: Law) -> Outcome:
    """Whether each person flies, commands or observes one aircraft at a time."""
    free = part_107_flight(facts, law, ONE_AIRCRAFT)
    if free is not None:
        return free
    if not facts[SEVERAL_AT_ONCE]:
        return met("one_at_a_time")
    return waived(WaiverSection.SEVERAL, facts, law) or not_met("several")


ONE_AIRCRAFT_RULE = Rule("one_aircraft", "flight", Bears.ANSWER, one_aircraft, own=(ONE_AIRCRAFT,))


def visual_observer(facts: Facts, law: Law) -> Outcome:
    """Whether a visual observer, if there is one, can do the job."""
    free = part_107_flight(facts, law, OBSERVER)
    if free is not None:
        return free
    if not facts[OBSERVER_USED]:
        return no_duty("no_observer")
    if facts[OBSERVER_ABLE]:
        return met("observer_able")
    return waived(WaiverSection.OBSERVER, facts, law) or not_met("observer_not_able")


VISUAL_OBSERVER_RULE = Rule("visual_observer", "flight", Bears.ANSWER, visual_observer, own=(OBSERVER,))


def airport_interference(facts: Facts, law: Law) -> Outcome:
    """Whether the flight stays out of the way of airport operations and traffic patterns."""
    free = part_107_flight(facts, law, AIRPORTS)
    if free is not None:
        return free
    return not_met("interferes") if facts[INTERFERES] else met("left_alone")


AIRPORT_INTERFERENCE_RULE = Rule(
    "airport_interference", "flight", Bears.ANSWER, airport_interference, own=(AIRPORTS,)
)


def checked_before_flight(facts: Facts, law: Law) -> Outcome:
    """Whether the preflight inspection and preflight actions were done."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    return all_hold(
        lambda: _checked(facts, law, CONDITION, CONDITION_CHECKED, "condition_not_checked"),
        lambda: _checked(facts, law, PREFLIGHT, PREFLIGHT_DONE, "preflight_not_done"),
    )


CHECKED_BEFORE_FLIGHT_RULE = Rule(
    "checked_before_flight", "flight", Bears.ANSWER, checked_before_flight, own=(PREFLIGHT, CONDITION)
)


def _checked(facts: Facts, law: Law, asked: Param[bool], key: Key[bool], code: str) -> Outcome:
    """Whether one of the checks was made, where the law of the day asks for it."""
    return met("checked") if not law[asked] or facts[key] else not_met(code)


def crew_fit(facts: Facts, law: Law) -> Outcome:
    """Whether a pilot in command is named, and the crew is fit and hasn't had alcohol."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    hours = Decimal(law[ALCOHOL_HOURS])
    return all_hold(
        lambda: met("fit") if not law[NO_CONDITION] or facts[CREW_FIT] else not_met("not_fit"),
        lambda: met("fit") if facts[HOURS_SINCE_DRINK] >= hours else not_met("too_soon_after_alcohol"),
        lambda: _in_command(facts, law),
    )


CREW_FIT_RULE = Rule(
    "crew_fit", "flight", Bears.ANSWER, crew_fit, own=(ALCOHOL_HOURS, NO_CONDITION, IN_COMMAND)
)


def _in_command(facts: Facts, law: Law) -> Outcome:
    """Met by whoever is named as the pilot; a gap when nobody is."""
    if law[IN_COMMAND]:
        facts[FLIGHT_PILOT]
    return met("fit")
