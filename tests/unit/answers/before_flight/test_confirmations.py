"""Facts that a pilot confirms, and those of them that a crew may confirm at once."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.before_flight.check import fact_of
from airwrit.answers.before_flight.confirmations import AT_ONCE, confirmations, plain_answers
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.saved import saved_flight
from airwrit.answers.before_flight.typed import groups_confirmed
from airwrit.base.errors import UsageError
from airwrit.facts.key import Raw, raw_of
from airwrit.facts.statement import Known
from tests.unit.answers.before_flight.planning import CONFIRMED, MORNING, check, plan, program
from tests.unit.answers.told import known_of


@pytest.mark.parametrize("group", ["desk", "place"])
def test_what_is_looked_up_or_seen_is_never_confirmed_at_once(group: str) -> None:
    assert plain_answers(group, confirmations()) == {}
    with pytest.raises(UsageError, match="at once"):
        groups_confirmed(plan(), program(), [group])


COVERED = {
    # 14 CFR 107.15, 107.49, 89.105, 107.53, 107.29: what is in the pilot's hands
    "aircraft": {
        "preflight_done": "yes",
        "condition_checked": "yes",
        "registration_carried": "yes",
        "broadcasts": "yes",
        "ads_b_transmits": "no",
        "lights_lit": "yes",
        "lights_flash_enough": "yes",
    },
    # 14 CFR 107.7, 107.17, 107.35, 107.33
    "crew": {
        "card_at_hand": "yes",
        "id_at_hand": "yes",
        "crew_fit": "yes",
        "several_at_once": "no",
        "observer_able": "yes",
    },
}
BY_ITSELF = {
    # a number, or a choice that changes what the law asks
    "aircraft": {"lights_visible_sm"},
    "crew": {"hours_since_drink", "observer_used", "crew_present"},
}


@pytest.mark.parametrize("group", AT_ONCE)
def test_what_a_group_covers_and_what_it_does_not(group: str) -> None:
    assert plain_answers(group, confirmations()) == COVERED[group]
    mine = {name for name, one in confirmations().items() if one.group == group}
    assert mine - COVERED[group].keys() == BY_ITSELF[group]


@pytest.mark.parametrize("group", AT_ONCE)
def test_a_group_settles_nothing_of_another(group: str) -> None:
    nothing = program(dict.fromkeys(CONFIRMED))
    told = groups_confirmed(plan(), nothing, [group])
    assert {confirmations()[one.statement.key].group for one in told} == {group}
    left = {fact_of(need) for need in check(given=nothing.with_told(told)).owed}
    others = {name for name, one in confirmations().items() if one.group != group}
    assert left & others == {fact_of(need) for need in check(given=nothing).owed} & others


@pytest.mark.parametrize("group", AT_ONCE)
@pytest.mark.parametrize(
    "change",
    [
        {"area": "38.51, -98.5 within 500 ft"},
        {"height_ft": Decimal(210)},
        {"starts": MORNING - timedelta(minutes=5)},
        {"ends": MORNING + timedelta(minutes=35)},
        {"aircraft": "aircraft/Fern 2"},
        {"pilot": "person/Rune Tveit"},
    ],
    ids=lambda change: next(iter(change)),
)
def test_another_place_height_hour_aircraft_or_pilot_ends_it(group: str, change: dict[str, Any]) -> None:
    told = groups_confirmed(plan(), program(dict.fromkeys(CONFIRMED)), [group])
    facts = kept_of(plan(), told)
    assert {one.statement.key for one in saved_flight(known_of({"flight/A": facts}), "A").told} == {
        one.statement.key for one in told
    }
    moved = {**facts, **{key.name: raw_of(held.value) for key, held in plan(**change).facts().items()}}
    after = saved_flight(known_of({"flight/A": moved}), "A")
    assert after.told == ()
    assert set(after.outdated) == {one.statement.key for one in told}


def kept_of(planned: FlightPlan, told: list[Known]) -> dict[str, Raw]:
    """What is on record of a planned flight with what was confirmed for it."""
    facts = {key.name: raw_of(held.value) for key, held in planned.facts().items()}
    said = {one.statement.key: one.statement.value for one in told}
    return {**facts, **said, "confirmed_for": planned.digest}


@pytest.mark.parametrize("group", AT_ONCE)
def test_only_what_the_flight_asks_and_nobody_answered_is_confirmed(group: str) -> None:
    mine = [name for name, one in confirmations().items() if one.group == group]
    found = groups_confirmed(plan(), program(dict.fromkeys(mine)), [group])
    told = {one.statement.key for one in found}
    assert told <= set(plain_answers(group, mine))
    assert "lights_lit" not in told, "the flight is in daylight"
    assert "hours_since_drink" not in told, "a number has no plain answer"
    assert groups_confirmed(plan(), program(), [group]) == []
