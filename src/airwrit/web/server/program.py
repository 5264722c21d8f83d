"""The name at the head of every sheet: whose program it is."""

from __future__ import annotations

from collections import Counter

from airwrit.facts.keys.aircraft import OWNER
from airwrit.web.draw.words import plain
from airwrit.web.server.workspace import DayAsked, Workspace

_LONGEST = 60


def program_name(desk: Workspace, asked: DayAsked) -> str:
    """The owner of most aircraft as known now, else the name of the ledger's file."""
    if not desk.ledger.exists():
        return "No ledger yet"
    with desk.opened() as book:
        basis = desk.basis_now(book)
    return desk.once(("program", asked.today), basis, lambda: _named(desk, asked))


def _named(desk: Workspace, asked: DayAsked) -> str:
    answer = desk.kept_standing(asked) if asked.is_today else None
    if answer is not None:
        state = answer.report.state
    else:
        with desk.opened() as book:
            state = book.state(asked.today, max(desk.clock(), book.last_moment()))
    owners = Counter(
        facts[OWNER].value
        for subject, facts in state.held.items()
        if subject.startswith("aircraft/") and OWNER in facts and facts[OWNER].why is None
    )
    return plain(owners.most_common(1)[0][0], _LONGEST) if owners else plain(desk.ledger.stem, _LONGEST)
