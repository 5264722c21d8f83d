"""A class name is used once in the program, so that a name in a sentence or a traceback means one thing."""

from __future__ import annotations

from pathlib import Path

from tests.shape.tree import SRC, write_tree
from tools.structure import shape_of


def test_every_class_has_a_name_of_its_own() -> None:
    assert shape_of(SRC).shared_class_names == {}


def test_a_name_used_twice_is_found(tmp_path: Path) -> None:
    tree = write_tree(tmp_path, {"a.py": "class Line:\n    x = 1\n", "b.py": "class Line:\n    y = 1\n"})
    assert list(shape_of(tree).shared_class_names) == ["Line"]
