"""Weight as flown, from one weighing or from parts, against the two limits of the law in exact pounds."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from airwrit.base.measured import (
    GRAMS_PER_POUND,
    Measured,
    compared,
    grams_from_pounds,
    scaled,
    total,
    weighed,
)
from airwrit.base.verdict import Outcome, Undecided, Why
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    BASE_WEIGHT,
    PART_OF,
    PART_SCALE_ERROR,
    PART_WEIGHT,
    SCALE_ERROR,
    TAKEOFF_WEIGHT,
)
from airwrit.facts.keys.equipment import (
    BARE_WEIGHT,
    BATTERY_SCALE_ERROR,
    BATTERY_WEIGHT,
    CONFIGURATION_BATTERY,
    CONFIGURATION_OF,
    CONFIGURATION_SCALE_ERROR,
    CONFIGURATION_WEIGHT,
    PAYLOAD,
    PAYLOAD_SCALE_ERROR,
    PAYLOAD_WEIGHT,
)
from airwrit.facts.state import Facts
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule

EXEMPT_WEIGHT_LB = parameter("exempt_weight_lb", Decimal)
SMALL_LIMIT_LB = parameter("small_limit_lb", Decimal)


def weight_as_flown_g(facts: Facts) -> Measured:
    """Grams at takeoff with everything attached, in the heaviest configuration on file.

    A weight is one weighing of the whole, or the base plus every part on file. Undecided when neither is on file, or when the
    two disagree beyond what the scales may be off.
    """
    weights = _configurations(facts)
    if weights and facts.on_file(BASE_WEIGHT) is None and facts.on_file(TAKEOFF_WEIGHT) is None:
        return _heaviest(weights)
    return _heaviest([_own_weight(facts), *weights])


def weight_on_file_g(facts: Facts) -> Measured | None:
    """The weight as flown, None when nothing of it is on file: a closed-world reading. Undecided when weighings disagree."""
    if facts.on_file(BASE_WEIGHT) is not None or facts.on_file(TAKEOFF_WEIGHT) is not None:
        return weight_as_flown_g(facts)
    weights = _configurations(facts)
    return _heaviest(weights) if weights else None


def _own_weight(facts: Facts) -> Measured:
    base = facts.on_file(BASE_WEIGHT)
    if base is None:
        return weighed(facts[TAKEOFF_WEIGHT], facts.on_file(SCALE_ERROR))
    return _with_parts(base, facts)


def _heaviest(weights: list[Measured]) -> Measured:
    """The heaviest of some weights, with what it may be off."""
    return Measured(*(max(side) for side in zip(*weights, strict=True)))


def _configurations(facts: Facts) -> list[Measured]:
    """What the aircraft weighs in each configuration on file."""
    return [configuration_weight_g(one) for one in facts.linking(CONFIGURATION_OF)]


def configuration_weight_g(configuration: Facts) -> Measured:
    """Grams at takeoff in a configuration: one weighing of the whole, or the bare aircraft, its battery and its payload.

    Undecided when something of that is missing.
    """
    error = configuration.on_file(CONFIGURATION_SCALE_ERROR)
    bare = configuration.on_file(BARE_WEIGHT)
    if bare is None:
        return weighed(configuration[CONFIGURATION_WEIGHT], error)
    parts = [weighed(bare, error)]
    battery = configuration.linked_on_file(CONFIGURATION_BATTERY)
    if battery is not None:
        parts.append(weighed(battery[BATTERY_WEIGHT], battery.on_file(BATTERY_SCALE_ERROR)))
    if configuration.on_file(PAYLOAD) is not None:
        parts.append(weighed(configuration[PAYLOAD_WEIGHT], configuration.on_file(PAYLOAD_SCALE_ERROR)))
    whole = configuration.on_file(CONFIGURATION_WEIGHT)
    return _agreeing(None if whole is None else weighed(whole, error), total(parts), CONFIGURATION_WEIGHT)


def _with_parts(base: Decimal, facts: Facts) -> Measured:
    parts = [weighed(part[PART_WEIGHT], part.on_file(PART_SCALE_ERROR)) for part in facts.linking(PART_OF)]
    summed = total([weighed(base, facts.on_file(SCALE_ERROR)), *parts])
    whole = facts.on_file(TAKEOFF_WEIGHT)
    reading = None if whole is None else weighed(whole, facts.on_file(SCALE_ERROR))
    return _agreeing(reading, summed, TAKEOFF_WEIGHT)


def _agreeing(reading: Measured | None, summed: Measured, key: Key[Decimal]) -> Measured:
    """The weighing of the whole, else the sum. Undecided when the two disagree beyond what the scales may be off."""
    if reading is None:
        return summed
    if reading.high < summed.low or summed.high < reading.low:
        raise Undecided(Why.CONFLICT, key.name)
    return reading


@lru_cache(maxsize=1 << 14)
def _against(grams: Measured, limit_lb: Decimal, *, limit_itself: bool) -> Outcome:
    """Compares in grams, where the limit is exact; tells value and margin in pounds. Kept: many weigh alike."""
    verdict = compared(grams, grams_from_pounds(limit_lb), "g", limit_itself=limit_itself)
    pounds = compared(scaled(grams, GRAMS_PER_POUND), limit_lb, "lb", limit_itself=limit_itself)
    return verdict._replace(margin=pounds.margin, value=pounds.value)


def weight_exemption(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft is light enough to be exempt: 0.55 lb or less with everything on it."""
    return _against(weight_as_flown_g(facts), law[EXEMPT_WEIGHT_LB], limit_itself=True)


WEIGHT_EXEMPTION_RULE = Rule("weight_exemption", "aircraft", Bears.ANSWER, weight_exemption)


def small_aircraft_limit(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft is small as the law defines it: under 55 lb."""
    return is_small(weight_as_flown_g(facts), law)


SMALL_AIRCRAFT_LIMIT_RULE = Rule("small_aircraft_limit", "aircraft", Bears.ANSWER, small_aircraft_limit)


def is_small(grams: Measured, law: Law) -> Outcome:
    """A weight held against the limit of small aircraft, told in pounds."""
    return _against(grams, law[SMALL_LIMIT_LB], limit_itself=False)


def small_limit_or_less(grams: Measured, law: Law) -> Outcome:
    """A weight held against the same limit where the limit itself is still inside."""
    return _against(grams, law[SMALL_LIMIT_LB], limit_itself=True)
