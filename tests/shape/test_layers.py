"""Imports point down the layers only; see docs/development.md for the picture."""

import ast
from pathlib import Path

import pytest

from tests.shape.tree import SRC, Module, aliases, full_name, imports, modules, write_tree

FLOOR = frozenset({"base", "facts"})
MIDDLE = frozenset(
    {"law", "house", "ledger", "intake", "geo", "airspace", "sky", "tracks", "remoteid"},
)
BELOW_FACES = FLOOR | MIDDLE | {"answers", "papers"}
MAY_IMPORT: dict[str, frozenset[str]] = {
    "base": frozenset(),
    "facts": frozenset({"base"}),
    "law": FLOOR,
    "house": FLOOR | {"law"},
    "ledger": FLOOR,
    "intake": FLOOR,
    "geo": FLOOR,
    "airspace": FLOOR | {"geo"},
    "sky": FLOOR,
    "tracks": FLOOR | {"geo"},
    "remoteid": FLOOR,
    "answers": FLOOR | MIDDLE,
    "papers": FLOOR | MIDDLE | {"answers"},
    "demo": FLOOR,
    "web": BELOW_FACES | {"demo"},
    "cli": BELOW_FACES | {"demo", "web"},  # `airwrit open-page` starts the page
    "__main__": frozenset({"cli"}),
    "__init__": frozenset(),
}
DISPATCHER = "cli"
PAGES = "web/server/site.py"
"""Loads a page by the name it has in its list when it is first asked for, as the commands are loaded."""
IMPORTERS = ("importlib.import_module", "__import__")


def layer_of(path: str) -> str:
    """The layer of a file under src/airwrit, by its path: its top folder, or its own name at the top."""
    return path.split("/", maxsplit=1)[0].removesuffix(".py")


def wrong_arrows(tree: Path) -> list[str]:
    """A line for every import of ours that points up or sideways, and for every layer that has no place."""
    found = []
    for module in modules(tree):
        layer = layer_of(module.path)
        if layer not in MAY_IMPORT:
            found.append(f"{module.path}: {layer} has no place among the layers")
            continue
        for one in imports(module, "airwrit"):
            parts = one.name.split(".")
            if parts[0] != "airwrit":
                continue
            target = parts[1] if len(parts) > 1 else "__init__"
            if target != layer and target not in MAY_IMPORT[layer] and target != "__version__":
                found.append(f"{module.path}:{one.line}: {layer} imports {target}")
    return found


def hidden_imports(tree: Path) -> list[str]:
    """A line for every import inside a function, or by a name made at run time, but for commands and pages."""
    found = []
    for module in modules(tree):
        if layer_of(module.path) == DISPATCHER:
            continue
        found += [
            f"{module.path}:{one.line}: {one.name} is imported inside a function"
            for one in imports(module, "airwrit")
            if one.inside
        ]
        if module.path == PAGES:
            continue
        bound = aliases(module)
        found += [
            f"{module.path}:{node.lineno}: imports by a name made at run time"
            for node in ast.walk(module.tree)
            if isinstance(node, ast.Call) and full_name(node.func, bound) in IMPORTERS
        ]
    return found


def cycles(tree: Path) -> list[str]:
    """A line for every ring of files that import one another, as `a -> b -> a`."""
    found = {dotted(module): module for module in modules(tree)}
    arrows = {name: sorted(targets(module, set(found))) for name, module in found.items()}
    rings: list[str] = []
    done: set[str] = set()

    def visit(name: str, trail: tuple[str, ...]) -> None:
        if name in trail:
            rings.append(" -> ".join((*trail[trail.index(name) :], name)))
            return
        if name in done:
            return
        for target in arrows[name]:
            visit(target, (*trail, name))
        done.add(name)

    for name in arrows:
        visit(name, ())
    return rings


