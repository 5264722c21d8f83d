"""Every outcome that the words know stands in a table of cases, and every rule is judged by one."""

from __future__ import annotations

import importlib
from pathlib import Path

from airwrit.base.verdict import Why
from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import texts, worded
from tests.unit.law.case import Case, judged

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
