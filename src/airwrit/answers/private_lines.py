"""The lines of the ledger about one person: those that hold something private, and the others."""

from __future__ import annotations

import difflib
from typing import NamedTuple

from airwrit.base.errors import UsageError
from airwrit.facts.people import EVENT_OF
from airwrit.facts.vocabulary import KEYS, folded, id_of, kind_of
from airwrit.ledger.entry import BLANK, Entry
from airwrit.ledger.store import Ledger


class PersonLines(NamedTuple):
    """Entries about a person that can be blanked: with private facts, and without; and the subjects they speak of."""

    subjects: tuple[str, ...]
    private: tuple[Entry, ...]
    others: tuple[Entry, ...]


def lines_about(ledger: Ledger, name: str) -> PersonLines:
    """The entries about a person, also as an owner, and about that person's tests and training, however the name is spaced.

    UsageError when nobody on record is called so. A line that was blanked already is not among them.
    """
    people = {s: folded(id_of(s)) for s in ledger.subjects() if kind_of(s) in ("person", "owner")}
    mine = [subject for subject, form in people.items() if form == folded(name)]
    if not mine:
        names = {id_of(subject).casefold(): id_of(subject) for subject in people}
        near = difflib.get_close_matches(name.casefold(), names, n=1)
        do = f"did you mean {names[near[0]]!r}?" if near else "see `airwrit standing` for the names on record"
        raise UsageError(f"nobody on record is called {name!r}", where="--person", do=do)
    entries = {e.seq: e for subject in [*mine, *_tests_of(ledger, mine)] for e in ledger.entries(subject)}
    held = [entries[seq] for seq in sorted(entries) if entries[seq].act != BLANK]
    private = tuple(entry for entry in held if is_private(entry, mine))
    return PersonLines(tuple(mine), private, tuple(entry for entry in held if entry not in private))


def _tests_of(ledger: Ledger, people: list[str]) -> list[str]:
    """The tests and training of these people."""
    names = {id_of(subject) for subject in people}
    found = []
    for subject in ledger.subjects():
        if kind_of(subject) == "training" and any(
            statement.key == EVENT_OF.name and statement.value in names
            for entry in ledger.entries(subject)
            for statement in entry.statements
            if statement.subject == subject
        ):
            found.append(subject)
    return found


def is_private(entry: Entry, subjects: list[str]) -> bool:
    """Whether an entry holds a private fact of one of these subjects."""
    return any(
        s.subject in subjects and s.value is not None and (s.key not in KEYS or KEYS[s.key].private)
        for s in entry.statements
    )
