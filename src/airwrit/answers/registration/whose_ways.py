"""The options compared for one aircraft or for what was told of it in short: which of them are not available, and why."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, datetime, time
from decimal import Decimal
from typing import NamedTuple

from airwrit.answers.asking.alternatives import persons_way
from airwrit.answers.asking.dialogue import AIRCRAFT, OWNED_BY
from airwrit.answers.registration.way import Ways, ways_of
from airwrit.answers.registration.whose_name import WhoseName, obeying, whose_name
from airwrit.base.days import When, day_of
from airwrit.base.verdict import Verdict
from airwrit.facts.choices import OwnerKind
from airwrit.facts.fold import state_of
from airwrit.facts.key import Raw
from airwrit.facts.keys.aircraft import FLOWN_ABROAD, OWNER, TAKEOFF_WEIGHT
from airwrit.facts.keys.registration import OWNER_KIND
from airwrit.facts.state import State, value_held
from airwrit.facts.statement import Known, Statement
from airwrit.facts.vocabulary import id_of
from airwrit.law import wording
from airwrit.law.holder.ways import RegistrationWay

AIRCRAFT_IF_LEFT_OUT, TURNOVER_IF_LEFT_OUT, YEARS_IF_LEFT_OUT = 1, Decimal("0.5"), 6
"""One aircraft; one who leaves every other year; six years."""


class InShort(NamedTuple):
    """What is told of the aircraft without a file: what makes a way not available. None, and False, for what nobody told."""

    weight_g: Raw | None = None
    flown_abroad: bool = False
    in_trust: bool = False


def not_available(ways: Ways, state: State) -> Mapping[str, str]:
    """Why a way is not available to an aircraft, by the way's name; nothing of those that are, or may be."""
    persons = persons_way(ways, state)
    of = {
        "representative": ways.findings[RegistrationWay.ORGANIZATION],
        "part_47": ways.findings[RegistrationWay.PART_47],
        "true_owner": persons,
        "program_lead": persons,
    }
    return {
        name: wording.worded(finding, state).says
        for name, finding in of.items()
        if finding.verdict is Verdict.NOT_MET
    }


def whose_name_in_short(aircraft: int, turnover: Decimal, years: int, told: InShort, on: When) -> WhoseName:
    """The options compared, less those that are not available by what was told in short. UsageError as `whose_name`."""
    found = whose_name(aircraft, turnover, years, day_of(on))
    state = _state(told, on)
    return obeying(found, not_available(ways_of(state, AIRCRAFT), state))


def is_of_a_person(state: State, aircraft: str) -> bool:
    """Whether the owner on file is a person, for whom there is no choice of name."""
    owner = value_held(state, aircraft, OWNER)
    return owner is not None and value_held(state, f"owner/{owner}", OWNER_KIND) is OwnerKind.PERSON


def _state(told: InShort, on: When) -> State:
    facts = {
        (AIRCRAFT, OWNER.name): id_of(OWNED_BY),
        (AIRCRAFT, TAKEOFF_WEIGHT.name): told.weight_g,
        (AIRCRAFT, FLOWN_ABROAD.name): told.flown_abroad or None,
        (OWNED_BY, OWNER_KIND.name): OwnerKind.TRUST.value if told.in_trust else None,
    }
    known = [Known(Statement(*place, raw)) for place, raw in facts.items() if raw is not None]
    return state_of(known, on, datetime.combine(day_of(on), time(), UTC))
