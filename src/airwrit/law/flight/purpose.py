"""Recreation or not: 49 USC 44809, all its conditions; one missing drops the flight into Part 107."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from airwrit.base.measured import Measured
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import OperatedUnder, RegistrationKind, UsedFor
from airwrit.facts.flight_choices import EducationBy, EducationFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OPERATED_UNDER, REGISTRATION
from airwrit.facts.keys.flights.airspace import FLIGHT_AUTHORIZATION
from airwrit.facts.keys.flights.flight import (
    AIRSPACE_ALLOWED,
    EDUCATION_BY,
    EDUCATION_FOR,
    EDUCATIONAL,
    FIXED_SITE,
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    GIVES_WAY,
    HEAVY_STANDARDS,
    HEIGHT_AGL,
    HELPS_BUSINESS,
    HELPS_ORGANIZATION,
    KEPT_IN_SIGHT,
    PAID,
    WITHIN_GUIDELINES,
)
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER
from airwrit.facts.keys.registration import REGISTRATION_KIND
from airwrit.facts.state import Facts
from airwrit.law.aircraft.in_force import must_be_registered
from airwrit.law.aircraft.marking import marked_outside
from airwrit.law.aircraft.renewal import registration_in_term
from airwrit.law.aircraft.weight import is_small, small_limit_or_less, weight_as_flown_g, weight_on_file_g
from airwrit.law.flight.airspace import RECREATIONAL_AIRSPACE, covered, recreational_ceiling
from airwrit.law.flight.regime import height_of, is_over
from airwrit.law.holder.pilot import recreational_safety_test
from airwrit.law.parameters import Law, Param, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, not_met, unknown
from airwrit.law.shared_parameters import RECREATIONAL_HEIGHT_LIMIT, RECREATIONAL_SIGHT, RECREATIONAL_WAY

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


STATUTE = parameter("recreational_statute", str)
STRICTLY = parameter("recreation_strictly", bool)
EDUCATION_COUNTS = parameter("education_counts_as_recreation", bool)
EDUCATION_OPERATORS = parameter("education_operators", tuple)
SCHOOLS_COUNT = parameter("schools_count_as_recreation", bool)
ALL_CONDITIONS = parameter("all_conditions_or_part_107", bool)
GUIDELINES = parameter("recreational_guidelines", bool)

_ENDS_EDUCATION = (EducationFor.CUSTOMER, EducationFor.MARKETING, EducationFor.BUILDINGS)


def recreational_purpose(facts: Facts, law: Law) -> Outcome:
    """Whether the flight is only for recreation. A flight that helps a business or an organization isn't, even if unpaid."""
    if not law[STRICTLY]:
        return met("recreation")
    if facts.on_file(EDUCATIONAL) and law[EDUCATION_COUNTS]:
        taught = _education(facts, law)
        if taught is not None:
            return taught
    return all_hold(
        lambda: _no(facts, PAID, "paid"),
        lambda: _no(facts, HELPS_BUSINESS, "business"),
        lambda: _no(facts, HELPS_ORGANIZATION, "organization"),
    )


RECREATIONAL_PURPOSE_RULE = Rule(
    "recreational_purpose", "flight", Bears.ANSWER, recreational_purpose, own=(STRICTLY,)
)


def _education(facts: Facts, law: Law) -> Outcome | None:
    """What the statute makes of education; None where it names neither operator nor purpose, so it is judged as any flight.

    The word alone opens nothing, whoever pays: operator and purpose have to be on file. An instructor's pay ends nothing.
    """
    if not (facts.has(EDUCATION_BY) and facts.has(EDUCATION_FOR)) and facts.on_file(HELPS_BUSINESS):
        return unknown(Why.OPEN_READING, "education_for_business")
    operator, purpose = facts[EDUCATION_BY], facts[EDUCATION_FOR]
    if purpose in _ENDS_EDUCATION:
        return not_met("education_ended")
    if purpose is EducationFor.OTHER or not _is_named(operator, law):
        return None
    return all_hold(lambda: _no(facts, HELPS_BUSINESS, "business"), lambda: met("education"))


