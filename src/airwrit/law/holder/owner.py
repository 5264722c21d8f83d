"""Who may own and register: 14 CFR 48.10, 48.20, 48.25, 48.125, 89.130; 49 USC 40102(a)(15)."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

from airwrit.base.days import day_of, whole_years_between
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import Citizenship, OwnerKind
from airwrit.facts.keys.aircraft import (
    FOREIGN_REGISTRY,
    NOTICE_FILED,
    OWNER,
    RECOGNITION_HELD,
)
from airwrit.facts.keys.registration import (
    BASED_AND_USED_IN_US,
    CITIZEN_OFFICERS,
    CITIZEN_VOTES,
    CITIZENS_CONTROL,
    CITIZENSHIP,
    ORGANIZED_IN_US,
    OWNER_BORN_ON,
    OWNER_KIND,
    PARTNERS_ALL_CITIZENS,
    PRESIDENT_CITIZEN,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import TRUSTS
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_asked, not_met, unknown

OFFICERS_SHARE = parameter("citizen_officers_share", Fraction)
VOTES_SHARE = parameter("citizen_votes_share", Fraction)
PARTNERS_ALL = parameter("partners_all_citizens", bool)
RESIDENT_MAY = parameter("permanent_resident_may_register", bool)
NON_CITIZEN_CORPORATION_MAY = parameter("non_citizen_corporation_may_register", bool)
GOVERNMENT_MAY = parameter("government_may_register", bool)
FILING_AGE = parameter("least_age_to_file", int)
ONLY_OWNER = parameter("only_the_owner_registers", bool)
VOID_GROUNDS = parameter("registration_void_from_the_start", bool)
RECOGNITION = parameter("foreign_aircraft_recognition", bool)
NOTICE_OF_IDENTIFICATION = parameter("foreign_notice_of_identification", bool)


def us_citizen(facts: Facts, law: Law) -> Outcome:
    """Whether the owner is a US citizen as the law defines it."""
    kind = facts[OWNER_KIND]
    if kind is OwnerKind.PERSON:
        law.span(RESIDENT_MAY)
        return met("citizen") if facts[CITIZENSHIP] is Citizenship.CITIZEN else not_met("not_citizen")
    if kind is OwnerKind.PARTNERSHIP:
        return (
            met("citizen") if not law[PARTNERS_ALL] or facts[PARTNERS_ALL_CITIZENS] else not_met("partners")
        )
    if kind is OwnerKind.CORPORATION:
        return _citizen_corporation(facts, law)
    return no_duty("no_test")


US_CITIZEN_RULE = Rule("us_citizen", "owner", Bears.ANSWER, us_citizen)


def _citizen_corporation(facts: Facts, law: Law) -> Outcome:
    law.span(VOTES_SHARE)
    return all_hold(
        lambda: _votes(facts, law),
        lambda: _officers(facts, law),
        lambda: met("citizen") if facts[PRESIDENT_CITIZEN] else not_met("president"),
        lambda: met("citizen") if facts[CITIZENS_CONTROL] else not_met("control"),
        lambda: met("citizen") if facts[ORGANIZED_IN_US] else not_met("not_organized_here"),
    )


def _votes(facts: Facts, law: Law) -> Outcome:
    share = facts[CITIZEN_VOTES]
    return met("citizen") if Fraction(share) >= law[VOTES_SHARE] else not_met("votes", value=share)


def _officers(facts: Facts, law: Law) -> Outcome:
    share = facts[CITIZEN_OFFICERS]
    return met("citizen") if Fraction(share) >= law[OFFICERS_SHARE] else not_met("officers", value=share)


def owner_eligible(facts: Facts, law: Law) -> Outcome:
    """Whether the owner may register an aircraft under Part 48 at all."""
    kind = facts[OWNER_KIND]
    if kind is OwnerKind.GOVERNMENT:
        return met("government") if law[GOVERNMENT_MAY] else us_citizen(facts, law)
    if kind is OwnerKind.PERSON:
        if facts[CITIZENSHIP] is Citizenship.RESIDENT and law[RESIDENT_MAY]:
            return met("resident")
        return us_citizen(facts, law)
    if kind in TRUSTS:
        return unknown(Why.OUTSIDE_THIS_TOOL, "trust")
    if kind is OwnerKind.PARTNERSHIP:
        return us_citizen(facts, law)
    return _corporation_eligible(facts, law)


OWNER_ELIGIBLE_RULE = Rule("owner_eligible", "owner", Bears.FLIGHT, owner_eligible, topic=Topic.OWNER)


def _corporation_eligible(facts: Facts, law: Law) -> Outcome:
    """A citizen corporation, or one of any ownership that is organized here with its aircraft based and used here."""
    here = all_hold(
        lambda: met("based_here") if facts[ORGANIZED_IN_US] else not_met("not_organized_here"),
        lambda: met("based_here") if facts[BASED_AND_USED_IN_US] else not_met("not_based_here"),
    )
    if here.verdict is Verdict.MET and law[NON_CITIZEN_CORPORATION_MAY]:
        return here
    citizen = us_citizen(facts, law)
    if citizen.verdict is Verdict.MET:
        return citizen
    return here if here.verdict is Verdict.UNKNOWN else citizen


def owner_may_file(facts: Facts, law: Law) -> Outcome:
    """Whether an owner who is a person is old enough to file on that day."""
    return old_enough_on(day_of(facts.on), facts, law)


OWNER_MAY_FILE_RULE = Rule("owner_may_file", "owner", Bears.ANSWER, owner_may_file)


def old_enough_on(day: date, facts: Facts, law: Law) -> Outcome:
    """Whether an owner who is a person is old enough to file on a day."""
    if facts[OWNER_KIND] is not OwnerKind.PERSON:
        return no_duty("no_person")
    age, least = whole_years_between(facts[OWNER_BORN_ON], day), law[FILING_AGE]
    return met("old_enough") if age >= least else not_met("too_young")


def recognition_of_ownership(facts: Facts, law: Law) -> Outcome:
    """Whether the owner of a foreign aircraft has the FAA's recognition of ownership. That isn't a registration."""
    if facts.on_file(FOREIGN_REGISTRY):
        law.span(RECOGNITION)
        return met("held") if facts[RECOGNITION_HELD] else not_met("not_held")
    if facts.has(OWNER):
        owner = facts.linked(OWNER)
        if (
            owner.on_file(OWNER_KIND) is OwnerKind.PERSON
            and owner.on_file(CITIZENSHIP) is Citizenship.NEITHER
        ):
            law.span(RECOGNITION)
            return unknown(Why.OPEN_READING, "bought_here")
    return no_duty("not_foreign")


RECOGNITION_OF_OWNERSHIP_RULE = Rule(
    "recognition_of_ownership", "aircraft", Bears.FLIGHT, recognition_of_ownership
)


def notice_of_identification(facts: Facts, law: Law) -> Outcome:
    """Whether a foreign aircraft's notice of identification was filed before flight."""
    if not facts.on_file(FOREIGN_REGISTRY):
        return no_duty("not_foreign")
    free = not_asked(law, NOTICE_OF_IDENTIFICATION)
    if free is not None:
        return free
    return met("filed") if facts[NOTICE_FILED] else not_met("not_filed")


NOTICE_OF_IDENTIFICATION_RULE = Rule(
    "notice_of_identification", "aircraft", Bears.FLIGHT, notice_of_identification
)
