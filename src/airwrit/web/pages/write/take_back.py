"""Take back: an entry that was wrong, what counts again without it, and the button that writes so."""

from __future__ import annotations

from dataclasses import dataclass

from airwrit.answers.acts.json import taken_back_json
from airwrit.answers.acts.withdrawal import TakenBack, entry_named, taking_back
from airwrit.base.errors import UsageError
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.parts.acts import Caused, caused_of, effects_for
from airwrit.web.server.forms import NOTE, Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import held_in, held_now

_LONGEST = 200


@dataclass(frozen=True, slots=True)
class WithdrawPage:
    """The whole page: which entry, its act, who it speaks of, how many of its facts stay because they were replaced since."""

    entry: int
    act: str
    subjects: tuple[str, ...]
    replaced: int
    form: Typed
    ticket: Ticket
    caused: Caused
    back: str


def show(visit: Visit) -> Answer:
    """What taking the entry back would write and cause; nothing is written by looking."""
    return _sheet(visit, Typed({NOTE: ""}))


def act(visit: Visit) -> Answer:
    """Write it, unless the word on why is too long."""
    if gone := sent_before(visit):
        return Redirect(gone)
    note = visit.said.get(NOTE, "").strip()
    if len(note) > _LONGEST:
        return _sheet(visit, Typed({NOTE: note}, {NOTE: f"write it in at most {_LONGEST} characters"}))
    found = _found(visit)
    asked = visit.asked

    def write(book: Ledger) -> int:
        held = held_in(visit.desk, book)
        taking = taking_back(held, found.entry, visit.by, asked.today, note).taking
        return book.append(taking.drafts, visit.desk.clock, after=taking.after)[-1].seq

    return write_once(visit, write, lambda seq: visit.link(_back(found), None, written=str(seq)))


def _found(visit: Visit) -> TakenBack:
    """The entry that the address names. Refused where there is nothing of it to take back."""
    try:
        if visit.desk.is_empty:
            raise UsageError("the ledger is empty", do="start it")
        entry = entry_named(visit.named["entry"])
        return taking_back(held_now(visit.desk), entry, visit.by, visit.asked.today)
    except UsageError as fault:
        raise Refused(
            Trouble(404, "Nothing to take back", fault.what, visit.path, NOTHING_WRITTEN, fault.do)
        ) from fault


def _sheet(visit: Visit, form: Typed) -> PageSheet:
    found = _found(visit)
    effects = effects_for(visit, found.taking, found.after)
    subjects = tuple(dict.fromkeys(item.statement.subject for item in found.said))
    caused = caused_of(found.taking, effects, subjects[0])
    view = WithdrawPage(
        found.entry,
        found.act,
        subjects,
        found.replaced,
        form,
        ticket(visit.desk),
        caused,
        visit.link(_back(found)),
    )
    title = f"Take back entry {found.entry:,}"
    return form.sheet("take_back.html", title, view, lambda: taken_back_json(found, effects))


def _back(found: TakenBack) -> str:
    """The page of the first that the entry speaks of and that has one."""
    paths = (path_of(item.statement.subject) for item in found.said)
    return next(filter(None, paths), "/today")
