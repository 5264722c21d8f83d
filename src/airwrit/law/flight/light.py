"""Lights at night and in civil twilight: 14 CFR 107.29, 1.1. Times are official ones, given as instants with their zone."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from decimal import Decimal

from airwrit.base.verdict import Outcome, Undecided, Why
from airwrit.facts.flight_choices import WaiverSection
from airwrit.facts.key import Key
from airwrit.facts.keys.flights.limits import (
    DAWN,
    DUSK,
    IN_ALASKA,
    LIGHTS_FLASH,
    LIGHTS_LIT,
    LIGHTS_VISIBLE,
    SUN_STAYS_UP,
    SUNRISE,
    SUNSET,
)
from airwrit.facts.state import Facts
from airwrit.law.flight.regime import either, part_107_flight, unless_waived, waived
from airwrit.law.holder.pilot import NIGHT_BY_TRAINING
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, no_duty, not_met

NIGHT_LIGHTS_SM = parameter("night_lights_sm", int)
NIGHT_DEFINITION = parameter("night_definition", str)
TWILIGHT_LIGHTS_SM = parameter("twilight_lights_sm", int)
TWILIGHT_MINUTES = parameter("twilight_minutes", int)
ALASKA_TWILIGHT = parameter("alaska_twilight", str)
TWILIGHT_FLASH = parameter("twilight_flash_asked", bool)

_HALF_A_DAY = timedelta(hours=13)
"""Half a day and an hour: from one sunset to the next may be some minutes more than 24 hours."""


def _nearest(facts: Facts, key: Key[date]) -> tuple[datetime, datetime]:
    """The sun's moment and the moment asked about. Undecided for a day without a time, or a moment of another day."""
    moment, on = facts[key], facts.on
    if not isinstance(moment, datetime) or not isinstance(on, datetime):
        raise Undecided(Why.WITHIN_DOUBT, key.name)
    if abs(on - moment) > _HALF_A_DAY:
        raise Undecided(Why.MISSING, key.name)
    return moment, on


def _between(facts: Facts, first: Key[date], last: Key[date]) -> bool:
    """Whether the moment asked about lies from the one event to the other, both the nearest of their kind."""
    (start, on), (end, _) = _nearest(facts, first), _nearest(facts, last)
    if start <= end:
        return start <= on <= end
    return on >= start or on <= end


def is_night(facts: Facts) -> bool:
    """Whether it is night: from the end of evening to the start of morning civil twilight. Undecided without both.

    Where both are the same moment, civil twilight lasts until morning if the sun rises and sets; if nobody knows that it
    does, all counts as night. Where the sun stays up there is none.
    """
    if facts.on_file(SUN_STAYS_UP):
        return False
    (dusk, on), (dawn, _) = _nearest(facts, DUSK), _nearest(facts, DAWN)
    if dusk == dawn and _rises_and_sets(facts):
        return False
    if dusk < dawn:
        return dusk < on < dawn
    return on > dusk or on < dawn


def _rises_and_sets(facts: Facts) -> bool:
    """Whether a sunset and a sunrise within half a day are known."""
    try:
        _nearest(facts, SUNSET)
        _nearest(facts, SUNRISE)
    except Undecided:
        return False
    return True


def is_twilight(facts: Facts, law: Law) -> bool:
    """Whether it is civil twilight as 107.29 means it: half an hour outside Alaska, the Air Almanac's in it.

    Where the sun neither rises nor sets, because it stays up, there is none.
    """
    if facts.on_file(SUN_STAYS_UP):
        return False
    if facts[IN_ALASKA]:
        law.written_for(ALASKA_TWILIGHT, "Air Almanac")
        return either(lambda: _between(facts, SUNSET, DUSK), lambda: _between(facts, DAWN, SUNRISE))
    minutes = timedelta(minutes=law[TWILIGHT_MINUTES])

    def evening() -> bool:
        sunset, on = _nearest(facts, SUNSET)
        return sunset <= on <= sunset + minutes

    def morning() -> bool:
        sunrise, on = _nearest(facts, SUNRISE)
        return sunrise - minutes <= on <= sunrise

    return either(evening, morning)


def _lights(facts: Facts, least_sm: int, *, flash: bool) -> Outcome:
    """Whether anti-collision lights are lit, can be seen far enough and, where asked, flash fast enough."""
    checks = [
        lambda: met("lit") if facts[LIGHTS_LIT] else not_met("not_lit"),
        lambda: met("lit") if facts[LIGHTS_VISIBLE] >= Decimal(least_sm) else not_met("not_visible_enough"),
    ]
    if flash:
        checks.append(lambda: met("lit") if facts[LIGHTS_FLASH] else not_met("not_flashing_enough"))
    return all_hold(*checks)


def night_lights(facts: Facts, law: Law) -> Outcome:
    """Whether a night flight has the required lights. Before April 21, 2021, night flight required a waiver."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    law.written_for(NIGHT_DEFINITION, "civil twilight")
    by_training = law[NIGHT_BY_TRAINING]
    if not is_night(facts):
        return no_duty("not_night")
    if not by_training:
        return waived(WaiverSection.DAYLIGHT, facts, law) or not_met("night_by_waiver_only")
    lights = _lights(facts, law[NIGHT_LIGHTS_SM], flash=True)
    return unless_waived(lights, WaiverSection.NIGHT_LIGHTS, facts, law)


NIGHT_LIGHTS_RULE = Rule(
    "night_lights", "flight", Bears.ANSWER, night_lights, own=(NIGHT_BY_TRAINING, NIGHT_LIGHTS_SM)
)


def twilight_lights(facts: Facts, law: Law) -> Outcome:
    """Whether a flight in civil twilight has the required lights."""
    free = part_107_flight(facts, law)
    if free is not None:
        return free
    least, flash = law[TWILIGHT_LIGHTS_SM], law[TWILIGHT_FLASH]
    if not is_twilight(facts, law):
        return no_duty("not_twilight")
    lights = _lights(facts, least, flash=flash)
    section = WaiverSection.TWILIGHT_LIGHTS if flash else WaiverSection.DAYLIGHT
    return unless_waived(lights, section, facts, law)


TWILIGHT_LIGHTS_RULE = Rule(
    "twilight_lights", "flight", Bears.ANSWER, twilight_lights, own=(TWILIGHT_LIGHTS_SM,)
)
