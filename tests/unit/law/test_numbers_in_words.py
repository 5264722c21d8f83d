"""What a sentence of the law says follows the law: each number in it is a parameter's, and moves with it."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace
from decimal import Decimal
from typing import Any

import pytest

from airwrit.law.parameters import is_parameter
from airwrit.law.wording import shown, worded
from tests.unit.law.case import Case, judged
from tests.unit.law.moving import every, moves, moving
from tests.unit.law.test_every_code_has_a_case import cases
from tests.unit.law.words import texts

_BRACES = re.compile(r"\{(\w+)\}")


def named(rule: str, code: str) -> set[str]:
    """The parameters that the words of a code name."""
    entry = texts().get(rule, {}).get(code) or texts().get(code, {})
    words = f"{entry.get('says', '')} {entry.get('do', '')}" if isinstance(entry, dict) else ""
    return {name for name in _BRACES.findall(words) if is_parameter(name)}


def lines() -> Iterator[tuple[str, Case]]:
    """A case for each parameter that some words name and each code whose words name it."""
    seen = set[tuple[str, str, str]]()
    for line in cases():
        for name in sorted(named(line.rule, line.code)):
            if line.moved is None and not line.why and (name, line.rule, line.code) not in seen:
                seen.add((name, line.rule, line.code))
                yield name, line


def words_with(name: str, value: Any, line: Case) -> str:
    """The words for a case where a parameter says something else: what was found is kept, what was read of the law is not."""
    finding, state = judged(line)
    law = tuple(
        reading._replace(span=replace(reading.span, value=value)) if reading.param.name == name else reading
        for reading in finding.law
    )
    with moving(name, value):
        words = worded(finding._replace(law=law), state)
    return f"{words.says} {words.do}"


def test_every_sentence_follows_the_exempt_weight() -> None:
    """Set to 0.75 lb, no sentence that names it still says 0.55."""
    told = [line for name, line in lines() if name == "exempt_weight_lb"]
    assert len(told) > 3
    for line in told:
        words = words_with("exempt_weight_lb", Decimal("0.75"), line)
        assert "0.75 lb" in words
        assert "0.55 lb or less" not in words


@pytest.mark.parametrize(
    ("name", "line"), [pytest.param(n, c, id=f"{n}-{c.rule}-{c.code}") for n, c in lines()]
)
def test_a_number_in_words_is_the_parameters(name: str, line: Case) -> None:
    other = moves(every()[name][0].spans[-1].value)[0]
    assert shown(other) in words_with(name, other, line)
