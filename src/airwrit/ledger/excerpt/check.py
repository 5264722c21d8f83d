"""What follows from an excerpt and what does not, from its bytes alone and from what the reader holds besides.

What no excerpt can show: anything about subjects that are not in it, and that its maker did not keep two ledgers. Against
the second helps a checkpoint that somebody else kept.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Sequence
from datetime import datetime
from enum import StrEnum
from typing import NamedTuple

from airwrit.base.errors import BadFact, BadProof
from airwrit.base.sentences import counted
from airwrit.ledger.entry import CLOCK_BACK, BadLine, Entry, entry_of, instant_text
from airwrit.ledger.excerpt.excerpt import Excerpt, Piece, Subject, entries_in, reasons_in
from airwrit.ledger.log.heads import NO_HEAD, SubjectHead, path_of, rolled, root_above, subject_leaf
from airwrit.ledger.log.notes import (
    Checkpoint,
    Note,
    PublicKey,
    Signed,
    checkpoint_of,
    checkpoint_text,
    how_signed,
    not_signing,
    note_of,
    origin_of,
    public_key_of,
)
from airwrit.ledger.log.tree import is_consistent, leaf_hash, root_covered


class Follows(StrEnum):
    """Whether something follows from a proof, rests on a signer's word, stays open, or is contradicted."""

    FOLLOWS = "follows"
    VOUCHED = "vouched"
    OPEN = "open"
    CONTRADICTS = "contradicts"


class Conclusion(NamedTuple):
    """One thing that was looked at: how it came out, where in the proof, and what that means."""

    how: Follows
    where: str
    says: str


class Outside(NamedTuple):
    """What the reader holds besides the proof: public keys that they trust, and a checkpoint that was kept elsewhere."""

    keys: tuple[PublicKey, ...] = ()
    checkpoint: Note | None = None


def follows(where: str, says: str) -> Conclusion:
    """A conclusion that follows."""
    return Conclusion(Follows.FOLLOWS, where, says)


def stays_open(where: str, says: str) -> Conclusion:
    """One that stays open."""
    return Conclusion(Follows.OPEN, where, says)


def contradicts(where: str, says: str) -> Conclusion:
    """One that is contradicted."""
    return Conclusion(Follows.CONTRADICTS, where, says)


def check_excerpt(
    excerpt: Excerpt,
    outside: Outside = Outside(),  # noqa: B008 - an empty value
    *,
    vouched: bool = False,
) -> list[Conclusion]:
    """Everything that follows from an excerpt, stays open or contradicts it. BadProof when its checkpoint is none.

    `vouched`: a key that the reader named signed all of the document that the excerpt is in.
    """
    note, told, origin = _note(excerpt)
    found: list[Conclusion] = []
    if told.origin != origin:
        found.append(
            contradicts(
                "checkpoint", f"the checkpoint is for {told.origin}, but the lines are from another ledger"
            )
        )
    found += _lines(excerpt, told)
    found += _tree(excerpt, told)
    found += _subjects(excerpt, told)
    found += _held_back(excerpt, Follows.VOUCHED if vouched else Follows.OPEN)
    found += _signature(excerpt, note, outside.keys)
    found += _anchor(excerpt, told, outside)
    return found


def _note(excerpt: Excerpt) -> tuple[Note, Checkpoint, str]:
    """The checkpoint of an excerpt, and the origin that it has to have. BadProof names the place of what is none."""
    where = "checkpoint"
    try:
        note = note_of(excerpt.note)
        told = checkpoint_of(note.text)
        where = "ledger"
        return note, told, origin_of(excerpt.ledger)
    except BadProof as fault:
        raise BadProof(fault.what, where=where, do="get the original file again") from fault


def last_moment(told: Checkpoint) -> datetime | None:
    """When the last entry of the log was written, as its checkpoint tells; None where it tells no moment."""
    try:
        found = datetime.fromisoformat(told.last)
        return found if instant_text(found) == told.last else None
    except (ValueError, OverflowError, BadFact):
        return None


def _lines(excerpt: Excerpt, told: Checkpoint) -> Iterator[Conclusion]:
    """Every line for itself: its hash, its form, its number, its ledger, its subjects; and their order."""
    end, names = last_moment(told), {subject.name for subject in excerpt.subjects}
    if told.last and end is None:
        yield contradicts("checkpoint", "the time of its last entry isn't a time")
    last_seq, before, sure = 0, None, entries_in(excerpt)
    for at, piece in enumerate(excerpt.lines):
        where = f"lines[{at}], entry {piece.seq}"
        if piece.seq <= last_seq:
            yield contradicts(where, f"it comes after entry {last_seq}, so it is out of order or there twice")
        if piece.seq > told.size:
            yield contradicts(where, f"the checkpoint covers only {told.size} entries")
        last_seq, moment = piece.seq, piece.recorded_at
        if piece.text is not None:
            entry, says = _entry(excerpt, piece, names)
            for one in says:
                yield contradicts(where, one)
            moment = entry.recorded_at if entry else None
        if moment is not None:
            steps = piece.seq in sure and sure[piece.seq].act == CLOCK_BACK
            if before is not None and moment <= before and not steps:
                yield contradicts(where, "it wasn't recorded later than the line before")
            known = sure[piece.seq].recorded_at if piece.seq in sure else moment
            if end is not None and (known > end or (piece.seq == told.size and moment != end)):
                yield contradicts(where, f"the checkpoint says the last entry was recorded at {told.last}")
            before = moment


