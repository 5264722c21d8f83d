"""The subject that an address names, and what is said when there is none."""

from __future__ import annotations

import difflib

from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.ledger.store import Ledger
from airwrit.web.sheets import Visit
from airwrit.web.trouble import NOTHING_WRITTEN, Refused, Trouble

_PAGES = {"aircraft": "/aircraft", "person": "/people"}
_WORDS = {"aircraft": "aircraft", "person": "person"}


def asked_subject(visit: Visit, kind: str, book: Ledger) -> str:
    """The subject that an address names. Refused with the nearest name when the ledger never speaks of it."""
    name = visit.named["id"]
    subject = subject_named(kind, name)
    names = {id_of(one): one for one in book.subjects() if kind_of(one) == kind}
    if name in names:
        return subject
    folded = {one.casefold(): one for one in names}
    near = difflib.get_close_matches(name.casefold(), folded, n=1, cutoff=0.4)
    word = _WORDS[kind]
    raise Refused(
        Trouble(
            404,
            f"No such {word}",
            f"no {word} is called {name[:80]!r}",
            visit.path,
            NOTHING_WRITTEN,
            f"did you mean {folded[near[0]]}?"
            if near
            else f"see the list under {_PAGES[kind].strip('/').title()}",
        )
    )
