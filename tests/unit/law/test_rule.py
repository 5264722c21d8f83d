"""Where gaps become verdicts, and how several checks make one."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime

import pytest

from airwrit.base.verdict import Outcome, Undecided, Verdict, Why
from airwrit.facts.choices import UsedFor
from airwrit.facts.fold import state_of
from airwrit.facts.keys.aircraft import PART_OF, USED_FOR
from airwrit.facts.state import Facts
from airwrit.facts.statement import Known, Statement
from airwrit.law.parameters import Law
from airwrit.law.rule import (
    Bears,
    Rule,
    all_hold,
    findings_of,
    judge,
    judge_uses,
    known_of,
    met,
    no_duty,
    not_met,
    unknown,
)

DAY = date(2026, 11, 24)
STATE = state_of(
    [Known(Statement("aircraft/A", "used_for", "work")), Known(Statement("part/1", "part_of", "A"))],
    DAY,
    datetime(2026, 11, 24, tzinfo=UTC),
)


def gap() -> Outcome:
    """A check that meets a gap."""
    raise Undecided(Why.DAMAGED, "a fact")


def of(outcome: Outcome) -> Callable[[], Outcome]:
    """A check with that outcome."""
    return lambda: outcome


MET, NOT_MET, OPEN = of(met("good")), of(not_met("bad")), of(unknown(Why.OPEN_READING, "open"))


@pytest.mark.parametrize(
    ("checks", "verdict", "code"),
    [
        ((), Verdict.UNKNOWN, "nothing_asked"),
        ((MET,), Verdict.MET, "good"),
        ((MET, of(met("last"))), Verdict.MET, "last"),
        ((gap, MET), Verdict.UNKNOWN, "a fact"),
        ((MET, gap), Verdict.UNKNOWN, "a fact"),
        ((gap, OPEN), Verdict.UNKNOWN, "a fact"),
        ((OPEN, gap), Verdict.UNKNOWN, "open"),
        ((gap, NOT_MET), Verdict.NOT_MET, "bad"),
        ((MET, NOT_MET, gap), Verdict.NOT_MET, "bad"),
        ((NOT_MET, of(not_met("later"))), Verdict.NOT_MET, "bad"),
    ],
)
def test_all_hold(checks: tuple[Callable[[], Outcome], ...], verdict: Verdict, code: str) -> None:
    outcome = all_hold(*checks)
    assert (outcome.verdict, outcome.code) == (verdict, code)


def test_all_hold_keeps_the_reason_of_a_gap() -> None:
    assert all_hold(MET, gap).why is Why.DAMAGED


def test_known_of_gives_what_can_be_read_and_the_first_gap() -> None:
    values, found = known_of([of(met("a")), gap, of(met("b"))])
    assert [value.code for value in values] == ["a", "b"]
    assert found is not None
    assert (found.verdict, found.why, found.code) == (Verdict.UNKNOWN, Why.DAMAGED, "a fact")
    assert known_of([of(met("a"))]) == ([met("a")], None)


def rule(ask: Callable[[Facts, Law], Outcome]) -> Rule:
    """A rule of that judgment."""
    return Rule("invented", "aircraft", Bears.FLIGHT, ask)


def test_a_gap_in_the_facts_becomes_a_verdict() -> None:
    finding = judge(rule(lambda facts, _: met(facts[USED_FOR])), STATE, "aircraft/B", UsedFor.WORK, DAY)
    assert (finding.verdict, finding.outcome.why, finding.outcome.code) == (
        Verdict.UNKNOWN,
        Why.MISSING,
        "used_for",
    )
    assert [(used.subject, used.key, used.closed) for used in finding.used] == [
        ("aircraft/B", USED_FOR, False)
    ]


def test_a_rule_that_asks_for_the_use_gives_a_finding_each() -> None:
    asking = rule(lambda facts, _: met(facts.use))
    assert [finding.use for finding in judge_uses(asking, STATE, "aircraft/A", DAY)] == [
        UsedFor.WORK,
        UsedFor.RECREATION,
    ]
    still = rule(lambda facts, _: no_duty(facts[USED_FOR]))
    assert [finding.use for finding in judge_uses(still, STATE, "aircraft/A", DAY)] == [None]


def test_what_is_asked_besides_is_asked_upon_the_answer_for_recreation() -> None:
    besides = replace(rule(lambda _, __: met("besides")), name="besides")
    asking = replace(rule(lambda facts, _: met(facts.use)), upon={"recreation": besides})
    assert [one.outcome.code for one in findings_of(asking, STATE, "aircraft/A", DAY)] == [
        "work",
        "recreation",
        "besides",
    ]
    other = replace(asking, upon={"work": besides})
    assert [one.outcome.code for one in findings_of(other, STATE, "aircraft/A", DAY)] == [
        "work",
        "recreation",
    ]


def test_a_linked_subject_asks_for_the_use_of_the_question() -> None:
    asking = rule(lambda facts, _: met(facts.linked(PART_OF).use))
    assert judge(asking, STATE, "part/1", UsedFor.RECREATION, DAY).use is UsedFor.RECREATION


def test_a_use_of_the_rules_own_choosing_is_not_the_questions() -> None:
    def ask(facts: Facts, law: Law) -> Outcome:
        other = facts.under(UsedFor.RECREATION)
        return met(f"{other.use} {other[USED_FOR]}")

    finding = judge(rule(ask), STATE, "aircraft/A", UsedFor.WORK, DAY)
    assert (finding.use, finding.outcome.code) == (None, "recreation work")
    assert [used.key for used in finding.used] == [USED_FOR]
