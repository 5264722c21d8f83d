"""Recreation with an aircraft that is not small: 49 USC 44809(c), a fixed site and standards that the FAA approved."""

from __future__ import annotations

from airwrit.base.measured import Measured
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import RegistrationKind
from airwrit.facts.keys.aircraft import REGISTRATION
from airwrit.facts.keys.flights.flight import FIXED_SITE, FLIGHT_AIRCRAFT, HEAVY_STANDARDS
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts
from airwrit.law.aircraft.weight import is_small, small_limit_or_less, weight_as_flown_g, weight_on_file_g
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import all_hold, met, not_met, unknown

FROM_55_LB = parameter("heavy_recreation_from_55_lb", bool)
_PART_48: tuple[RegistrationKind | None, ...] = (RegistrationKind.PER_AIRCRAFT, RegistrationKind.RECREATIONAL)


def small_or_opened(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft is small, or a fixed site and approved standards open recreation to one that is not."""
    weight = _weight_told(facts.linked(FLIGHT_AIRCRAFT))
    if weight is None:
        return met("all_hold")
    small = is_small(weight, law)
    if small.verdict is Verdict.MET:
        return met("all_hold")
    opened = _opened(facts, law, weight)
    if opened.verdict is Verdict.MET or small.verdict is Verdict.NOT_MET:
        return opened
    return small._replace(code="perhaps_heavy")


def _weight_told(aircraft: Facts) -> Measured | None:
    """The weight as flown; None where it stands under a Part 48 certificate, which is for small aircraft alone.

    Undecided when neither tells whether it is small.
    """
    weight = weight_on_file_g(aircraft)
    if weight is not None:
        return weight
    if aircraft.has(REGISTRATION) and aircraft.linked(REGISTRATION).on_file(REGISTRATION_KIND) in _PART_48:
        return None
    return weight_as_flown_g(aircraft)


def _opened(facts: Facts, law: Law, weight: Measured) -> Outcome:
    if not law[FROM_55_LB] and small_limit_or_less(weight, law).verdict is not Verdict.NOT_MET:
        return unknown(Why.OPEN_READING, "exactly_55_lb")
    return all_hold(
        lambda: met("all_hold") if facts[FIXED_SITE] else not_met("no_fixed_site"),
        lambda: met("all_hold") if facts[HEAVY_STANDARDS] else not_met("no_heavy_standards"),
    )
