"""Which runs of a rule serve for others, and which are each subject's own."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, date, datetime
from typing import Any

import pytest

from airwrit.base.findings import Outcome
from airwrit.facts.aircraft import (
    LISTED_SERIAL,
    LOST_ON,
    OWNER,
    REGISTRATION,
    REMOTE_ID_SERIAL,
    TAKEOFF_WEIGHT,
    USED_FOR,
)
from airwrit.facts.flight import FLIGHT_AIRCRAFT
from airwrit.facts.key import Key, Raw
from airwrit.facts.registration import OWNER_KIND
from airwrit.facts.state import Facts, State, state_of
from airwrit.facts.statement import Known, Statement
from airwrit.facts.words import UsedFor
from airwrit.law.alike import Alike, Looks
from airwrit.law.judging import Bears, Rule, judge_uses, met, not_met
from airwrit.law.parameters import Law

DAY = date(2026, 11, 24)
Judge = Callable[[Facts, Law], Outcome]


def state(**facts: dict[str, Raw]) -> State:
    """Aircraft A, B, ... with these facts, an owner, and what else is told by its subject."""
    told: dict[str, dict[str, Raw]] = {**facts, "owner/firm": {"owner_kind": "corporation"}}
    known = [
        Known(Statement(subject if "/" in subject else f"aircraft/{subject}", key, value))
        for subject, of in told.items()
        for key, value in of.items()
    ]
    return state_of(known, DAY, datetime(2026, 11, 24, tzinfo=UTC))


class Counting:
    """A rule that counts how often it is asked."""

    def __init__(self, judge: Judge) -> None:
        self.asked = 0
        self._judge = judge

    def __call__(self, facts: Facts, law: Law) -> Outcome:
        self.asked += 1
        return self._judge(facts, law)


def asked(judge: Judge, *, of: State) -> int:
    """How often a rule is asked to judge every aircraft; each finding is the one it makes of the aircraft by itself."""
    counting = Counting(judge)
    rule = Rule("a_rule", "aircraft", Bears.FLIGHT, counting)
    alike = Alike(of, DAY)
    found = [alike.judged_uses(rule, subject) for subject in of.subjects("aircraft")]
    times = counting.asked
    assert found == [judge_uses(rule, of, subject, DAY) for subject in of.subjects("aircraft")]
    return times


def of_weight(facts: Facts, law: Law) -> Outcome:
    return met("light") if facts[TAKEOFF_WEIGHT] < 250 else not_met("heavy")


def of_digits(facts: Facts, law: Law) -> Outcome:
    return met("weighed", value=str(facts[TAKEOFF_WEIGHT]))


def of_owner(facts: Facts, law: Law) -> Outcome:
    return met("firm") if facts.linked(OWNER)[OWNER_KIND] else not_met("nobody")


def of_use(facts: Facts, law: Law) -> Outcome:
    return met("work") if facts.use is UsedFor.WORK else not_met("work")


def of_name(facts: Facts, law: Law) -> Outcome:
    return met("named", value=facts.subject)


def of_state(facts: Facts, law: Law) -> Outcome:
    return met("many", value=str(len(facts.state.held)))


def of_flights(facts: Facts, law: Law) -> Outcome:
    return met("flown") if list(facts.linking(FLIGHT_AIRCRAFT)) else not_met("flown")


def of_sharing(facts: Facts, law: Law) -> Outcome:
    return not_met("shared") if list(facts.sharing(LISTED_SERIAL)) else met("own")


def of_two(facts: Facts, law: Law) -> Outcome:
    return met("same") if facts.of(str.__eq__, REMOTE_ID_SERIAL, LISTED_SERIAL) else not_met("same")


TWO: dict[str, dict[str, Raw]] = {"A": {"takeoff_weight_g": "200"}, "B": {"takeoff_weight_g": "200"}}
OWNED: dict[str, dict[str, Raw]] = {
    "A": {"owner": "firm", "registration": "FA00TEST01"},
    "B": {"owner": "firm", "registration": "FA00TEST02"},
}
FLOWN: dict[str, dict[str, Raw]] = {"flight/1": {"flight_aircraft": "B"}}
LISTED: dict[str, dict[str, Raw]] = {name: {"remote_id_serial": name, "listed_serial": name} for name in "AB"}


@pytest.mark.parametrize(
    ("judge", "of", "times"),
    [
        (of_weight, state(**TWO), 1),
        (of_weight, state(**TWO, C={"takeoff_weight_g": "900"}), 2),
        (of_weight, state(**TWO, C={"used_for": "work"}), 2),
        (of_digits, state(**TWO, C={"takeoff_weight_g": "200.0"}), 2),
        (of_owner, state(**OWNED), 1),
        (of_owner, state(**OWNED, C={"registration": "FA00TEST03"}), 2),
        (of_use, state(**TWO), 2),
        (of_name, state(**TWO), 3),
        (of_state, state(**TWO), 3),
        (of_flights, state(**TWO), 1),
        (of_flights, state(**TWO, **FLOWN), 3),
        (of_sharing, state(**LISTED), 1),
        (of_sharing, state(**LISTED, C={"listed_serial": "B"}), 4),
        (of_two, state(**LISTED), 1),
        (of_two, state(**LISTED, C={"remote_id_serial": "C"}), 2),
        (of_two, state(**LISTED, C={"remote_id_serial": "C", "listed_serial": "D"}), 2),
    ],
)
def test_a_rule_is_asked_once_for_all_that_answer_alike(judge: Judge, of: State, times: int) -> None:
    assert asked(judge, of=of) == times


@pytest.mark.parametrize(
    "asks",
    [
        [(REGISTRATION, USED_FOR), (REGISTRATION, LOST_ON), (REGISTRATION, LOST_ON)],
        [(REGISTRATION, USED_FOR), (REGISTRATION,), (REGISTRATION, USED_FOR)],
        [(REGISTRATION, USED_FOR, LOST_ON), (USED_FOR,), (REGISTRATION,)],
    ],
)
def test_a_rule_that_asks_otherwise_after_the_same_answers_is_asked_each_time(
    asks: list[tuple[Key[Any], ...]],
) -> None:
    turns = iter(asks)

    def fickle(facts: Facts, law: Law) -> Outcome:
        for key in next(turns):
            facts.on_file(key)
        return met("asked")

    plain: dict[str, Raw] = {"registration": "1"}
    of = state(A=plain, B={**plain, "used_for": "work"}, C=plain)
    counting = Counting(fickle)
    rule, alike = Rule("fickle", "aircraft", Bears.FLIGHT, counting), Alike(of, DAY)
    found = [alike.judged_uses(rule, subject) for subject in of.subjects("aircraft")]
    assert counting.asked == 3
    looked = [[key for _, key, _ in one.looks] for (one,) in found]
    assert looked == [list(keys) for keys in asks]


def test_looks_are_those_of_the_rule_by_itself() -> None:
    looks = Looks(("aircraft/A", "owner/firm"), ((0, OWNER, False), (1, OWNER_KIND, True)))
    told = (("aircraft/A", OWNER, False), ("owner/firm", OWNER_KIND, True))
    assert tuple(looks) == told
    assert looks == told
    assert told == looks
    assert looks != told[:1]
    assert hash(looks) == hash(told)
    assert len(looks) == 2
    assert told[0] in looks
    assert ("aircraft/B", OWNER, False) not in looks
