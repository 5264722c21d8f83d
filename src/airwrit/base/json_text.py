"""JSON written bit by bit: a line for each member of a document, and for each row of a long one."""

from __future__ import annotations

import json
from collections.abc import Iterator
from typing import Any


def json_pieces(document: object) -> Iterator[str]:
    """The text of a document in pieces. A member whose rows are still to be made (an iterator) has them made one at a time."""
    if not isinstance(document, dict):
        yield from _value(document)
        return
    before = "{\n"
    for name, value in document.items():
        yield f"{before}{json.dumps(name)}: "
        yield from _value(value)
        before = ",\n"
    yield "\n}" if document else "{}"


def _value(value: Any) -> Iterator[str]:
    is_rows = isinstance(value, Iterator) or (isinstance(value, list | tuple) and any(map(_is_row, value)))
    if not is_rows:
        yield json.dumps(value)
        return
    before = "[\n"
    for row in value:
        yield before + json.dumps(row)
        before = ",\n"
    yield "[]" if before == "[\n" else "\n]"


def _is_row(value: object) -> bool:
    return isinstance(value, dict | list | tuple)


def made(document: dict[str, Any]) -> dict[str, Any]:
    """The same document with all of its rows made."""
    return {name: list(value) if isinstance(value, Iterator) else value for name, value in document.items()}
