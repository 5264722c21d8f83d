"""Taking an entry back: what it says counts no more, and what it had taken the place of counts again. Nothing is erased."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from datetime import date
from typing import NamedTuple

from airwrit.answers.acts.plan import all_known, kept_of
from airwrit.answers.sheets.difference import (
    TAKE_BACK,
    Difference,
    HandEntry,
    OnRecord,
    Pair,
    is_withdrawal,
    saying_by_hand,
)
from airwrit.answers.standing.standing import numbers_shared
from airwrit.base.errors import UsageError
from airwrit.facts.statement import Known
from airwrit.ledger.entry import STAYING, parts_of


class TakenBack(NamedTuple):
    """An entry to be taken back: its act and statements, how many of them something else has replaced since.

    `taking` is what that does, `before` and `after` what is known without it and with it.
    """

    entry: int
    act: str
    said: tuple[Known, ...]
    replaced: int
    taking: Difference
    before: tuple[Known, ...]
    after: tuple[Known, ...]


def taking_back(held: OnRecord, entry: int, by: str, on: date, note: str = "") -> TakenBack:
    """What taking an entry back would do to a ledger. UsageError where there is nothing of it to take back.

    Facts of it that something took the place of since are left as they are. `on` is the day for which numbers that two
    aircraft would share are looked for.
    """
    mine = f"{entry}."
    said = tuple([item for items in held.groups.values() for item in items if item.number.startswith(mine)])
    act, _ = held.acts.get(entry, ("", ""))
    if not said or not act:
        raise _refused(entry, f"no entry has the number {entry}", "check `airwrit history`")
    if act in STAYING:
        raise _refused(
            entry, f"entry {entry} records a removal or a hold, so it has to stay", "choose another entry"
        )
    alive = [item for item in said if item.number not in held.answered]
    if not alive:
        raise _refused(
            entry,
            f"entry {entry} no longer counts. Later entries replaced it",
            "take back the later entry instead",
        )
    again = tuple(item.statement for item in _restored(held, entry, {_pair(item) for item in alive}))
    saying = HandEntry(again, note=note or f"entry {entry} was wrong", act=TAKE_BACK, takes=tuple(alive))
    taking = saying_by_hand(held, saying, by)
    shared = numbers_shared(held, taking.changes, on)
    taking = replace(taking, contradictions=(*taking.contradictions, *shared))
    before = all_known(held)
    return TakenBack(entry, act, said, len(said) - len(alive), taking, before, (*before, *kept_of(taking)))


def _restored(held: OnRecord, entry: int, pairs: set[Pair]) -> Iterator[Known]:
    """What the entry alone took the place of, of these facts."""
    for pair in pairs:
        for item in held.groups[pair]:
            answers = set(held.answered.get(item.number, ()))
            if answers == {entry} and not is_withdrawal(item.statement):
                yield item


def _pair(item: Known) -> Pair:
    return item.statement.subject, item.statement.key


def entry_named(text: str) -> int:
    """The number of an entry as somebody writes it, also as the number of one of its statements. UsageError when it is none."""
    number = text.strip().replace(",", "").removeprefix("entry").strip()
    try:
        return parts_of(number if "." in number else f"{number}.0")[0]
    except ValueError as fault:
        raise UsageError(
            f"{text!r} isn't an entry number", where="ENTRY", do="check `airwrit history`"
        ) from fault


def _refused(entry: int, what: str, do: str) -> UsageError:
    return UsageError(what, where=f"entry {entry}", do=do)
