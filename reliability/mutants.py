"""Mutants of a module: for each small thing that could be wrong in it, the module with just that changed."""

from __future__ import annotations

import ast
from collections import Counter
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any, NamedTuple, cast

_TURNED: dict[type[ast.cmpop], tuple[type[ast.cmpop], ...]] = {
    ast.Lt: (ast.LtE, ast.GtE),
    ast.LtE: (ast.Lt, ast.Gt),
    ast.Gt: (ast.GtE, ast.LtE),
    ast.GtE: (ast.Gt, ast.Lt),
    ast.Eq: (ast.NotEq,),
    ast.NotEq: (ast.Eq,),
    ast.Is: (ast.IsNot,),
    ast.IsNot: (ast.Is,),
    ast.In: (ast.NotIn,),
    ast.NotIn: (ast.In,),
}
_RECKONED: dict[type[ast.operator], type[ast.operator]] = {
    ast.Add: ast.Sub,
    ast.Sub: ast.Add,
    ast.Mult: ast.Div,
    ast.Div: ast.Mult,
    ast.BitOr: ast.BitAnd,
    ast.BitAnd: ast.BitOr,
}
_OUTCOMES = {"met": "not_met", "not_met": "met", "no_duty": "met"}
_VERDICTS = {"MET": "NOT_MET", "NOT_MET": "MET", "UNKNOWN": "MET", "NOT_APPLICABLE": "MET"}
_NO_CODE = ("annotation", "returns", "decorator_list", "type_params", "bases")
"""What of a node is not looked into: types, and what stands above a function or class."""

UNCHANGED, RAISES = -1, -2
"""Numbers of two that are no slips: a module as it is, which no test may notice, and a function that only raises."""

Change = Callable[[], None]


class Site(NamedTuple):
    """A place where something can be changed: the outermost function around it, its line, what is changed, and how."""

    function: str
    line: int
    what: str
    change: Change


class Mutant(NamedTuple):
    """A changed module: its file, the number of the site, the function around it ("" outside of all), line, what changed.

    `text` is what the line says, `nth` counts those that are alike in all this.
    """

    path: str
    number: int
    function: str
    line: int
    what: str
    text: str
    nth: int

    @property
    def name(self) -> str:
        """What it is called in a report."""
        return f"{self.path}:{self.line}: {self.what}"

    @property
    def key(self) -> str:
        """What it is known by, whatever changes elsewhere in its file: no number of a line or site."""
        return f"{self.path} {self.function} | {self.text} | {self.what} | {self.nth}"


def mutants_of(root: Path, path: str) -> list[Mutant]:
    """Every mutant of a module of the source tree."""
    source = (root / path).read_text(encoding="utf-8")
    lines = ["", *(line.strip() for line in source.splitlines())]
    seen: Counter[tuple[str, str, str]] = Counter()
    found = []
    for number, site in enumerate(_sites(ast.parse(source))):
        alike = (site.function, lines[site.line], site.what)
        found.append(Mutant(path, number, site.function, site.line, site.what, lines[site.line], seen[alike]))
        seen[alike] += 1
    return found


def mutated(root: Path, mutant: Mutant) -> ast.Module:
    """The syntax tree of the changed module."""
    tree = ast.parse((root / mutant.path).read_text(encoding="utf-8"))
    if mutant.number == RAISES:
        _function_of(tree, mutant.function).body[:] = ast.parse("raise RuntimeError('control')").body
    elif mutant.number != UNCHANGED:
        site = list(_sites(tree))[mutant.number]
        site.change()
    return ast.fix_missing_locations(tree)


def _function_of(tree: ast.Module, name: str) -> ast.FunctionDef:
    """A function of a module, or of a class in it, by its name with dots."""
    found: Any = tree
    for part in name.split("."):
        defined = (one for one in found.body if isinstance(one, ast.FunctionDef | ast.ClassDef))
        found = next(one for one in defined if one.name == part)
    return cast("ast.FunctionDef", found)


def _sites(tree: ast.Module) -> list[Site]:
    """All sites of a module, in the order of its text."""
    return list(_inside(tree, "", ""))


def _inside(node: ast.AST, scope: str, function: str) -> Iterator[Site]:
    for name, value in ast.iter_fields(node):
        if name in _NO_CODE:
            continue
        several = value if isinstance(value, list) else [value]
        for at, one in enumerate(several):
            if not isinstance(one, ast.AST) or _is_docstring(one) or _is_type(one):
                continue
            put = _put(node, name, at if isinstance(value, list) else None)
            for what, change in _changes(one, put):
                yield Site(function, getattr(one, "lineno", 0), what, change)
            if isinstance(one, ast.JoinedStr | ast.Raise):
                continue
            yield from _below(one, scope, function)


def _below(node: ast.AST, scope: str, function: str) -> Iterator[Site]:
    """The sites inside of a node. A default of an argument is outside of its function: it is made where that is."""
    if isinstance(node, ast.ClassDef):
        yield from _inside(node, f"{scope}{node.name}.", function)
    elif isinstance(node, ast.FunctionDef):
        yield from _inside(node.args, scope, function)
        body = ast.Module(node.body, [])
        yield from _inside(body, scope, function or f"{scope}{node.name}")
    else:
        yield from _inside(node, scope, function)


