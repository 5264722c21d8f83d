"""Whose name is on the certificate, who filed it, and whether that makes it void. 14 CFR 48.25, 48.120; 47.43."""

from __future__ import annotations

from datetime import date
from functools import partial

from airwrit.base.days import day_of
from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import OwnerKind
from airwrit.facts.keys.aircraft import FOREIGN_REGISTRY, IS_REGISTERED, OWNER, REGISTRATION, SOLD_ON
from airwrit.facts.keys.document import DocumentShows
from airwrit.facts.keys.registration import (
    CITIZENSHIP_LOST_ON,
    FILED_BY_OTHER,
    FILER_OLD_ENOUGH,
    GOT_IN_GOOD_FAITH,
    ISSUED_ON,
    OWNER_BORN_ON,
    OWNER_KIND,
    REGISTERED_TO,
    REPRESENTATIVE,
)
from airwrit.facts.state import Facts
from airwrit.law.aircraft.certificate import is_part_47
from airwrit.law.aircraft.duty import TRUSTS, cancelled, duty_follows, happened
from airwrit.law.aircraft.part_47 import PART_47_VOID_GROUNDS
from airwrit.law.holder.owner import ONLY_OWNER, VOID_GROUNDS, old_enough_on, owner_eligible
from airwrit.law.holder.ownership import counts_as_owner
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Rule, Topic, all_hold, met, no_duty, not_asked, not_met, unknown


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
