"""A test runs or fails. Only `outside_program` may skip one, and not where CI runs."""

import ast
from pathlib import Path

import pytest
from _pytest.outcomes import Failed, Skipped

from tests.outside import outside_program
from tests.shape.tree import ROOT, aliases, full_name, modules, write_tree

HELPER = "tests/outside.py"
SKIPS = {
    "pytest.importorskip",
    "pytest.mark.skip",
    "pytest.mark.skipif",
    "pytest.mark.xfail",
    "pytest.skip",
    "pytest.xfail",
    "unittest.SkipTest",
    "unittest.skip",
    "unittest.skipIf",
    "unittest.skipUnless",
}


def skips(root: Path) -> list[str]:
    """A line for every way to leave a test out that stands in tests/, the one helper aside."""
    found = []
    for module in modules(root, "tests"):
        if module.path == HELPER:
            continue
        bound = aliases(module)
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Attribute | ast.Name) and (name := full_name(node, bound)) in SKIPS:
                found.append(f"{module.path}:{node.lineno}: {name}")
    return found


def test_no_test_is_skipped() -> None:
    assert skips(ROOT) == []


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("import pytest\npytest.skip('later')\n", "pytest.skip"),
        ("from pytest import importorskip\nx = importorskip('numpy')\n", "pytest.importorskip"),
        ("import pytest\n@pytest.mark.xfail\ndef test_a():\n    pass\n", "pytest.mark.xfail"),
        ("import unittest\n@unittest.skip('x')\ndef test_a():\n    pass\n", "unittest.skip"),
    ],
)
def test_a_skip_is_reported(tmp_path: Path, text: str, name: str) -> None:
    tree = write_tree(tmp_path, {"tests/unit/test_a.py": text, HELPER: text, "src/a.py": text})
    assert skips(tree) == [f"tests/unit/test_a.py:2: {name}"]


def test_a_program_that_is_installed_is_given() -> None:
    assert Path(outside_program("no-such-program", "python3", "python")).exists()


def test_a_missing_program_fails_in_ci(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("CI", "true")
    with pytest.raises(Failed, match="no-such-program is not installed"):
        outside_program("no-such-program")


def test_a_missing_program_skips_elsewhere(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.delenv("CI", raising=False)
    with pytest.raises(Skipped, match="no-such-program is not installed"):
        outside_program("no-such-program")