def _put(parent: ast.AST, name: str, at: int | None) -> Callable[[ast.AST], None]:
    """Puts another node in the place of one."""

    def put(other: ast.AST) -> None:
        if at is None:
            setattr(parent, name, other)
        else:
            getattr(parent, name)[at] = other

    return put


def _is_docstring(node: ast.AST) -> bool:
    return isinstance(node, ast.Expr) and isinstance(node.value, ast.Constant)


def _is_type(node: ast.AST) -> bool:
    """Whether a statement imports or names a type only."""
    if isinstance(node, ast.Assign) and isinstance(node.value, ast.Call):
        return isinstance(node.value.func, ast.Name) and node.value.func.id == "TypeVar"
    return isinstance(node, ast.Import | ast.ImportFrom)


def _changes(node: ast.AST, put: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    """What may be changed in one node."""
    maker = _MAKERS.get(type(node))
    if maker is not None:
        yield from maker(node, put)
    for name in ("test", "ifs"):
        tests = getattr(node, name, None)
        for at, test in enumerate(tests if isinstance(tests, list) else [tests]):
            if isinstance(test, ast.Name | ast.Call | ast.Attribute | ast.Subscript):
                other = _put(node, name, at if isinstance(tests, list) else None)
                yield "condition turned", _to(other, ast.UnaryOp(ast.Not(), test))


def _to(put: Callable[[ast.AST], None], other: ast.AST) -> Change:
    return lambda: put(other)


def _set(node: ast.AST, name: str, value: Any) -> Change:
    return lambda: setattr(node, name, value)


def _of_compare(node: Any, _: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    for at, op in enumerate(node.ops):
        for other in _TURNED[type(op)]:
            ops = [*node.ops[:at], other(), *node.ops[at + 1 :]]
            yield f"{type(op).__name__} becomes {other.__name__}", _set(node, "ops", ops)


def _of_bool_op(node: Any, _: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    other = ast.Or if isinstance(node.op, ast.And) else ast.And
    yield f"{type(node.op).__name__} becomes {other.__name__}", _set(node, "op", other())


def _of_unary_op(node: Any, put: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    if isinstance(node.op, ast.Not | ast.USub):
        yield f"{type(node.op).__name__} removed", _to(put, node.operand)


def _of_bin_op(node: Any, _: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    other = _RECKONED.get(type(node.op))
    if other is not None:
        yield f"{type(node.op).__name__} becomes {other.__name__}", _set(node, "op", other())


def _of_constant(node: Any, _: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    if isinstance(node.value, bool):
        yield f"{node.value} becomes {not node.value}", _set(node, "value", not node.value)
    elif isinstance(node.value, int):
        for other in (node.value + 1, node.value - 1):
            yield f"{node.value} becomes {other}", _set(node, "value", other)


def _of_call(node: Any, put: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    if isinstance(node.func, ast.Name) and node.func.id in _OUTCOMES:
        other = _OUTCOMES[node.func.id]
        yield f"{node.func.id} becomes {other}", _set(node.func, "id", other)
    elif isinstance(node.func, ast.Name) and node.func.id == "unknown" and len(node.args) == 2:
        other = ast.Call(ast.Name("met", ast.Load()), node.args[1:], node.keywords)
        yield "unknown becomes met", _to(put, other)
    elif isinstance(node.func, ast.Attribute) and not node.args and not node.keywords:
        yield f"call of {node.func.attr} removed", _to(put, node.func.value)


def _of_attribute(node: Any, _: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    if isinstance(node.value, ast.Name) and node.value.id == "Verdict" and node.attr in _VERDICTS:
        other = _VERDICTS[node.attr]
        yield f"{node.attr} becomes {other}", _set(node, "attr", other)


def _of_expr(node: Any, put: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    if isinstance(node.value, ast.Call):
        yield "call removed", _to(put, ast.copy_location(ast.Pass(), node))


def _of_raise(node: Any, put: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    yield "raise removed", _to(put, ast.copy_location(ast.Pass(), node))


def _of_continue(node: Any, put: Callable[[ast.AST], None]) -> Iterator[tuple[str, Change]]:
    yield "continue becomes break", _to(put, ast.copy_location(ast.Break(), node))


_MAKERS: dict[type[ast.AST], Callable[[Any, Callable[[ast.AST], None]], Iterator[tuple[str, Change]]]] = {
    ast.Compare: _of_compare,
    ast.BoolOp: _of_bool_op,
    ast.UnaryOp: _of_unary_op,
    ast.BinOp: _of_bin_op,
    ast.Constant: _of_constant,
    ast.Call: _of_call,
    ast.Attribute: _of_attribute,
    ast.Expr: _of_expr,
    ast.Raise: _of_raise,
    ast.Continue: _of_continue,
}
