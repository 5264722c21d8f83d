"""The history of a record sheet: newest first, a part of it unless all was asked for."""

from __future__ import annotations

from collections.abc import Iterable
from typing import NamedTuple

from airwrit.answers.history_told import Written, history_told
from airwrit.web.sheets import Visit

_SHOWN = 40


class History(NamedTuple):
    """The statements shown, how many there are, and the address of all of them; empty when all are shown."""

    lines: tuple[Written, ...]
    many: int
    all_at: str
    told: tuple[Written, ...]


def history_for(visit: Visit, subjects: Iterable[str]) -> History:
    """What was said of some subjects, as known at the moment asked about."""
    desk, asked = visit.desk, visit.asked
    with desk.opened() as book:
        known_at = asked.known_at if asked.known else max(asked.known_at, book.last_moment())
        told = history_told(book, subjects, known_at, desk.clock().tzinfo)
    every = visit.query.get("history") == "all"
    shown = told if every else told[:_SHOWN]
    all_at = visit.link(visit.path + "#s11", history="all") if len(shown) < len(told) else ""
    return History(shown, len(told), all_at, told)
