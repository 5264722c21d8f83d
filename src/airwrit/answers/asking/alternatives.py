"""What would change the way: hypothetical states, each judged by the same rules; and the weight left to the limits."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from decimal import ROUND_CEILING, ROUND_FLOOR, Decimal
from typing import Any, NamedTuple

from airwrit.answers.asking.steps import words
from airwrit.answers.registration.way import Ways, ways_of
from airwrit.base.days import day_of
from airwrit.base.measured import Measured, grams_from_pounds
from airwrit.base.verdict import Undecided
from airwrit.facts.choices import Citizenship, HoldsAs, OwnerKind, UsedFor
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import (
    BASE_WEIGHT,
    FLOWN_ABROAD,
    ONLY_INDOORS,
    OWNER,
    SCALE_ERROR,
    TAKEOFF_WEIGHT,
    USED_FOR,
)
from airwrit.facts.keys.registration import (
    BASED_AND_USED_IN_US,
    CITIZENSHIP,
    FILER_OLD_ENOUGH,
    HOLDS_AS,
    ORGANIZED_IN_US,
    OWNED_BY_SEVERAL,
    OWNER_KIND,
)
from airwrit.facts.state import Facts, Held, State, value_held, with_held
from airwrit.law.aircraft.weight import EXEMPT_WEIGHT_LB, SMALL_LIMIT_LB, weight_as_flown_g
from airwrit.law.holder.ways import Decision, RegistrationWay
from airwrit.law.parameters import Law
from airwrit.law.rule import Finding

_TENTH = Decimal("0.1")
_NEW = "owner/another owner"
_NewFacts = Mapping[str, Mapping[Key[Any], Held]]


class Alternative(NamedTuple):
    """A change of one fact and the decision it would lead to; `margin_g` where it is a weight, from worst to best."""

    name: str
    what: str
    decision: Decision
    margin_g: tuple[Decimal, Decimal] | None = None


class _Try(NamedTuple):
    """A change to be judged: its name, what would be held, the margin of a weight, the limit, and its words' own name."""

    name: str
    facts: _NewFacts
    margin: tuple[Decimal, Decimal] | None = None
    limit: Decimal | None = None
    words: str = ""


def changes_of(ways: Ways, state: State) -> tuple[Alternative, ...]:
    """The changes that would lead to another way, or to none, each found by judging it."""
    found = []
    for one in (*_weights(ways, state), *_others(ways, state)):
        decision = ways_of(with_held(state, one.facts), ways.subject).decision
        if (decision.way, decision.verdict) != (ways.decision.way, ways.decision.verdict):
            text = words()["changes"][one.words or one.name]
            what = text.format(margin=_told(one.margin), limit=one.limit)
            found.append(Alternative(one.name, what, decision, one.margin))
    return tuple(found)


def _weights(ways: Ways, state: State) -> Iterator[_Try]:
    """A weight just past each limit, and how much that is, with the scale's errors."""
    law = Law(day_of(state.on))
    try:
        weight = weight_as_flown_g(Facts(state, ways.subject))
        exempt, small = law[EXEMPT_WEIGHT_LB], law[SMALL_LIMIT_LB]
    except Undecided:
        return
    limit, tiny = grams_from_pounds(exempt), Decimal("0.0000001")
    if weight.best <= limit:
        yield _Try("more_weight", _at(ways, state, limit + tiny), _room(weight, limit), exempt)
    else:
        yield _Try("less_weight", _at(ways, state, limit), _room(weight, limit), exempt)
    limit = grams_from_pounds(small)
    if weight.best < limit:
        yield _Try("heavy", _at(ways, state, limit), _room(weight, limit), small)
    else:
        under = _at(ways, state, limit - tiny)
        yield _Try("less_weight", under, _room(weight, limit), small, "less_weight_small")


def _at(ways: Ways, state: State, grams: Decimal) -> _NewFacts:
    """The aircraft at a weight that is exactly known."""
    told = {TAKEOFF_WEIGHT: Held(grams), SCALE_ERROR: Held(Decimal(0))}
    if BASE_WEIGHT in state.held.get(ways.subject, {}):
        told[BASE_WEIGHT] = Held(grams)
        return {ways.subject: told, **_no_parts(state)}
    return {ways.subject: told}


