"""Clock: entries that a clock ahead of time stamped, what going back does, and the button that writes so."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.history.clock import (
    Stamped,
    clock_json,
    clock_put_back,
    spoken,
    stamped_ahead,
    stamped_text,
)
from airwrit.base.errors import UsageError
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.forms import PUT_BACK, Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit

WHO, WHY = "who", "why"
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class ClockPage:
    """The whole page: the entries stamped ahead, in words too, what the clock says, and the form."""

    found: Stamped | None
    says: str
    now: str
    form: Typed
    ticket: Ticket
    written: str


def show(visit: Visit) -> Answer:
    """The entries that are stamped later than the clock, and what going back would write; nothing is written by looking."""
    return _sheet(visit, Typed({WHO: "", WHY: ""}))


def act(visit: Visit) -> Answer:
    """Put the clock back, unless something is wrong with the form or no entry is stamped ahead."""
    if gone := sent_before(visit):
        return Redirect(gone)
    values = {name: visit.said.get(name, "").strip() for name in (WHO, WHY)}
    wrong = {
        name: f"write it, in at most {_LONGEST} characters"
        for name, value in values.items()
        if not 0 < len(value) <= _LONGEST
    }
    if wrong:
        return _sheet(visit, Typed(values, wrong))

    def write(book: Ledger) -> int:
        return clock_put_back(book, visit.desk.clock(), values[WHO], values[WHY]).seq

    try:
        return write_once(visit, write, lambda seq: visit.link(PUT_BACK, None, written=str(seq)))
    except UsageError as fault:
        return _sheet(visit, Typed(values, {"": fault.what}))


def _sheet(visit: Visit, form: Typed) -> PageSheet:
    desk, now, found = visit.desk, visit.desk.clock(), None
    if desk.ledger.exists():
        with desk.opened() as book:
            found = stamped_ahead(book, now)
    says = "" if found is None else stamped_text(found)
    view = ClockPage(found, says, spoken(now), form, ticket(desk), visit.query.get("written", ""))
    return form.sheet("fix_entry_dates.html", "Fix entry dates", view, lambda: clock_json(found, now))
