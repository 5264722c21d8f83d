"""Which way an aircraft is registered: each way open, shut or not known, and the one that fits. 14 CFR Part 48, Part 47."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import NamedTuple

from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import FactChoice, OwnerKind, UsedFor
from airwrit.facts.keys.aircraft import FOREIGN_REGISTRY, OWNER, TAKEOFF_WEIGHT, USED_FOR
from airwrit.facts.keys.registration import OWNER_KIND
from airwrit.facts.state import Facts
from airwrit.law.aircraft.duty import (
    EXEMPT_ANY_PURPOSE,
    FILING_DATA,
    RECREATIONAL_FOR_PERSONS,
    RECREATIONAL_IS_EXCLUSIVE,
    WEB_OPEN_TO_WORK,
    part_48_path,
    why_no_duty,
)
from airwrit.law.aircraft.weight import EXEMPT_WEIGHT_LB, weight_exemption
from airwrit.law.holder.owner import (
    RECOGNITION,
    counts_as_owner,
    old_enough_to_file,
    owner_eligible,
    several_owners,
    used_enough_here,
)
from airwrit.law.parameters import Law, Param
from airwrit.law.rule import Bears, Rule, all_hold, met, not_met, unknown
from airwrit.law.shared_parameters import ENTITY_PAPERS, FORMS


class RegistrationWay(FactChoice):
    """The ways there are, in the order in which the first that fits is taken."""

    NONE = "no registration needed"
    RECOGNITION = "recognition of ownership"
    RECREATIONAL = "Part 48 recreational certificate", "Part 48 recreational registration"
    PERSON = (
        "Part 48 registration for this aircraft alone, filed by the owner",
        "Part 48 registration for this aircraft only, filed by the owner",
    )
    ORGANIZATION = (
        "Part 48 registration for this aircraft alone, filed by the organization's representative",
        "Part 48 registration for this aircraft only, filed by the organization's representative",
    )
    PART_47 = "Part 47 (N-number)"


class Decision(NamedTuple):
    """The way that fits, how sure that is, and what else stands open.

    `way` is None when no way is open (`verdict` not met: not eligible) or when several are still possible (unknown).
    `sure` is a way that is open whatever the missing facts turn out to be. `left` are the ways not shut. `waits_for_filer`
    tells that the way fits as soon as whoever files is old enough: a younger owner's aircraft is registered the same way.
    """

    way: RegistrationWay | None
    verdict: Verdict
    sure: RegistrationWay | None
    left: tuple[RegistrationWay, ...]
    waits_for_filer: bool = False


def decision_of(
    verdicts: Mapping[RegistrationWay, Verdict], waiting: Collection[RegistrationWay] = ()
) -> Decision:
    """The first way that is open, where every way before it is shut; the only way left, as unknown, where it is not sure.

    `waiting` are ways that lack nothing but to be filed by somebody old enough.
    """
    left = tuple(way for way in RegistrationWay if verdicts[way] is not Verdict.NOT_MET)
    sure = next((way for way in left if verdicts[way] is Verdict.MET), None)
    if not left:
        return Decision(None, Verdict.NOT_MET, None, ())
    first, *others = left
    if verdicts[first] is Verdict.MET:
        return Decision(first, Verdict.MET, sure, left)
    if first in waiting:
        return Decision(first, Verdict.UNKNOWN, sure, left, waits_for_filer=True)
    return Decision(None if others else first, Verdict.UNKNOWN, sure, left)


def no_registration_way(facts: Facts, law: Law) -> Outcome:
    """Whether this aircraft may be flown without any registration, and why."""
    if facts.on_file(FOREIGN_REGISTRY):
        law.span(RECOGNITION)
        return not_met("foreign")
    law.span(EXEMPT_ANY_PURPOSE)
    law.span(EXEMPT_WEIGHT_LB)
    try:
        free = why_no_duty(facts, law)
        if free:
            return met(free)
        for_recreation = law[EXEMPT_ANY_PURPOSE] or facts[USED_FOR] is UsedFor.RECREATION
    except Undecided as gap:
        return _despite(gap, facts, law)
    if for_recreation:
        return weight_exemption(facts, law)._replace(code="over_weight")
    return not_met("other_purpose")


NO_REGISTRATION_WAY_RULE = Rule("no_registration_way", "aircraft", Bears.ANSWER, no_registration_way)


def _despite(gap: Undecided, facts: Facts, law: Law) -> Outcome:
    """A gap in the way of the exemption: over the weight it is shut whatever the purpose; near it, it stays in doubt."""
    weight = all_hold(lambda: weight_exemption(facts, law))
    if weight.verdict is Verdict.NOT_MET:
        return weight._replace(code="over_weight")
    if gap.about == TAKEOFF_WEIGHT.name and weight.why is Why.WITHIN_DOUBT and weight.margin is not None:
        return weight._replace(code="weight_in_doubt")
    raise gap


def recognition_way(facts: Facts, law: Law) -> Outcome:
    """Whether the aircraft needs a recognition of ownership instead of a registration."""
    law.span(RECOGNITION)
    return met("foreign") if facts.on_file(FOREIGN_REGISTRY) else not_met("not_foreign")


RECOGNITION_WAY_RULE = Rule("recognition_way", "aircraft", Bears.ANSWER, recognition_way)


def recreational_way(facts: Facts, law: Law) -> Outcome:
    """Whether the owner can use one registration for everything flown only for recreation."""
    law.span(RECREATIONAL_IS_EXCLUSIVE)
    return all_hold(
        lambda: _papers_read(law, FILING_DATA),
        lambda: _not_foreign(facts, law),
        lambda: met("way_open") if facts[USED_FOR] is UsedFor.RECREATION else not_met("other_purpose"),
        lambda: _person(facts, law),
        lambda: _part_48(facts, law),
        lambda: _owner(facts, law),
        lambda: _old_enough(facts, law),
    )


RECREATIONAL_WAY_RULE = Rule("recreational_way", "aircraft", Bears.ANSWER, recreational_way)


def person_way(facts: Facts, law: Law) -> Outcome:
    """Whether the person who owns it may register it individually, for every use."""
    return all_hold(
        lambda: _papers_read(law, FILING_DATA),
        lambda: _not_foreign(facts, law),
        lambda: _person(facts, law),
        lambda: _part_48(facts, law),
        lambda: _owner(facts, law),
        lambda: _old_enough(facts, law),
    )


PERSON_WAY_RULE = Rule("person_way", "aircraft", Bears.ANSWER, person_way)


def organization_way(facts: Facts, law: Law) -> Outcome:
    """Whether an organization may register it in its own name through its representative, for every use."""
    return all_hold(
        lambda: _papers_read(law, FILING_DATA),
        lambda: _not_foreign(facts, law),
        lambda: _organization(facts, law),
        lambda: _part_48(facts, law),
        lambda: _owner(facts, law),
    )


ORGANIZATION_WAY_RULE = Rule("organization_way", "aircraft", Bears.ANSWER, organization_way)


def part_47_way(facts: Facts, law: Law) -> Outcome:
    """Whether the owner can register under Part 47, by choice or because Part 48 isn't possible."""
    return all_hold(
        lambda: _papers_read(law, FORMS, ENTITY_PAPERS),
        lambda: _not_foreign(facts, law),
        lambda: _counts(facts, law),
        lambda: _all_owners(facts, law),
        lambda: _eligible(facts, law),
        lambda: _applies(used_enough_here(facts.linked(OWNER), law)),
        lambda: _old_enough_on_paper(facts, law),
    )


