"""On which values of the law each outcome rests: what a finding cites is what its rule looked at, no less and no more.

`law_read.toml` has a line for each outcome of the tables of cases, by rule: the values that every case with it looks at, and,
after "or", those that only some do. With AIRWRIT_WRITE_LAW_READ=1 the file is written; read through what changed in it.
"""

from __future__ import annotations

import json
import os
import tomllib
from collections import defaultdict
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from tests.unit.law.case import Case, judged
from tests.unit.law.test_every_code_has_a_case import cases

FILE = Path(__file__).with_name("law_read.toml")
Outcomes = dict[str, list[str]]


class RuleCases(NamedTuple):
    """A rule, and the lines of the tables about it."""

    rule: str
    lines: tuple[Case, ...]


def cases_by_rule() -> list[RuleCases]:
    """The lines of the tables of cases by the law as it is, by rule."""
    found: dict[str, list[Case]] = defaultdict(list)
    for line in cases():
        if line.moved is None:
            found[line.rule].append(line)
    return [RuleCases(rule, tuple(found[rule])) for rule in sorted(found)]


def read_by(rule: RuleCases) -> Outcomes:
    """By code: the names of the values always looked at, then those looked at by some cases, each after "or "."""
    seen: dict[str, list[set[str]]] = defaultdict(list)
    for line in rule.lines:
        seen[line.code].append({reading.param.name for reading in judged(line)[0].law})
    found: Outcomes = {}
    for code, names in sorted(seen.items()):
        always = set.intersection(*names)
        found[code] = [*sorted(always), *(f"or {name}" for name in sorted(set.union(*names) - always))]
    return found


@cache
def written() -> dict[str, Outcomes]:
    """What the file says; made of the rules themselves where that is asked for."""
    if os.environ.get("AIRWRIT_WRITE_LAW_READ"):
        lines = ["# On which values of the law each outcome of a rule rests. Made by test_law_read.py.\n"]
        for rule in cases_by_rule():
            lines.append(f"\n[{rule.rule}]\n")
            lines += [f"{code} = {json.dumps(names)}\n" for code, names in read_by(rule).items()]
        FILE.write_text("".join(lines), encoding="utf-8")
    return tomllib.loads(FILE.read_text(encoding="utf-8"))


@pytest.mark.parametrize("rule", cases_by_rule(), ids=lambda rule: rule.rule)
def test_each_outcome_rests_on_the_law_that_is_written_down(rule: RuleCases) -> None:
    assert read_by(rule) == written().get(rule.rule)


def test_no_rule_is_written_down_that_is_gone() -> None:
    assert set(written()) == {rule.rule for rule in cases_by_rule()}
