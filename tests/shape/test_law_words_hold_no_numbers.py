"""No sentence of the law holds a number of its own: each is a parameter's, so that a change of law changes the words too."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator, Mapping
from typing import Any

import pytest

from tests.shape.tree import SRC

_FILES = [*sorted((SRC / "law" / "words").glob("*.toml")), SRC / "law" / "contradictions.toml"]
_NAMES = re.compile(
    r"\{\w+\}"  # a fact, an outcome or a parameter
    r"|\d+ (CFR|USC) (Part )?\d+(\.\d+)?(\([a-z0-9]+\))*|\bParts? \d+|\b\d{2,3}\.\d+(\([a-z0-9]+\))*"  # sections
    r"|\bCategor(y|ies) \d(, \d)*( (and|or) \d)?"  # names of categories
    r"|\b(20|19)\d\d(-\d\d)*\b|\b[A-Z][a-z]+ \d\d?, (20|19)\d\d\b"  # dates of history
    r"|\b800-321-6742\b"  # a telephone
)
"""What may hold digits in a sentence of the law."""


def sentences(table: Mapping[str, Any], name: str = "") -> Iterator[tuple[str, str]]:
    """Every sentence of a file of words, with the names of the tables it stands in."""
    for key, value in table.items():
        if isinstance(value, dict):
            yield from sentences(value, f"{name}.{key}")
        elif key in ("says", "do") and isinstance(value, str):
            yield f"{name}.{key}", value


def has_own_number(text: str) -> bool:
    """Whether a sentence holds a digit that is no section, Part, category or date of history."""
    return any(sign.isdigit() for sign in _NAMES.sub("", text))


def test_no_sentence_of_the_law_holds_a_number_of_its_own() -> None:
    assert {
        f"{path.name}{name}: {text}"
        for path in _FILES
        for name, text in sentences(tomllib.loads(path.read_text(encoding="utf-8")))
        if has_own_number(text)
    } == set()


@pytest.mark.parametrize(
    "text",
    [
        "Over 0.55 lb.",
        "55 lb or more.",
        "Renew 120 days ahead.",
        "{value} lb is over the 0.55 lb limit.",
        "Wait 7 days.",
    ],
)
def test_a_number_of_its_own_is_found(text: str) -> None:
    assert has_own_number(text)


@pytest.mark.parametrize(
    "text",
    [
        "Weighs {value} lb, over {exempt_weight_lb} lb.",
        "Part 107 work, 107.31, 14 CFR 48.110(a)(2), 49 USC 44809.",
        "Categories 1, 2 and 3; Category 4.",
        "After 2021-04-06. The 2020-21 relief.",
    ],
)
def test_names_and_dates_are_free(text: str) -> None:
    assert not has_own_number(text)
