"""One fact that a file says, held against what it said before and what others say: from when on it holds, and what goes.

A value without a day of its own speaks of the day of the import. Where the file said something else before, the old value
stays for the days before and the new one holds from that day on, unless the fact is one that never changes, the old value
could not be read, or the import is told to correct: then the new value takes the old one's place. Where others say something
else of that day, the value is put beside theirs, so that the contradiction shows and nothing is settled by who came last.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from datetime import date
from typing import NamedTuple

from airwrit.answers.sheets.difference import ChangeKind, FactChange, OnRecord, Pair, taken_back
from airwrit.base.days import EARLIEST, Order, When, order_of
from airwrit.facts.statement import Known, Statement, Unreadable
from airwrit.facts.vocabulary import is_lasting

_Values = frozenset[tuple[type, object]]


class Terms(NamedTuple):
    """How undated values are placed: the day they speak of, the day they are told to hold from, whether they correct."""

    day: date
    start: date | None = None
    corrects: bool = False


class Compared(NamedTuple):
    """What a file's statements of one fact do; `behind` are those that the record has moved on from."""

    changes: tuple[FactChange, ...] = ()
    behind: tuple[Known, ...] = ()
    silent: tuple[Known, ...] = ()


class _Fact(NamedTuple):
    """A fact as it stands: what the file says now, what it said before, what of that is unanswered, what anybody says."""

    pair: Pair
    fresh: Sequence[Known]
    own: Sequence[Known]
    own_alive: Sequence[Known]
    alive: Sequence[Known]


def compared(
    held: OnRecord, pair: Pair, fresh: Sequence[Known], claims: Sequence[Known], terms: Terms
) -> Compared:
    """What taking in a file's statements of one fact does; `claims` is what the file said before."""
    alive = held.alive(pair)
    numbers = {item.number for item in alive}
    fact = _Fact(pair, fresh, claims, [item for item in claims if item.number in numbers], alive)
    if all(_is_undated(item.statement) for item in fresh):
        return _undated(fact, terms)
    return _dated(fact, terms)


def _is_undated(statement: Statement) -> bool:
    return statement.valid_from == EARLIEST and statement.valid_until is None


def holding(items: Sequence[Known], on: date) -> list[Known]:
    """The statements that hold on a day: those begun and not ended, by a day or by a later beginning."""
    begun = [item for item in items if order_of(item.statement.valid_from, on) is not Order.AFTER]
    starts = {item.statement.valid_from for item in begun}
    found = []
    for item in begun:
        _, _, _, start, until = item.statement
        if until is not None:
            if order_of(until, on) is Order.AFTER:
                found.append(item)
        elif not any(order_of(other, start) is Order.AFTER for other in starts):
            found.append(item)
    return found


def _values(items: Iterable[Known]) -> _Values:
    return frozenset((type(item.statement.value), item.statement.value) for item in items)


def _undated(fact: _Fact, terms: Terms) -> Compared:
    """What values without a day do. One that never changes is so on every day, whatever day was told."""
    if is_lasting(*fact.pair):
        terms = terms._replace(start=None)
    on = terms.start or terms.day
    mine, theirs, said = holding(fact.own, on), holding(fact.alive, on), _values(fact.fresh)
    if mine and _values(mine) == said:
        return Compared(behind=() if _values(theirs) == said else tuple(fact.fresh))
    if not mine and theirs and _values(theirs) == said:
        return Compared()
    start, gone = _placed(fact, terms, mine, theirs)
    fresh = [_from(item, start) for item in fact.fresh]
    stays = tuple(item for item in mine if item not in gone) if start != EARLIEST else ()
    return Compared(_changes(fact, fresh, gone, stays))


