"""The lines of the ledger about one person: those that hold something private, and the others."""

from __future__ import annotations

import difflib
from typing import NamedTuple

from airwrit.answers.sheets.difference import EVER
from airwrit.base.errors import UsageError
from airwrit.facts.keys.person import EVENT_OF
from airwrit.facts.vocabulary import KEYS, folded, id_of, kind_of
from airwrit.ledger.entry import STAYING, Entry
from airwrit.ledger.sqlite.store import Ledger

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
