"""What taking facts in would do, in words that every face shares; what is private is named, not shown, unless asked for."""

from __future__ import annotations

from datetime import date
from decimal import Decimal, InvalidOperation

from airwrit.answers.sheets.difference import ChangeKind, Contradiction, FactChange, is_withdrawal
from airwrit.base.days import EARLIEST
from airwrit.base.measured import GRAMS_PER_POUND, places
from airwrit.base.sentences import day_words
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


def told_value(key: str, value: Raw, *, private: bool = False) -> str:
    """A fact's value in words: a day as it is written, a number with its unit, a weight in pounds too."""
    text = shown_value(key, value, private=private)
    is_plain = isinstance(value, str) and not isinstance(value, Unreadable) and text == value
    if not is_plain or key not in KEYS:
        return text
    if KEYS[key].kind is date:
        return _day_told(text)
    unit = KEYS[key].unit
    if unit == "g":
        return _weight_told(text)
    return f"{text} {_UNITS.get(unit, unit)}" if unit else text


_UNITS = {"usd": "USD", "degC": "°C"}


def _day_told(text: str) -> str:
    """A day in words; what holds a time too, or is no day, stays as written."""
    try:
        return day_words(date.fromisoformat(text))
    except ValueError:
        return text


def _weight_told(text: str) -> str:
    """Grams as pounds, with the grams behind them."""
    try:
        grams = Decimal(text)
        return f"{places(grams / GRAMS_PER_POUND, 3)} lb ({places(grams, 1)} g)"
    except InvalidOperation:
        return f"{text} g"


def fact_name(key: str) -> str:
    """What a fact is called in words; a fact this program does not know goes by its key."""
    return KEYS[key].meaning if key in KEYS else key


def span_text(statement: Statement) -> str:
    """From when until when a statement says to hold, in words."""
    parts = []
    if statement.valid_from != EARLIEST:
        parts.append(f"from {day_words(statement.valid_from)}")
    if statement.valid_until is not None:
        parts.append(f"until {day_words(statement.valid_until)}")
    return " ".join(parts)


def fact_text(statement: Statement, *, private: bool = False) -> str:
    """Name and value of a fact with the span."""
    if is_withdrawal(statement):
        return f"{fact_name(statement.key)}: taken back"
    return f"{fact_name(statement.key)}: {value_and_span(statement, private=private)}"


def value_and_span(statement: Statement, *, private: bool = False) -> str:
    """What is said and for which days."""
    value = told_value(statement.key, statement.value, private=private)
    return " ".join(filter(None, (value, span_text(statement))))


def does_text(change: FactChange) -> str:
    """What a change does to what was said before, in words."""
    if change.kind is ChangeKind.CHANGED:
        return f"from {day_words(change.statement.valid_from)} on. Before that, the old value stays"
    if change.kind is ChangeKind.CORRECTED:
        return "corrects an earlier entry"
    if change.kind is ChangeKind.TAKEN_BACK:
        return "takes back an earlier entry without replacing it"
    return "new on record"


def contradiction_text(one: Contradiction, *, private: bool = False) -> str:
    """What is said of a contradicted fact, and where."""
    said = (f"{told_value(one.key, value, private=private)} ({origin})" for value, origin in one.said)
    return f"{fact_name(one.key)}: {'; '.join(said)}"
