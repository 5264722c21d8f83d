"""What a review asks again once facts are held otherwise, and above all what it does not."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any

import pytest

from airwrit.base.verdict import Outcome, Why
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import HOLDER, REGISTRATION, USED_FOR
from airwrit.facts.keys.registration import ISSUED_ON
from airwrit.facts.state import Facts, Held, State
from airwrit.law.parameters import Law
from airwrit.law.rule import Bears, Review, Rule, facts_changed, met, no_duty, review

DAY = date(2026, 11, 24)
KNOWN_AT = datetime(2026, 11, 24, 15, 0, tzinfo=UTC)
Holds = Mapping[str, Mapping[Key[Any], Held]]


class Asking:
    """Rules that look at one fact each, and note of whom they were asked."""

    def __init__(self) -> None:
        """Nobody was asked yet."""
        self.asked: list[str] = []
        self.rules = tuple(self._rule(key) for key in (HOLDER, USED_FOR))

    def _rule(self, key: Key[Any]) -> Rule:
        def ask(facts: Facts, law: Law) -> Outcome:
            del law
            self.asked.append(f"{key.name} of {facts.subject}")
            value = facts.on_file(key)
            return no_duty("nothing") if value is None else met(str(value))

        return Rule(key.name, "aircraft", Bears.FLIGHT, ask)

    def again(self) -> list[str]:
        """What was asked since this was last looked at."""
        asked, self.asked = self.asked, []
        return asked

    def review(self, held: Holds, earlier: Review | None = None, day: date = DAY, **state: Any) -> Review:
        """A review of every aircraft held."""
        made = State(**{"on": DAY, "known_at": KNOWN_AT, "held": held, **state})
        return review(made, day, dict.fromkeys(held, self.rules), earlier)


A: dict[Key[Any], Held] = {HOLDER: Held("ann"), USED_FOR: Held("work")}
B: dict[Key[Any], Held] = {HOLDER: Held("bob"), USED_FOR: Held("work")}
BOTH: Holds = {"aircraft/A": A, "aircraft/B": B}


@pytest.mark.parametrize(
    ("held", "asked", "anew"),
    [
        (BOTH, [], set()),
        # the same once more, said in another place
        ({**BOTH, "aircraft/A": {**A, HOLDER: Held("ann", None, ("another sheet",))}}, [], set()),
        ({**BOTH, "aircraft/A": {**A, HOLDER: Held("cy")}}, ["holder of aircraft/A"], {"aircraft/A"}),
        (
            {**BOTH, "aircraft/A": {**A, HOLDER: Held("ann", Why.DAMAGED)}},
            ["holder of aircraft/A"],
            {"aircraft/A"},
        ),
        ({**BOTH, "aircraft/B": {USED_FOR: Held("work")}}, ["holder of aircraft/B"], {"aircraft/B"}),
        # a fact that no rule looks at: nobody is asked, but something of it is held otherwise
        ({**BOTH, "aircraft/A": {**A, REGISTRATION: Held("N")}}, [], {"aircraft/A"}),
        (
            {**BOTH, "aircraft/C": {}},
            ["holder of aircraft/C", "used_for of aircraft/C"],
            {"aircraft/C"},
        ),
        ({"aircraft/A": A}, [], {"aircraft/B"}),
    ],
)
def test_only_what_hangs_on_a_change_is_asked_again(held: Holds, asked: list[str], anew: set[str]) -> None:
    rules = Asking()
    first = rules.review(BOTH)
    assert first.anew is None
    assert len(rules.again()) == 4
    second = rules.review(held, first)
    assert rules.again() == asked
    assert set(second.anew or ()) == anew
    assert second.findings == all_anew(rules, held)
    assert rules.review(held, second).anew == frozenset()


def all_anew(rules: Asking, held: Holds) -> Mapping[str, Any]:
    """What a review of everything finds."""
    found = rules.review(held).findings
    rules.again()
    return found


@pytest.mark.parametrize(
    ("other", "goes_on"),
    [
        ({}, True),
        ({"known_at": KNOWN_AT + timedelta(hours=1)}, True),
        ({"known_at": KNOWN_AT + timedelta(days=1)}, False),
        ({"known_at": KNOWN_AT - timedelta(days=1)}, False),
        ({"on": DAY + timedelta(days=1)}, False),
        ({"on": datetime(2026, 11, 24, 12, 0, tzinfo=UTC)}, False),
        ({"day": DAY - timedelta(days=1)}, False),
    ],
)
def test_a_review_goes_on_on_the_same_day_by_the_same_law_as_known_that_day(
    other: dict[str, Any], *, goes_on: bool
) -> None:
    rules = Asking()
    first = rules.review(BOTH)
    rules.again()
    second = rules.review(BOTH, first, **other)
    assert (second.anew is not None) is goes_on
    assert (rules.again() == []) is goes_on


def test_another_rule_is_asked_of_whoever_has_it_now() -> None:
    rules = Asking()
    state = State(DAY, KNOWN_AT, BOTH)
    first = review(state, DAY, {"aircraft/A": rules.rules[:1], "aircraft/B": rules.rules})
    rules.again()
    second = review(state, DAY, {"aircraft/A": rules.rules, "aircraft/B": rules.rules}, first)
    assert rules.again() == ["used_for of aircraft/A"]
    assert second.anew == frozenset({"aircraft/A"})


def test_facts_are_held_otherwise_that_are_new_other_or_gone() -> None:
    def changed(before: Holds, after: Holds) -> set[tuple[str, Key[Any]]]:
        return set(facts_changed(State(DAY, KNOWN_AT, before), State(DAY, KNOWN_AT, after)))

    assert changed(BOTH, BOTH) == set()
    assert changed(BOTH, {"aircraft/A": A}) == {("aircraft/B", HOLDER), ("aircraft/B", USED_FOR)}
    assert changed({"aircraft/A": A}, BOTH) == {("aircraft/B", HOLDER), ("aircraft/B", USED_FOR)}
    paper: Holds = {"registration/N": {ISSUED_ON: Held(DAY)}}
    assert changed(BOTH, {**BOTH, **paper}) == {("registration/N", ISSUED_ON)}
    assert changed({**BOTH, **paper}, BOTH) == {("registration/N", ISSUED_ON)}