PART_47_WAY_RULE = Rule("part_47_way", "aircraft", Bears.ANSWER, part_47_way)


def _papers_read(law: Law, *lists: Param[tuple[str, ...]]) -> Outcome:
    """Met where it was read what papers a way asks for. Undecided where it was not: then none can be said to be open."""
    for one in lists:
        if not law[one]:
            raise Undecided(Why.LAW_NOT_READ, one.name)
    return met("way_open")


def _not_foreign(facts: Facts, law: Law) -> Outcome:
    if facts.on_file(FOREIGN_REGISTRY):
        law.span(RECOGNITION)
        return not_met("foreign")
    return met("way_open")


def _person(facts: Facts, law: Law) -> Outcome:
    law.span(RECREATIONAL_FOR_PERSONS)
    return met("way_open") if facts.linked(OWNER)[OWNER_KIND] is OwnerKind.PERSON else not_met("not_a_person")


def _organization(facts: Facts, law: Law) -> Outcome:
    law.span(RECREATIONAL_FOR_PERSONS)
    return not_met("a_person") if facts.linked(OWNER)[OWNER_KIND] is OwnerKind.PERSON else met("way_open")


def _part_48(facts: Facts, law: Law) -> Outcome:
    if not law[WEB_OPEN_TO_WORK] and facts[USED_FOR] is not UsedFor.RECREATION:
        return not_met("not_yet_open")
    return part_48_path(facts, law)


def _owner(facts: Facts, law: Law) -> Outcome:
    """Of the owner, for Part 48: counts as the owner, is alone or with others who may register, and is eligible."""
    return all_hold(
        lambda: _counts(facts, law),
        lambda: _applies(several_owners(facts.linked(OWNER), law)),
        lambda: _eligible(facts, law),
    )


def _counts(facts: Facts, law: Law) -> Outcome:
    return _applies(counts_as_owner(facts.linked(OWNER), law))


def _all_owners(facts: Facts, law: Law) -> Outcome:
    """For Part 47, which has papers for several owners, it is enough that each may register."""
    several = several_owners(facts.linked(OWNER), law)
    return several if several.verdict is Verdict.NOT_MET or several.why is Why.MISSING else met("way_open")


def _eligible(facts: Facts, law: Law) -> Outcome:
    return _applies(owner_eligible(facts.linked(OWNER), law))


def _old_enough(facts: Facts, law: Law) -> Outcome:
    """A child's aircraft can be registered, but by an older person, and that one is missing."""
    outcome = old_enough_to_file(facts.linked(OWNER), law)
    if outcome.verdict is Verdict.NOT_MET:
        return unknown(Why.MISSING, "older_person_needed")
    return _applies(outcome)


def _old_enough_on_paper(facts: Facts, law: Law) -> Outcome:
    """The age that Part 47 asks for was not read, so a child without an older person to file is left open."""
    outcome = old_enough_to_file(facts.linked(OWNER), law)
    if outcome.verdict is Verdict.NOT_MET:
        return unknown(Why.OPEN_READING, "age_not_read")
    return _applies(outcome)


def _applies(outcome: Outcome) -> Outcome:
    """Another rule's outcome as one of several conditions: met or no duty is no hindrance."""
    hinders = outcome.verdict in (Verdict.NOT_MET, Verdict.UNKNOWN)
    return outcome if hinders else met("way_open")
