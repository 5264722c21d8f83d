"""Every outcome that the words know stands in a table of cases, and every rule is judged by one."""

from __future__ import annotations

from airwrit.law.rulebook import BY_NAME
from airwrit.law.wording import texts
from tests.unit.law import (
    test_flight_rules,
    test_owner_rules,
    test_paper_rules,
    test_pilot_rules,
    test_registration_rules,
    test_remote_id_rules,
    test_term_rules,
    test_way_rules,
)

CASES = (
    test_flight_rules.CASES
    + test_owner_rules.CASES
    + test_paper_rules.CASES
    + test_pilot_rules.CASES
    + test_registration_rules.CASES
    + test_remote_id_rules.CASES
    + test_term_rules.CASES
    + test_way_rules.CASES
)


def test_every_outcome_of_every_rule_has_a_case() -> None:
    seen = {(line.rule, line.code) for line in CASES}
    written = {(rule, code) for rule in BY_NAME for code in texts().get(rule, {})}
    assert sorted(written - seen) == []


def test_every_rule_has_a_case_that_is_no_gap() -> None:
    assert set(BY_NAME) - {line.rule for line in CASES if line.why != "missing"} == set()
