"""What goes into a ledger and comes out of it, whatever stores it."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import datetime
from typing import NamedTuple

from airwrit.base.errors import BadFact
from airwrit.facts.key import value_of
from airwrit.facts.statement import Statement, Unreadable
from airwrit.facts.vocabulary import key_named


class Draft(NamedTuple):
    """What is to become an entry: who, what act, its statements, the statements (`seq.place`) whose place it takes."""

    by: str
    act: str
    statements: tuple[Statement, ...]
    answers: tuple[str, ...] = ()
    source: str = ""
    note: str = ""


class KeptFile(NamedTuple):
    """A file that entries came from, kept by the SHA-256 of its bytes; `data` None once it was blanked."""

    name: str
    data: bytes | None


class Emptied(NamedTuple):
    """What goes: of each entry the places of the statements whose values go; files by digest, and whether their names go."""

    lines: Mapping[int, frozenset[int]]
    files: Mapping[str, bool]


class StoredLine(NamedTuple):
    """An entry as it is kept: its line, None once it was blanked, and its leaf hash."""

    seq: int
    recorded_at: datetime
    text: str | None
    leaf: bytes


class Head(NamedTuple):
    """The log as a whole: how many entries, and the root over them."""

    size: int
    root: bytes


def look_at(draft: Draft) -> None:
    """BadFact on a draft that says nothing, or says what no key allows."""
    if not draft.statements:
        raise BadFact("the entry has nothing to save", do="add a fact")
    for statement in draft.statements:
        key = key_named(statement.key)
        if statement.value is not None and not isinstance(statement.value, Unreadable):
            value_of(key, statement.value)
