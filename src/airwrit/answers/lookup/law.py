"""The law behind a rule: the commands that ask it, and each parameter it may read, with values, sources and ages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from types import CodeType, FunctionType
from typing import Any, NamedTuple, TypeGuard

from airwrit.answers.document import SCOPE_OF_LAW
from airwrit.answers.law_reading import reading_json
from airwrit.base.days import parse_day
from airwrit.facts.vocabulary import TABLES
from airwrit.law.parameters import Param, ValueSpan, read_as, span_of
from airwrit.law.rule import Rule
from airwrit.law.rulebook import ASKED, WAYS
from airwrit.law.wording import shown

_TABLES: dict[str, tuple[str, ...]] = {
    "flight": ("flight", "site", "weather", "crew"),
    "aircraft": ("aircraft", "mark", "remote_id"),
}
"""The tables of a facts file to fill in, where it is more than the first one of its kind."""


class AskedBy(NamedTuple):
    """A command that asks a rule, the file it takes, and the tables of facts to tell it."""

    name: str
    tables: tuple[str, ...] = ()
    takes: str = ""

    @property
    def command(self) -> str:
        """The command as it is typed."""
        return " ".join(part for part in ("airwrit", self.name, self.takes) if part)


def asked_by(rule: Rule) -> tuple[AskedBy, ...]:
    """The commands that ask a rule. A file of facts can ask every one; what a program's standing needs is asked by it too."""
    tables = _TABLES.get(rule.about) or tuple(name for name, kind in TABLES.items() if kind == rule.about)
    found = [AskedBy("check-scenario", tables, "FACTS.toml")]
    if rule in WAYS.values():
        found.insert(0, AskedBy("which-registration"))
    if rule in ASKED.get(rule.about, ()):
        found.insert(0, AskedBy("today"))
    return tuple(found)


def in_words(asked: AskedBy) -> str:
    """The command with the tables it wants: `airwrit check-scenario FACTS.toml with [incident]`."""
    if not asked.tables:
        return asked.command
    *first, last = (f"[{table}]" for table in asked.tables)
    tables = f"{', '.join(first)} or {last}" if first else last
    return f"{asked.command} with {tables}"


def parameters_of(rule: Rule) -> tuple[Param[Any], ...]:
    """The parameters a rule may read, its own first, then those of the functions it calls, level by level."""
    found: dict[Param[Any], None] = {}
    seen: set[FunctionType] = set()
    level: list[Callable[..., Any]] = [rule.judge]
    while level:
        called: list[Callable[..., Any]] = []
        for function in level:
            if not isinstance(function, FunctionType) or function in seen:
                continue
            seen.add(function)
            things = [function.__globals__.get(name) for name in _names(function.__code__)]
            found.update(dict.fromkeys(thing for thing in things if isinstance(thing, Param)))
            called += [thing for thing in things if _is_of_the_law(thing)]
        level = called
    return tuple(found)


def _is_of_the_law(thing: object) -> TypeGuard[FunctionType]:
    return isinstance(thing, FunctionType) and thing.__module__.startswith("airwrit.law")


def _names(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _names(constant)


def span_json(span: ValueSpan, today: date) -> dict[str, Any]:
    """One span of a parameter as JSON."""
    return {
        "value": shown(span.value),
        "from": span.start.isoformat(),
        "until": None if span.until is None else span.until.isoformat(),
        "cites": span.cites,
        "source": span.source,
        "url": span.url or None,
        "text_of": str(span.text_of),
        "had": span.had.value,
        "also": list(span.also),
        "read_on": span.read_on.isoformat(),
        "read_days_ago": (today - span.read_on).days,
        "read": read_as(span),
        "confidence": span.confidence,
        "open_reading": span.open_edge,
    }


def rule_json(rule: Rule, on: date, today: date) -> dict[str, Any]:
    """A rule as JSON: what it asks, and its parameters with all spans and the one in force on `on`."""
    return {
        "rule": rule.name,
        "scope": SCOPE_OF_LAW,
        "about": rule.about,
        "bears_on": rule.bears.value,
        "asks": (rule.judge.__doc__ or "").strip().partition("\n")[0],
        "on": on.isoformat(),
        **reading_json(on),
        "asked_by": [
            {"name": one.name, "command": one.command, "tables": list(one.tables), "says": in_words(one)}
            for one in asked_by(rule)
        ],
        "parameters": [_parameter_json(param, on, today) for param in parameters_of(rule)],
    }


def _parameter_json(param: Param[Any], on: date, today: date) -> dict[str, Any]:
    now = span_of(param, on)
    return {
        "name": param.name,
        "title": param.title,
        "unit": param.unit,
        "in_force": None if now is None else shown(now.value),
        "values": [span_json(span, today) for span in param.spans],
    }


def is_in_force(value: dict[str, Any], on: date) -> bool:
    """Whether a span given as JSON holds on a day."""
    until = value["until"]
    return parse_day(value["from"]) <= on and (until is None or on < parse_day(until))
