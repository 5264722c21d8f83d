"""Taking out on request: what would go, what stands in the way, what nobody here can reach; then done, and looked for again.

A person's private facts go wherever they stand: lines, words beside them, kept files of whatever name, the person's documents.
Everything is worked out and shown before anything goes, and all of it goes or nothing.
"""

from __future__ import annotations

import difflib
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from typing import NamedTuple

from airwrit.answers.removal.holds import Blocked, blocked_by
from airwrit.answers.removal.whereabouts import Values, standing_in, stands_in_file, values_of
from airwrit.answers.sheets.difference import EVER
from airwrit.base.errors import AirwritError, UsageError
from airwrit.facts.keys.document import DOCUMENT_SHA256, attached_to
from airwrit.facts.keys.person import EVENT_OF
from airwrit.facts.statement import Statement
from airwrit.facts.vocabulary import KEYS, folded, id_of, kind_of
from airwrit.intake.reader.document import sniffed
from airwrit.ledger.entry import STAYING, Entry, entry_of, files_in
from airwrit.ledger.given_out import copies_made
from airwrit.ledger.sqlite.blanking import Removal, Request, files_behind, take_out
from airwrit.ledger.sqlite.scrubbing import found_in_bytes, scrub
from airwrit.ledger.sqlite.store import Clock, Ledger

_PEOPLE = ("person", "owner")


class PersonLines(NamedTuple):
    """Entries about a person that can be taken out: with private facts, and without; and the subjects they speak of.

    `subjects` are the person, as an owner too; `linked` what names the person: tests, flights, moves and the like.
    """

    subjects: tuple[str, ...]
    linked: tuple[str, ...]
    private: tuple[Entry, ...]
    others: tuple[Entry, ...]


def lines_about(ledger: Ledger, name: str) -> PersonLines:
    """The entries about a person, also as an owner, and about that person's tests and training, however the name is spaced.

    What else names the person, such as a flight, counts where it holds a private fact. UsageError when nobody on record is
    called so. A line that was taken out already is not among them.
    """
    people = {s: folded(id_of(s)) for s in ledger.subjects() if kind_of(s) in _PEOPLE}
    mine = [subject for subject, form in people.items() if form == folded(name)]
    if not mine:
        names = {id_of(subject).casefold(): id_of(subject) for subject in people}
        near = difflib.get_close_matches(name.casefold(), names, n=1)
        do = f"did you mean {names[near[0]]!r}?" if near else "`airwrit today` lists the names on record"
        raise UsageError(f"nobody on record is named {name!r}", where="--person", do=do)
    linked = _linked_to(ledger, mine)
    tests = [subject for subject in linked if kind_of(subject) == "training"]
    entries = {e.seq: e for subject in [*mine, *tests] for e in ledger.entries(subject)}
    every = [*mine, *linked]
    for subject in linked:
        entries.update({e.seq: e for e in ledger.entries(subject) if is_private(e, every)})
    held = [entries[seq] for seq in sorted(entries) if entries[seq].act not in STAYING]
    private = tuple(entry for entry in held if is_private(entry, every))
    return PersonLines(
        tuple(mine), tuple(linked), private, tuple(entry for entry in held if entry not in private)
    )


def _linked_to(ledger: Ledger, people: list[str]) -> list[str]:
    """The subjects that name these people in a fact that points at a person or an owner."""
    names = {id_of(subject) for subject in people}
    keys = [key for key in KEYS.values() if key.links_to in _PEOPLE] + [EVENT_OF]
    found: dict[str, None] = {}
    for key in dict.fromkeys(keys):
        speaking = ledger.speaking(key.name, EVER)
        for item in ledger.known(EVER, speaking) if speaking else ():
            said = item.statement
            if said.key == key.name and said.value in names and said.subject not in people:
                found.setdefault(said.subject)
    return list(found)


def is_private(entry: Entry, subjects: list[str]) -> bool:
    """Whether an entry holds a private fact of one of these subjects."""
    mine = set(subjects)
    return any(
        s.subject in mine and s.value is not None and (s.key not in KEYS or KEYS[s.key].private)
        for s in entry.statements
    )


_DOCUMENT_OWNERS = ("person", "owner", "training", "change", "confirmation")


class LineOut(NamedTuple):
    """An entry whose text goes: the places of the statements whose values go with it, and why."""

    entry: Entry
    places: frozenset[int]
    why: str


class FileOut(NamedTuple):
    """A kept file whose bytes go: its digest and name, the day it was put on record, why; whether its name goes too."""

    digest: str
    name: str
    on: datetime
    why: str
    is_unnamed: bool


class Beyond(NamedTuple):
    """Something that may hold it and cannot be reached from here: what it is, its name, when it was made.

    `digest` is that of a kept file that can be taken out by name.
    """

    what: str
    name: str
    on: datetime | None
    digest: str = ""


