"""What only tests use stands in the tests: every function and class of the source is named elsewhere in it."""

from __future__ import annotations

import ast
import re
from collections import Counter
from collections.abc import Iterator
from pathlib import Path

from tests.shape.tree import SRC, modules

_TEXTS = ("*.html", "*.toml", "*.typ")


def named_once(root: Path) -> Iterator[str]:
    """Functions and classes of modules that nothing in the tree names but where they are defined; commands name themselves."""
    every = modules(root)
    words = Counter(word for module in every for word in re.findall(r"\w+", module.text))
    for kind in _TEXTS:
        for path in root.rglob(kind):
            words.update(re.findall(r"\w+", path.read_text(encoding="utf-8")))
    for module in every:
        for node in module.tree.body:
            if (
                isinstance(node, ast.FunctionDef | ast.ClassDef)
                and not node.decorator_list
                and words[node.name] == 1
            ):
                yield f"{module.path}: {node.name}"


def test_everything_is_used_by_the_program() -> None:
    assert list(named_once(SRC)) == []


def test_a_function_that_nothing_calls_is_found(tmp_path: Path) -> None:
    (tmp_path / "a.py").write_text("def used(): ...\n\n\ndef unused(): ...\n", encoding="utf-8")
    (tmp_path / "b.py").write_text("from a import used\n", encoding="utf-8")
    assert list(named_once(tmp_path)) == ["a.py: unused"]