def _is_named(operator: EducationBy, law: Law) -> bool:
    """Whether the statute names the operator. Undecided for schools from the day it does so in words nobody here has read."""
    if operator is EducationBy.SCHOOL and law[SCHOOLS_COUNT]:
        raise Undecided(Why.LAW_NOT_READ, SCHOOLS_COUNT.name)
    return operator.value in law[EDUCATION_OPERATORS]


def _no(facts: Facts, key: Key[bool], code: str) -> Outcome:
    return not_met(code) if facts[key] else met("recreation")


def _yes(facts: Facts, key: Key[bool], code: str, law: Law, param: Param[bool]) -> Outcome:
    return met("all_hold") if not law[param] or facts[key] else not_met(code)


def recreational_exception(facts: Facts, law: Law) -> Outcome:
    """Whether the flight meets every condition for recreational flying."""
    if not law[STATUTE]:
        raise Undecided(Why.LAW_NOT_READ, STATUTE.name)
    if not law[ALL_CONDITIONS]:
        return recreational_purpose(facts, law)
    return all_hold(
        lambda: recreational_purpose(facts, law),
        lambda: small_or_opened(facts, law),
        lambda: _under_no_other_law(facts),
        lambda: _of(facts, FLIGHT_AIRCRAFT, registration_in_term, law, "not_in_term"),
        lambda: _of(facts, FLIGHT_AIRCRAFT, must_be_registered, law, "not_registered"),
        lambda: _of(facts, FLIGHT_AIRCRAFT, marked_outside, law, "not_marked"),
        lambda: _of(facts, FLIGHT_PILOT, recreational_safety_test, law, "no_safety_test"),
        lambda: _low_enough(facts, law),
        lambda: _yes(facts, AIRSPACE_ALLOWED, "airspace", law, RECREATIONAL_AIRSPACE),
        lambda: _yes(facts, KEPT_IN_SIGHT, "out_of_sight", law, RECREATIONAL_SIGHT),
        lambda: _yes(facts, GIVES_WAY, "no_way_given", law, RECREATIONAL_WAY),
        lambda: _yes(facts, WITHIN_GUIDELINES, "guidelines", law, GUIDELINES),
    )


RECREATIONAL_EXCEPTION_RULE = Rule(
    "recreational_exception", "flight", Bears.ANSWER, recreational_exception, own=(STATUTE,)
)


def _under_no_other_law(facts: Facts) -> Outcome:
    """A flight said to be made under a COA or other law, or with an aircraft whose flights are, is none of the exception."""
    under = facts.on_file(FLIGHT_UNDER)
    if under is None:
        flown = facts.linked_on_file(FLIGHT_AIRCRAFT)
        if flown is not None:
            under = flown.on_file(OPERATED_UNDER)
    if under in (None, OperatedUnder.PART_107):
        return met("all_hold")
    return unknown(Why.OUTSIDE_THIS_TOOL, "other_law")


def _of(facts: Facts, link: Key[str], judge: Callable[[Facts, Law], Outcome], law: Law, code: str) -> Outcome:
    """A duty of the aircraft or the pilot, as a recreational one, for one condition; no duty is no hindrance."""
    outcome = judge(facts.linked(link).under(UsedFor.RECREATION), law)
    if outcome.verdict is Verdict.NOT_MET:
        return outcome._replace(code=code)
    return outcome


def _low_enough(facts: Facts, law: Law) -> Outcome:
    """Whether it keeps to the ceiling of recreation, or in controlled airspace to that of its authorization."""
    height = recreational_ceiling(facts, law)
    if height.verdict is Verdict.NOT_APPLICABLE:
        paper = facts.linked_on_file(FLIGHT_AUTHORIZATION)
        return _as_said_to_be_authorized(facts, law) if paper is None else covered(facts, paper)
    if height.verdict is Verdict.NOT_MET:
        return height._replace(code="height")
    return height._replace(code="height_in_doubt") if height.code == "within_doubt" else height


def _as_said_to_be_authorized(facts: Facts, law: Law) -> Outcome:
    """In controlled airspace with no authorization on file: up to where one commonly goes, the word for it is enough."""
    if not is_over(height_of(facts), Decimal(law[RECREATIONAL_HEIGHT_LIMIT]), HEIGHT_AGL):
        return met("all_hold")
    return unknown(Why.MISSING, FLIGHT_AUTHORIZATION.name)
