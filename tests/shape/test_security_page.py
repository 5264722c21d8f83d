"""docs/security.md names tests that exist, and docs/privacy.md every private fact of the vocabulary and no other."""

from __future__ import annotations

import re
from functools import cache
from pathlib import Path

import pytest

from airwrit.facts.vocabulary import KEYS
from tests.shape.tree import ROOT

TESTS = ROOT / "tests"
ROW = re.compile(r"^\| (V\d+(?:\.\d+){0,2}) \| ([^|]+) \| ([^|]+) \|$", re.MULTILINE)
NAMED = re.compile(r"`([a-z_/0-9]+\.py)(?:::(test_\w+))?`")
PRIVATE = re.compile(r"^\| `(\w+)` \|", re.MULTILINE)


@cache
def page(name: str) -> str:
    """The text of a page."""
    return (ROOT / "docs" / name).read_text(encoding="utf-8")


def requirements(text: str) -> list[tuple[str, str, str]]:
    """Each requirement with our words for it and what holds it."""
    return ROW.findall(text)


def missing_tests(text: str, folder: Path) -> list[str]:
    """The tests a text names that are not there."""
    missing = []
    for path, name in NAMED.findall(text):
        file = folder / path
        if not file.exists() or (name and f"def {name}(" not in file.read_text(encoding="utf-8")):
            missing.append(f"{path}::{name}" if name else path)
    return missing


def test_the_tests_it_names_exist() -> None:
    assert missing_tests(page("security.md"), TESTS) == []
    assert len(NAMED.findall(page("security.md"))) > 80


@pytest.mark.parametrize("text", ["`none.py::test_x`", "`test_here.py::test_gone`", "`none.py`"])
def test_a_test_that_is_not_there_is_reported(tmp_path: Path, text: str) -> None:
    (tmp_path / "test_here.py").write_text("def test_here() -> None: ...\n", encoding="utf-8")
    assert len(missing_tests(text, tmp_path)) == 1
    assert missing_tests("`test_here.py::test_here`", tmp_path) == []


def test_each_requirement_stands_once_with_a_test_or_a_reason() -> None:
    found = requirements(page("security.md"))
    ids = [one for one, _, _ in found]
    assert len(ids) == len(set(ids)) > 120
    assert all(NAMED.search(held) or len(held.strip()) > 5 for _, _, held in found)


def test_the_private_keys_are_told() -> None:
    told = PRIVATE.findall(page("privacy.md"))
    assert sorted(told) == sorted(key.name for key in KEYS.values() if key.private)
