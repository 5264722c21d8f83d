"""Findings kept from one moment of a flight to the next: the same as if every moment were judged by itself."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from airwrit.answers.before_flight.check import light_over, moment_of
from airwrit.answers.before_flight.plan import FlightPlan
from airwrit.answers.before_flight.program import Program
from airwrit.answers.before_flight.surroundings import lasting_facts
from airwrit.facts.choices import UsedFor
from airwrit.facts.state import State
from airwrit.house.rules import house_rules
from airwrit.law.rule import Finding, Rule, judge
from tests.unit.answers.before_flight.planning import MORNING, NOTHING_AROUND, plan, program
from tests.unit.answers.before_flight.test_check_house import POLICY

HOUSE = house_rules(POLICY, "policy.toml")


def findings_at(planned: FlightPlan, given_to: Program) -> list[Finding]:
    """What the rules find of a flight at its takeoff."""
    light = light_over(planned, planned.starts, planned.ends)(planned.starts)
    moment = moment_of(planned, given_to, lasting_facts(planned, NOTHING_AROUND), light)
    return [one.finding for one in moment.clauses]


@settings(max_examples=25)
@given(
    moves=st.lists(
        st.tuples(
            st.integers(0, 60 * 24 * 3),
            st.sampled_from([60, 200, 350, 401]),
            st.sampled_from(["38.5, -98.5 within 500 ft", "38.6, -98.5 within 500 ft"]),
        ),
        min_size=2,
        max_size=8,
    )
)
def test_a_kept_finding_is_the_one_judged_anew(moves: list[tuple[int, int, str]]) -> None:
    kept = replace(program({"lights_lit": False, "listed_event": True}), house=HOUSE)
    for minutes, height_ft, area in moves:
        start = MORNING + timedelta(minutes=minutes)
        times = {"starts": start, "ends": start + timedelta(minutes=30)}
        planned = plan(**times, height_ft=Decimal(height_ft), area=area)
        assert findings_at(planned, kept) == findings_at(planned, replace(kept))


def test_only_rules_whose_facts_changed_are_asked_again(monkeypatch: pytest.MonkeyPatch) -> None:
    asked: list[str] = []

    def counted(rule: Rule, state: State, subject: str, use: UsedFor, day: date) -> Finding:
        asked.append(rule.name)
        return judge(rule, state, subject, use, day)

    monkeypatch.setattr("airwrit.answers.before_flight.program.judge", counted)
    kept = program()
    findings_at(plan(), kept)
    whole = len(asked)
    asked.clear()
    findings_at(plan(), kept)
    assert asked == []
    findings_at(plan(height_ft=Decimal(401)), kept)
    assert "height_limit" in asked
    assert len(asked) < whole / 4
