"""Blanking: a person's private line taken out on lawful request, while the log still verifies.

The line goes, its leaf hash stays, so that every root and proof holds as before; the 128 random bits in the line keep anyone
from finding it again by guessing. A new entry of act `blank` says which line went and why. It holds the statements of that
line with their values gone: the fact stays unreadable, so that nothing becomes a yes by it, and what the line had corrected
stays corrected.
"""

from __future__ import annotations

from collections.abc import Sequence

from airwrit.base.errors import BadFact
from airwrit.facts.statement import Statement, Unreadable
from airwrit.ledger.entry import BLANK, CLOCK_BACK, Entry, number_of
from airwrit.ledger.store import Clock, Draft, Ledger


def blank(ledger: Ledger, seqs: Sequence[int], clock: Clock, by: str, why: str) -> tuple[Entry, ...]:
    """Blank whole entries, each with an entry that says so, and the file they came from. BadFact when one is not there."""
    if not why:
        raise BadFact("a line is blanked for a reason", do="say which request it was")
    entries = []
    for seq in dict.fromkeys(seqs):
        entry = ledger.entry(seq)
        if entry is None:
            raise BadFact(f"there is no line of entry {seq} to blank", do="see `airwrit history`")
        if entry.act == BLANK:
            raise BadFact(f"entry {seq} says what was blanked and has to stay", do="leave it")
        if entry.act == CLOCK_BACK:
            raise BadFact(f"entry {seq} says when the clock was put back and has to stay", do="leave it")
        entries.append(entry)
    drafts = [_draft(entry, by, why) for entry in entries]
    return ledger.append(drafts, clock, blanks=[entry.seq for entry in entries])


def _draft(entry: Entry, by: str, why: str) -> Draft:
    """What stands in a blanked entry's place."""
    left = tuple(_emptied(statement) for statement in entry.statements)
    own = tuple(number_of(entry.seq, place) for place in range(len(entry.statements)))
    return Draft(by, BLANK, left, (*own, *entry.answers), f"entry {entry.seq}", why)


def _emptied(statement: Statement) -> Statement:
    """The statement without its value; one that withdraws says nothing and stays."""
    return statement if statement.value is None else statement._replace(value=Unreadable(""))
