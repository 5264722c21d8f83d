"""The history of a record sheet: newest first, a part of it unless all was asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import NamedTuple

from airwrit.answers.history.shown import HistoryLine, history_told
from airwrit.web.server.visit import Visit

_SHOWN = 40


class History(NamedTuple):
    """The statements shown, all of them, the address that shows all (empty when all are shown), and anchors.

    `anchors` gives the newest statement of each fact of the sheet's own subject a name to be linked to, by its number.
    """

    lines: tuple[HistoryLine, ...]
    told: tuple[HistoryLine, ...]
    all_at: str
    anchors: Mapping[str, str]

    @property
    def many(self) -> int:
        """How many statements there are."""
        return len(self.told)

    def has(self, anchor: str) -> bool:
        """Whether a fact can be linked to."""
        return anchor in self.anchors.values()


def history_for(visit: Visit, subject: str, around: Iterable[str]) -> History:
    """What was said of a subject and of those around it, as known at the moment asked about."""
    desk, asked = visit.desk, visit.asked
    with desk.opened() as book:
        known_at = desk.known_at(book, asked)
        told = history_told(book, (subject, *around), known_at, desk.clock().tzinfo)
    every = visit.query.get("history") == "all"
    shown = told if every else told[:_SHOWN]
    all_at = visit.link(visit.path + "#s11", history="all") if len(shown) < len(told) else ""
    return History(shown, told, all_at, _anchors(shown, subject))


def _anchors(lines: Iterable[HistoryLine], subject: str) -> dict[str, str]:
    newest: dict[str, str] = {}
    for line in lines:
        if line.subject == subject:
            newest.setdefault(f"f-{line.fact}", line.number)
    return {number: anchor for anchor, number in newest.items()}
