"""All that was ever said of a subject: by whom, when, from which file, and what took its place."""

from __future__ import annotations

import difflib
from datetime import datetime
from typing import NamedTuple

from airwrit.facts.statement import Statement
from airwrit.ledger.entry import number_of
from airwrit.ledger.sqlite.store import Ledger


class PastStatement(NamedTuple):
    """One statement with its entry: `answers` are the statements it takes the place of, `answered_by` later entries."""

    number: str
    recorded_at: datetime
    by: str
    act: str
    source: str
    note: str
    statement: Statement
    answers: tuple[str, ...]
    answered_by: tuple[int, ...]


def history_of(ledger: Ledger, subject: str) -> list[PastStatement]:
    """Every statement about a subject, in the order of the ledger; those of blanked entries are gone."""
    found = []
    for entry in ledger.entries(subject):
        for place, statement in enumerate(entry.statements):
            if statement.subject == subject:
                found.append(
                    PastStatement(
                        number_of(entry.seq, place),
                        entry.recorded_at,
                        entry.by,
                        entry.act,
                        entry.source,
                        entry.note,
                        statement,
                        entry.answers,
                        ledger.answered_by(entry.seq, place),
                    )
                )
    return found


def near(ledger: Ledger, subject: str) -> str:
    """The subject whose name is most like this one; empty when none is."""
    subjects = {one.casefold(): one for one in ledger.subjects()}
    found = difflib.get_close_matches(subject.casefold(), subjects, n=1)
    return subjects[found[0]] if found else ""
