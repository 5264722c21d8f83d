"""No code reads what it says: counts, places and fields at fault travel as values, so that words may change."""

from __future__ import annotations

import ast
from collections.abc import Iterator

import pytest

from tests.shape.tree import SRC, modules

_SAID = frozenset(
    {"what", "do", "says", "note", "because", "remark", "where", "origin", "fault", "source", "means", "line"}
)
"""Names of what is written for people to read."""
_READS = frozenset(
    {
        "startswith",
        "endswith",
        "partition",
        "rpartition",
        "split",
        "rsplit",
        "removeprefix",
        "find",
        "index",
    }
)
_SEARCHES = frozenset({"match", "search", "fullmatch", "findall", "finditer"})
_READERS = (
    "base/",
    "intake/",
    "ledger/entry.py",
    "ledger/rows_read.py",
    "ledger/sqlite/opening.py",
    "airspace/",
    "sky/",
    "house/",
    "geo/",
)
"""What reads texts that others wrote, and the one place that reads the source of an entry."""
_STILL = {
    "answers/standing/today.py": ["partition"],
    "web/pages/today.py": ["partition"],
}
"""Those that still cut a sentence short, or look whether it names a day; none may be added."""


def read_out_of_words(tree: ast.AST) -> Iterator[tuple[int, str]]:
    """The lines that look for something in words of ours: a method or a pattern on them, or `in` a message or an error."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute):
            method = node.func.attr
            is_reading = method in _READS and _is_said(node.func.value)
            if is_reading or (method in _SEARCHES and any(map(_is_said, node.args))):
                yield node.lineno, method
        elif isinstance(node, ast.Compare) and isinstance(node.ops[0], ast.In | ast.NotIn):
            yield from [(node.lineno, "in")] * _is_said(node.comparators[0])


def _is_said(node: ast.expr) -> bool:
    """Whether an expression is a member that holds words, or an error as text."""
    if isinstance(node, ast.Call):
        is_text = isinstance(node.func, ast.Name) and node.func.id == "str" and len(node.args) == 1
        return (is_text and _is_error(node.args[0])) or (
            isinstance(node.func, ast.Attribute) and _is_said(node.func.value)
        )
    if isinstance(node, ast.Subscript):
        return _is_said(node.value)
    return isinstance(node, ast.Attribute) and node.attr in _SAID


def _is_error(node: ast.expr) -> bool:
    return isinstance(node, ast.Name) and node.id in ("error", "fault", "trouble", "exception")


def test_nothing_is_read_out_of_words() -> None:
    found = {
        module.path: told
        for module in modules(SRC)
        if not module.path.startswith(_READERS)
        and (told := [what for _, what in read_out_of_words(module.tree)])
    }
    assert found == _STILL


@pytest.mark.parametrize(
    "line",
    [
        'problem.where.rpartition(" cell ")',
        'column.note.startswith("read as")',
        '"radius" in fault.what',
        '"locked" in str(error)',
        "NUMBER.match(finding.says)",
        'one.what.split()[0] == "no"',
        'entry.source.lower().endswith("csv")',
    ],
)
def test_a_reader_of_words_is_found(line: str) -> None:
    assert [number for number, _ in read_out_of_words(ast.parse(f"x = 1\n{line}\n"))] == [2]


@pytest.mark.parametrize(
    "line", ["path.name.split('.')", "name in one.fields", "fault.field in FIELDS", "str(path).split()"]
)
def test_values_are_free(line: str) -> None:
    assert not list(read_out_of_words(ast.parse(line)))
