"""Print how the source is built, in figures.

Needs the program and the test tools: `PYTHONPATH=. .venv/bin/python tools/structure.py`; `--json` for other programs.
Lines, imports and names are counted by reading the files. Three jobs are watched while they run, and each module in which
a function of ours is called is counted; what a module does while it is first loaded is left out.
"""

from __future__ import annotations

import ast
import contextlib
import io
import json
import os
import sys
import tempfile
import threading
from collections import defaultdict
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from types import FrameType
from typing import Any, NamedTuple

from airwrit.cli.main import cli
from airwrit.cli.shared.options import now
from airwrit.web.server.workspace import Workspace
from tests.shape.tree import SRC, imports, modules
from tests.unit.web.conftest import client_of, own_fields

PACKAGE = "airwrit"
GROUND = ("airwrit.base", "airwrit.facts", "airwrit.law.rule")
"""What nearly every module may lean on; the second count of imports leaves these out."""
SHEET = """Aircraft,Registration number,Registered,Expires,Owner,Weight g,Remote ID,Serial
Plum 1,FA00TEST01,2025-03-03,2028-03-03,Tarn Survey,900,module,ZZ9Z4ABCD
"""


class Shape(NamedTuple):
    """The source in figures."""

    files: int
    lines: int
    imports_a_file: float
    imports_a_file_above_ground: float
    depth: int
    shared_class_names: dict[str, list[str]]


def shape_of(root: Path) -> Shape:
    """Read every file below `root` and count."""
    found = modules(root)
    names = {name_of(module.path) for module in found}
    arrows: dict[str, set[str]] = {}
    classes: dict[str, list[str]] = defaultdict(list)
    for module in found:
        arrows[name_of(module.path)] = {
            target
            for one in imports(module, PACKAGE)
            if (target := module_named(one.name, names)) is not None and target != name_of(module.path)
        }
        for node in module.tree.body:
            if isinstance(node, ast.ClassDef):
                classes[node.name].append(name_of(module.path))
    inner = {name: to for name, to in arrows.items() if not name.endswith("__init__")}
    return Shape(
        len(found),
        sum(module.text.count("\n") for module in found),
        sum(map(len, inner.values())) / len(inner),
        sum(sum(not target.startswith(GROUND) for target in to) for to in inner.values()) / len(inner),
        depth_of(inner),
        {name: where for name, where in sorted(classes.items()) if len(where) > 1},
    )


def name_of(path: str) -> str:
    """The dotted name of a file by its path below the package."""
    return f"{PACKAGE}." + path.removesuffix(".py").replace("/", ".")


def module_named(name: str, names: set[str]) -> str | None:
    """The module of ours that an import of `name` loads: itself, or the one that holds it."""
    if name in names:
        return name
    holder = name.rpartition(".")[0]
    return holder if holder in names else None


def depth_of(arrows: dict[str, set[str]]) -> int:
    """How many modules the longest chain of imports holds."""

    @cache
    def below(name: str) -> int:
        return 1 + max((below(target) for target in arrows.get(name, ())), default=0)

    return max(map(below, arrows))


@contextlib.contextmanager
def watched(entered: set[str]) -> Iterator[None]:
    """Note every module of ours in which a function is called, in all threads begun meanwhile."""
    top = str(SRC) + os.sep

    def note(frame: FrameType, event: str, _: Any) -> None:
        if event == "call" and frame.f_code.co_filename.startswith(top) and is_function(frame):
            entered.add(name_of(frame.f_code.co_filename.removeprefix(top)))

    threading.setprofile(note)
    sys.setprofile(note)
    try:
        yield
    finally:
        sys.setprofile(None)
        threading.setprofile(None)


def is_function(frame: FrameType) -> bool:
    """Whether the frame is a function's, and not that of a file or of a class while it is loaded."""
    while frame.f_code.co_name in ("<lambda>", "<genexpr>", "<listcomp>", "<dictcomp>", "<setcomp>"):
        if frame.f_back is None:
            return False
        frame = frame.f_back
    if frame.f_code.co_name == "<module>" or not frame.f_code.co_flags & 0x2:
        return False
    back = frame.f_back
    while back is not None:
        if back.f_code.co_name == "<module>" and back.f_code.co_filename.startswith(str(SRC)):
            return False
        back = back.f_back
    return True


def run(*words: str) -> None:
    """One command in this process, its words thrown away."""
    with contextlib.redirect_stdout(io.StringIO()), contextlib.suppress(SystemExit):
        cli.main(list(words), prog_name="airwrit", standalone_mode=False)


def way_of(job: Callable[[], None]) -> list[str]:
    """The modules of ours that a job passes through."""
    entered: set[str] = set()
    with watched(entered):
        job()
    return sorted(entered)


def ways() -> dict[str, list[str]]:
    """The three jobs: a row of CSV to its line on the screen, an act to its entry, an answer given on the page."""
    with tempfile.TemporaryDirectory() as folder:
        sheet, ledger = Path(folder) / "fleet.csv", str(Path(folder) / "fleet.airwrit")
        sheet.write_text(SHEET, encoding="utf-8")
        row = way_of(lambda: run("today", str(sheet), "--use", "work", "--on", "2026-06-01"))
        run("import", str(sheet), "--use", "work", "--ledger", ledger, "--yes")
        page = way_of(answer_on_the_page(Path(ledger)))
        act = way_of(lambda: run("record-change", "sell", "aircraft/Plum 1", "--ledger", ledger, "--yes"))
    return {"a row of CSV": row, "an act": act, "an answer on the page": page}


def answer_on_the_page(ledger: Path) -> Callable[[], None]:
    """The job of saving where the number stands on the aircraft; its form has been asked for before."""
    client, form = client_of(Workspace(ledger, now, "tools", ())), "/record-change/mark/aircraft/Plum%201"
    said = {**own_fields(client.get(form).text), "day": "2026-06-01", "place": "outside", "way": "write"}

    def job() -> None:
        answer = client.post(form, data=said)
        if answer.status_code != 303:
            raise RuntimeError(f"the page did not save the answer: {answer.status_code}")

    return job


def main(words: list[str]) -> int:
    """Print the figures."""
    shape, jobs = shape_of(SRC), ways()
    if "--json" in words:
        print(json.dumps({**shape._asdict(), "ways": jobs}, indent=1))
        return 0
    print(f"{'files':<43} {shape.files}")
    print(f"{'lines':<43} {shape.lines}")
    print(f"{'imports a file':<43} {shape.imports_a_file:.1f}")
    print(f"{'  without base, facts, the rule of law':<43} {shape.imports_a_file_above_ground:.1f}")
    print(f"{'longest chain of imports':<43} {shape.depth}")
    print(f"{'class names used more than once':<43} {len(shape.shared_class_names)}")
    for name, passed in jobs.items():
        print(f"{f'modules on the way of {name}':<43} {len(passed)}")
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
