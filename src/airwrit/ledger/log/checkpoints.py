"""Checkpoints of a ledger: given out, kept track of, and one that was kept elsewhere held against the ledger as it is."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import groupby
from operator import itemgetter

from airwrit.base.errors import LedgerFault
from airwrit.base.sentences import counted
from airwrit.ledger.entry import instant_text
from airwrit.ledger.excerpt.check import Conclusion, Follows, signed_by
from airwrit.ledger.excerpt.excerpt import checkpoint_now
from airwrit.ledger.given_out import checkpoints_kept, keep_checkpoint
from airwrit.ledger.log.heads import HeadsSeen
from airwrit.ledger.log.notes import (
    Checkpoint,
    Note,
    PublicKey,
    Signed,
    SigningKey,
    checkpoint_of,
    checkpoint_text,
    how_signed,
    note_of,
    signed,
)
from airwrit.ledger.sqlite.as_of import moment_of
from airwrit.ledger.sqlite.derived import subtree
from airwrit.ledger.sqlite.opening import made_out
from airwrit.ledger.sqlite.store import Ledger

_WHERE = "checkpoint"


def issued(ledger: Ledger, key: SigningKey | None) -> str:
    """A checkpoint of the ledger as it is, signed if there is a key, and kept track of.

    LedgerFault when the ledger did not grow out of a checkpoint that it gave out before: two that contradict each other
    are never signed (C2SP tlog-checkpoint, "Signatures").
    """
    with ledger.reading(), made_out(ledger.path):
        told = checkpoint_now(ledger)
        for size, note in checkpoints_kept(ledger):
            if (
                size > told.size
                or subtree(ledger.database, 0, size) != checkpoint_of(note_of(note).text).root
            ):
                raise LedgerFault(
                    f"the ledger has changed since a checkpoint of {size} entries was made",
                    where=ledger.path.name,
                    do="run `airwrit check-records`. Nothing was signed",
                )
    text = checkpoint_text(told)
    note = text if key is None else signed(text, key)
    keep_checkpoint(ledger, told.size, note)
    return note


def compared(
    ledger: Ledger, note: Note, keys: Sequence[PublicKey] = (), *, named: bool = False
) -> list[Conclusion]:
    """A checkpoint that was kept elsewhere against the ledger, and its signatures under the keys at hand.

    `named`: the reader named these keys, and each has to have signed it.
    """
    told = checkpoint_of(note.text)
    with ledger.reading(), made_out(ledger.path):
        found = [_log(ledger, told)]
        if found[0].how is Follows.FOLLOWS:
            found += _subjects_and_moment(ledger, told)
    return [*found, *_signature(note, keys, named)]


def _log(ledger: Ledger, told: Checkpoint) -> Conclusion:
    now = checkpoint_now(ledger)
    if told.origin != now.origin:
        return Conclusion(
            Follows.CONTRADICTS, _WHERE, f"it is for {told.origin}, but this ledger is {now.origin}"
        )
    if told.size > now.size:
        return Conclusion(
            Follows.CONTRADICTS,
            _WHERE,
            f"it covers {told.size} entries, but the ledger has {now.size}. Entries were lost",
        )
    if subtree(ledger.database, 0, told.size) != told.root:
        return Conclusion(
            Follows.CONTRADICTS, _WHERE, f"the first {told.size} entries aren't the ones it was made from"
        )
    since = now.size - told.size
    return Conclusion(
        Follows.FOLLOWS,
        _WHERE,
        f"the first {told.size} entries are the ones it was made from"
        + (f"; {counted(since, 'was', 'were')} added since" if since else ", and none was added since"),
    )


def _subjects_and_moment(ledger: Ledger, told: Checkpoint) -> list[Conclusion]:
    found = []
    if told.subjects and subjects_root_at(ledger, told.size) != told.subjects:
        found.append(Conclusion(Follows.CONTRADICTS, "subjects", "the heads of the records don't match it"))
    row = ledger.database.execute("SELECT recorded_at FROM entry WHERE seq = ?", (told.size,)).fetchone()
    if told.last and (row is None or instant_text(moment_of(row[0])) != told.last):
        found.append(
            Conclusion(
                Follows.CONTRADICTS, "last", "its last entry was recorded at a different time than it says"
            )
        )
    return found


def subjects_root_at(ledger: Ledger, size: int) -> bytes:
    """The root over the heads of all subjects when the log had that size, made anew from what is said."""
    rows = ledger.database.execute(
        "SELECT e.seq, e.leaf, w.text FROM entry e JOIN said s ON s.seq = e.seq JOIN word w ON w.id = s.subject "
        "WHERE e.seq <= ? ORDER BY e.seq",
        (size,),
    )
    seen = HeadsSeen(ledger.name)
    for (seq, leaf), group in groupby(rows, key=itemgetter(0, 1)):
        seen.add(seq, [text for _, _, text in group], leaf)
    return seen.root


def _signature(note: Note, keys: Sequence[PublicKey], named: bool) -> list[Conclusion]:
    """Who signed it: each key that was named has to have; the ledger's own may have."""
    if named:
        found = signed_by(note, keys, "signature")
        return [] if found is None else [found]
    how = how_signed(note, keys)
    if how is Signed.GOOD:
        return [Conclusion(Follows.FOLLOWS, "signature", "it is signed with the key on this computer")]
    if how is Signed.BAD:
        return [
            Conclusion(
                Follows.CONTRADICTS, "signature", "the signature by the key on this computer doesn't match it"
            )
        ]
    if how is Signed.NONE:
        return [Conclusion(Follows.OPEN, "signature", "nobody signed it")]
    return [Conclusion(Follows.OPEN, "signature", "it is signed with a key that isn't on this computer")]
