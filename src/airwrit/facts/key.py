"""One fact declared once: its name everywhere, its kind, unit, meaning, question and the headings it goes by in sheets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import date
from decimal import Decimal, InvalidOperation
from enum import StrEnum
from typing import Any, Generic, TypeVar

from airwrit.base.days import parse_day, parse_when
from airwrit.base.errors import BadFact
from airwrit.facts.choices import words_of

T = TypeVar("T")
T_co = TypeVar("T_co", covariant=True)
Raw = str | int | bool | None

_MOST_PLACES = 100


@dataclass(frozen=True, slots=True, eq=False)
class Key(Generic[T_co]):
    """A fact's declaration; hashed by identity, so it is a fast dict key.

    `table` is its table in a facts file and tells the kind of subject (see `facts.vocabulary.TABLES`). `links_to` names
    the kind of subject its value points at. `instants` allows a zoned instant where the kind is a day. `digits` tells
    that the true value may be digits only, so a number cell is not by itself damage. `one_form` gives the form in which
    values of several subjects are compared, where one thing may be written in several ways. A key of the kind `tuple` may
    have many values at once: statements that begin together are held side by side, each as a text of the tuple. `lasting`
    tells that it never changes, so that another value of the same file can only correct the first one: the day on which
    something happened, the serial, the number of a certificate. `shared` tells that what is said of one subject can bear on
    another that says the same value. `names` tells of a text that may name several subjects which ones it names.
    """

    name: str
    kind: type[T_co]
    table: str
    meaning: str
    question: str
    headings: tuple[str, ...] = ()
    unit: str = ""
    links_to: str = ""
    instants: bool = False
    private: bool = False
    digits: bool = False
    lasting: bool = False
    shared: bool = False
    one_form: Callable[[Any], Any] | None = None
    names: Callable[[str], tuple[str, ...]] | None = None

    @property
    def has_many(self) -> bool:
        """Whether it may have several values at once."""
        return self.kind is tuple

    def compared(self, value: Any) -> Any:
        """A value in the form in which values of this key are compared."""
        return value if self.one_form is None else self.one_form(value)

    def values_in(self, value: Any) -> tuple[Any, ...]:
        """The values that a value holds: each subject it names where it may name several, else itself."""
        return (value,) if self.names is None else self.names(value)

    def same_thing(self, other: Key[Any]) -> bool:
        """Whether its values name what those of another key name, so that the two are compared."""
        return self is other or (self.one_form is not None and self.one_form is other.one_form)


YES_NO: Mapping[str, bool] = {"yes": True, "true": True, "no": False, "false": False}
"""What may be typed for a fact that is so or not, in small letters."""


def value_of(key: Key[T], raw: Raw) -> T:
    """The typed value of a raw text. BadFact names the key and what it asks for; a private value is not repeated."""
    try:
        return _typed(key, raw)
    except (ValueError, InvalidOperation) as fault:
        if key.private:
            raise BadFact(f"we can't use that for {key.name}", do=_asks_for(key)) from None
        raise BadFact(f"we can't use {raw!r} for {key.name}", do=_asks_for(key)) from fault


def _typed(key: Key[T], raw: Raw) -> T:
    kind: Any = key.kind
    value: Any
    if kind is bool:
        if not isinstance(raw, bool):
            raise ValueError(raw)
        value = raw
    elif kind is date:
        value = parse_when(str(raw)) if key.instants else parse_day(str(raw))
    elif kind is Decimal:
        value = _plain_number(str(raw))
        if value < 0 and key.unit in NEVER_BELOW_ZERO:
            raise ValueError(raw)
    elif kind is int:
        if isinstance(raw, bool) or not isinstance(raw, int) or raw < 0:
            raise ValueError(raw)
        value = raw
    elif kind in (str, tuple):
        if not isinstance(raw, str) or not raw:
            raise ValueError(raw)
        value = raw if kind is str else (raw,)
    else:
        value = kind(raw)
    typed: T = value
    return typed


NEVER_BELOW_ZERO = ("h", "min", "mAh", "Wh", "usd", "percent")
"""Units of amounts: there is no such thing as less than none. Of weights that is seen to where they are read."""


def _plain_number(text: str) -> Decimal:
    """The number; ValueError when it is none, or has more places before or behind its point than anything measured has.

    A text of eleven signs can name a number of a billion digits, which nothing could write out.
    """
    value = Decimal(text)
    exponent = value.as_tuple().exponent
    if not isinstance(exponent, int) or exponent < -_MOST_PLACES or value.adjusted() >= _MOST_PLACES:
        raise ValueError(text)
    return value


def _asks_for(key: Key[Any]) -> str:
    if key.kind is bool:
        return "answer true or false"
    if key.kind is date:
        return "write a date like 2026-05-31" + (
            ", or a time with its zone, like 2026-05-31T14:40-06:00" if key.instants else ""
        )
    if key.kind is Decimal:
        return f"write a plain number in {key.unit}" if key.unit else "write a plain number"
    if key.kind is int:
        return "write a whole number"
    if issubclass(key.kind, StrEnum):
        return "choose one of: " + "; ".join(map(words_of, key.kind))
    return "write it as text"


def raw_of(value: object) -> Raw:
    """The text form a statement keeps: decimals and dates as text, enums by their value; several values in one line."""
    if isinstance(value, bool) or value is None:
        return value
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, Decimal):
        return format(value, "f")
    if isinstance(value, int):
        return value
    return "; ".join(value) if isinstance(value, tuple) else str(value)
