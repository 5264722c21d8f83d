"""On which law and which facts each outcome rests: what a finding cites, uses and assumes is what its rule looked at.

`law_read.toml` and `facts_read.toml` have a line for each outcome of the tables of cases, by rule: what every case with it
looks at, and, after "or", what only some do. A fact after "no" is one whose absence was read as a no. With
AIRWRIT_WRITE_READ=1 both files are written; read through what changed in them.
"""

from __future__ import annotations

import json
import os
import tomllib
from collections import defaultdict
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import NamedTuple

import pytest

from airwrit.law.rule import Finding
from tests.unit.law.case import Case, judged
from tests.unit.law.test_every_code_has_a_case import cases

Outcomes = dict[str, list[str]]


def law_of(finding: Finding) -> set[str]:
    """The values of the law that a finding looked at."""
    return {reading.param.name for reading in finding.law}


def facts_of(finding: Finding) -> set[str]:
    """The facts that a finding looked at, those whose absence is a no after "no "."""
    return {f"no {one.key.name}" if one.closed else one.key.name for one in finding.used}


READ: dict[str, Callable[[Finding], set[str]]] = {"law_read.toml": law_of, "facts_read.toml": facts_of}


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


def read_by(rule: RuleCases, what: Callable[[Finding], set[str]]) -> Outcomes:
    """By code: the names always looked at, then those looked at in some cases, each after "or "."""
    seen: dict[str, list[set[str]]] = defaultdict(list)
    for line in rule.lines:
        seen[line.code].append(what(judged(line)[0]))
    found: Outcomes = {}
    for code, names in sorted(seen.items()):
        always = set.intersection(*names)
        found[code] = [*sorted(always), *(f"or {name}" for name in sorted(set.union(*names) - always))]
    return found


@cache
def written(file: str) -> dict[str, Outcomes]:
    """What a file says; made of the rules themselves where that is asked for."""
    path = Path(__file__).with_name(file)
    if os.environ.get("AIRWRIT_WRITE_READ"):
        lines = ["# What each outcome of a rule rests on. Made by test_what_is_read.py.\n"]
        for rule in cases_by_rule():
            lines.append(f"\n[{rule.rule}]\n")
            lines += [f"{code} = {json.dumps(names)}\n" for code, names in read_by(rule, READ[file]).items()]
        path.write_text("".join(lines), encoding="utf-8")
    return tomllib.loads(path.read_text(encoding="utf-8"))


@pytest.mark.parametrize("file", READ)
@pytest.mark.parametrize("rule", cases_by_rule(), ids=lambda rule: rule.rule)
def test_each_outcome_rests_on_what_is_written_down(rule: RuleCases, file: str) -> None:
    assert read_by(rule, READ[file]) == written(file).get(rule.rule)


@pytest.mark.parametrize("file", READ)
def test_no_rule_is_written_down_that_is_gone(file: str) -> None:
    assert set(written(file)) == {rule.rule for rule in cases_by_rule()}
