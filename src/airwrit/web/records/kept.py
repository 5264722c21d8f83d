"""What the ledger holds, read once and kept while it does not grow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from airwrit.answers.acts_kept import all_known
from airwrit.answers.circle import Circles
from airwrit.answers.standing import Standing
from airwrit.answers.taking_in import NOTHING_HELD, Before, before
from airwrit.law.judging import Finding
from airwrit.ledger.store import Head, Ledger
from airwrit.web.desk import Desk, judged
from airwrit.web.sheets import Visit


def held_now(desk: Desk) -> Before:
    """Every statement of the ledger as it is now, ready for acts to be tried on and for lives to be told."""
    with desk.opened() as book:
        return held_in(desk, book)


def held_in(desk: Desk, book: Ledger) -> Before:
    """The same of a ledger that is open; what was read when it held less is not read again."""

    def work() -> Before:
        with book.reading():
            head = book.head()
            last = cast("tuple[Head, Before] | None", desk.kept.get(("last held", book.name)))
            earlier = last[1] if last is not None and book.goes_on_from(last[0]) else NOTHING_HELD
            made = before(book, earlier)
        desk.kept.put(("last held", book.name), (head, made))
        return made

    return desk.once(("held", _head(desk, book)), lambda: judged(work))


def circles_now(desk: Desk) -> Circles:
    """How all that the ledger speaks of points at one another."""
    held = held_now(desk)
    with desk.opened() as book:
        key = ("circles", _head(desk, book))
    return desk.once(key, lambda: judged(lambda: Circles(all_known(held))))


def _head(desk: Desk, book: Ledger) -> tuple[object, ...]:
    head = book.head()
    return (str(desk.ledger), book.name, head.size, head.root)


def findings_by_subject(visit: Visit) -> Mapping[str, Sequence[Finding]]:
    """The findings of the day shown, by whom they are about."""

    def work(answer: Standing) -> Mapping[str, Sequence[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in answer.report.findings:
            found.setdefault(finding.subject, []).append(finding)
        return found

    return visit.desk.made_of("by subject", visit.asked, work)
