"""Forms that write: each is made for one state of the ledger and counts once, however often it is sent.

A form carries the ledger it was made for, by name, number of entries and root, and a number of its own. Where something was
saved since that is about the same subjects (two tabs, another person), it is refused, with what that says; what is about others
is no matter. Sent to another ledger at the same place, it is refused; sent twice, it leads to the same place and writes once,
and where it says something else the second time, it is not told as saved.
"""

from __future__ import annotations

import re
import secrets
from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime
from hashlib import sha256
from typing import Any, NamedTuple, TypeVar

from airwrit.answers.document import CAUTION
from airwrit.answers.history.clock import (
    Ahead,
    Stamped,
    ahead_of_last,
    ahead_text,
    far_ahead,
    spoken,
    stamped_text,
)
from airwrit.answers.sheets.difference import ChangeKind, Difference, told_value
from airwrit.base.days import EARLIEST
from airwrit.base.errors import LedgerMoved
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS, id_of
from airwrit.ledger.entry import entry_of
from airwrit.ledger.log.tree import Frontier
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Json, PageSheet, Redirect, Visit
from airwrit.web.server.workspace import FormWritten, Workspace

T = TypeVar("T")
NOTE = "note"
"""The field of why something is saved, in somebody's own words."""

HEAD, NONCE = "made_for", "form"
CLOCK, IS_RIGHT = "clock", "is right"
OWN = (HEAD, NONCE, CLOCK)
"""The fields of a form that are its own, not typed by anybody."""

PUT_BACK = "/fix-entry-dates"
"""The page that puts the clock back: the one that writes though the last entry is stamped ahead."""

_NONCE = re.compile(r"[A-Za-z0-9_-]{16,64}")
_MADE_FOR = re.compile(r"([0-9]{1,11}):([^:\s]{0,64}):([0-9a-f]{64})")
_REMEMBERED = 2_000
NO_ENTRIES = Frontier().root.hex()
"""The root of a ledger without entries."""

_TOLD_SINCE = 12
_TOLD_FACTS = 6
_TRIES = 20

About = Collection[str] | None
"""The subjects that a form is about; None where anything that was saved meanwhile matters."""


class Ticket(NamedTuple):
    """What a form carries: the number of entries it was made for, its own number, the ledger's name and the root of those.

    The name is empty for a place where there is no ledger yet.
    """

    head: int
    nonce: str
    ledger: str = ""
    root: str = NO_ENTRIES

    @property
    def made_for(self) -> str:
        """The ledger that the form was made for, as a field."""
        return f"{self.head}:{self.ledger}:{self.root}"


class Since(NamedTuple):
    """An entry that was written since a form was made; `says` is what it says of whom the form is about, nothing private."""

    seq: int
    at: str
    by: str
    subjects: tuple[str, ...]
    says: tuple[str, ...] = ()


class Stale(Exception):
    """What the form is about was spoken of since it was made; nothing was written. The site tells what changed."""

    def __init__(self, since: Sequence[Since]) -> None:
        """Keep what was written meanwhile."""
        self.since = tuple(since)
        super().__init__(f"{len(self.since)} entries since")


class ClockAsked(Exception):
    """The clock is more than a day ahead of the last entry; nothing was written. The site asks whether it is right."""

    def __init__(self, ahead: Ahead) -> None:
        """Keep what the clock says, and when the last entry was recorded."""
        self.ahead = ahead
        super().__init__(ahead_text(ahead))


class ClockBehind(Exception):
    """The last entry is stamped more than a day later than the clock; nothing was written. The site leads to the way back."""

    def __init__(self, found: Stamped, now: datetime) -> None:
        """Keep the entries and what the clock says."""
        self.found = found
        super().__init__(f"{stamped_text(found)} This computer's clock says {spoken(now)}.")


class Resent(Exception):
    """The form was saved already, with other values; nothing was written. The site tells what was typed, and where it led."""

    def __init__(self, to: str) -> None:
        """Keep where it led the first time."""
        self.to = to
        super().__init__("sent again with other values")


