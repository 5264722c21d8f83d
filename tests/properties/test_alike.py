"""What is found of subjects because they answer like others is what every rule finds when it is asked of each by itself."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date, datetime, timedelta, timezone
from decimal import Decimal
from unittest.mock import patch

from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.times import When, day_of
from airwrit.facts.key import Raw
from airwrit.facts.state import State, state_of
from airwrit.facts.statement import Known
from airwrit.facts.vocabulary import KEYS, subject_named
from airwrit.house.rules import example, house_rules
from airwrit.law import alike
from airwrit.law.alike import Alike
from airwrit.law.judging import Rule, judge_uses
from airwrit.law.rulebook import RULES
from tests.properties.statements import KNOWN_AT, NAMES, days, facts, instants

ALL_RULES = (*RULES, *house_rules(example(), "rules.toml"))
KINDS = tuple(dict.fromkeys(rule.about for rule in ALL_RULES))


@st.composite
def fleets(draw: st.DrawFn) -> list[Known]:
    """Two subjects of every kind, and some more that are like the one or the other but for facts that they lack."""
    known = draw(facts(most=80))
    fleet = list(known)
    for number in range(3, 3 + draw(st.integers(1, 8))):
        like, lacks = draw(st.sampled_from(NAMES)), draw(st.sets(st.integers(0, 79), max_size=4))
        for place, item in enumerate(known):
            kind, _, name = item.statement.subject.partition("/")
            if name == like and place not in lacks:
                value = written_otherwise(item) if draw(st.booleans()) else item.statement.value
                statement = item.statement._replace(subject=subject_named(kind, str(number)), value=value)
                fleet.append(item._replace(statement=statement))
    return fleet


def written_otherwise(item: Known) -> Raw:
    """The same value to one more digit, or in another zone: equal, and not the same."""
    raw, kind = item.statement.value, KEYS[item.statement.key].kind
    if not isinstance(raw, str):
        return raw
    if kind is Decimal:
        return f"{raw}0" if "." in raw else f"{raw}.0"
    if kind is date and "T" in raw:
        return datetime.fromisoformat(raw).astimezone(timezone(timedelta(hours=-10))).isoformat()
    return raw


def by_itself(state: State, rules: Sequence[Rule], subject: str) -> list[object]:
    return [judge_uses(rule, state, subject, day_of(state.on)) for rule in rules]


@given(fleets(), days | instants, st.sampled_from((1, 3, 256)))
def test_whoever_answers_alike_is_judged_alike(fleet: list[Known], on: When, tried: int) -> None:
    state = state_of(fleet, on, KNOWN_AT)
    with patch.multiple(alike, _TRIED=tried, _ALIKE=0, _MANY=1):
        for kind in KINDS:
            judge_of_many = Alike(state, day_of(on))
            rules = tuple(rule for rule in ALL_RULES if rule.about == kind)
            for subject in [*state.subjects(kind), f"{kind}/unheard of"]:
                assert judge_of_many.judged_all(rules, subject) == by_itself(state, rules, subject)


@given(fleets(), days)
def test_rules_that_are_seldom_alike_are_asked_directly_with_the_same_findings(
    fleet: list[Known], on: When
) -> None:
    state = state_of(fleet, on, KNOWN_AT)
    with patch.multiple(alike, _TRIED=2, _ALIKE=3):
        for kind in KINDS:
            judge_of_many = Alike(state, day_of(on))
            rules = tuple(rule for rule in ALL_RULES if rule.about == kind)
            for subject in state.subjects(kind):
                assert judge_of_many.judged_all(rules, subject) == by_itself(state, rules, subject)
