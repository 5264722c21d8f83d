"""The fold: statements in, how things stood on a day out.

What is known is laid out once (`AsKnown`), apart from the day it is asked about. A timeline and the windows of a flight ask the
same statements about many days, and a value that always holds is made only once for all of them.
"""

from __future__ import annotations

from collections.abc import Callable, Collection, Iterable, Mapping
from datetime import date, datetime
from decimal import Decimal
from functools import lru_cache
from typing import Any, Protocol, TypeVar

from airwrit.base.days import EARLIEST, Order, When, add_days, order_of
from airwrit.base.errors import BadFact
from airwrit.base.identifiers import one_serial
from airwrit.base.verdict import Why
from airwrit.facts.key import Key, Raw, value_of
from airwrit.facts.keys.aircraft import REGISTRATION, SOLD_ON, SOLD_UNDER
from airwrit.facts.state import Held, State
from airwrit.facts.statement import Known, Unreadable
from airwrit.facts.vocabulary import KEYS


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


_ByDay = Mapping[Key[Any], "Held | list[Known]"]
"""The keys of one subject in order: what is held on every day, or the statements that say it by the day."""


class AsKnown:
    """What was known at a moment, whatever day it is asked about."""

    __slots__ = ("_by_day", "_held", "_spoiled", "known_at")

    def __init__(
        self, known: Iterable[Known], known_at: datetime, spoiled: Iterable[tuple[str, str]] = ()
    ) -> None:
        """Lay out the statements recorded up to `known_at`, without those that another took back.

        `spoiled` names (subject, key) whose input is damaged; damage beats every value.
        """
        self.known_at = known_at
        self._spoiled = tuple(spoiled)
        self._held: dict[str, dict[Key[Any], Held]] = {}
        self._by_day: dict[str, _ByDay] = {}
        for subject, by_key in _grouped(known, known_at).items():
            laid_out = {
                KEYS[name]: _always(KEYS[name], items)
                for name, items in by_key.items()
                if not (items[0].statement.value is None and all(map(says_nothing, items)))
            }
            if not laid_out:
                continue
            always = {key: held for key, held in laid_out.items() if isinstance(held, Held)}
            self._held[subject] = always
            if len(always) < len(laid_out):  # a number that always held is none that another took over from
                self._by_day[subject] = laid_out

    def on(self, on: When) -> State:
        """How things stood on a day or at an instant.

        An open end means until further notice and ends at a later start. Among unanswered statements that cover `on`, the
        greatest start holds. Equal starts, or an explicit end that overlaps another value: CONFLICT. Which came last in a
        file decides nothing.
        """
        held = dict(self._held)
        for subject, by_day in self._by_day.items():
            held[subject] = _held_on(by_day, on)
        for subject, name in self._spoiled:
            held[subject] = {**held.get(subject, {}), KEYS[name]: Held(None, Why.DAMAGED)}
        return State(on, self.known_at, held)


def state_of(
    known: Iterable[Known], on: When, known_at: datetime, spoiled: Iterable[tuple[str, str]] = ()
) -> State:
    """How things stood on one day or at one instant; of many, `AsKnown` is laid out once."""
    return AsKnown(known, known_at, spoiled).on(on)


def _grouped(known: Iterable[Known], known_at: datetime) -> dict[str, dict[str, list[Known]]]:
    """The statements recorded up to a moment that none took back, by subject and name of the key."""
    heard = [item for item in known if item.recorded_at <= known_at]
    answered = {number for item in heard for number in item.answers}
    groups: dict[str, dict[str, list[Known]]] = {}
    for item in heard:
        if item.number and item.number in answered:
            continue
        statement = item.statement
        by_key = groups.get(statement.subject)
        if by_key is None:
            by_key = groups[statement.subject] = {}
        by_key.setdefault(statement.key, []).append(item)
    return groups


def _always(key: Key[Any], items: list[Known]) -> Held | list[Known]:
    """What one statement for all time makes known; others as they are."""
    if len(items) == 1:
        _, _, value, start, end = items[0].statement
        if start is EARLIEST and end is None:
            return held_of(key, value, (items[0].origin,)) or items
    return items


