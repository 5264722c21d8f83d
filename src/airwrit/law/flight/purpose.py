"""Recreation or not: 49 USC 44809, all its conditions; one missing drops the flight into Part 107."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal

from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import OperatedUnder, UsedFor
from airwrit.facts.flight_choices import EducationBy, EducationFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import OPERATED_UNDER
from airwrit.facts.keys.flights.airspace import FLIGHT_AUTHORIZATION
from airwrit.facts.keys.flights.flight import (
    AIRSPACE_ALLOWED,
    EDUCATION_BY,
    EDUCATION_FOR,
    EDUCATIONAL,
    FLIGHT_AIRCRAFT,
    FLIGHT_PILOT,
    GIVES_WAY,
    HEIGHT_AGL,
    HELPS_BUSINESS,
    HELPS_ORGANIZATION,
    KEPT_IN_SIGHT,
    PAID,
    WITHIN_GUIDELINES,
)
from airwrit.facts.keys.flights.limits import FLIGHT_UNDER
from airwrit.facts.state import Facts
from airwrit.law.aircraft.in_force import must_be_registered
from airwrit.law.aircraft.marking import marked_outside
from airwrit.law.aircraft.renewal import registration_in_term
from airwrit.law.flight.airspace import HEIGHT_LIMIT_FT, RECREATIONAL_AIRSPACE, covered, recreational_ceiling
from airwrit.law.flight.heavy_recreation import small_or_opened
from airwrit.law.flight.regime import height_of, is_over
from airwrit.law.holder.pilot import recreational_safety_test
from airwrit.law.parameters import Law, Param, parameter
from airwrit.law.rule import Bears, Rule, all_hold, met, not_met, unknown

STATUTE = parameter("recreational_statute", str)
STRICTLY = parameter("recreation_strictly", bool)
EDUCATION_COUNTS = parameter("education_counts_as_recreation", bool)
EDUCATION_OPERATORS = parameter("education_operators", tuple)
SCHOOLS_COUNT = parameter("schools_count_as_recreation", bool)
ALL_CONDITIONS = parameter("all_conditions_or_part_107", bool)
GUIDELINES = parameter("recreational_guidelines", bool)
RECREATIONAL_WAY = parameter("recreational_right_of_way", bool)
RECREATIONAL_SIGHT = parameter("recreational_line_of_sight", bool)

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
    if not is_over(height_of(facts), Decimal(law[HEIGHT_LIMIT_FT]), HEIGHT_AGL):
        return met("all_hold")
    return unknown(Why.MISSING, FLIGHT_AUTHORIZATION.name)