def _entry(excerpt: Excerpt, piece: Piece, names: set[str]) -> tuple[Entry | None, list[str]]:
    """The entry of a line that is given, and what is wrong with it."""
    text = piece.text or ""
    says = [] if leaf_hash(text.encode()) == piece.leaf else ["its text isn't the text that was hashed"]
    try:
        entry = entry_of(text)
    except BadLine as fault:
        return None, [*says, str(fault)]
    if entry.seq != piece.seq:
        says.append(f"its line belongs to entry {entry.seq}")
    if entry.ledger != excerpt.ledger:
        says.append("its line is from another ledger")
    if sorted(names.intersection(entry.subjects)) != list(piece.of):
        says.append("it isn't about the records the proof lists it for")
    return entry, says


def _tree(excerpt: Excerpt, told: Checkpoint) -> Iterator[Conclusion]:
    """All lines against the root of the log."""
    leaves = {piece.seq - 1: piece.leaf for piece in excerpt.lines}
    if root_covered(told.size, leaves, excerpt.hashes) == told.root:
        yield follows(
            "lines",
            f"all {len(leaves)} lines are in the log of {told.size} entries that the checkpoint covers",
        )
    else:
        yield contradicts("hashes", "the lines don't match the checkpoint's root hash")


def _subjects(excerpt: Excerpt, told: Checkpoint) -> Iterator[Conclusion]:
    """The lines of each subject against its head, and the heads against their root."""
    names = [subject.name for subject in excerpt.subjects]
    strays = {name for piece in excerpt.lines for name in piece.of}.difference(names)
    if strays or len(set(names)) != len(names) or not names:
        yield contradicts("subjects", "the list of records doesn't match the lines")
    if not told.subjects:
        yield stays_open(
            "checkpoint", "it has no hash over the records, so lines about them may have been left out"
        )
        return
    whole, leaves = [], _leaves(excerpt)
    for at, subject in enumerate(excerpt.subjects):
        wrong = _subject(excerpt, told, subject, leaves[subject.name])
        if wrong:
            yield contradicts(f"subjects[{at}], {subject.name}", wrong)
        else:
            whole.append(f"{subject.name} ({subject.entries})")
    if whole:
        yield follows("subjects", f"these are all entries up to {told.size} about {', '.join(whole)}")


def _leaves(excerpt: Excerpt) -> dict[str, list[bytes]]:
    """The hashes of the lines of each subject, in order."""
    found: dict[str, list[bytes]] = defaultdict(list)
    for piece in excerpt.lines:
        for name in piece.of:
            found[name].append(piece.leaf)
    return found


def _subject(excerpt: Excerpt, told: Checkpoint, subject: Subject, leaves: Sequence[bytes]) -> str:
    """What is wrong with the lines or the head of a subject; empty for nothing."""
    path = path_of(excerpt.ledger, subject.name)
    leaf = subject_leaf(path, SubjectHead(subject.entries, subject.head))
    if root_above(leaf, path, subject.beside) != told.subjects:
        return "its hash doesn't match the checkpoint"
    if len(leaves) != subject.entries:
        wanted, are = counted(subject.entries, "line"), "is" if len(leaves) == 1 else "are"
        return f"{wanted} should be here, and {len(leaves)} {are}. Lines were left out or added"
    head = NO_HEAD
    for leaf_here in leaves:
        head = rolled(head, leaf_here)
    if head != subject.head:
        return "its lines were changed, or are in another order"
    return ""


def _held_back(excerpt: Excerpt, not_hashed: Follows) -> Iterator[Conclusion]:
    """Lines whose text is not here; `not_hashed` is how that comes out which no hash covers."""
    reasons = reasons_in(entries_in(excerpt).values())
    for at, piece in enumerate(excerpt.lines):
        where = f"lines[{at}], entry {piece.seq}"
        if piece.is_blanked and piece.seq in reasons:
            by = reasons[piece.seq].seq
            yield follows(
                where, f"its text was removed, as entry {by} says. What it said counts as unreadable"
            )
            says = "the time it was recorded isn't in its hash, so nothing proves it"
            yield Conclusion(not_hashed, where, says)
        elif piece.is_blanked:
            yield stays_open(where, "its text was removed, and no line says why. We can't tell what it said")
    silent: dict[str, list[str]] = defaultdict(list)
    for piece in excerpt.lines:
        for name in piece.of if piece.text is None and not piece.is_blanked else ():
            silent[name].append(str(piece.seq))
    for subject in excerpt.subjects:
        hidden = silent.get(subject.name)
        if hidden:
            listed = ", ".join(hidden[:10]) + (" and more" if len(hidden) > 10 else "")
            says = f"that entry {listed}, which is here only as a hash, doesn't change any answer"
            yield Conclusion(not_hashed, subject.name, says)


