"""The number an aircraft had when it was sold, once it points at another: what the seller still has to cancel."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from datetime import date
from typing import Any, Protocol, TypeVar

from airwrit.base.days import Order, When, add_days, order_of
from airwrit.base.identifiers import one_serial
from airwrit.base.verdict import Why
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import REGISTRATION, SOLD_ON, SOLD_UNDER


class _Held(Protocol):
    """What the fold holds for a key, as far as it is looked at here."""

    @property
    def value(self) -> Any:
        """The typed value."""

    @property
    def why(self) -> Why | None:
        """Why there is none to be had."""


H = TypeVar("H", bound=_Held)


def number_sold_under(
    facts: Mapping[Key[Any], H], on: When, number_on: Callable[[date], H | None]
) -> dict[Key[Any], H]:
    """`SOLD_UNDER` as it follows from the days on file; empty where it is told, nothing was sold or the number is the same.

    `facts` are what is held of the aircraft on `on`; `number_on` gives what is held of its number on another day. The day
    before the sale counts: the buyer's number may be on file from the day of the sale on.
    """
    sold, now = facts.get(SOLD_ON), facts.get(REGISTRATION)
    if sold is None or sold.why is not None or now is None or SOLD_UNDER in facts or sold.value == date.min:
        return {}
    if order_of(sold.value, on) is Order.AFTER:
        return {}
    before = number_on(add_days(sold.value, -1))
    if before is None or before.why is not None:
        return {}
    return {} if now.why is None and is_same_number(before.value, now.value) else {SOLD_UNDER: before}


def is_same_number(one: str, other: str) -> bool:
    """Whether two registration numbers are one, however they were typed."""
    return one_serial(one) == one_serial(other)
