"""What taking facts in would do, in words that every face shares; what is private is named, not shown, unless asked for."""

from __future__ import annotations

from airwrit.answers.sheets.difference import ChangeKind, Contradiction, FactChange, is_withdrawal
from airwrit.base.days import EARLIEST
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement, Unreadable
from airwrit.facts.vocabulary import KEYS

HIDDEN = "private, hidden"
"""Stands in place of a private value."""

KEPT_AS_IT_IS = (
    "If it ended, record that with the date. If it moved to another name, correct it. If it was never true, import again "
    "with --take-back."
)
"""What to do about what a file says no longer."""


def is_hidden(key: str, *, private: bool) -> bool:
    """Whether the values of a fact are not to be shown; a fact this program does not know is taken for private."""
    return not private and (key not in KEYS or KEYS[key].private)


def value_text(value: Raw) -> str:
    """A value in words."""
    if isinstance(value, Unreadable):
        return f"unreadable {str(value)!r}" if value else "unreadable"
    if value is None:
        return "ended"
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def shown_value(key: str, value: Raw, *, private: bool = False) -> str:
    """A fact's value in words; what is private only where that was asked for."""
    if value is None or value == Unreadable("") or not is_hidden(key, private=private):
        return value_text(value)
    return HIDDEN


def told_value(key: str, value: Raw) -> str:
    """A fact's value in words with its unit, for where the fact stands under its meaning, which names none."""
    text = shown_value(key, value)
    is_number = isinstance(value, str) and not isinstance(value, Unreadable) and text == value
    unit = KEYS[key].unit if is_number and key in KEYS else ""
    return f"{text} {unit}" if unit else text


def span_text(statement: Statement) -> str:
    """From when until when a statement says to hold, in words."""
    parts = []
    if statement.valid_from != EARLIEST:
        parts.append(f"from {statement.valid_from}")
    if statement.valid_until is not None:
        parts.append(f"until {statement.valid_until}")
    return " ".join(parts)


def fact_text(statement: Statement, *, private: bool = False) -> str:
    """Key and value with the span."""
    if is_withdrawal(statement):
        return f"{statement.key} taken back"
    return f"{statement.key} = {value_and_span(statement, private=private)}"


def value_and_span(statement: Statement, *, private: bool = False) -> str:
    """What is said and for which days."""
    value = shown_value(statement.key, statement.value, private=private)
    return " ".join(filter(None, (value, span_text(statement))))


def does_text(change: FactChange) -> str:
    """What a change does to what was said before, in words."""
    if change.kind is ChangeKind.CHANGED:
        return f"from {change.statement.valid_from} on. Before that, the old value stays"
    if change.kind is ChangeKind.CORRECTED:
        return "corrects an earlier entry"
    if change.kind is ChangeKind.TAKEN_BACK:
        return "takes back an earlier entry without replacing it"
    return "new on record"


def contradiction_text(one: Contradiction, *, private: bool = False) -> str:
    """What is said of a contradicted fact, and where."""
    return f"{one.key}: {values_and_places(one, private=private)}"


def values_and_places(one: Contradiction, *, private: bool = False) -> str:
    """The values said of a contradicted fact, each with where it is said."""
    return "; ".join(
        f"{shown_value(one.key, value, private=private)} ({origin})" for value, origin in one.said
    )
