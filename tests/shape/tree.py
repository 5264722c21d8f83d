"""What the shape tests share: the Python files of a source tree, parsed, and their imports with full names."""

import ast
from collections.abc import Iterator
from functools import cache
from pathlib import Path
from typing import NamedTuple

ROOT = Path(__file__).resolve().parent.parent.parent
SRC = ROOT / "src" / "airwrit"


class Module(NamedTuple):
    """One Python file: its path below the tree's root, with slashes, its text and its syntax tree."""

    path: str
    text: str
    tree: ast.Module


class Import(NamedTuple):
    """One name that a file imports: the full dotted name, the line, and whether a function's body holds it."""

    name: str
    line: int
    inside: bool


def modules(root: Path, *below: str) -> list[Module]:
    """The Python files under each of `below` (a folder or a file; missing ones are nothing), sorted by path."""
    places = [root / name for name in below] or [root]
    paths = {path for place in places for path in ([place] if place.is_file() else place.rglob("*.py"))}
    found = []
    for path in sorted(paths):
        told = path.stat()
        text, tree = _parsed(path, told.st_mtime_ns, told.st_size)
        found.append(Module(path.relative_to(root).as_posix(), text, tree))
    return found


@cache
def _parsed(path: Path, changed: int, size: int) -> tuple[str, ast.Module]:
    text = path.read_text(encoding="utf-8")
    return text, ast.parse(text, str(path))


def imports(module: Module, package: str = "") -> Iterator[Import]:
    """Every import in `module`, relative ones made full; `package` is the dotted name of the tree's root."""
    for node, inside in _with_place(module.tree, False):
        if isinstance(node, ast.Import):
            for alias in node.names:
                yield Import(alias.name, node.lineno, inside)
        elif isinstance(node, ast.ImportFrom):
            base = _base(module.path, node, package)
            for alias in node.names:
                yield Import(f"{base}.{alias.name}", node.lineno, inside)


def _with_place(node: ast.AST, inside: bool) -> Iterator[tuple[ast.AST, bool]]:
    for child in ast.iter_child_nodes(node):
        yield child, inside
        in_function = isinstance(child, ast.FunctionDef | ast.AsyncFunctionDef | ast.Lambda)
        yield from _with_place(child, inside or in_function)


def _base(path: str, node: ast.ImportFrom, package: str) -> str:
    if node.level == 0:
        return node.module or ""
    folders = [part for part in (*package.split("."), *path.split("/")[:-1]) if part]
    kept = folders[: len(folders) - (node.level - 1)]
    return ".".join([*kept, node.module] if node.module else kept)


def aliases(module: Module) -> dict[str, str]:
    """The full name behind each name that an import binds in `module`."""
    bound = {}
    for node in ast.walk(module.tree):
        if isinstance(node, ast.Import):
            for alias in node.names:
                first = alias.name.split(".")[0]
                bound[alias.asname or first] = alias.name if alias.asname else first
        elif isinstance(node, ast.ImportFrom) and node.level == 0:
            for alias in node.names:
                bound[alias.asname or alias.name] = f"{node.module}.{alias.name}"
    return bound


def full_name(node: ast.expr, bound: dict[str, str]) -> str:
    """The dotted name that `node` reads, through the imports in `bound`; "" when it is no plain dotted name."""
    if isinstance(node, ast.Name):
        return bound.get(node.id, node.id)
    if isinstance(node, ast.Attribute):
        before = full_name(node.value, bound)
        return f"{before}.{node.attr}" if before else ""
    return ""


def write_tree(root: Path, files: dict[str, str]) -> Path:
    """`root`, with each text of `files` written at its path below it; for trees that a checker must refuse."""
    for name, text in files.items():
        path = root / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text, encoding="utf-8")
    return root
