"""Forms that write: each is made for one state of the ledger and counts once, however often it is sent.

A form carries the number of entries it was made for and a number of its own. Sent to a ledger that has grown since, it is
refused with what was written meanwhile (two tabs, another person); sent twice, it leads to the same place and writes once.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import NamedTuple, TypeVar

from airwrit.answers.taking_in import Kind, Taking
from airwrit.answers.taking_words import told_value
from airwrit.base.errors import LedgerMoved
from airwrit.base.findings import Verdict
from airwrit.base.times import EARLIEST
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.entry import entry_of
from airwrit.ledger.store import Ledger
from airwrit.web.desk import Desk
from airwrit.web.sheets import Moved, Visit
from airwrit.web.trouble import NOTHING_WRITTEN, Refused, Trouble

T = TypeVar("T")

HEAD, NONCE = "made_for", "form"
OWN = (HEAD, NONCE)
"""The fields of a form that are its own, not typed by anybody."""

_NONCE = re.compile(r"[A-Za-z0-9_-]{16,64}")
_REMEMBERED = 2_000
_TOLD_SINCE = 12


class Ticket(NamedTuple):
    """What a form carries: the number of entries it was made for, and its own number."""

    head: int
    nonce: str


class Since(NamedTuple):
    """An entry that was written since a form was made."""

    seq: int
    at: str
    by: str
    subjects: tuple[str, ...]


class Stale(Exception):
    """The ledger has grown since the form was made; nothing was written. The site tells what changed."""

    def __init__(self, since: Sequence[Since]) -> None:
        """Keep what was written meanwhile."""
        self.since = tuple(since)
        super().__init__(f"{len(self.since)} entries since")


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in the fields of a form, and what is wrong with it by field; `""` for what is wrong with the whole."""

    values: Mapping[str, str] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)

    def title(self, title: str) -> str:
        """The title of the form's sheet; it begins with the trouble where there is any."""
        return f"Trouble: {title}" if self.wrong else title


class Written(NamedTuple):
    """A statement that would be written: of whom, what, which value, from when, and what it does."""

    subject: str
    fact: str
    value: str
    since: str
    kind: Kind


class Duty(NamedTuple):
    """Something to do that an act causes: by when, what, and by which section."""

    by: str
    what: str
    cites: str


class Turn(NamedTuple):
    """A verdict before an act and after it."""

    subject: str
    before: Verdict
    after: Verdict


@dataclass(frozen=True, slots=True)
class Pencil:
    """What a form would do, shown before it is written in ink."""

    writes: tuple[Written, ...] = ()
    duties: tuple[Duty, ...] = ()
    turns: tuple[Turn, ...] = ()
    notes: tuple[str, ...] = ()
    """what stays open: contradictions and the like, each a sentence"""


def ticket(desk: Desk) -> Ticket:
    """A ticket for a form made now."""
    size = 0
    if desk.ledger.exists():
        with desk.opened() as book:
            size = book.head().size
    return Ticket(size, secrets.token_urlsafe(18))


def ticket_of(visit: Visit) -> Ticket:
    """The ticket that a sent form carries. Refused when it carries none."""
    head, nonce = visit.said.get(HEAD, ""), visit.said.get(NONCE, "")
    if not (head.isascii() and head.isdigit() and len(head) < 12 and _NONCE.fullmatch(nonce)):
        raise Refused(
            Trouble(
                400,
                "This form cannot be taken",
                "it does not say which ledger it was made for",
                visit.path,
                NOTHING_WRITTEN,
                "open the form again and fill it in",
            )
        )
    return Ticket(int(head), nonce)


def sent_before(visit: Visit) -> str:
    """Where a form led that was written already; empty for a new one. Stale when the ledger has grown since it was made."""
    made, desk = ticket_of(visit), visit.desk
    if made.nonce in desk.done:
        return desk.done[made.nonce]
    with desk.opened() as book:
        if book.head().size != made.head:
            raise Stale(written_since(book, made.head))
    return ""


def write_once(visit: Visit, write: Callable[[Ledger], T], onward: Callable[[T], str]) -> Moved:
    """Write what a form says and go on to the page that `onward` names; a form sent before leads there again.

    `write` gets the ledger, begun where there is none, and hands its size to `Ledger.append` as `after`. Stale when the
    ledger has grown since the form was made; Refused on a day or moment that is not the present one.
    """
    made, desk = ticket_of(visit), visit.desk
    if not visit.asked.is_today:
        raise Refused(
            Trouble(
                409,
                "Nothing is written on another day",
                f"the page is turned to {visit.asked.on}",
                visit.path,
                NOTHING_WRITTEN,
                "turn back to today and fill the form in there",
            )
        )
    with desk.writing:
        if made.nonce in desk.done:
            return Moved(desk.done[made.nonce])
        with _book(desk) as book:
            if book.head().size != made.head:
                raise Stale(written_since(book, made.head))
            try:
                done = write(book)
            except LedgerMoved as moved:
                raise Stale(written_since(book, made.head)) from moved
        to = onward(done)
        desk.done[made.nonce] = to
        while len(desk.done) > _REMEMBERED:
            desk.done.popitem(last=False)
    return Moved(to)


def _book(desk: Desk) -> Ledger:
    return Ledger.at(desk.ledger)


def written_since(book: Ledger, head: int) -> tuple[Since, ...]:
    """The entries after entry `head`, the newest ones where there are many."""
    lines = [line for line in book.lines(head) if line.text is not None]
    found = []
    for line in lines[-_TOLD_SINCE:]:
        entry = entry_of(line.text or "")
        subjects = tuple(dict.fromkeys(statement.subject for statement in entry.statements))
        found.append(Since(entry.seq, entry.recorded_at.isoformat(timespec="minutes"), entry.by, subjects))
    return tuple(found)


def writes_of(taking: Taking) -> tuple[Written, ...]:
    """What taking in would write, statement by statement; private values are not shown."""
    return tuple(
        Written(
            change.statement.subject,
            KEYS[change.statement.key].meaning,
            told_value(change.statement.key, change.statement.value),
            "" if change.statement.valid_from == EARLIEST else change.statement.valid_from.isoformat(),
            change.kind,
        )
        for change in taking.changes
    )
