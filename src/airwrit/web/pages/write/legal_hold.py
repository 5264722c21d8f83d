"""Holds: records that have to stay, set and released by a named person for a reason."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.removal.holds import Hold, hold_json, holds_of, release, set_hold
from airwrit.base.errors import UsageError
from airwrit.facts.keys.program import HoldKind
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.forms import Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit

OF, KIND, WHO, WHY, NUMBER = "of", "kind", "who", "why", "hold"
_LONGEST = 200


@dataclass(frozen=True, slots=True)
class HoldsPage:
    """The whole page: every hold, the form to set one, and the hold that is being released, if any."""

    holds: tuple[Hold, ...]
    form: Typed
    ticket: Ticket
    kinds: tuple[str, ...]
    releasing: Hold | None
    written: str


def show(visit: Visit) -> Answer:
    """Every hold, and a form to set one or to release the one that the address names."""
    values = {OF: visit.query.get(OF, ""), KIND: "", WHO: "", WHY: "", NUMBER: visit.query.get(NUMBER, "")}
    return _sheet(visit, Typed(values))


def act(visit: Visit) -> Answer:
    """Set a hold, or release one, unless something is wrong with the form."""
    if gone := sent_before(visit):
        return Redirect(gone)
    values = {name: visit.said.get(name, "").strip() for name in (OF, KIND, WHO, WHY, NUMBER)}
    wanted = (WHO, WHY) if values[NUMBER] else (OF, WHO, WHY)
    wrong = {
        name: f"write it, in at most {_LONGEST} characters"
        for name in wanted
        if not 0 < len(values[name]) <= _LONGEST
    }
    if not values[NUMBER] and values[KIND] not in {kind.value for kind in HoldKind}:
        wrong[KIND] = "choose what kind of hold it is"
    if wrong:
        return _sheet(visit, Typed(values, wrong))

    def write(book: Ledger) -> int:
        desk, who, why = visit.desk, values[WHO], values[WHY]
        if values[NUMBER]:
            return release(book, _number(values[NUMBER]), who, why, desk.clock, visit.by).seq
        return set_hold(book, values[OF], HoldKind(values[KIND]), who, why, desk.clock, visit.by).seq

    try:
        return write_once(visit, write, lambda seq: visit.link("/legal-hold", None, written=str(seq)))
    except UsageError as fault:
        return _sheet(visit, Typed(values, {"" if values[NUMBER] else OF: fault.says}))


def _number(text: str) -> int:
    return int(text) if text.isascii() and text.isdigit() and len(text) < 16 else 0


def _sheet(visit: Visit, form: Typed) -> PageSheet:
    holds: tuple[Hold, ...] = ()
    if visit.desk.ledger.exists():
        with visit.desk.opened() as book:
            holds = tuple(holds_of(book))
    number = _number(form.values[NUMBER])
    releasing = next((one for one in holds if one.number == number and one.is_live), None)
    view = HoldsPage(
        holds,
        form,
        ticket(visit.desk),
        tuple(kind.value for kind in HoldKind),
        releasing,
        visit.query.get("written", ""),
    )
    return form.sheet(
        "legal_hold.html", "Legal hold", view, lambda: {"holds": [hold_json(one) for one in holds]}
    )
