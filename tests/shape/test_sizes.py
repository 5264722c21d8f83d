"""Files and functions stay small enough to read in one go, and data stays out of Python files."""

import ast
from pathlib import Path

from tests.shape.tree import ROOT, modules, write_tree

PLACES = ("src", "tests", "tools", "benchmarks", "reliability", "start.py")
MOST_FILE_LINES = 500
MOST_FUNCTION_LINES = 50
MOST_CONSTANTS = 200  # in one literal
MOST_STRING_LINES = 60

Function = ast.FunctionDef | ast.AsyncFunctionDef
Documented = ast.Module | ast.ClassDef | Function
Container = ast.List | ast.Tuple | ast.Set | ast.Dict | ast.Starred | ast.UnaryOp


def too_long(root: Path, *below: str) -> list[str]:
    """A line for every file and function that is too long; a docstring does not count toward its function."""
    found = []
    for module in modules(root, *below):
        lines = len(module.text.splitlines())
        if lines > MOST_FILE_LINES:
            found.append(f"{module.path}: {lines} lines")
        for node in ast.walk(module.tree):
            if isinstance(node, Function) and (lines := function_lines(node)) > MOST_FUNCTION_LINES:
                found.append(f"{module.path}:{node.lineno}: {node.name} has {lines} lines")
    return found


def function_lines(node: Function) -> int:
    """The lines from `def` to the last one, less those of the docstring."""
    said = docstring(node)
    return lines_of(node) - (lines_of(said) if said else 0)


def docstring(node: Documented) -> ast.expr | None:
    """The docstring of `node` as a node, so that its place is known."""
    first = node.body[0] if node.body else None
    if isinstance(first, ast.Expr) and isinstance(first.value, ast.Constant):
        return first.value if isinstance(first.value.value, str) else None
    return None


def lines_of(node: ast.expr | ast.stmt) -> int:
    """The number of lines that `node` covers."""
    return (node.end_lineno or node.lineno) - node.lineno + 1


def data_in_code(root: Path, *below: str) -> list[str]:
    """A line for every literal that is a table or a text: it belongs in a data file beside the code."""
    found = []
    for module in modules(root, *below):
        said = {docstring(node) for node in ast.walk(module.tree) if isinstance(node, Documented)}
        for node in ast.walk(module.tree):
            if isinstance(node, Container) and (count := constants(node)) > MOST_CONSTANTS:
                found.append(f"{module.path}:{node.lineno}: a literal of {count} constants")
            if not isinstance(node, ast.Constant | ast.JoinedStr) or node in said:
                continue
            if lines_of(node) > MOST_STRING_LINES:
                found.append(f"{module.path}:{node.lineno}: a string of {lines_of(node)} lines")
    return found


def constants(node: ast.AST) -> int:
    """The constants that stand in a literal itself, not in a call within it."""
    if isinstance(node, ast.Constant):
        return 1
    return sum(map(constants, ast.iter_child_nodes(node))) if isinstance(node, Container) else 0


def test_files_and_functions_are_short() -> None:
    assert too_long(ROOT, *PLACES) == []


def test_no_data_in_code() -> None:
    assert data_in_code(ROOT, *PLACES) == []


def test_what_is_too_long_is_reported(tmp_path: Path) -> None:
    body = "    x = 1\n"
    files = {
        "long.py": "x = 1\n" * 501,
        "short.py": "x = 1\n" * 500,
        "function.py": "def f():\n" + body * 50,
        "short_function.py": "def f():\n" + '    """Said\n    in two lines."""\n' + body * 49,
        "method.py": "class A:\n    async def f():\n" + f"    {body}" * 50,
    }
    assert too_long(write_tree(tmp_path, files)) == [
        "function.py:1: f has 51 lines",
        "long.py: 501 lines",
        "method.py:2: f has 51 lines",
    ]


def test_data_in_code_is_reported(tmp_path: Path) -> None:
    row = "(1, -2, 'a'), "
    files = {
        "table.py": f"X = [{row * 67}]\n",
        "small_table.py": f"X = [{row * 66}]\n",
        "calls.py": f"X = [{'Key(1, 2, 3), ' * 100}]\n",
        "text.py": 'X = """' + "line\n" * 60 + '"""\n',
        "documented.py": '"""' + "line\n" * 60 + '"""\n',
    }
    assert data_in_code(write_tree(tmp_path, files)) == [
        "table.py:1: a literal of 201 constants",
        "text.py:1: a string of 61 lines",
    ]
