"""The mutants that the tests of the law are tried with: what is changed, where, and that nothing else is."""

from __future__ import annotations

import ast
import importlib
from pathlib import Path
from types import ModuleType

import pytest

FOLDER = Path(__file__).parents[2] / "reliability"


@pytest.fixture
def script(monkeypatch: pytest.MonkeyPatch) -> ModuleType:
    """The module that makes mutants."""
    monkeypatch.syspath_prepend(FOLDER)
    return importlib.import_module("mutants")


def made(script: ModuleType, folder: Path, source: str) -> dict[tuple[str, str], str]:
    """The changed source by what was changed and the function it stands in."""
    (folder / "m.py").write_text(source, encoding="utf-8")
    return {
        (one.what, one.function): ast.unparse(script.mutated(folder, one))
        for one in script.mutants_of(folder, "m.py")
    }


@pytest.mark.parametrize(
    ("body", "what", "becomes"),
    [
        ("return a < b", "Lt becomes LtE", "return a <= b"),
        ("return a < b", "Lt becomes GtE", "return a >= b"),
        ("return a is b", "Is becomes IsNot", "return a is not b"),
        ("return a and b", "And becomes Or", "return a or b"),
        ("return not a", "Not removed", "return a"),
        ("return a - b", "Sub becomes Add", "return a + b"),
        ("return a[1]", "1 becomes 2", "return a[2]"),
        ("return a[1]", "1 becomes 0", "return a[0]"),
        ("return a(b=True)", "True becomes False", "return a(b=False)"),
        ("return met('x')", "met becomes not_met", "return not_met('x')"),
        ("return unknown(a, 'x')", "unknown becomes met", "return met('x')"),
        ("return Verdict.UNKNOWN", "UNKNOWN becomes MET", "return Verdict.MET"),
        ("return a.quietly()", "call of quietly removed", "return a"),
        ("a(b)", "call removed", "pass"),
        ("raise a", "raise removed", "pass"),
        ("return 1 if a else b", "condition turned", "return 1 if not a else b"),
        ("return [a for a in b if a.c]", "condition turned", "return [a for a in b if not a.c]"),
    ],
)
def test_one_thing_is_changed(script: ModuleType, tmp_path: Path, body: str, what: str, becomes: str) -> None:
    source = f"def f(a: int | None, b):\n    '''1.'''\n    {body}\n\ndef g(a):\n    return a"
    assert made(script, tmp_path, source)[what, "f"] == ast.unparse(
        ast.parse(source.replace(f"\n    {body}", f"\n    {becomes}"))
    )


def test_a_place_is_named_by_the_outermost_function(script: ModuleType, tmp_path: Path) -> None:
    source = "X = 1\nclass C:\n    def m(self, n=2):\n        def inner():\n            return 3\n        return inner"
    assert {(what[:1], where) for what, where in made(script, tmp_path, source)} == {
        ("1", ""),
        ("2", ""),
        ("3", "C.m"),
    }


def test_a_change_elsewhere_leaves_what_a_mutant_is_known_by(script: ModuleType, tmp_path: Path) -> None:
    def keys(source: str) -> set[str]:
        (tmp_path / "m.py").write_text(source, encoding="utf-8")
        return {one.key for one in script.mutants_of(tmp_path, "m.py")}

    function = "def f(a):\n    return a[1] + a[1]"
    assert len(keys(function)) == 5
    assert keys(function) < keys(f"X = 2\n\n\ndef e(b):\n    return not b\n\n\n{function}")


def test_types_docstrings_and_words_stay(script: ModuleType, tmp_path: Path) -> None:
    source = "import a\nT = TypeVar('T', bound=1)\n@cache(2)\ndef f(a: list[3] = x) -> 4:\n    '''5'''\n    return f'{a + 6}'"
    assert made(script, tmp_path, source) == {}


def test_the_controls_are_the_module_as_it_is_and_a_function_that_only_raises(
    script: ModuleType, tmp_path: Path
) -> None:
    source = "class C:\n    def m(self):\n        return 3\n\ndef f():\n    return 4"
    (tmp_path / "m.py").write_text(source, encoding="utf-8")

    def of(number: int) -> str:
        return ast.unparse(script.mutated(tmp_path, script.Mutant("m.py", number, "C.m", 3, "", "", 0)))

    assert of(script.UNCHANGED) == ast.unparse(ast.parse(source))
    assert of(script.RAISES) == ast.unparse(
        ast.parse(source.replace("return 3", "raise RuntimeError('control')"))
    )
