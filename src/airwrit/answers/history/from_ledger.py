"""What a ledger says of a day as known at a moment: the state, what was left unread, and the head it stands on."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import datetime
from typing import NamedTuple

from airwrit.answers.history.defaults import told_in_state
from airwrit.answers.sheets.difference import unread_in
from airwrit.base.days import When
from airwrit.facts.choices import UsedFor
from airwrit.facts.keys.aircraft import OWNER, USED_FOR
from airwrit.facts.keys.person import FLIES_FOR
from airwrit.facts.state import State
from airwrit.facts.statement import Problem, Source
from airwrit.ledger.ports import Head
from airwrit.ledger.sqlite.store import Ledger


class LedgerRead(NamedTuple):
    """How things stood, what of the files went unread, and the ledger with its head as the source."""

    state: State
    problems: tuple[Problem, ...]
    sources: tuple[Source, ...]


def read_ledger(ledger: Ledger, on: When, known_at: datetime, kinds: Sequence[str] = ()) -> LedgerRead:
    """What a ledger says of `on` as known at `known_at`, from one state of the file; of some kinds of subjects, where told."""
    with ledger.reading():
        name, head = ledger.path.name, ledger.head_at(known_at)
        problems = (*unread_in(ledger, known_at), *of_newer_version(ledger))
        return LedgerRead(ledger.state(on, known_at, kinds=kinds), problems, (source_of(name, head),))


def of_newer_version(ledger: Ledger) -> list[Problem]:
    """A problem for each fact on record that a newer version knows and this one does not: it went unread."""
    return [
        Problem(
            ledger.path.name,
            f"this version does not know what {key!r} means",
            "use a newer version of airwrit",
            unread=True,
        )
        for key in ledger.strange_keys()
    ]


def source_of(name: str, head: Head) -> Source:
    """A ledger as a source: its name with the number of entries, and its root where a file has its hash."""
    return Source(f"{name} ({head.size} entries)", head.root.hex())


def told_over(ledger: Ledger, state: State, use: UsedFor | None, owner: str | None) -> State:
    """The state, and for each aircraft or person of which nobody ever said a use or owner the one told for all."""
    asked = [key for key, value in ((USED_FOR, use), (FLIES_FOR, use), (OWNER, owner)) if value is not None]
    said = {(subject, key.name) for key in asked for subject in ledger.speaking(key.name, state.known_at)}
    return told_in_state(state, said, use, owner)