@dataclass(frozen=True, slots=True)
class RemovalPlan:
    """What taking out would do. `after` is the size of the log it was worked out for; `values` is never shown.

    `others` are entries about the same person that stay, `unread` kept files that nobody can search, `blocked` the holds in the
    way.
    """

    about: str
    after: int
    lines: tuple[LineOut, ...]
    files: tuple[FileOut, ...]
    others: tuple[Entry, ...]
    beyond: tuple[Beyond, ...]
    unread: tuple[Beyond, ...]
    blocked: tuple[Blocked, ...]
    values: Values

    @property
    def is_empty(self) -> bool:
        """Whether there is nothing to take out."""
        return not self.lines and not self.files


class RemovalResult(NamedTuple):
    """What was taken out: the entries that say so, whether the file's bytes still hold any of it, whether they were cleared."""

    entries: tuple[Entry, ...]
    is_found: bool
    trouble: str


class _File(NamedTuple):
    digest: str
    name: str
    on: datetime
    data: bytes


def plan_for_person(ledger: Ledger, name: str, more: Sequence[str] = ()) -> RemovalPlan:
    """What taking a person's private facts out would do. UsageError when nobody on record is called so.

    `more` are digests, or the beginnings of some, of kept files that are to go as well.
    """
    with ledger.reading():
        found = lines_about(ledger, name)
        mine = set(found.subjects) | set(found.linked)
        entries = found.private
        said = [s for entry in entries for s in entry.statements if _is_theirs(s, mine)]
        places = {
            entry.seq: frozenset(place for place, s in enumerate(entry.statements) if _is_theirs(s, mine))
            for entry in entries
        }
        lines = [LineOut(entry, places[entry.seq], "a private fact") for entry in entries]
        return _plan(ledger, found.subjects, lines, found.others, mine, values_of(said), more)


def plan_for_entries(ledger: Ledger, numbers: Sequence[int], more: Sequence[str] = ()) -> RemovalPlan:
    """What taking out entries by their numbers would do, with all they say. UsageError when one is not there."""
    with ledger.reading():
        entries = []
        for seq in dict.fromkeys(numbers):
            entry = ledger.entry(seq)
            if entry is None or entry.act in STAYING:
                what = f"entry {seq} has nothing to remove"
                raise UsageError(what, where="blank", do="check `airwrit history`")
            entries.append(entry)
        lines = [LineOut(entry, frozenset(range(len(entry.statements))), "asked for") for entry in entries]
        private = [s for e in entries for s in e.statements if s.key not in KEYS or KEYS[s.key].private]
        mine = {s.subject for s in private}
        return _plan(ledger, (), lines, (), mine, values_of(private), more)


def _is_theirs(statement: Statement, subjects: Iterable[str]) -> bool:
    return (
        statement.subject in subjects
        and statement.value is not None
        and (statement.key not in KEYS or KEYS[statement.key].private)
    )


def _plan(
    ledger: Ledger,
    people: Sequence[str],
    lines: Sequence[LineOut],
    others: Sequence[Entry],
    mine: set[str],
    values: Values,
    more: Sequence[str],
) -> RemovalPlan:
    """The plan once the lines that were asked for are known: where else the values stand, and what stands in the way."""
    more_lines, beyond = _elsewhere(ledger, values, mine, {line.entry.seq for line in lines})
    every = tuple(sorted((*lines, *more_lines), key=lambda line: line.entry.seq))
    files, unread = _files(ledger, [line.entry for line in every], mine, values, more)
    taken = {line.entry.seq for line in every}
    first = min(taken, default=ledger.head().size + 1)
    beyond += [Beyond("the original, where it came from", file.name, file.on) for file in files if file.name]
    beyond += [
        Beyond(copy.what, copy.name, copy.at)
        for copy in copies_made(ledger)
        if copy.size >= first and (not copy.about or mine & set(copy.about))
    ]
    blocked = blocked_by(
        ledger,
        people if every or files else (),
        [line.entry for line in every],
        [file.digest for file in files],
    )
    return RemovalPlan(
        people[0] if people else f"entry {', '.join(str(line.entry.seq) for line in lines)}",
        ledger.head().size,
        every,
        files,
        tuple(entry for entry in others if entry.seq not in taken),
        tuple(beyond),
        unread,
        tuple(blocked),
        values,
    )


def _elsewhere(
    ledger: Ledger, values: Values, mine: set[str], known: set[int]
) -> tuple[list[LineOut], list[Beyond]]:
    """Other lines in which the values stand; and what of them cannot go: names of subjects, words that have to stay."""
    found, beyond = [], dict[str, Beyond]()
    for line in ledger.lines() if values.pattern is not None else ():
        if line.text is None or not values.stand_in(line.text.replace("\\n", " ").replace('\\"', '"')):
            continue
        entry = entry_of(line.text)
        where = standing_in(entry, values, mine)
        for subject in where.in_names:
            beyond.setdefault(subject, Beyond("the name of a subject", subject, entry.recorded_at))
        if entry.act in STAYING and where.is_anywhere:
            name = f"entry {entry.seq}"
            beyond.setdefault(name, Beyond("an entry that has to stay", name, entry.recorded_at))
        elif entry.seq not in known and (where.in_words or where.places):
            why = "it is in the note or the source" if where.in_words else "the same value"
            found.append(LineOut(entry, where.places, why))
    return found, list(beyond.values())


