"""Who may own and register, who counts as the owner, whose name is on the certificate, and whether that makes it void.

14 CFR 48.10 to 48.25, 48.120, 48.125, 47.9, 47.43, 89.130; 49 USC 40102(a)(15).
"""

from __future__ import annotations

from datetime import date
from fractions import Fraction
from functools import partial

from airwrit.base.days import day_of, whole_years_between
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import Citizenship, HoldsAs, OwnerKind
from airwrit.facts.keys.aircraft import (
    FOREIGN_REGISTRY,
    IS_REGISTERED,
    NOTICE_FILED,
    OWNER,
    RECOGNITION_HELD,
    REGISTRATION,
    SOLD_ON,
)
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.registration import (
    BASED_AND_USED_IN_US,
    CITIZEN_OFFICERS,
    CITIZEN_VOTES,
    CITIZENS_CONTROL,
    CITIZENSHIP,
    CITIZENSHIP_LOST_ON,
    FILED_BY_OTHER,
    FILER_OLD_ENOUGH,
    GOT_IN_GOOD_FAITH,
    HOLDS_AS,
    ISSUED_ON,
    ORGANIZED_IN_US,
    OTHER_OWNERS_ELIGIBLE,
    OWNED_BY_SEVERAL,
    OWNER_BORN_ON,
    OWNER_KIND,
    PARTNERS_ALL_CITIZENS,
    PRESIDENT_CITIZEN,
    REGISTERED_TO,
    REPRESENTATIVE,
    US_HOURS_SHARE,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import TRUSTS, cancelled, duty_follows, happened, is_part_47
from airwrit.law.parameters import Law, parameter
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_asked, not_met, unknown
from airwrit.law.shared_parameters import PART_47_VOID_GROUNDS, US_HOURS

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


def registered_to_owner(facts: Facts, law: Law) -> Outcome:
    """Whether the certificate is in the owner's name. Only the owner may register the aircraft."""
    if duty_follows(facts, law):
        return no_duty("no_registration_needed")
    if facts.on_file(IS_REGISTERED) is False:
        return no_duty("not_registered")
    return not_asked(law, ONLY_OWNER) or _names_owner(facts.linked(REGISTRATION), facts, law)


REGISTERED_TO_OWNER_RULE = Rule(
    "registered_to_owner",
    "aircraft",
    Bears.FLIGHT,
    registered_to_owner,
    topic=Topic.OWNER,
    shown_by=(DocumentShows.REGISTRATION,),
)


def _names_owner(certificate: Facts, aircraft: Facts, law: Law) -> Outcome:
    """Whether the one named counts as the owner, or was old enough to register for an owner who was a child."""
    named, owner = certificate[REGISTERED_TO], aircraft[OWNER]
    if _same_name(named, owner):
        return met("same")
    holder, title = certificate.linked(REGISTERED_TO), aircraft.linked(OWNER)
    if _is_childs(title, certificate, law):
        return all_hold(
            lambda: old_enough_on(certificate[ISSUED_ON], holder, law),
            lambda: owner_eligible(holder, law)._replace(code="for_a_child"),
        )
    by_right = counts_as_owner(holder, law)
    if by_right.code in ("included", "borrower"):
        return by_right._replace(value=named)
    kind = title.on_file(OWNER_KIND)
    if kind is not None and kind in TRUSTS and is_part_47(certificate):
        return unknown(Why.OPEN_READING, "trustee", value=named)
    return not_met("another_name", value=named)


def _same_name(one: str, other: str) -> bool:
    return " ".join(one.casefold().split()) == " ".join(other.casefold().split())


def _is_childs(owner: Facts, certificate: Facts, law: Law) -> bool:
    """Whether the owner was a child too young to file when the registration was made; an owner without a birthday was not.

    Without an issue day, one who is too young even now was so then.
    """
    if owner.on_file(OWNER_KIND) is not OwnerKind.PERSON or not owner.has(OWNER_BORN_ON):
        return False
    quiet = owner.quietly()
    if not certificate.has(ISSUED_ON) and _too_young(day_of(certificate.on), quiet, law):
        return True
    return _too_young(certificate[ISSUED_ON], quiet, law)


def _too_young(day: date, owner: Facts, law: Law) -> bool:
    return old_enough_on(day, owner, law).verdict is Verdict.NOT_MET


def filed_by_eligible_person(facts: Facts, law: Law) -> Outcome:
    """Whether the person who filed for a young owner was old enough and eligible."""
    filer, made_on = facts.linked(FILED_BY_OTHER), facts[ISSUED_ON]
    return all_hold(lambda: old_enough_on(made_on, filer, law), lambda: owner_eligible(filer, law))


FILED_BY_ELIGIBLE_PERSON_RULE = Rule(
    "filed_by_eligible_person", "registration", Bears.ANSWER, filed_by_eligible_person
)


def registration_not_void(facts: Facts, law: Law) -> Outcome:
    """Whether anything made the registration void from the start.

    An aircraft of another owner, or of another registry, is under a certificate that does not hold for it; the certificate
    itself holds as long as another aircraft is rightly under it.
    """
    if cancelled(facts) is not None:
        return no_duty("no_longer")
    found, gap = _of_each_aircraft(facts, law)
    if not found:
        alone = all_hold(lambda: not_void_for(facts, None, law))
        if gap is None or alone.verdict is Verdict.NOT_MET:
            return alone
        raise gap
    for verdict in (Verdict.MET, Verdict.UNKNOWN):
        for outcome in found:
            if outcome.verdict is verdict:
                return outcome
    return found[0]


REGISTRATION_NOT_VOID_RULE = Rule(
    "registration_not_void", "registration", Bears.FLIGHT, registration_not_void
)


def _of_each_aircraft(facts: Facts, law: Law) -> tuple[list[Outcome], Undecided | None]:
    """The outcome for each aircraft under the certificate, and the gap of one that may be under it or not."""
    found: list[Outcome] = []
    gap: Undecided | None = None
    for aircraft in facts.linking(REGISTRATION):
        try:
            aircraft.has(IS_REGISTERED)
        except Undecided as undecided:
            gap = gap or undecided
        else:
            found.append(all_hold(partial(not_void_for, facts, aircraft, law)))
    return found, gap


def not_void_for(certificate: Facts, aircraft: Facts | None, law: Law) -> Outcome:
    """Whether nothing makes the registration void for an aircraft under it; for none, what hangs on the certificate alone."""
    part_47 = is_part_47(certificate)
    free = not_asked(law, PART_47_VOID_GROUNDS if part_47 else VOID_GROUNDS)
    if free is not None:
        return free
    return all_hold(
        lambda: _not_foreign(aircraft),
        lambda: _applicant_owns(certificate, aircraft, law),
        lambda: _was_eligible(certificate, law),
        lambda: _rightly_filed(certificate, law, part_47=part_47),
        lambda: _in_good_faith(certificate, aircraft),
    )


def _not_foreign(aircraft: Facts | None) -> Outcome:
    if aircraft is not None and aircraft.on_file(FOREIGN_REGISTRY):
        return not_met("foreign_registry")
    return met("not_void")


def _applicant_owns(certificate: Facts, aircraft: Facts | None, law: Law) -> Outcome:
    """Whether the one named owned the aircraft; where it was sold later, that it has another owner now says nothing."""
    if aircraft is None:
        return met("not_void")
    sold = happened(aircraft, SOLD_ON)
    if sold is not None and sold >= certificate[ISSUED_ON]:
        return met("not_void")
    return _names_owner(certificate, aircraft, law)


def _was_eligible(certificate: Facts, law: Law) -> Outcome:
    """Whether the one named may register; who lost citizenship or residence later was eligible when it was made."""
    holder = certificate.linked(REGISTERED_TO)
    lost = happened(holder, CITIZENSHIP_LOST_ON)
    if lost is not None and lost > certificate[ISSUED_ON]:
        return met("not_void")
    return owner_eligible(holder, law)


def _rightly_filed(certificate: Facts, law: Law, *, part_47: bool) -> Outcome:
    """Whether the owner filed, or for a child somebody older. For a child nobody is taken to have filed who is not on file."""
    holder = certificate.linked(REGISTERED_TO)
    filer = certificate.on_file(FILED_BY_OTHER)
    if filer is None or _same_name(filer, certificate[REGISTERED_TO]):
        if not _is_childs(holder, certificate, law):
            return met("not_void")
        if part_47:
            return unknown(Why.OPEN_READING, "filing_47")
        if holder.on_file(FILER_OLD_ENOUGH) or certificate.has(REPRESENTATIVE):
            return unknown(Why.MISSING, FILED_BY_OTHER.name)
        return not_met("child_filed")
    if part_47:
        return unknown(Why.OPEN_READING, "filing_47")
    if not _too_young(certificate[ISSUED_ON], holder, law):
        return not_met("filed_by_another")
    return filed_by_eligible_person(certificate, law)


def _in_good_faith(certificate: Facts, aircraft: Facts | None) -> Outcome:
    """Whether the transfer that the registration rests on was in good faith; asked where a transfer before it is on file."""
    said = certificate.on_file(GOT_IN_GOOD_FAITH)
    if said is None and _came_by_transfer(certificate, aircraft):
        return unknown(Why.MISSING, GOT_IN_GOOD_FAITH.name)
    return not_met("not_in_good_faith") if said is False else met("not_void")


def _came_by_transfer(certificate: Facts, aircraft: Facts | None) -> bool:
    if aircraft is None:
        return False
    sold, issued = happened(aircraft, SOLD_ON), certificate.on_file(ISSUED_ON)
    return sold is not None and issued is not None and sold <= issued
