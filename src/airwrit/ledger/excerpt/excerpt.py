"""An excerpt: all lines about some subjects, with proof that they are in the log and that no line about these is left out.

The proof is in three parts, each under the checkpoint: `hashes` lead from the lines to the root of the log (its size too);
each subject's head leads to the root over the heads of subjects; each head is the rolling hash over the subject's lines.
`docs/ledger-format.md` tells the members. Reading and checking need nothing but the bytes.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import lru_cache
from typing import NamedTuple

from airwrit.base.errors import BadFact
from airwrit.facts.fold import held_of
from airwrit.facts.key import Raw
from airwrit.facts.statement import EntryPlace, Known, Unreadable
from airwrit.facts.vocabulary import KEYS
from airwrit.ledger.clock import sure_moment
from airwrit.ledger.entry import (
    BLANK,
    CLOCK_BACK,
    BadLine,
    Entry,
    entry_of,
    instant_text,
    number_of,
    parts_of,
)
from airwrit.ledger.given_out import checkpoints_kept
from airwrit.ledger.log.heads import heads_proved, subjects_root
from airwrit.ledger.log.notes import Checkpoint, SigningKey, checkpoint_text, origin_of, signed
from airwrit.ledger.log.tree import covering, growth_proof
from airwrit.ledger.rectangles import kept_of
from airwrit.ledger.sqlite.as_of import moment_of
from airwrit.ledger.sqlite.derived import left_of, subtree
from airwrit.ledger.sqlite.opening import made_out
from airwrit.ledger.sqlite.store import Ledger

MOST_EARLIER = 64
"""To how many earlier checkpoints an excerpt leads at most: the latest ones."""

_PARTS = 500


class Subject(NamedTuple):
    """A subject: how many lines mention it, its head, and the hashes beside its path, the lowest last."""

    name: str
    entries: int
    head: bytes
    beside: tuple[bytes, ...]


class Piece(NamedTuple):
    """A line and its hash: `text` None where the hash alone is given, `of` the subjects here that it mentions.

    `recorded_at` is told of a blanked line alone; the hash does not cover it.
    """

    seq: int
    leaf: bytes
    of: tuple[str, ...]
    text: str | None = None
    recorded_at: datetime | None = None

    @property
    def is_blanked(self) -> bool:
        """Whether the line is gone from the ledger, not only held back here."""
        return self.text is None and self.recorded_at is not None


class Earlier(NamedTuple):
    """Proof that the log of an earlier size is the start of this one."""

    size: int
    proof: tuple[bytes, ...]


@dataclass(frozen=True, slots=True)
class Excerpt:
    """Lines about subjects with their proofs. `note` is the checkpoint, signed or not; `key` the public key, as text."""

    ledger: str
    note: str
    key: str
    subjects: tuple[Subject, ...]
    lines: tuple[Piece, ...]
    hashes: tuple[bytes, ...]
    earlier: tuple[Earlier, ...]


def checkpoint_now(ledger: Ledger) -> Checkpoint:
    """The head of the log as it is, with the root over the heads of its subjects."""
    head = ledger.head()
    last = instant_text(ledger.last_moment()) if head.size else ""
    return Checkpoint(origin_of(ledger.name), head.size, head.root, subjects_root(ledger.database), last)


def excerpt_of(
    ledger: Ledger, subjects: Sequence[str], *, without_private: bool = False, key: SigningKey | None = None
) -> Excerpt:
    """All lines that mention the subjects, in one state of the ledger, with their proofs.

    `without_private`: of a line with a private fact only the hash is given. BadFact for a subject that no line mentions,
    or for none.
    """
    wanted = list(dict.fromkeys(subjects))
    if not wanted:
        raise BadFact("you didn't name a record", do="name a record, like aircraft/H-01")
    with ledger.reading(), made_out(ledger.path):
        db = ledger.database
        told = checkpoint_now(ledger)
        heads = [
            Subject(*(name, *head, beside)) for name, head, beside in heads_proved(db, ledger.name, wanted)
        ]
        missing = set(wanted) - {head.name for head in heads}
        if missing:
            raise BadFact(f"nothing is on file about {min(missing)}", do="check `airwrit history`")
        lines = _pieces(db, wanted, without_private)
        text = checkpoint_text(told)
        return Excerpt(
            ledger.name,
            text if key is None else signed(text, key),
            "" if key is None else key.public.text,
            tuple(heads),
            tuple(lines),
            covering(told.size, [line.seq - 1 for line in lines], lambda low, high: subtree(db, low, high)),
            tuple(_earlier(ledger, told.size)),
        )


def _pieces(db: sqlite3.Connection, subjects: Sequence[str], without_private: bool) -> list[Piece]:
    of: dict[int, list[str]] = {}
    for subject in subjects:
        rows = db.execute(
            "SELECT DISTINCT seq FROM said WHERE subject = (SELECT id FROM word WHERE text = ?)", (subject,)
        )
        for (seq,) in rows:
            of.setdefault(seq, []).append(subject)
    seqs, found = sorted(of), []
    for at in range(0, len(seqs), _PARTS):
        part = seqs[at : at + _PARTS]
        marks = ",".join("?" * len(part))
        rows = db.execute(
            f"SELECT seq, recorded_at, line, leaf FROM entry WHERE seq IN ({marks}) ORDER BY seq", part
        )
        for seq, micros, text, leaf in rows:
            mine = tuple(sorted(of[seq]))
            if text is None:
                found.append(Piece(seq, leaf, mine, None, moment_of(micros)))
            elif without_private and is_private(entry_of(text)):
                found.append(Piece(seq, leaf, mine))
            else:
                found.append(Piece(seq, leaf, mine, text))
    return found


def is_private(entry: Entry) -> bool:
    """Whether an entry holds a private fact, or one that this program does not know."""
    return any(said.key not in KEYS or KEYS[said.key].private for said in entry.statements)


def _earlier(ledger: Ledger, size: int) -> Iterable[Earlier]:
    db = ledger.database
    sizes = [one for one, _ in checkpoints_kept(ledger) if 0 < one < size][-MOST_EARLIER:]
    for one in sizes:
        yield Earlier(one, growth_proof(size, one, lambda low, high: subtree(db, low, high)))


def known_in(excerpt: Excerpt) -> list[Known]:
    """What the lines say of the subjects, as `Ledger.known` gives it; nothing from lines that are given as hash only."""
    subjects = {subject.name for subject in excerpt.subjects}
    entries, found = entries_in(excerpt), []
    reasons = reasons_in(entries.values())
    for piece in excerpt.lines:
        entry = entries.get(piece.seq)
        if entry is None and piece.recorded_at is not None:
            entry = left_of(piece.seq, piece.recorded_at, reasons.get(piece.seq))
        if entry is not None:
            found += _known(entry, subjects)
    return found


def silent_in(excerpt: Excerpt) -> list[Piece]:
    """The lines of which nothing is told: given as hash alone, or blanked where no line here says why."""
    reasons = reasons_in(entries_in(excerpt).values())
    return [
        piece
        for piece in excerpt.lines
        if piece.text is None and not (piece.is_blanked and piece.seq in reasons)
    ]


def entries_in(excerpt: Excerpt) -> dict[int, Entry]:
    """The entries that can be read, by their numbers, each with the moment from which on it is sure to have been on record."""
    found = {piece.seq: entry for piece in excerpt.lines if (entry := entry_in(piece)) is not None}
    steps = [(seq, entry.recorded_at) for seq, entry in found.items() if entry.act == CLOCK_BACK]
    return {
        seq: entry._replace(recorded_at=sure_moment(seq, entry.recorded_at, steps))
        for seq, entry in found.items()
    }


def reasons_in(entries: Iterable[Entry]) -> dict[int, Entry]:
    """The entries that say which line was blanked, by the number of that line."""
    return {parts_of(entry.answers[0])[0]: entry for entry in entries if entry.act == BLANK and entry.answers}


def entry_in(piece: Piece) -> Entry | None:
    """The entry of a line; None where only its hash is given, or the line cannot be read."""
    return None if piece.text is None else _entry(piece.text)


@lru_cache(maxsize=1 << 12)
def _entry(text: str) -> Entry | None:
    try:
        return entry_of(text)
    except BadLine:
        return None


@lru_cache(maxsize=1 << 12, typed=True)
def _read(name: str, value: Raw) -> Raw:
    """A value; one that this program's key does not allow counts as unreadable."""
    try:
        held_of(KEYS[name], value, ())
    except BadFact:
        return Unreadable(kept_of(value)[1])
    return value


def _known(entry: Entry, subjects: set[str]) -> list[Known]:
    return [
        Known(
            said._replace(value=_read(said.key, said.value)),
            EntryPlace(entry.seq),
            entry.recorded_at,
            number_of(entry.seq, place),
            tuple(dict.fromkeys(entry.answers)),
        )
        for place, said in enumerate(entry.statements)
        if said.subject in subjects and said.key in KEYS
    ]