def _kept_files(ledger: Ledger) -> list[_File]:
    """The kept files that have bytes, with the moment each was put on record."""
    first: dict[str, int] = {}
    for seq, (_, source) in ledger.acts().items():
        for named in files_in(source or ""):
            first.setdefault(named.digest, seq)
    found = []
    for digest, name, data in ledger.database.execute("SELECT sha256, name, bytes FROM file ORDER BY rowid"):
        if data is not None:
            entry = ledger.entry(first.get(digest, 0))
            found.append(
                _File(digest, name, ledger.last_moment() if entry is None else entry.recorded_at, data)
            )
    return found


def _files(
    ledger: Ledger, entries: Sequence[Entry], mine: set[str], values: Values, more: Sequence[str]
) -> tuple[tuple[FileOut, ...], tuple[Beyond, ...]]:
    """The kept files that go, and those that nobody can search."""
    private = [entry for entry in entries if is_private(entry, list(mine)) or not mine]
    behind, attached = set(files_behind(ledger, private)), _documents(ledger, mine)
    found, unread = [], []
    for file in _kept_files(ledger):
        why = ""
        if file.digest in behind:
            why = "a private fact came from it, or from a file of this name"
        elif file.digest in attached:
            why = f"a document of {attached[file.digest]}"
        elif any(file.digest.startswith(one.lower()) for one in more):
            why = "asked for"
        else:
            stands = stands_in_file(file.data, file.name, values, mine)
            if stands is None:
                what = "a photo or PDF" if sniffed(file.data) else "a file we can't read again"
                unread.append(Beyond(what, file.name, file.on, file.digest))
            why = "the file contains it" if stands else ""
        is_unnamed = values.stand_in(file.name)
        if why or is_unnamed:
            found.append(FileOut(file.digest, file.name, file.on, why or "its name contains it", is_unnamed))
    return tuple(found), tuple(unread)


def _documents(ledger: Ledger, mine: set[str]) -> dict[str, str]:
    """The documents attached to a person, or to tests and the like of that person: by digest, whose."""
    owners = {subject for subject in mine if kind_of(subject) in _DOCUMENT_OWNERS}
    names = [one for one in ledger.speaking(DOCUMENT_SHA256.name, EVER) if attached_to(one) in owners]
    return {
        str(item.statement.value): attached_to(item.statement.subject)
        for item in (ledger.known(EVER, names) if names else ())
        if item.statement.key == DOCUMENT_SHA256.name
    }


def look_at_words(values: Values, *texts: str) -> None:
    """UsageError when the words of a request hold one of the values that it takes out; it is not repeated."""
    if any(values.stand_in(text) for text in texts):
        raise UsageError(
            "your reason contains the private fact itself",
            where="blank",
            do="write the reason without it",
        )


def taken(ledger: Ledger, plan: RemovalPlan, request: Request, clock: Clock, by: str) -> RemovalResult:
    """Take out what a plan names, clear the file, and look for it again.

    UsageError when a hold stands in the way or the words hold the value. LedgerMoved when others wrote since.
    """
    if plan.blocked:
        raise UsageError(
            blocked_text(plan.blocked),
            where="blank",
            do="release the hold first, with `airwrit legal-hold --release`",
        )
    look_at_words(plan.values, request.asked_by, request.approved_by, request.why, by)
    removal = Removal(
        {line.entry.seq: line.places for line in plan.lines},
        tuple(file.digest for file in plan.files),
        frozenset(file.digest for file in plan.files if file.is_unnamed),
    )
    entries = take_out(ledger, removal, request, clock, by, after=plan.after)
    trouble = finished(ledger)
    return RemovalResult(entries, found_in_bytes(ledger.path, plan.values.texts), trouble)


def finished(ledger: Ledger) -> str:
    """Clear the file of what was taken out; why it could not be cleared now, empty where it was."""
    try:
        scrub(ledger)
    except AirwritError as fault:
        return str(fault)
    return ""


def blocked_text(blocked: Sequence[Blocked]) -> str:
    """What stands in the way, in a line: each hold with the records that it holds."""
    holds = {one.hold.number: one.hold for one in blocked}
    parts = []
    for number, hold in holds.items():
        held = list(dict.fromkeys(one.what for one in blocked if one.hold.number == number))
        more = f" and {len(held) - 4} more" if len(held) > 4 else ""
        parts.append(
            f"hold {number} ({hold.kind}, set by {hold.set_by}: {hold.why}) holds {', '.join(held[:4])}{more}"
        )
    return "we removed nothing: " + "; ".join(parts)
