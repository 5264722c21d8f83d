"""Files are written in one home, so that each is whole or not there: nothing else opens a file of a user's to write to it."""

from __future__ import annotations

import ast
from pathlib import Path

from tests.shape.tree import ROOT, write_tree

HOME = "base/whole_files.py"
GIVEN_THE_NAME_BESIDE = frozenset(
    (
        "cli/shared/files.py",
        "cli/keep/export_records.py",
        "intake/mapping.py",
        "intake/template.py",
        "demo/workbook.py",
        "papers/workbook.py",
    )
)
"""Modules that write to the name that the home gives them."""

OF_THE_PROGRAM = frozenset(
    ("web/server/render.py", "web/pages/place/after_flight.py", "web/pages/place/after_flights.py")
)
"""What the program keeps of its own beside its code, as Python does, or in a folder that is gone again once it was read."""


def writing(source: str) -> list[int]:
    """The lines on which a file is opened to be written, or written."""
    found = []
    for node in ast.walk(ast.parse(source)):
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Attribute | ast.Name):
            name = node.func.attr if isinstance(node.func, ast.Attribute) else node.func.id
            values = [*node.args, *(word.value for word in node.keywords)]
            modes = [
                one.value for one in values if isinstance(one, ast.Constant) and isinstance(one.value, str)
            ]
            opens = name in ("open", "fdopen") and any(
                set("wax+") & set(mode) for mode in modes if len(mode) < 4
            )
            if opens or name in ("write_bytes", "write_text", "mkstemp", "NamedTemporaryFile"):
                found.append(node.lineno)
    return found


def written_elsewhere(folder: Path) -> list[str]:
    """Modules outside the home that write files, each with its line."""
    known = GIVEN_THE_NAME_BESIDE | OF_THE_PROGRAM | {HOME}
    return [
        f"{path.relative_to(folder)}:{line}"
        for path in sorted(folder.rglob("*.py"))
        if path.relative_to(folder).as_posix() not in known
        for line in writing(path.read_text(encoding="utf-8"))
    ]


def test_nothing_else_writes_files() -> None:
    assert written_elsewhere(ROOT / "src" / "airwrit") == []


def test_every_module_named_here_writes() -> None:
    folder = ROOT / "src" / "airwrit"
    for name in (HOME, *GIVEN_THE_NAME_BESIDE, *OF_THE_PROGRAM):
        assert writing((folder / name).read_text(encoding="utf-8")), name


def test_a_module_that_writes_is_found(tmp_path: Path) -> None:
    write_tree(
        tmp_path,
        {
            "a.py": "from pathlib import Path\nPath('x').write_text('y')\n",
            "b.py": "x = open('x', 'wb')\n",
            "c.py": "def f(p):\n    return p.open(mode='a')\n",
            "d.py": "x = open('sheet.csv', 'rb'); y = open('weather.csv')\n",
        },
    )
    assert written_elsewhere(tmp_path) == ["a.py:2", "b.py:1", "c.py:2"]