def dotted(module: Module) -> str:
    """The dotted name of a file under src/airwrit."""
    parts = ["airwrit", *module.path.removesuffix(".py").split("/")]
    return ".".join(parts[:-1] if parts[-1] == "__init__" else parts)


def targets(module: Module, known: set[str]) -> set[str]:
    """The files of ours that `module` names in its imports; a package that holds it is no target."""
    wanted = {one.name for one in imports(module, "airwrit")}
    named = {name if name in known else name.rpartition(".")[0] for name in wanted}
    return {name for name in named & known if name != dotted(module)}


def test_imports_point_down() -> None:
    assert wrong_arrows(SRC) == []


def test_no_import_is_hidden() -> None:
    assert hidden_imports(SRC) == []


def test_no_cycle() -> None:
    assert cycles(SRC) == []


@pytest.mark.parametrize(
    ("path", "text", "report"),
    [
        ("base/units.py", "from airwrit.facts import key\n", "base/units.py:1: base imports facts"),
        ("base/units.py", "from ..facts import key\n", "base/units.py:1: base imports facts"),
        (
            "law/holder/pilot.py",
            "import airwrit.intake.reader.cells\n",
            "law/holder/pilot.py:1: law imports intake",
        ),
        (
            "intake/reader/cells.py",
            "from airwrit.law import rulebook\n",
            "intake/reader/cells.py:1: intake imports law",
        ),
        ("sky/sun.py", "from airwrit import geo\n", "sky/sun.py:1: sky imports geo"),
        (
            "answers/standing/due.py",
            "from airwrit.papers import due\n",
            "answers/standing/due.py:1: answers imports papers",
        ),
        ("web/page.py", "from airwrit.cli.main import main\n", "web/page.py:1: web imports cli"),
        ("helpers/a.py", "", "helpers/a.py: helpers has no place among the layers"),
        ("helpers.py", "", "helpers.py: helpers has no place among the layers"),
    ],
)
def test_a_wrong_arrow_is_reported(tmp_path: Path, path: str, text: str, report: str) -> None:
    assert wrong_arrows(write_tree(tmp_path, {path: text})) == [report]


@pytest.mark.parametrize(
    ("path", "text"),
    [
        ("facts/key.py", "from airwrit.base import units\n"),
        ("house/rows.py", "from airwrit.law.rulebook import RULES\n"),
        ("tracks/quality.py", "from airwrit.geo import earth\n"),
        ("cli/main.py", "from airwrit import __version__\nfrom airwrit.web import app\n"),
        ("base/units.py", "from decimal import Decimal\n"),
    ],
)
def test_a_right_arrow_is_not(tmp_path: Path, path: str, text: str) -> None:
    assert wrong_arrows(write_tree(tmp_path, {path: text})) == []


@pytest.mark.parametrize(
    ("text", "report"),
    [
        ("def f():\n    import json\n", "law/a.py:2: json is imported inside a function"),
        (
            "import importlib\nx = importlib.import_module('airwrit.base')\n",
            "law/a.py:2: imports by a name made at run time",
        ),
        (
            "from importlib import import_module as load\nx = load('airwrit.base')\n",
            "law/a.py:2: imports by a name made at run time",
        ),
    ],
)
def test_a_hidden_import_is_reported(tmp_path: Path, text: str, report: str) -> None:
    by_name = "import importlib\nx = importlib.import_module('airwrit.web.pages.a')\n"
    assert hidden_imports(write_tree(tmp_path, {"law/a.py": text, "cli/main.py": text, PAGES: by_name})) == [
        report
    ]


def test_a_cycle_is_reported(tmp_path: Path) -> None:
    files = {
        "law/a.py": "from airwrit.law import b\n",
        "law/b.py": "from airwrit.law.c import D\n",
        "law/c.py": "import airwrit.law.a\nD = 1\n",
    }
    assert cycles(write_tree(tmp_path, files)) == [
        "airwrit.law.a -> airwrit.law.b -> airwrit.law.c -> airwrit.law.a"
    ]
