"""Take out: a person's private facts on lawful request, all that goes shown first, and the button that takes them out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import NamedTuple

from airwrit.answers.removal.holds import hold_text
from airwrit.answers.removal.json import taking_out_json
from airwrit.answers.removal.removal import (
    Beyond,
    RemovalPlan,
    RemovalResult,
    look_at_words,
    plan_for_person,
    taken,
)
from airwrit.base.errors import UsageError
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.ledger.entry import TAKE_OUT
from airwrit.ledger.sqlite.blanking import Request
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import path_of
from airwrit.web.server.forms import Ticket, Typed, sent_before, ticket, write_once
from airwrit.web.server.subject_paths import asked_subject
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Answer, PageSheet, Redirect, Visit

WHY, ASKED_BY, APPROVED_BY, FILES = "why", "asked_by", "approved_by", "file"
_LONGEST = 200
_LEFT = {
    "nothing": "A search of the file's bytes finds none of it.",
    "something": "The same text is still in the file, in a name or as someone else's fact.",
    "pages": "Free pages were not cleared. Run `airwrit erase-personal-data --finish` when nobody else has the ledger open.",
}


class Going(NamedTuple):
    """An entry of which something goes: its number, what goes, and why."""

    entry: int
    what: str
    because: str


class FileRemoved(NamedTuple):
    """A kept file that goes: its name, the day it was put on record, and why."""

    name: str
    on: str
    because: str


@dataclass(frozen=True, slots=True)
class RemovePage:
    """The whole page; `done` is what to say once it was taken out."""

    subject: str
    form: Typed
    ticket: Ticket
    back: str
    going: tuple[Going, ...]
    files: tuple[FileRemoved, ...]
    stays: tuple[int, ...]
    unread: tuple[Beyond, ...]
    beyond: tuple[Beyond, ...]
    holds: tuple[str, ...]
    done: str = ""


def show(visit: Visit) -> Answer:
    """What taking out would do; nothing goes by looking. Once it was done, what came of it."""
    name = id_of(_subject(visit))
    values = {WHY: "", ASKED_BY: name, APPROVED_BY: visit.by}
    return _sheet(visit, Typed(values))


def act(visit: Visit) -> Answer:
    """Take it out, unless a hold is in the way or the form does not say why."""
    if gone := sent_before(visit):
        return Redirect(gone)
    subject = _subject(visit)
    values = {name: visit.said.get(name, "").strip() for name in (WHY, ASKED_BY, APPROVED_BY)}
    wrong = {
        name: f"write it, in at most {_LONGEST} characters"
        for name, said in values.items()
        if not 0 < len(said) <= _LONGEST
    }
    with visit.desk.opened() as book:
        plan = _plan(visit, book)
    if plan.blocked:
        wrong[""] = "a hold keeps this record, so nothing was removed"
    elif plan.is_empty:
        wrong[""] = "nothing private about this person is on record"
    try:
        look_at_words(plan.values, *values.values(), visit.by)
    except UsageError as fault:
        wrong[WHY] = fault.says
        values = dict.fromkeys(values, "")
    if wrong:
        return _sheet(visit, Typed(values, wrong))
    request = Request(plan.about, values[ASKED_BY], values[APPROVED_BY], values[WHY])

    def write(book: Ledger) -> RemovalResult:
        return taken(book, _plan(visit, book), request, visit.desk.clock, visit.by)

    def onward(done: RemovalResult) -> str:
        left = "pages" if done.trouble else "something" if done.is_found else "nothing"
        path = f"/erase-personal-data/{path_of(subject).removeprefix('/people/')}"
        return visit.link(path, None, entry=str(done.entries[-1].seq), left=left)

    return write_once(visit, write, onward)


def _subject(visit: Visit) -> str:
    """The person that the address names. Refused where there is none."""
    if visit.desk.is_empty:
        raise Refused(
            Trouble(
                404, "Nothing to remove", "nothing is on record yet", visit.path, NOTHING_WRITTEN, "go back"
            )
        )
    with visit.desk.opened() as book:
        return asked_subject(visit, "person", book)


def _plan(visit: Visit, book: Ledger) -> RemovalPlan:
    return plan_for_person(book, visit.named["id"], tuple(visit.chosen.get(FILES, ())))


def _sheet(visit: Visit, form: Typed) -> PageSheet:
    subject = _subject(visit)
    with visit.desk.opened() as book:
        plan = _plan(visit, book)
        done = _done(visit, book)
    view = RemovePage(
        subject,
        form,
        ticket(visit.desk, plan.after),
        visit.link(path_of(subject)),
        tuple(_going(plan)),
        tuple(
            FileRemoved(
                "a file whose name is removed too" if one.is_unnamed else one.name,
                f"{one.on:%Y-%m-%d}",
                one.why,
            )
            for one in plan.files
        ),
        tuple(entry.seq for entry in plan.others),
        plan.unread,
        plan.beyond,
        tuple(dict.fromkeys(hold_text(one.hold) for one in plan.blocked)),
        done,
    )
    request = Request(plan.about, form.values[ASKED_BY], form.values[APPROVED_BY], form.values[WHY])
    title = f"Erase personal data: {id_of(subject)[:80]}"
    return form.sheet("erase_personal_data.html", title, view, lambda: taking_out_json(plan, request, None))


def _going(plan: RemovalPlan) -> list[Going]:
    """What goes, fact by fact; the values are never shown."""
    found = []
    for line in plan.lines:
        names = [
            KEYS[said.key].meaning if said.key in KEYS else said.key
            for place, said in enumerate(line.entry.statements)
            if place in line.places
        ]
        found.append(Going(line.entry.seq, ", ".join(names) or "its text; what it says stays", line.why))
    return found


def _done(visit: Visit, book: Ledger) -> str:
    """What came of it, where the address names an entry that keeps a request."""
    number, left = visit.query.get("entry", ""), visit.query.get("left", "")
    entry = book.entry(int(number)) if number.isascii() and number.isdigit() and len(number) < 16 else None
    if entry is None or entry.act != TAKE_OUT or left not in _LEFT:
        return ""
    return f"Removed. Entry {entry.seq:,} keeps who asked, who approved it and why. {_LEFT[left]}"