def _no_parts(state: State) -> dict[str, dict[Key[Any], Held]]:
    """Parts that no longer add anything: their weights are in the whole."""
    return {
        part: {
            key: Held(Decimal(0))
            for key in state.held[part]
            if key.name in ("part_weight_g", "part_scale_error_g")
        }
        for part in state.subjects("part")
    }


def _room(weight: Measured, limit: Decimal) -> tuple[Decimal, Decimal]:
    """Grams to the limit, least and most that it may be."""
    ends = sorted((abs(limit - weight.high), abs(limit - weight.low)))
    if weight.low <= limit <= weight.high:
        ends[0] = Decimal(0)
    return ends[0], ends[1]


def _told(margin: tuple[Decimal, Decimal] | None) -> str:
    """The grams in words: what is safe to say, rounded to the careful side."""
    if margin is None:
        return ""
    least = margin[0].quantize(_TENTH, ROUND_FLOOR)
    most = margin[1].quantize(_TENTH, ROUND_CEILING)
    if margin[0] >= 2000:
        return f"{margin[0] / 1000:.1f} kg"
    return f"{least} g" if least == most else f"{least} to {most} g"


def persons_way(ways: Ways, state: State) -> Finding:
    """What the way of a person who owns it would be found to be, were the aircraft that of a US citizen old enough to file."""
    sold = _sold("to_a_person", ways, {OWNER_KIND: OwnerKind.PERSON})
    return ways_of(with_held(state, sold.facts), ways.subject).findings[RegistrationWay.PERSON]


def _others(ways: Ways, state: State) -> Iterator[_Try]:
    subject = ways.subject
    use = value_held(state, subject, USED_FOR)
    if use is UsedFor.RECREATION:
        yield _try("one_paid_flight", subject, {USED_FOR: UsedFor.BOTH})
    elif use is not None:
        yield _try("only_recreation", subject, {USED_FOR: UsedFor.RECREATION})
    if not value_held(state, subject, FLOWN_ABROAD):
        yield _try("flown_abroad", subject, {FLOWN_ABROAD: True})
    if not value_held(state, subject, ONLY_INDOORS):
        yield _try("only_indoors", subject, {ONLY_INDOORS: True})
    owner = value_held(state, subject, OWNER)
    kind = None if owner is None else value_held(state, f"owner/{owner}", OWNER_KIND)
    if kind is OwnerKind.PERSON:
        yield _try("not_a_citizen", f"owner/{owner}", {CITIZENSHIP: Citizenship.NEITHER})
        yield _sold("to_a_company", ways, {OWNER_KIND: OwnerKind.CORPORATION})
    elif kind is not None:
        yield _sold("to_a_person", ways, {OWNER_KIND: OwnerKind.PERSON})
    yield _sold("to_a_trust", ways, {OWNER_KIND: OwnerKind.TRUST})
    if owner is not None and value_held(state, f"owner/{owner}", HOLDS_AS) is not HoldsAs.LESSEE:
        yield _try("leased", f"owner/{owner}", {HOLDS_AS: HoldsAs.LESSEE})


def _try(name: str, subject: str, facts: Mapping[Key[Any], object]) -> _Try:
    return _Try(name, {subject: {key: Held(held) for key, held in facts.items()}})


def _sold(name: str, ways: Ways, facts: Mapping[Key[Any], object]) -> _Try:
    """The aircraft of a new owner, of whom all else is as it has to be."""
    of_its_kind: dict[Key[Any], object] = {ORGANIZED_IN_US: True, BASED_AND_USED_IN_US: True}
    if facts[OWNER_KIND] is OwnerKind.PERSON:
        of_its_kind = {CITIZENSHIP: Citizenship.CITIZEN, FILER_OLD_ENOUGH: True}
    good = {OWNED_BY_SEVERAL: False, **of_its_kind, **facts}
    held = {key: Held(one) for key, one in good.items()}
    return _Try(name, {ways.subject: {OWNER: Held("another owner")}, _NEW: held})
