"""Who counts as the owner, several owners together, the age to file, and use in the United States. 14 CFR 48.25, 47.9."""

from __future__ import annotations

from fractions import Fraction

from airwrit.base.days import day_of, whole_years_between
from airwrit.base.verdict import Outcome, Verdict, Why
from airwrit.facts.choices import HoldsAs, OwnerKind
from airwrit.facts.keys.registration import (
    FILER_OLD_ENOUGH,
    HOLDS_AS,
    OTHER_OWNERS_ELIGIBLE,
    OWNED_BY_SEVERAL,
    OWNER_BORN_ON,
    OWNER_KIND,
    US_HOURS_SHARE,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.part_47 import US_HOURS
from airwrit.law.holder.owner import FILING_AGE, us_citizen
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, met, no_duty, not_met, unknown

OWNER_INCLUDES = parameter("owner_includes", tuple)
SEVERAL_READ = parameter("several_owners_read", bool)


def counts_as_owner(facts: Facts, law: Law) -> Outcome:
    """Whether whoever would register the aircraft counts as the owner. An ordinary lease isn't enough."""
    holds = facts.on_file(HOLDS_AS)
    included = law[OWNER_INCLUDES]
    if holds is None:
        return no_duty("nothing_said")
    if holds is HoldsAs.OWNER:
        return met("in_title")
    if holds in included:
        return met("included")
    return unknown(Why.OPEN_READING, "borrower") if holds is HoldsAs.BORROWER else not_met("lessee")


COUNTS_AS_OWNER_RULE = Rule("counts_as_owner", "owner", Bears.ANSWER, counts_as_owner)


def several_owners(facts: Facts, law: Law) -> Outcome:
    """Whether each of several owners may register the aircraft. We haven't checked how Part 48 handles more than one owner."""
    if not facts.on_file(OWNED_BY_SEVERAL):
        return no_duty("one_owner")
    if not facts[OTHER_OWNERS_ELIGIBLE]:
        return not_met("one_not_eligible")
    if law[SEVERAL_READ]:
        return no_duty("not_asked")
    return unknown(Why.OPEN_READING, "several")


SEVERAL_OWNERS_RULE = Rule("several_owners", "owner", Bears.ANSWER, several_owners)


def old_enough_to_file(facts: Facts, law: Law) -> Outcome:
    """Whether an owner who is a person, or an older person in a child's place, is old enough to file."""
    if facts[OWNER_KIND] is not OwnerKind.PERSON:
        return no_duty("no_person")
    least, born = law[FILING_AGE], facts.on_file(OWNER_BORN_ON)
    if born is not None and whole_years_between(born, day_of(facts.on)) >= least:
        return met("old_enough")
    if facts[FILER_OLD_ENOUGH]:
        return met("old_enough") if born is None else met("older_person")
    return not_met("too_young")


OLD_ENOUGH_TO_FILE_RULE = Rule("old_enough_to_file", "owner", Bears.ANSWER, old_enough_to_file)


def used_enough_here(facts: Facts, law: Law) -> Outcome:
    """Whether a corporation that isn't a US citizen flies enough of its hours in the US for Part 47."""
    if facts[OWNER_KIND] is not OwnerKind.CORPORATION:
        return no_duty("no_corporation")
    citizen = us_citizen(facts, law)
    if citizen.verdict is Verdict.MET:
        return no_duty("citizen")
    share = facts[US_HOURS_SHARE]
    if Fraction(share) >= law[US_HOURS]:
        return met("share_reached", value=share)
    if citizen.verdict is Verdict.UNKNOWN:
        return citizen
    return not_met("share_not_reached", value=share)


USED_ENOUGH_HERE_RULE = Rule("used_enough_here", "owner", Bears.ANSWER, used_enough_here)