def signed_by(note: Note, keys: Sequence[PublicKey], where: str) -> Conclusion | None:
    """How the signatures of a note come out under the keys that the reader named, each of which has to have signed it.

    None where there is nothing to say: somebody signed it, and the reader named no key.
    """
    how, missing = how_signed(note, keys), not_signing(note, keys)
    if how is Signed.BAD:
        return contradicts(where, "a signature by a key you named doesn't match")
    if how is Signed.NONE:
        return (
            contradicts(where, "nobody signed it, including the key you named")
            if keys
            else stays_open(where, "nobody signed it")
        )
    if missing:
        which = f": {missing[0].name}+{missing[0].number.hex()}" if len(keys) > 1 else ""
        return contradicts(where, f"a key you named didn't sign it{which}")
    return follows(where, "it is signed with a key you named") if keys else None


def _signature(excerpt: Excerpt, note: Note, keys: Sequence[PublicKey]) -> Iterator[Conclusion]:
    """Who signed the checkpoint."""
    where = "checkpoint"
    found = signed_by(note, keys, where)
    if found is not None:
        yield found
        return
    try:
        own = public_key_of(excerpt.key) if excerpt.key else None
    except BadProof:
        yield contradicts("key", "the public key in the proof isn't a key")
        return
    how = Signed.UNKNOWN if own is None else how_signed(note, (own,))
    if how is Signed.BAD:
        yield contradicts(where, "the signature doesn't match the key named in the proof")
    elif how is Signed.GOOD:
        yield stays_open(
            where,
            f"it is signed with the key named in the proof. Ask its owner to confirm it: {excerpt.key}",
        )
    else:
        yield stays_open(where, "it is signed with a key nobody named")


def _anchor(excerpt: Excerpt, told: Checkpoint, outside: Outside) -> Iterator[Conclusion]:
    """The checkpoint of the proof against the one that was kept elsewhere."""
    if outside.checkpoint is None:
        yield stays_open("checkpoint", "it is consistent, but nobody outside confirmed this head")
        return
    where = "your checkpoint"
    kept = checkpoint_of(outside.checkpoint.text)
    if outside.keys:
        how = how_signed(outside.checkpoint, outside.keys)
        if how is Signed.BAD:
            yield contradicts(where, "a signature by a key you named doesn't match")
        elif how is not Signed.GOOD and not _is_same(kept, told):
            yield stays_open(where, "none of the keys you named signed it")
    if kept.origin != told.origin:
        yield contradicts(where, f"it is for {kept.origin}, but the proof is for {told.origin}")
    elif kept.size == told.size:
        yield _same(where, kept, told)
    elif kept.size > told.size:
        yield stays_open(
            where,
            f"it is later than the proof ({kept.size} entries, not {told.size}). Ask for a newer proof",
        )
    else:
        yield from _grown(excerpt, where, kept, told)


def _is_same(kept: Checkpoint, told: Checkpoint) -> bool:
    """Whether a checkpoint is the one in the proof, so that a signature of either is one of both."""
    return checkpoint_text(kept) == checkpoint_text(told)


def _same(where: str, kept: Checkpoint, told: Checkpoint) -> Conclusion:
    if kept.root != told.root:
        return contradicts(
            where,
            f"it covers a different log of {told.size} entries. The ledger was changed since, or is another one",
        )
    if kept.subjects and kept.subjects != told.subjects:
        return contradicts(where, "its hash over the records is different")
    if kept.last and kept.last != told.last:
        return contradicts(where, f"it says the last entry was recorded at {kept.last}")
    return follows(
        where, f"confirmed from outside: this log of {told.size} entries matches the head you kept"
    )


def _grown(excerpt: Excerpt, where: str, kept: Checkpoint, told: Checkpoint) -> Iterator[Conclusion]:
    proof = next((one.proof for one in excerpt.earlier if one.size == kept.size), None)
    if kept.size == 0:
        yield stays_open(where, "it is for an empty log, so it confirms no line")
    elif proof is None:
        yield stays_open(
            where, f"the proof doesn't connect to it. It has no path from {kept.size} entries to {told.size}"
        )
    elif not is_consistent(kept.size, kept.root, told.size, told.root, proof):
        yield contradicts(where, f"the proof's log didn't grow from the {kept.size} entries it covers")
    else:
        yield follows(where, f"confirmed from outside up to entry {kept.size}. The log only grew since then")
        later = [piece.seq for piece in excerpt.lines if piece.seq > kept.size]
        if later:
            yield stays_open(
                where,
                f"{counted(len(later), 'line was', 'lines were')} added after it, from entry {later[0]} on",
            )


def worst(found: Sequence[Conclusion]) -> Follows:
    """What all of it comes to: a contradiction beats what is open, and that beats what follows or is vouched for."""
    how = {one.how for one in found}
    for one in (Follows.CONTRADICTS, Follows.OPEN):
        if one in how:
            return one
    return Follows.FOLLOWS if how else Follows.OPEN
