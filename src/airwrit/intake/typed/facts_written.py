"""Statements written as a file of facts that reads back as the same statements."""

from __future__ import annotations

import json
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from airwrit.base.days import EARLIEST, When
from airwrit.facts.key import Key, Raw
from airwrit.facts.statement import GoesWithoutSaying, Known, Statement
from airwrit.facts.vocabulary import KEYS, id_of

_Table = tuple[str, str, When, When | None]


def facts_text(known: Iterable[Known], on: str | None) -> str:
    """The file: the day asked about, then a table for each subject and span, in the order they were told.

    Statements without a value, which a file cannot tell, and those that a reader adds by itself are left out.
    """
    tables: dict[_Table, list[Statement]] = {}
    for item in known:
        subject, name, value, start, end = item.statement
        if value is not None and not _goes_without_saying(item):
            tables.setdefault((KEYS[name].table, subject, start, end), []).append(item.statement)
    parts = [] if on is None else [f"on = {on}\n"]
    parts += [_table(where, statements) for where, statements in tables.items()]
    return "\n".join(parts)


def _goes_without_saying(item: Known) -> bool:
    """Whether a reader of facts added it: the link to the only subject there is."""
    return isinstance(item.origin, GoesWithoutSaying)


def _table(where: _Table, statements: Iterable[Statement]) -> str:
    table, subject, start, end = where
    lines = [f"[[{table}]]", f"id = {_text(id_of(subject))}"]
    lines += [] if start == EARLIEST else [f"from = {start.isoformat()}"]
    lines += [] if end is None else [f"until = {end.isoformat()}"]
    lines += [f"{one.key} = {_value(KEYS[one.key], one.value)}" for one in statements]
    return "\n".join(lines) + "\n"


def _value(key: Key[Any], raw: Raw) -> str:
    if isinstance(raw, bool):
        return "true" if raw else "false"
    if isinstance(raw, int):
        return str(raw)
    text = str(raw)
    if key.kind is date and _is_day(text):
        return text
    if key.kind is Decimal and "." in text and text == format(Decimal(text), "f"):
        return text
    return _text(text)


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _text(text: str) -> str:
    """A text in quotes, as TOML reads it."""
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
