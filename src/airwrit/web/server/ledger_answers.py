"""What the ledger holds, read once and kept while it does not grow."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import cast

from airwrit.answers.acts.plan import all_known
from airwrit.answers.sheets.difference import NOTHING_HELD, OnRecord, before
from airwrit.answers.standing.neighbors import Circles
from airwrit.answers.standing.standing import Standing
from airwrit.law.rule import Finding
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.visit import Visit
from airwrit.web.server.workspace import Workspace, judged


def held_now(desk: Workspace) -> OnRecord:
    """Every statement of the ledger as it is now, ready for acts to be tried on and for lives to be told."""
    with desk.opened() as book:
        return held_in(desk, book)


def held_in(desk: Workspace, book: Ledger) -> OnRecord:
    """The same of a ledger that is open; what was read when it held less is not read again."""

    def work() -> tuple[Head, OnRecord]:
        found = cast("tuple[str, tuple[Head, OnRecord]] | None", desk.kept.get("held"))
        with book.reading():
            head = book.head()
            goes_on = found is not None and book.goes_on_from(found[1][0])
            return head, before(book, found[1][1] if found is not None and goes_on else NOTHING_HELD)

    return desk.once("held", desk.basis_now(book), lambda: judged(work))[1]


def circles_now(desk: Workspace) -> Circles:
    """How all that the ledger speaks of points at one another."""
    held = held_now(desk)
    with desk.opened() as book:
        basis = desk.basis_now(book)
    return desk.once("circles", basis, lambda: judged(lambda: Circles(all_known(held))))


def findings_by_subject(visit: Visit) -> Mapping[str, Sequence[Finding]]:
    """The findings of the day shown, by whom they are about."""

    def work(answer: Standing) -> Mapping[str, Sequence[Finding]]:
        found: dict[str, list[Finding]] = {}
        for finding in answer.report.findings:
            found.setdefault(finding.subject, []).append(finding)
        return found

    return visit.desk.made_of("by subject", visit.asked, work)