@dataclass(frozen=True, slots=True)
class Typed:
    """What stands in the fields of a form, and what is wrong with it by field; `""` for what is wrong with the whole."""

    values: Mapping[str, str] = field(default_factory=dict)
    wrong: Mapping[str, str] = field(default_factory=dict)

    def title(self, title: str) -> str:
        """The title of the form's sheet; it begins with the trouble where there is any."""
        return f"Trouble: {title}" if self.wrong else title

    def sheet(self, template: str, title: str, data: Any, twin: Callable[[], Json]) -> PageSheet:
        """The sheet that shows the form; its title and its status tell where something is wrong."""
        return PageSheet(template, self.title(title), data, twin, 422 if self.wrong else 200)

    def unanswered(self, question: str, scope: str, **more: Json) -> Json:
        """The document of a form that asks nothing yet, or can't be read."""
        return {"question": question, "scope": scope, "wrong": dict(self.wrong), **more, "caution": CAUTION}


class StatementWritten(NamedTuple):
    """A statement that would be written: of whom, what, which value, from when, and what it does."""

    subject: str
    fact: str
    value: str
    since: str
    kind: ChangeKind


@dataclass(frozen=True, slots=True)
class Pencil:
    """What a form would do, shown before it is written in ink."""

    writes: tuple[StatementWritten, ...] = ()
    notes: tuple[str, ...] = ()
    """what stays open: contradictions and the like, each a sentence"""


def ticket(desk: Workspace, size: int | None = None) -> Ticket:
    """A ticket for a form made now, or for what was worked out for the first `size` entries."""
    nonce = secrets.token_urlsafe(18)
    if not desk.ledger.exists():
        return Ticket(0, nonce)
    with desk.opened() as book, book.reading():
        head = book.head()
        if size is not None and size < head.size:
            head = Head(size, book.root_at(size))
        return Ticket(head.size, nonce, book.name, head.root.hex())


def ticket_of(visit: Visit) -> Ticket:
    """The ticket that a sent form carries. Refused when it carries none."""
    made, nonce = _MADE_FOR.fullmatch(visit.said.get(HEAD, "")), visit.said.get(NONCE, "")
    if made is None or not _NONCE.fullmatch(nonce):
        raise Refused(
            Trouble(
                400,
                "We can't use this form",
                "the form doesn't say which ledger it is for",
                visit.path,
                NOTHING_WRITTEN,
                "open the form again and fill it in",
            )
        )
    return Ticket(int(made[1]), nonce, made[2], made[3])


def sent_before(visit: Visit, about: About = None) -> str:
    """Where a form led that was written already; empty for a new one.

    Stale when something was saved about the same subjects since it was made, Resent when it says something else now.
    """
    made, desk = ticket_of(visit), visit.desk
    if made.nonce in desk.done:
        return _led(visit, desk.done[made.nonce])
    if desk.ledger.exists():
        with desk.opened() as book:
            _is_for(book, made, visit, about)
    return ""


def _led(visit: Visit, done: FormWritten) -> str:
    """Where a form led the first time. Resent when it says something else now."""
    if done.said != _said(visit):
        raise Resent(done.to)
    return done.to


def _said(visit: Visit) -> str:
    """A name for all that a form says, but for its own fields."""
    fields = visit.chosen or {name: [value] for name, value in visit.said.items()}
    said = sorted((name, list(values)) for name, values in fields.items() if name not in OWN)
    return sha256(repr((visit.path, said)).encode("utf-8", "surrogatepass")).hexdigest()


def _is_for(book: Ledger, made: Ticket, visit: Visit, about: About) -> None:
    """Refused when a form was made for another ledger than this, Stale when this says more of the same subjects since."""
    size = book.head().size
    same = size >= made.head and book.root_at(made.head).hex() == made.root
    if made.ledger not in ("", book.name) or not same:
        raise Refused(
            Trouble(
                409,
                "There is another ledger here now",
                f"the form was for {_told(made.ledger, made.head, made.root)}; {visit.desk.ledger.name} holds "
                f"{_told(book.name, size, book.head().root.hex())}",
                visit.path,
                NOTHING_WRITTEN,
                "open the form again and fill it in for this ledger",
            )
        )
    if size != made.head and (since := written_since(book, made.head, about)):
        raise Stale(since)


def _told(ledger: str, size: int, root: str) -> str:
    """A ledger by its name and head, as far as one compares them by eye."""
    return f"ledger {ledger[:8]} of {size:,} entries with root {root[:8]}" if ledger else "an empty place"


