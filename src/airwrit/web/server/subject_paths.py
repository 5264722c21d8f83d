"""The subject that an address names, and what is said when there is none."""

from __future__ import annotations

import difflib

from airwrit.facts.vocabulary import id_of, kind_of, subject_named
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.draw.words import LISTS, path_of
from airwrit.web.server.trouble import NOTHING_WRITTEN, Refused, Trouble
from airwrit.web.server.visit import Visit


def asked_subject(visit: Visit, kind: str, book: Ledger) -> str:
    """The subject that an address names. Refused with the nearest name when the ledger never speaks of it."""
    name = visit.named["id"]
    subject = subject_named(kind, name)
    names = {id_of(one): one for one in book.subjects() if kind_of(one) == kind}
    if name in names:
        return subject
    folded = {one.casefold(): one for one in names}
    near = difflib.get_close_matches(name.casefold(), folded, n=1, cutoff=0.4)
    listed = LISTS[kind]
    do, to = f"choose one from the list under {listed.strip('/').title()}", listed
    if near:
        do, to = f"did you mean {folded[near[0]]}?", path_of(subject_named(kind, folded[near[0]]))
    what = f"no {kind} is named {name[:80]!r}"
    raise Refused(Trouble(404, f"No such {kind}", what, visit.path, NOTHING_WRITTEN, do, to))
