"""Only the faces read the clock; everything below is told the day or the instant."""

import ast
from pathlib import Path

import pytest

from tests.shape.tree import ROOT, aliases, full_name, modules, write_tree

PLACES = ("src", "tests", "tools")
MAY_READ = ("src/airwrit/cli/", "src/airwrit/web/")
CLOCKS = {
    "datetime.date.today",
    "datetime.datetime.now",
    "datetime.datetime.today",
    "datetime.datetime.utcnow",
    "time.gmtime",
    "time.localtime",
    "time.time",
    "time.time_ns",
}


def clocks_read(root: Path, *below: str) -> list[str]:
    """A line for every place outside the faces that names a clock, called or passed on."""
    found = []
    for module in modules(root, *below):
        if module.path.startswith(MAY_READ):
            continue
        bound = aliases(module)
        for node in ast.walk(module.tree):
            if isinstance(node, ast.Attribute | ast.Name) and (name := full_name(node, bound)) in CLOCKS:
                found.append(f"{module.path}:{node.lineno}: {name}")
    return found


def test_only_the_faces_read_the_clock() -> None:
    assert clocks_read(ROOT, *PLACES) == []


@pytest.mark.parametrize(
    ("text", "name"),
    [
        ("import datetime\nx = datetime.datetime.now(datetime.UTC)\n", "datetime.datetime.now"),
        ("from datetime import UTC, datetime\nx = datetime.now(UTC)\n", "datetime.datetime.now"),
        ("from datetime import date as day\nx = day.today\n", "datetime.date.today"),
        ("import time as t\nx = t.time()\n", "time.time"),
        ("from time import time_ns\nx = time_ns()\n", "time.time_ns"),
    ],
)
def test_a_clock_is_reported_below_the_faces_only(tmp_path: Path, text: str, name: str) -> None:
    tree = write_tree(tmp_path, {"src/airwrit/law/a.py": text, "src/airwrit/cli/a.py": text})
    assert clocks_read(tree) == [f"src/airwrit/law/a.py:2: {name}"]


def test_a_stopwatch_and_a_given_instant_are_no_clock(tmp_path: Path) -> None:
    text = "import time\n\nx = time.monotonic()\n\n\ndef f(now):\n    return now.date()\n"
    assert clocks_read(write_tree(tmp_path, {"a.py": text})) == []
