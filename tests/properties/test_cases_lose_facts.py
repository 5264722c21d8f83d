"""Less knowledge never gives a better verdict: over every line of every table of cases of the law."""

from __future__ import annotations

import pytest

from airwrit.facts.statement import Known, Statement
from tests.properties.lessening import How, gains, groups_of, looked_at
from tests.unit.law.case import Case, judged
from tests.unit.law.test_every_code_has_a_case import cases

LINES: dict[str, list[Case]] = {}
"""The lines that are no yes by the law as it is, by rule."""
for _line in cases():
    if _line.verdict in {"not_met", "unknown"} and _line.moved is None:
        LINES.setdefault(_line.rule, []).append(_line)


def known(line: Case) -> list[Known]:
    """The statements of a line."""
    return [Known(Statement(g.subject, name, value)) for g in line.given for name, value in g.facts.items()]


@pytest.mark.parametrize("rule", LINES)
def test_removing_a_fact_never_makes_it_met(rule: str) -> None:
    for line in LINES[rule]:
        finding, _ = judged(line)
        groups = groups_of(looked_at(finding), 4)
        gained = gains(finding, known(line), groups, How.TAKEN_AWAY, line.on, line.use)
        assert list(gained) == [], line.name
