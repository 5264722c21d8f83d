"""What stands in tests/checks is held against something outside, and says against what: title, section, how it was had.

Nothing there is circular: our own parameters, descriptions and earlier answers are no source.
"""

from __future__ import annotations

import ast
import re
import tomllib
from pathlib import Path

import pytest

from tests.shape.tree import ROOT, write_tree

FIELDS = ("title", "section", "licence", "got", "accuracy")
CIRCULAR = re.compile(
    r"parameter file|our own sources|params/us|ledger-format|cases? from the field", re.IGNORECASE
)
NAMED = re.compile(r"([a-z_0-9]+)/SOURCE\.toml")
SURROUNDINGS = re.compile(r"(?<![\w./])\.\./\w")


def odd_checks(folder: Path) -> list[str]:
    """A line for everything in a folder of checks that does not say where its outside values come from."""
    found = []
    for path in sorted(folder.iterdir()):
        if path.is_dir() and path.name != "__pycache__":
            found += _odd_source(path)
        elif path.suffix == ".py":
            found += _odd_test(path, folder)
    return found


def _odd_source(folder: Path) -> list[str]:
    source = folder / "SOURCE.toml"
    if not source.exists():
        return [f"{folder.name}: no SOURCE.toml"]
    found = []
    for name, table in tomllib.loads(source.read_text(encoding="utf-8")).items():
        found += [f"{folder.name}: {name} has no {field}" for field in FIELDS if not table.get(field)]
        found += [
            f"{folder.name}: {name} is circular: {text}" for text in _texts(table) if CIRCULAR.search(text)
        ]
        url = table.get("url", "https://")
        if not re.match(r"https?://\S*$", url):
            found.append(f"{folder.name}: {name} has an address that does not open: {url}")
    return found


def _texts(table: dict[str, object]) -> list[str]:
    return [value for value in table.values() if isinstance(value, str)]


def _odd_test(path: Path, folder: Path) -> list[str]:
    text = path.read_text(encoding="utf-8")
    named = NAMED.findall(ast.get_docstring(ast.parse(text)) or "")
    found = [] if named else [f"{path.name}: its docstring names no SOURCE.toml"]
    found += [
        f"{path.name}: {name} is not there" for name in named if not (folder / name / "SOURCE.toml").exists()
    ]
    if "_against_" not in path.name:
        found.append(f"{path.name}: its name does not say against what")
    if SURROUNDINGS.search(text):
        found.append(f"{path.name}: a path outside the checkout")
    return found


def unused_sources(folder: Path) -> list[str]:
    """The folders of values that no test names."""
    texts = "\n".join(path.read_text(encoding="utf-8") for path in folder.glob("*.py"))
    return [
        path.parent.name for path in sorted(folder.glob("*/SOURCE.toml")) if path.parent.name not in texts
    ]


def test_every_check_says_against_what_it_is_held() -> None:
    assert odd_checks(ROOT / "tests" / "checks") == []


def test_every_source_is_used() -> None:
    assert unused_sources(ROOT / "tests" / "checks") == []


def test_the_tests_name_no_path_outside_the_checkout() -> None:
    text = (ROOT / "tests" / "outside.py").read_text(encoding="utf-8")
    assert SURROUNDINGS.search(text) is None


GOOD = 'title = "t"\nsection = "1"\nlicence = "l"\ngot = "typed"\naccuracy = "exact"\n'
TEST = '"""Against a (a/SOURCE.toml)."""\n'


@pytest.mark.parametrize(
    ("files", "line"),
    [
        ({"b/values.csv": "1"}, "b: no SOURCE.toml"),
        ({"b/SOURCE.toml": "[x]\n" + GOOD.replace('section = "1"\n', "")}, "b: x has no section"),
        (
            {"b/SOURCE.toml": "[x]\n" + GOOD.replace("typed", "from the parameter files")},
            "b: x is circular: from the parameter files",
        ),
        (
            {"b/SOURCE.toml": "[x]\n" + GOOD + 'url = "law.example/1"\n'},
            "b: x has an address that does not open: law.example/1",
        ),
        (
            {"test_b_against_c.py": '"""Against c."""\n'},
            "test_b_against_c.py: its docstring names no SOURCE.toml",
        ),
        ({"test_b_against_c.py": '"""Against (c/SOURCE.toml)."""\n'}, "test_b_against_c.py: c is not there"),
        ({"test_b.py": TEST}, "test_b.py: its name does not say against what"),
        (
            {"test_b_against_a.py": TEST + 'PATH = "../place"\n'},
            "test_b_against_a.py: a path outside the checkout",
        ),
    ],
)
def test_a_check_without_its_source_is_reported(tmp_path: Path, files: dict[str, str], line: str) -> None:
    folder = write_tree(tmp_path, {"a/SOURCE.toml": "[x]\n" + GOOD, "test_a_against_a.py": TEST, **files})
    assert odd_checks(folder) == [line]


def test_a_source_that_no_test_names_is_reported(tmp_path: Path) -> None:
    folder = write_tree(tmp_path, {"a/SOURCE.toml": "", "b/SOURCE.toml": "", "test_a_against_a.py": TEST})
    assert unused_sources(folder) == ["b"]
