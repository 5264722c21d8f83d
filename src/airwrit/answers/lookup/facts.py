"""Every fact that can be told: its table, unit, meaning and question, and the rules that look at it."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from enum import StrEnum
from functools import cache
from types import CodeType, FunctionType
from typing import Any

from airwrit.facts.key import Key
from airwrit.facts.vocabulary import ALL_KEYS
from airwrit.law.rulebook import BY_NAME

_KINDS = {"bool": "true or false", "str": "text", "tuple": "texts", "date": "day", "Decimal": "number"}


@cache
def rules_of_keys() -> Mapping[str, tuple[str, ...]]:
    """Names of the rules whose code, or the code it calls, names each key; by the key's name."""
    found: dict[str, list[str]] = {key.name: [] for key in ALL_KEYS}
    for rule in BY_NAME.values():
        for key in _keys_of(rule.judge):
            found[key.name].append(rule.name)
    return {name: tuple(rules) for name, rules in found.items()}


def _keys_of(judge: Callable[..., Any]) -> tuple[Key[Any], ...]:
    """The keys a rule may look at, its own first, then those of the functions of the law it calls."""
    found: dict[Key[Any], None] = {}
    seen: set[object] = set()
    waiting: list[object] = [judge]
    while waiting:
        function = waiting.pop(0)
        if function in seen or not isinstance(function, FunctionType):
            continue
        seen.add(function)
        for thing in _named_by(function):
            found.update(dict.fromkeys(_keys_in(thing)))
            if isinstance(thing, FunctionType) and thing.__module__.startswith("airwrit.law"):
                waiting.append(thing)
    return tuple(found)


def _named_by(function: FunctionType) -> Iterator[object]:
    for name in _names(function.__code__):
        thing = function.__globals__.get(name)
        if thing is not None:
            yield thing


def _names(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _names(constant)


def _keys_in(thing: object) -> Iterator[Key[Any]]:
    """Keys in a thing itself, or in a tuple of such things or of tuples of them."""
    if isinstance(thing, Key):
        yield thing
    elif isinstance(thing, tuple):
        for one in thing:
            yield from _keys_in(one)


def keys_json() -> list[dict[str, Any]]:
    """Every key as a row, in the order of the tables."""
    rules = rules_of_keys()
    return [
        {
            "key": key.name,
            "table": key.table,
            "kind": _kind_of(key),
            "unit": key.unit,
            "meaning": key.meaning,
            "question": key.question,
            "one_of": [str(word) for word in key.kind] if issubclass(key.kind, StrEnum) else [],
            "private": key.private,
            "rules": list(rules[key.name]),
        }
        for key in ALL_KEYS
    ]


def _kind_of(key: Key[Any]) -> str:
    if key.links_to:
        return f"name of a {key.links_to}"
    if issubclass(key.kind, StrEnum):
        return "one of"
    return "day or instant" if key.instants else _KINDS[key.kind.__name__]
