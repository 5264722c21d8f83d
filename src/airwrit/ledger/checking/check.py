"""Whether a ledger is whole and unforged: every hash recomputed, every derived row compared, every fault named by entry.

What no check of a file alone can show is that somebody replaced all of it. For that a head noted elsewhere is needed: give
it, and the log has to hold it.
"""

from __future__ import annotations

import os
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from itertools import pairwise

from airwrit.base.errors import LedgerFault
from airwrit.ledger.checking.evidence_check import files_checked, rows_checked, sources_decoded
from airwrit.ledger.checking.parts import ENTRIES, LINES, SUBJECTS, LedgerDamage, Part, PartReport, looked_at
from airwrit.ledger.checking.workers import found_apart
from airwrit.ledger.clock import ClockStep, steps_back
from airwrit.ledger.entry import CLOCK_BACK, opening_of
from airwrit.ledger.log.heads import HeadsSeen
from airwrit.ledger.ports import Head
from airwrit.ledger.rectangles import CONFLICT, FAR_SEQ
from airwrit.ledger.sqlite.derived import ALL, NodesSeen
from airwrit.ledger.sqlite.opening import FORMAT, NO_SENSE, form_of, schema_kept, schema_wanted
from airwrit.ledger.sqlite.scrubbing import is_unfinished
from airwrit.ledger.sqlite.store import Ledger

_MOST = 100
_ENTRIES_A_PART = 4096
_MOST_ENTRY_PARTS = 32
_SUBJECT_PARTS = 4
_APART_FROM_BYTES = 1 << 24

Progress = Callable[[int, int], None]
"""Told how many parts are done, and of how many."""


@dataclass(slots=True)
class CheckReport:
    """What a check found. `clashes` are facts that cannot be told as things are known now, in order.

    `gaps` is what is not here without a fault that could be told; `lacks_files` whether lines name files that are not here.
    """

    head: Head
    faults: list[LedgerDamage] = field(default_factory=list)
    clashes: list[tuple[str, str]] = field(default_factory=list)
    blanked: list[int] = field(default_factory=list)
    gaps: list[str] = field(default_factory=list)
    lacks_files: bool = False
    sources: dict[str, int] = field(default_factory=dict)

    @property
    def is_whole(self) -> bool:
        """Whether nothing is damaged or forged."""
        return not self.faults

    def take(self, part: PartReport, heads: HeadsSeen) -> None:
        """Take in what was found in a part; the heads of its subjects among all heads."""
        for subject, count, head, seq in part.heads:
            heads.take(subject, count, bytes.fromhex(head), seq)
        self.blanked += part.blanked
        for source, seq in sources_decoded(part.sources.items()).items():
            self.sources[source] = min(seq, self.sources.get(source, seq))
        for fault in part.faults:
            self.fault(*fault)

    def fault(self, seq: int, what: str) -> None:
        """Note a fault; after the first hundred only that there are more."""
        if len(self.faults) < _MOST:
            self.faults.append(LedgerDamage(seq, what))


def check(
    ledger: Ledger,
    noted: Head | None = None,
    *,
    log_only: bool = False,
    progress: Progress | None = None,
    processes: int | None = None,
) -> CheckReport:
    """Look at all of a ledger, in one state of it. `noted` is a head that was written down elsewhere.

    `log_only` leaves out what is derived from the entries and what SQLite can tell of its pages: the log alone is then known
    to be whole. Of a large file the parts are looked at in `processes`: one for each processor unless told.
    """
    db = ledger.database
    db.execute("BEGIN")
    try:
        found = CheckReport(_head_kept(ledger))
        parts = _parts(db, ledger.name, found.head.size, log_only=log_only)
        if processes is None:
            processes = os.cpu_count() or 1 if ledger.path.stat().st_size >= _APART_FROM_BYTES else 1
        with found_apart(ledger.path, parts, processes) as apart:
            _file(db, found, log_only=log_only)
            nodes = NodesSeen()
            with _in_words(found, "the log"):
                _log(db, found, noted, nodes)
            heads = HeadsSeen(ledger.name)
            for done, (part, told) in enumerate(zip(parts, apart, strict=True)):
                found.take(told or looked_at(db, part), heads)
                if progress is not None:
                    progress(done + 1, len(parts))
        if not log_only:
            with _in_words(found, "the hash trees over the log and its records"):
                _trees(db, found, nodes, heads)
            with _in_words(found, "the contradictions"):
                _clashes(ledger, found)
        with _in_words(found, "the kept files and the copies given out"):
            _evidence(ledger, found, log_only=log_only)
    except sqlite3.DatabaseError as fault:
        found.fault(0, f"we can't read the file to its end: {fault}")
    finally:
        db.execute("ROLLBACK")
    found.faults.sort(key=lambda fault: fault.seq)
    found.blanked.sort()
    return found


@contextmanager
def _in_words(found: CheckReport, what: str) -> Iterator[None]:
    """A fault in place of what breaks off where rows make no sense."""
    try:
        yield
    except NO_SENSE as fault:
        found.fault(0, f"we can't read {what} ({type(fault).__name__})")


def fault_text(fault: LedgerDamage) -> str:
    """A fault in words, with its entry where it has one."""
    return f"entry {fault.seq}: {fault.what}" if fault.seq else fault.what


def _head_kept(ledger: Ledger) -> Head:
    """The head as it is kept; one that no log can have where it cannot be made out."""
    try:
        return ledger.head()
    except LedgerFault:
        return Head(0, b"")


