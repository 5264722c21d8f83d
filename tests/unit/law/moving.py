"""The law moved for a test: a parameter says something else while a block runs."""

from __future__ import annotations

import importlib
import pkgutil
from collections import defaultdict
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import replace
from datetime import date, timedelta
from decimal import Decimal
from fractions import Fraction
from functools import cache
from typing import Any

import airwrit.law
from airwrit.law import parameters
from airwrit.law.parameters import Param

_LONG = timedelta(days=2000)


@cache
def every() -> Mapping[str, tuple[Param[Any], ...]]:
    """Every parameter that a module of the law reads, by name; two modules may each hold one of the same name."""
    found: dict[str, dict[int, Param[Any]]] = defaultdict(dict)
    for info in pkgutil.walk_packages(airwrit.law.__path__, "airwrit.law."):
        module = importlib.import_module(info.name)
        for value in vars(module).values():
            several = value if isinstance(value, tuple) else (value,)
            for one in several:
                if isinstance(one, Param):
                    found[one.name][id(one)] = one
    return {name: tuple(ones.values()) for name, ones in sorted(found.items())}


@contextmanager
def moving(name: str, value: Any) -> Iterator[None]:
    """While the block runs, the parameter has this value on every day it has one; afterwards its own again."""
    ones = every()[name]
    kept = [one.content for one in ones]
    try:
        for one, content in zip(ones, kept, strict=True):
            one._content = content._replace(spans=tuple(replace(s, value=value) for s in content.spans))
        parameters._reading_of.cache_clear()
        yield
    finally:
        for one, content in zip(ones, kept, strict=True):
            one._content = content
        parameters._reading_of.cache_clear()


def moves(value: Any) -> tuple[Any, ...]:
    """Values that a parameter of this kind might have instead, far from its own."""
    if isinstance(value, bool):
        return (not value,)
    if isinstance(value, (int, Decimal, Fraction)):
        kind: Any = type(value)
        return (kind(value * 10 + 7), kind(0), kind(value * 100 + 1), kind(int(value) // 2))
    if isinstance(value, date):
        return (value + _LONG, value - _LONG)
    if isinstance(value, tuple):
        return ((), value[1:], value[:-1], (*value, "something else"))
    return ("", "something else")