def _placed(
    fact: _Fact, terms: Terms, mine: Sequence[Known], theirs: Sequence[Known]
) -> tuple[When, list[Known]]:
    """From when on the values hold, and which of the file's own statements go."""
    if terms.start is not None:
        return terms.start, _since(fact.own_alive, terms.start)
    own = {item.number for item in fact.own}
    before = _values(mine)
    others = [i for i in theirs if i.number not in own and not _values([i]) <= before]
    if others or not mine:
        start = (
            max((i.statement.valid_from for i in others or theirs), key=_place)
            if theirs
            else _end_of_all(fact.alive, terms.day)
        )
        return start, _since(fact.own_alive, start) if others else []
    unreadable = [i for i in fact.own_alive if isinstance(i.statement.value, Unreadable)]
    if unreadable or terms.corrects or is_lasting(*fact.pair) or len(before) > 1 or len(fact.fresh) > 1:
        wrong = [*mine, *unreadable]
        start = min((i.statement.valid_from for i in wrong), key=_place)
        numbers = {i.number for i in wrong}
        later = [i for i in fact.own_alive if order_of(i.statement.valid_from, start) is Order.AFTER]
        return start, [i for i in fact.own_alive if i.number in numbers or i in later]
    return terms.day, _since(fact.own_alive, terms.day)


def _end_of_all(items: Sequence[Known], day: date) -> When:
    """Where nothing holds on the day: the last end before it, or the beginning of all."""
    ends = [
        i.statement.valid_until
        for i in items
        if i.statement.valid_until is not None and order_of(i.statement.valid_until, day) is not Order.AFTER
    ]
    return max(ends, key=_place, default=EARLIEST)


def _since(items: Sequence[Known], start: When) -> list[Known]:
    return [i for i in items if order_of(i.statement.valid_from, start) in (Order.SAME, Order.AFTER)]


def _place(when: When) -> str:
    """Something by which days and instants can be put in order; which of one day comes first does not matter here."""
    return when.isoformat()


def _from(item: Known, start: When) -> Known:
    return item._replace(statement=item.statement._replace(valid_from=start))


def _changes(
    fact: _Fact, fresh: Sequence[Known], gone: Sequence[Known], stays: tuple[Known, ...]
) -> tuple[FactChange, ...]:
    """The statements that are new, the first with all whose place is taken; or a withdrawal where nothing is new."""
    given = {item.statement for item in fact.own_alive}
    new = [item for item in fresh if item.statement not in given]
    wanted = {item.statement for item in fresh}
    outdated = tuple(item for item in gone if item.statement not in wanted)
    if not new:
        origin = fresh[0].origin
        return tuple(
            FactChange(ChangeKind.TAKEN_BACK, taken_back(*fact.pair), origin, (old,)) for old in outdated
        )
    first = ChangeKind.CORRECTED if outdated else ChangeKind.CHANGED if stays else ChangeKind.ADDED
    return (
        FactChange(first, new[0].statement, new[0].origin, outdated, stays),
        *(FactChange(ChangeKind.ADDED, item.statement, item.origin) for item in new[1:]),
    )


def _dated(fact: _Fact, terms: Terms) -> Compared:
    """What statements with days of their own do: one of the same beginning takes the place of the file's earlier one."""
    fresh = [_from(i, terms.start) if terms.start and _starts_nowhere(i) else i for i in fact.fresh]
    said = {item.statement for item in fresh}
    known_already = {item.statement for item in fact.own} | {item.statement for item in fact.alive}
    starts = {statement.valid_from for statement in said}
    outdated = [i for i in fact.own_alive if i.statement not in said and i.statement.valid_from in starts]
    silent = [i for i in fact.own_alive if i.statement not in said and i.statement.valid_from not in starts]
    changes: list[FactChange] = []
    for item in fresh:
        statement = item.statement
        if statement in known_already:
            continue
        was = tuple(old for old in outdated if old.statement.valid_from == statement.valid_from)
        outdated = [old for old in outdated if old not in was]
        changes.append(
            FactChange(ChangeKind.CORRECTED if was else ChangeKind.ADDED, statement, item.origin, was)
        )
    gone = taken_back(*fact.pair)
    changes += [FactChange(ChangeKind.TAKEN_BACK, gone, fresh[0].origin, (old,)) for old in outdated]
    return Compared(tuple(changes), silent=tuple(silent))


def _starts_nowhere(item: Known) -> bool:
    return item.statement.valid_from == EARLIEST
