"""Every public name in src says what it is, and every public function is typed throughout."""

import ast
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.shape.tree import SRC, modules, write_tree

Function = ast.FunctionDef | ast.AsyncFunctionDef


def undocumented(tree: Path) -> list[str]:
    """A line for every public module, class, function and method that has no docstring."""
    found = []
    for module in modules(tree):
        if not ast.get_docstring(module.tree):
            found.append(f"{module.path}: the module has no docstring")
        for node in public(module.tree):
            if not ast.get_docstring(node) and not is_overload(node):
                found.append(f"{module.path}:{node.lineno}: {node.name} has no docstring")
    return found


def untyped(tree: Path) -> list[str]:
    """A line for every public function or method with an argument, or a return value, that has no type."""
    found = []
    for module in modules(tree):
        for node in public(module.tree, with_dunders=True):
            if isinstance(node, Function) and not is_typed(node):
                found.append(f"{module.path}:{node.lineno}: {node.name} is not typed throughout")
    return found


def public(
    node: ast.Module | ast.ClassDef, with_dunders: bool = False
) -> Iterator[ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef]:
    """The public classes, functions and methods below `node`, but none that a function holds."""
    for child in node.body:
        if isinstance(child, ast.ClassDef | Function):
            is_dunder = child.name.startswith("__") and child.name.endswith("__")
            if not child.name.startswith("_") or (is_dunder and with_dunders):
                yield child
            if isinstance(child, ast.ClassDef) and not child.name.startswith("_"):
                yield from public(child, with_dunders)


def is_overload(node: ast.ClassDef | ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Whether `node` is one of the typed faces of a function, which says its words once, at the end."""
    return any(isinstance(one, ast.Name) and one.id == "overload" for one in node.decorator_list)


def is_typed(node: ast.FunctionDef | ast.AsyncFunctionDef) -> bool:
    """Whether all arguments but `self` and `cls`, and the return value, have a type."""
    given = node.args
    named = [*given.posonlyargs, *given.args, *given.kwonlyargs]
    named += [one for one in (given.vararg, given.kwarg) if one]
    return node.returns is not None and all(one.annotation or one.arg in {"self", "cls"} for one in named)


def test_public_names_are_documented() -> None:
    assert undocumented(SRC) == []


def test_public_functions_are_typed() -> None:
    assert untyped(SRC) == []


@pytest.mark.parametrize(
    ("text", "report"),
    [
        ("X = 1\n", "a.py: the module has no docstring"),
        ('"""A."""\n\n\nclass B:\n    x = 1\n', "a.py:4: B has no docstring"),
        ('"""A."""\n\n\ndef f() -> int:\n    return 1\n', "a.py:4: f has no docstring"),
        (
            '"""A."""\n\n\nclass B:\n    """B."""\n\n    async def g(self) -> int:\n        return 1\n',
            "a.py:7: g has no docstring",
        ),
    ],
)
def test_a_missing_docstring_is_reported(tmp_path: Path, text: str, report: str) -> None:
    assert undocumented(write_tree(tmp_path, {"a.py": text})) == [report]


def test_private_names_need_no_docstring(tmp_path: Path) -> None:
    text = (
        '"""A."""\n\n\ndef _f():\n    pass\n\n\nclass _B:\n    def g(self):\n        pass\n\n\n'
        'class C:\n    """C."""\n\n    def __init__(self) -> None:\n        self.x = 1\n\n\n'
        'def f() -> None:\n    """F."""\n\n    def inner():\n        pass\n'
    )
    tree = write_tree(tmp_path, {"a.py": text})
    assert undocumented(tree) == []
    assert untyped(tree) == []


@pytest.mark.parametrize(
    "head",
    ["def f(x) -> int:", "def f(x: int):", "def f(*x) -> int:", "def f(*, x) -> int:", "def f(**x) -> int:"],
)
def test_a_missing_type_is_reported(tmp_path: Path, head: str) -> None:
    assert untyped(write_tree(tmp_path, {"a.py": f'"""A."""\n\n\n{head}\n    """F."""\n'})) == [
        "a.py:4: f is not typed throughout"
    ]
