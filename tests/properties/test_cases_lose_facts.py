"""Less knowledge never gives a better verdict: over every line of every table of cases of the law."""

from __future__ import annotations

import pytest

from airwrit.facts.statement import Known, Statement
from tests.properties.lessening import How, gains, groups_of, looked_at
from tests.unit.law.case import Case, judged
from tests.unit.law.test_every_code_has_a_case import cases

LINES = [line for line in cases() if line.verdict in {"not_met", "unknown"}]


def known(line: Case) -> list[Known]:
    """The statements of a line."""
    return [Known(Statement(g.subject, name, value)) for g in line.given for name, value in g.facts.items()]


@pytest.mark.parametrize("line", LINES, ids=lambda line: line.name)
def test_removing_a_fact_never_makes_it_met(line: Case) -> None:
    finding, _ = judged(line)
    groups = groups_of(looked_at(finding), 4)
    assert list(gains(finding, known(line), groups, How.TAKEN_AWAY, line.on, line.use)) == []