def _parts(db: sqlite3.Connection, name: str, size: int, *, log_only: bool) -> list[Part]:
    """The ledger cut up: subjects, whose parts take long, before entries. First and last reach beyond what there should be."""
    low, high = ALL
    each = max(_ENTRIES_A_PART, size // _MOST_ENTRY_PARTS + 1)
    cuts = [low, *range(each, size, each), high]
    what = LINES if log_only else ENTRIES
    entries = [Part(what, *span, size, name) for span in pairwise(cuts)]
    if log_only:
        return entries
    step = max(db.execute("SELECT coalesce(max(id), 0) FROM word").fetchone()[0] // _SUBJECT_PARTS, 1)
    cuts = [low, *(step * number for number in range(1, _SUBJECT_PARTS)), high]
    return [Part(SUBJECTS, *span, size, name) for span in pairwise(cuts)] + entries


def _file(db: sqlite3.Connection, found: CheckReport, *, log_only: bool) -> None:
    """The pages of the file, its form, its tables and triggers."""
    for (text,) in () if log_only else db.execute("PRAGMA integrity_check(10)"):
        if text != "ok":
            found.fault(0, f"the file's internal structure is damaged: {text}")
    kept, wanted = schema_kept(db), schema_wanted()
    for name in sorted(kept.keys() | wanted.keys()):
        if kept.get(name) != wanted.get(name):
            how = "is missing" if name not in kept else "was added" if name not in wanted else "was changed"
            found.fault(0, f"table, index or trigger {name} {how}")
    if form_of(db) != FORMAT:
        found.fault(
            0,
            f"its format number says {form_of(db)}, but its tables have format {FORMAT}. Someone lowered the number",
        )


def _evidence(ledger: Ledger, found: CheckReport, *, log_only: bool) -> None:
    """The kept files against the lines that name them; checkpoints and copies given out, and rows that belong to nothing."""
    for one in files_checked(ledger.database, found.sources):
        if isinstance(one, LedgerDamage):
            found.fault(*one)
        else:
            found.gaps.append(one.what)
            found.lacks_files |= one.is_missing
    if is_unfinished(ledger):
        found.gaps.append(
            "a removal wasn't finished, so free pages may still hold what was removed. "
            "Run `airwrit erase-personal-data --finish`"
        )
    if not log_only:
        for fault in rows_checked(ledger, found.head):
            found.fault(*fault)


def _log(db: sqlite3.Connection, found: CheckReport, noted: Head | None, nodes: NodesSeen) -> None:
    """The entries in their order, none missing, each later than the one before; the root over all; `nodes` takes their tree."""
    before, last, steps = None, 0, {step.seq: step for step in steps_back(db)}
    frontier = nodes.frontier
    for seq, moment, leaf in db.execute("SELECT seq, recorded_at, leaf FROM entry ORDER BY seq"):
        if seq != last + 1:
            found.fault(seq, f"entry {last + 1} is missing")
        if before is not None and moment <= before and not _steps_rightly(db, steps.get(seq), moment):
            found.fault(seq, "its time isn't later than that of the entry before it")
        before, last = moment, seq
        nodes.add(leaf)
        if noted is not None and frontier.size == noted.size and frontier.root != noted.root:
            found.fault(seq, "up to here, the log isn't the one whose head you saved")
    if noted is not None and frontier.size < noted.size:
        found.fault(0, f"the log has {frontier.size} entries, but the head you saved had {noted.size}")
    if (frontier.size, frontier.root) != found.head:
        found.fault(0, "the size and root of the log don't match those on file")


def _steps_rightly(db: sqlite3.Connection, step: ClockStep | None, moment: int) -> bool:
    """Whether an entry may stand before the one before it: it says so, and is later than all that no wrong clock stamped."""
    if step is None:
        return False
    line = db.execute("SELECT line FROM entry WHERE seq = ?", (step.seq,)).fetchone()[0] or ""
    last = db.execute("SELECT recorded_at FROM entry WHERE seq = ?", (step.first - 1,)).fetchone()
    return str(line).startswith(opening_of(CLOCK_BACK)) and (last is None or last[0] < moment)


def _trees(db: sqlite3.Connection, found: CheckReport, nodes: NodesSeen, heads: HeadsSeen) -> None:
    """The kept trees over entries and over subjects against those made anew."""
    for seq in nodes.differing(db):
        found.fault(seq, "the hash tree doesn't match the entries up to it")
    for seq, what in heads.differing(db):
        found.fault(seq, what)


def _clashes(ledger: Ledger, found: CheckReport) -> None:
    """The facts that cannot be told now, and those said to end before they begin."""
    rows = ledger.database.execute(
        "SELECT DISTINCT s.text, k.text FROM held h JOIN word s ON s.id = h.subject JOIN word k ON k.id = h.key "
        "WHERE h.kind = ? AND h.known_until = ? ORDER BY h.subject, h.key",
        (CONFLICT, FAR_SEQ),
    )
    backwards = ledger.database.execute(
        "SELECT DISTINCT s.text, k.text FROM said d JOIN word s ON s.id = d.subject JOIN word k ON k.id = d.key "
        "WHERE d.valid_until <> '' AND d.valid_from <> '' AND substr(d.valid_until, 1, 10) <= substr(d.valid_from, 1, 10) "
        "AND length(d.valid_from) = 10 AND length(d.valid_until) = 10 "
        "AND NOT EXISTS (SELECT 1 FROM answered a WHERE a.seq = d.seq AND a.place = d.place)"
    )
    found.clashes += dict.fromkeys([*rows, *backwards])