def _held_on(by_day: _ByDay, on: When) -> dict[Key[Any], Held]:
    """What holds of one subject on a day."""
    mine: dict[Key[Any], Held] = {}
    for key, said in by_day.items():
        settled = said if isinstance(said, Held) else _settled(key, said, on)
        if settled is not None:
            mine[key] = settled
    if SOLD_ON in mine:
        mine.update(number_sold_under(mine, on, _number_by(by_day.get(REGISTRATION))))
    return mine


def _number_by(said: Held | list[Known] | None) -> Callable[[date], Held | None]:
    """What is said of a registration number, by the day."""
    if isinstance(said, list):
        return lambda day: _settled(REGISTRATION, said, day)
    return lambda _: said


def says_nothing(item: Known) -> bool:
    """Whether it says of no day that something was so: a withdrawal. A subject with nothing else is spoken of no longer."""
    _, _, value, start, end = item.statement
    return value is None and start == EARLIEST and end in (None, EARLIEST)


def _settled(key: Key[Any], items: list[Known], on: When) -> Held | None:
    """What holds of one subject and key on `on`, None when nothing does."""
    covering: list[Known] = []
    starts = {item.statement.valid_from for item in items}
    for item in items:
        covers = _covers(item, starts, on)
        if covers is Order.DOUBT:
            return Held(None, Why.WITHIN_DOUBT, tuple(i.origin for i in items))
        if covers is Order.SAME:
            covering.append(item)
    if not covering:
        return None
    origins = tuple(dict.fromkeys(item.origin for item in covering))
    if len({(type(item.statement.value), item.statement.value) for item in covering}) > 1:
        return _side_by_side(key, covering) if key.has_many else Held(None, Why.CONFLICT, origins)
    return held_of(key, covering[0].statement.value, origins)


def _side_by_side(key: Key[Any], covering: list[Known]) -> Held:
    """All values of a key that may have many, each with where it is first said; damaged when one cannot be read."""
    first: dict[Any, str] = {}
    for item in covering:
        held = held_of(key, item.statement.value, (item.origin,))
        if held is not None and held.why is not None:
            return held
        for value in () if held is None else held.value:
            first.setdefault(value, item.origin)
    return Held(tuple(first), None, tuple(first.values()))


def held_of(key: Key[Any], value: Raw, origins: tuple[str, ...]) -> Held | None:
    """What one value that holds makes known: typed, damaged when it could not be read, nothing when it says "it ended".

    A value on record from before its kind was refused, such as a price below zero, counts as one that could not be read.
    """
    if value is None:
        return None
    if isinstance(value, Unreadable):
        return Held(None, Why.DAMAGED, origins)
    try:
        return Held(_typed(key, type(value).__name__, value), None, origins)
    except BadFact:
        if key.kind is Decimal:
            return Held(None, Why.DAMAGED, origins)
        raise


@lru_cache(maxsize=1 << 16)
def _typed(key: Key[Any], kind: str, raw: Raw) -> Any:
    """The typed value of a raw one, kept for the next subject that says the same; `kind` tells 1 from True."""
    del kind
    return value_of(key, raw)


def _covers(item: Known, starts: Collection[When], on: When) -> Order:
    """SAME when the statement holds on `on`, DOUBT when a day-only question straddles its start or end, BEFORE when not."""
    _, _, _, start, end = item.statement
    started = order_of(start, on)
    if started is Order.AFTER:
        return Order.BEFORE
    ended = Order.AFTER if end is None else order_of(end, on)
    if end is None and len(starts) > 1:
        ended = _ended_by_another(start, starts, on)
    if ended in (Order.BEFORE, Order.SAME):
        return Order.BEFORE
    return Order.DOUBT if Order.DOUBT in (started, ended) else Order.SAME


def _ended_by_another(start: When, starts: Collection[When], on: When) -> Order:
    """Where the nearest later start among those of one subject and key lies against `on`; AFTER when there is none."""
    orders = {order_of(later, on) for later in starts if order_of(later, start) is Order.AFTER}
    if orders & {Order.BEFORE, Order.SAME}:
        return Order.BEFORE
    return Order.DOUBT if Order.DOUBT in orders else Order.AFTER