def only_today(visit: Visit) -> None:
    """Refused on another day than the present one."""
    if not visit.asked.is_today:
        raise Refused(
            Trouble(
                409,
                "You can save only on today's page",
                f"this page shows {visit.asked.on}",
                visit.path,
                NOTHING_WRITTEN,
                "go back to today and fill in the form there",
            )
        )


def write_once(
    visit: Visit, write: Callable[[Ledger], T], onward: Callable[[T], str], about: About = None
) -> Redirect:
    """Write what a form says and go on to the page that `onward` names; a form sent before leads there again.

    `write` gets the ledger, begun where there is none, works out anew what is to be added, and hands its size to
    `Ledger.append` as `after`. Stale when the ledger says more `about` these subjects since the form was made (None: of
    anything), Resent when the form was written with other values, ClockAsked and ClockBehind where the clock may be wrong
    or have been; Refused on a day or moment that is not the present one, and where the form was made for another ledger.
    """
    made, desk = ticket_of(visit), visit.desk
    only_today(visit)
    with desk.writing:
        if made.nonce in desk.done:
            return Redirect(_led(visit, desk.done[made.nonce]))
        with _book(desk) as book:
            _is_for(book, made, visit, about)
            _look_at_clock(book, visit)
            done = _written(book, made, write, about)
        to = onward(done)
        desk.done[made.nonce] = FormWritten(to, _said(visit))
        while len(desk.done) > _REMEMBERED:
            desk.done.popitem(last=False)
    return Redirect(to)


def _written(book: Ledger, made: Ticket, write: Callable[[Ledger], T], about: About) -> T:
    """What writing gives, begun again where others wrote meanwhile about other subjects."""
    for _ in range(_TRIES):
        try:
            return write(book)
        except LedgerMoved as moved:
            if since := written_since(book, made.head, about):
                raise Stale(since) from moved
    raise Stale(written_since(book, made.head))


def _look_at_clock(book: Ledger, visit: Visit) -> None:
    """ClockAsked where the clock is far ahead of the last entry and nobody says it is right; ClockBehind where far behind."""
    now = visit.desk.clock()
    ahead, behind = ahead_of_last(book, now), far_ahead(book, now)
    if ahead is not None and visit.said.get(CLOCK) != IS_RIGHT:
        raise ClockAsked(ahead)
    if behind is not None and visit.path != PUT_BACK:
        raise ClockBehind(behind, now)


def _book(desk: Workspace) -> Ledger:
    return Ledger.at(desk.ledger)


def written_since(book: Ledger, head: int, about: About = None) -> tuple[Since, ...]:
    """The entries after entry `head` that speak of some subjects (None: of any), the newest ones where there are many."""
    found = []
    for line in book.lines(head):
        if line.text is None:
            continue
        entry = entry_of(line.text)
        mine = [one for one in entry.statements if about is None or one.subject in about]
        if mine or (about is None and not entry.statements):
            at = entry.recorded_at.isoformat(timespec="minutes")
            found.append(Since(entry.seq, at, entry.by, _subjects(entry.statements), _says(mine)))
    return tuple(found[-_TOLD_SINCE:])


def _subjects(statements: Sequence[Statement]) -> tuple[str, ...]:
    return tuple(dict.fromkeys(statement.subject for statement in statements))


def _says(statements: Sequence[Statement]) -> tuple[str, ...]:
    """What statements say, in words: the first few."""
    told = [
        f"{id_of(one.subject)}: {KEYS[one.key].meaning}: {told_value(one.key, one.value)}"
        for one in statements
        if one.key in KEYS
    ]
    more = len(told) - _TOLD_FACTS
    return (*told[:_TOLD_FACTS], *((f"and {more} more",) if more > 0 else ()))


def writes_of(taking: Difference) -> tuple[StatementWritten, ...]:
    """What taking in would write, statement by statement; private values are not shown."""
    return tuple(
        StatementWritten(
            change.statement.subject,
            KEYS[change.statement.key].meaning,
            told_value(change.statement.key, change.statement.value),
            "" if change.statement.valid_from == EARLIEST else change.statement.valid_from.isoformat(),
            change.kind,
        )
        for change in taking.changes
    )
