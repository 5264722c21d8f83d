"""Less knowledge never gives a better verdict: over every line of every table of cases of the law."""

from __future__ import annotations

import pytest

from airwrit.facts.statement import Known, Statement
from tests.properties.test_nothing_becomes_a_yes import healed
from tests.unit.law.case import Case, judged
from tests.unit.law.test_every_code_has_a_case import cases

LINES = [line for line in cases() if line.verdict in {"not_met", "unknown"}]


def known(line: Case) -> list[Known]:
    """The statements of a line."""
    return [Known(Statement(g.subject, name, value)) for g in line.given for name, value in g.facts.items()]


@pytest.mark.parametrize("line", LINES, ids=lambda line: line.name)
def test_removing_a_fact_never_makes_it_met(line: Case) -> None:
    finding, _ = judged(line)
    assert healed(finding, known(line), line.on, line.use) == []
