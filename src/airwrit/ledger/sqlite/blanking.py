"""Taking out on request: a person's private line blanked, kept files emptied, while the log still verifies.

The line goes, its leaf hash stays, so that every root and proof holds as before; the 128 random bits in the line keep anyone
from finding it again by guessing. A new entry of act `blank` says which line went and why. It holds the statements of that
line, with those values gone that were asked for: such a fact stays unreadable, so that nothing becomes a yes by it, and what
the line had corrected stays corrected. One more entry, of act `take_out`, says who asked, who approved it and why, and which
kept files lost their bytes; it never holds what went.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import NamedTuple

from airwrit.base.errors import BadFact
from airwrit.facts.key import Key
from airwrit.facts.keys.program import (
    FILE_CALLED,
    FILE_TAKEN_OUT,
    REQUEST_ABOUT,
    REQUEST_APPROVED_BY,
    REQUEST_ASKED_BY,
    REQUEST_ENTRIES,
    REQUEST_WHY,
    file_subject,
    request_subject,
)
from airwrit.facts.statement import Statement, Unreadable
from airwrit.ledger.entry import BLANK, CLOCK_BACK, STAYING, TAKE_OUT, Entry, files_in, number_of
from airwrit.ledger.ports import Draft, Emptied
from airwrit.ledger.sqlite.opening import told
from airwrit.ledger.sqlite.store import Clock, Ledger


class Request(NamedTuple):
    """Whose request it was and who approved it, why, and what it was about, in words that do not hold what goes."""

    about: str
    asked_by: str
    approved_by: str
    why: str


class Removal(NamedTuple):
    """What is to go: of each entry the places of the statements whose values go; digests of kept files whose bytes go.

    `unnamed` are those of the files whose names go too.
    """

    lines: Mapping[int, frozenset[int]]
    files: tuple[str, ...] = ()
    unnamed: frozenset[str] = frozenset()


def blank(ledger: Ledger, seqs: Sequence[int], clock: Clock, by: str, why: str) -> tuple[Entry, ...]:
    """Blank whole entries and the files they came from, in every version kept under the name. BadFact when one is not there."""
    entries = [_entry(ledger, seq) for seq in dict.fromkeys(seqs)]
    lines = {entry.seq: frozenset(range(len(entry.statements))) for entry in entries}
    about = f"entry {', '.join(map(str, lines))}"
    return take_out(
        ledger, Removal(lines, files_behind(ledger, entries)), Request(about, by, by, why), clock, by
    )


def files_behind(ledger: Ledger, entries: Iterable[Entry]) -> tuple[str, ...]:
    """The kept files that entries came from, by their digests; an imported one in every version kept under its name."""
    found: dict[str, None] = {}
    for entry, named in [(one, file) for one in entries for file in files_in(one.source)]:
        query = "SELECT sha256 FROM file WHERE (sha256 = ?1 OR (name = ?2 AND ?3)) AND bytes IS NOT NULL"
        with told(ledger.path):
            values = (named.digest, named.name, entry.act == "import")
            found.update(dict.fromkeys(digest for (digest,) in ledger.database.execute(query, values)))
    return tuple(found)


def take_out(
    ledger: Ledger,
    removal: Removal,
    request: Request,
    clock: Clock,
    by: str,
    *,
    after: int | None = None,
) -> tuple[Entry, ...]:
    """Take out what a removal names, with entries that say so. BadFact when a line is not there or nothing says why.

    `after` is the size of the log that the removal was worked out for; LedgerMoved when others wrote since.
    """
    if not (request.why and request.asked_by and request.approved_by):
        raise BadFact(
            "you need a reason to remove something",
            do="enter which request it was, who asked and who approved it",
        )
    entries = [_entry(ledger, seq) for seq in removal.lines]
    size = ledger.head().size if after is None else after
    number = size + len(entries) + 1
    drafts = [_draft(entry, removal.lines[entry.seq], by, request.why) for entry in entries]
    drafts.append(
        Draft(by, TAKE_OUT, tuple(_told(ledger, removal, request, entries, number)), note=request.why)
    )
    places = {entry.seq: removal.lines[entry.seq] for entry in entries}
    emptied = Emptied(places, {digest: digest in removal.unnamed for digest in removal.files})
    return ledger.append(drafts, clock, after=size, emptied=emptied)


def _entry(ledger: Ledger, seq: int) -> Entry:
    entry = ledger.entry(seq)
    if entry is None:
        raise BadFact(f"entry {seq} has nothing to remove", do="check `airwrit history`")
    if entry.act in STAYING:
        raise BadFact(
            f"entry {seq} records a removal or a hold, so it has to stay", do="choose another entry"
        )
    if entry.act == CLOCK_BACK:
        raise BadFact(f"entry {seq} records a clock change, so it has to stay", do="choose another entry")
    return entry


def _draft(entry: Entry, places: frozenset[int], by: str, why: str) -> Draft:
    """What stands in a blanked entry's place."""
    left = tuple(
        _emptied(statement) if place in places else statement
        for place, statement in enumerate(entry.statements)
    )
    own = tuple(number_of(entry.seq, place) for place in range(len(entry.statements)))
    return Draft(by, BLANK, left, (*own, *entry.answers), f"entry {entry.seq}", why)


def _emptied(statement: Statement) -> Statement:
    """The statement without its value; one that withdraws says nothing and stays."""
    return statement if statement.value is None else statement._replace(value=Unreadable(""))


def _told(
    ledger: Ledger, removal: Removal, request: Request, entries: Sequence[Entry], number: int
) -> Iterable[Statement]:
    """What keeps the request: who, why, which entries, which files; and the names of files whose lines went."""
    subject = request_subject(number)
    told_of: list[tuple[Key[str], str]] = [
        (REQUEST_ABOUT, request.about),
        (REQUEST_ASKED_BY, request.asked_by),
        (REQUEST_APPROVED_BY, request.approved_by),
        (REQUEST_WHY, request.why),
        (REQUEST_ENTRIES, ", ".join(str(entry.seq) for entry in entries)),
    ]
    yield from (Statement(subject, key.name, value) for key, value in told_of if value)
    behind = [named.digest for entry in entries for named in files_in(entry.source)]
    for digest in dict.fromkeys((*removal.files, *behind)):
        file = ledger.file(digest)
        if file is None:
            continue
        if digest in removal.files:
            yield Statement(file_subject(digest), FILE_TAKEN_OUT.name, str(number))
        if file.name and digest not in removal.unnamed:
            yield Statement(file_subject(digest), FILE_CALLED.name, file.name)
