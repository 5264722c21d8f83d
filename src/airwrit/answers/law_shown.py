"""The law behind a rule: each parameter it may read, with its values through time, sources and ages."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from datetime import date
from types import CodeType, FunctionType
from typing import Any

from airwrit.base.times import parse_day
from airwrit.law.judging import Rule
from airwrit.law.parameters import Param, Span, span_of
from airwrit.law.wording import shown


def parameters_of(rule: Rule) -> tuple[Param[Any], ...]:
    """The parameters a rule may read, itself or through the functions it calls, in the order met."""
    return tuple(dict.fromkeys(_parameters(rule.judge, set())))


def _parameters(function: Callable[..., Any], seen: set[object]) -> Iterator[Param[Any]]:
    """Walks the names a function refers to: parameters are given, functions of the law are walked in turn."""
    if function in seen or not isinstance(function, FunctionType):
        return
    seen.add(function)
    for name in _names(function.__code__):
        thing = function.__globals__.get(name)
        if isinstance(thing, Param):
            yield thing
        elif isinstance(thing, FunctionType) and thing.__module__.startswith("airwrit.law"):
            yield from _parameters(thing, seen)


def _names(code: CodeType) -> Iterator[str]:
    yield from code.co_names
    for constant in code.co_consts:
        if isinstance(constant, CodeType):
            yield from _names(constant)


def age_days(span: Span, today: date) -> int | None:
    """Days since the text was read; None when that day is not known."""
    return None if span.read_on is None else (today - span.read_on).days


def span_json(span: Span, today: date) -> dict[str, Any]:
    """One span of a parameter as JSON."""
    return {
        "value": shown(span.value),
        "from": span.start.isoformat(),
        "until": None if span.until is None else span.until.isoformat(),
        "cites": span.cites,
        "source": span.source,
        "url": span.url or None,
        "read_on": None if span.read_on is None else span.read_on.isoformat(),
        "read_days_ago": age_days(span, today),
        "confidence": span.confidence,
        "open_reading": span.open_edge,
    }


def rule_json(rule: Rule, on: date, today: date) -> dict[str, Any]:
    """A rule as JSON: what it asks, and its parameters with all spans and the one in force on `on`."""
    return {
        "rule": rule.name,
        "about": rule.about,
        "bears_on": rule.bears.value,
        "asks": (rule.judge.__doc__ or "").strip().partition("\n")[0],
        "on": on.isoformat(),
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
