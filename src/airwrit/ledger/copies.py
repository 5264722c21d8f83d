"""Copies of a ledger: a backup while it is in use, its lines as text, and new ledgers made from either."""

from __future__ import annotations

import json
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from datetime import datetime
from pathlib import Path
from typing import NamedTuple

from airwrit.base.errors import LedgerFault
from airwrit.base.faults import is_full
from airwrit.base.whole_files import whole_file
from airwrit.ledger.checking.check import CheckReport, check, fault_text
from airwrit.ledger.checking.evidence import LINES, note_gaps
from airwrit.ledger.entry import FIRST_PREV, BadLine, Entry, canonical, entry_of, instant_text
from airwrit.ledger.log.tree import Frontier
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.opening import told
from airwrit.ledger.sqlite.store import Ledger

_BLANKED = "blanked"


class Blanked(NamedTuple):
    """A blanked entry among exported lines: what is left of it."""

    seq: int
    recorded_at: str
    leaf: str


def copied(ledger: Ledger, to: Path) -> CheckReport:
    """Copy a ledger into a new file while others may write to it; what a check of the copy found. Never overwrites.

    LedgerFault, and no file, when the copy would not be whole.
    """
    with _new_ledger(to) as beside:
        db = sqlite3.connect(beside, isolation_level=None)
        try:
            with told(to):
                ledger.database.backup(db)
        finally:
            db.close()
        with Ledger(beside) as copy:
            found = check(copy)
            if found.faults:
                raise LedgerFault(
                    f"the copy would be incomplete ({fault_text(found.faults[0])})",
                    where=ledger.path.name,
                    do="run `airwrit check-records`. Nothing was written",
                )
            return found


@contextmanager
def _new_ledger(to: Path) -> Iterator[Path]:
    """The name beside it of a new ledger, which is whole or not there. LedgerFault when there is one or none can be made."""
    try:
        with whole_file(to, private=True, new=True) as beside:
            try:
                yield beside
            except LedgerFault as fault:
                if fault.where != beside.name:
                    raise
                raise LedgerFault(fault.what, where=to.name, do=fault.do) from fault
    except FileExistsError as fault:
        raise LedgerFault(
            "a file with this name already exists", where=to.name, do="choose another name"
        ) from fault
    except OSError as fault:
        do = "make room on the disk" if is_full(fault) else "choose a folder you can write to"
        raise LedgerFault(f"we can't create it ({fault.strerror})", where=to.name, do=do) from fault


def exported(ledger: Ledger) -> Iterator[str]:
    """The lines of all entries, in order, without ends of line; of a blanked one what is left; last, the head.

    They are of one state of the ledger, whoever writes meanwhile.
    """
    frontier = Frontier()
    with ledger.reading():
        for line in ledger.lines():
            frontier.add(line.leaf)
            if line.text is not None:
                yield line.text
            else:
                left = Blanked(line.seq, instant_text(line.recorded_at), line.leaf.hex())
                yield canonical({_BLANKED: left._asdict()})
    yield head_line(Head(frontier.size, frontier.root))


def head_line(head: Head) -> str:
    """The closing line: how many entries there are, and the root over them."""
    return canonical({"head": {"root": head.root.hex(), "size": head.size}})


def from_lines(lines: Iterable[str], to: Path, where: str) -> Head:
    """A new ledger out of exported lines, with the same bytes and hashes; its head. LedgerFault names the line at fault."""
    *numbered, last = list(enumerate(lines, 1)) or [(0, "")]
    with _new_ledger(to) as beside, Ledger.begun(beside, _name_in(numbered, where)) as ledger:
        with ledger.writing():
            frontier, prev = Frontier(), FIRST_PREV
            for number, line in numbered:
                try:
                    prev = _taken(ledger, line, prev, frontier).hex()
                except (BadLine, ValueError, sqlite3.IntegrityError) as fault:
                    raise _bad(f"line {number}: {fault}", where) from fault
            if last[1] != head_line(Head(frontier.size, frontier.root)):
                raise _bad(
                    "the last line doesn't match the lines before it. Some were changed or lost", where
                )
            ledger.rebuild()
            note_gaps(ledger.database, LINES)
        faults = check(ledger).faults
        if faults:
            raise _bad(fault_text(faults[0]), where)
        return ledger.head()


def _bad(what: str, where: str) -> LedgerFault:
    return LedgerFault(what, where=where, do="use the lines exactly as `airwrit export-records` wrote them")


def _name_in(lines: Iterable[tuple[int, str]], where: str) -> str:
    """The name of the ledger that the lines are of: that of the first line which is not blanked."""
    for number, line in lines:
        if _blanked_in(line) is None:
            try:
                return entry_of(line).ledger
            except BadLine as fault:
                raise _bad(f"line {number}: {fault}", where) from fault
    raise _bad("the file has no entries", where)


def _blanked_in(line: str) -> Blanked | None:
    try:
        found = json.loads(line)
        left = Blanked(**found[_BLANKED])
    except (ValueError, TypeError, KeyError, RecursionError):
        return None
    return left if canonical({_BLANKED: left._asdict()}) == line else None


def _taken(ledger: Ledger, line: str, prev: str, frontier: Frontier) -> bytes:
    """Put a line at the end; its leaf hash."""
    left = _blanked_in(line) if line.startswith('{"blanked"') else None
    if left is not None:
        moment = datetime.fromisoformat(left.recorded_at)
        return ledger.add_blanked(left.seq, moment, bytes.fromhex(left.leaf), frontier)
    entry: Entry = entry_of(line)
    if entry.prev != prev:
        raise BadLine("this line doesn't follow the line before it")
    if entry.seq != frontier.size + 1:
        raise BadLine(f"entry {frontier.size + 1} is missing")
    return ledger.add_line(entry, line, frontier)
