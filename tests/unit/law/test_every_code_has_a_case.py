"""Every outcome that the words know stands in a table of cases, and every rule is judged by one."""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import NamedTuple

import pytest

from airwrit.base.verdict import Why
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import worded
from tests.unit.law.case import Case, judged, outcome_of
from tests.unit.law.words import texts

HERE = Path(__file__).parent


def cases() -> list[Case]:
    """The lines of every table of cases: the CASES of each file of tests in the folders beside this file."""
    found: list[Case] = []
    for path in sorted(HERE.glob("*/test_*.py")):
        module = importlib.import_module(f"tests.unit.law.{path.parent.name}.{path.stem}")
        found += getattr(module, "CASES", ())
    return found


def test_every_outcome_of_every_rule_has_a_case() -> None:
    seen = {(line.rule, line.code) for line in cases()}
    written = {(rule, code) for rule in BY_NAME for code in texts().get(rule, {})}
    assert sorted(written - seen) == []


def test_every_text_that_rules_share_has_a_case() -> None:
    shared = {code for code, table in texts().items() if "says" in table} - set(Why)
    assert sorted(shared - {line.code for line in cases()}) == []


def test_every_rule_has_a_case_that_is_no_gap() -> None:
    assert set(BY_NAME) - {line.rule for line in cases() if line.why != "missing"} == set()


def test_every_case_has_words() -> None:
    for line in cases():
        words = worded(*judged(line))
        assert words.says, line.name
        assert "{" not in words.says + words.do, line.name


class Judged(NamedTuple):
    """A rule and the lines about it."""

    rule: str
    lines: tuple[Case, ...]


LINES = cases()
RULES = [Judged(rule, tuple(line for line in LINES if line.rule == rule)) for rule in BY_NAME]
TOLD_ELSEWHERE = {
    *("report_107_9", "notify_ntsb", "ntsb_written_report", "report_osha", "nasa_report"),
    *("bulletins_done", "battery_bulletins_done"),
    *("renewal_window", "renewal_asked_in_time", "dc_outer_ring"),
}
"""Rules that name a last day and are not told as due while it is not known: of an incident, of a bulletin, of what is asked."""


@pytest.mark.parametrize("one", RULES, ids=lambda one: one.rule)
def test_a_rule_whose_findings_name_a_last_day_says_so(one: Judged) -> None:
    """Such a rule is told among what is due even while the day is not known."""
    named = any(outcome_of(line).due_on is not None for line in one.lines)
    assert BY_NAME[one.rule].has_last_day == (named and one.rule not in TOLD_ELSEWHERE)
