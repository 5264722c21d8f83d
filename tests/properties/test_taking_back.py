"""An act taken back leaves every day as it was before the act; taken back twice, as it was after it."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from datetime import UTC, date, datetime
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.acts.catalog import ActRequest
from airwrit.answers.acts.plan import plan_of
from airwrit.answers.acts.withdrawal import taking_back
from airwrit.answers.sheets.difference import EVER, Difference, before
from airwrit.base.errors import AirwritError
from airwrit.facts.key import Key
from airwrit.facts.statement import Known
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.properties.statements import TURNS, days
from tests.properties.test_acts import SOME, thoughts

NOW = datetime(2026, 11, 24, 12, tzinfo=UTC)
Holds = dict[date, dict[str, dict[Key[object], tuple[object, object]]]]


def kept(book: Ledger, taking: Difference) -> int:
    """Put it on record; the number of the last entry."""
    return book.append(taking.drafts, lambda: NOW, after=taking.after)[-1].seq


def holds(book: Ledger, on: Sequence[date]) -> Holds:
    """What holds on some days, without where it comes from."""
    return {
        day: {
            subject: {key: (one.value, one.why) for key, one in facts.items()}
            for subject, facts in book.state(day, EVER).held.items()
            if facts
        }
        for day in on
    }


@given(SOME, st.lists(thoughts(), min_size=1, max_size=3), days)
def test_every_day_is_as_it_was(
    known: Sequence[Known], said: list[ActRequest], asked: date | datetime
) -> None:
    with tempfile.TemporaryDirectory() as folder, Ledger.begin(Path(folder) / "l.airwrit") as book:
        statements = tuple(item.statement for item in known)
        if statements:
            book.append([Draft("ada", "record", statements)], lambda: NOW)
        on = (*TURNS, *(one.on for one in said), asked)
        for thought in said:
            was = holds(book, on)
            try:
                plan = plan_of(thought, before(book), "ada")
            except AirwritError:
                continue
            if plan.taking.is_empty:
                continue
            seq = kept(book, plan.taking)
            then = holds(book, on)
            undone = kept(book, taking_back(before(book), seq, "ada", thought.on).taking)
            assert holds(book, on) == was
            kept(book, taking_back(before(book), undone, "ada", thought.on).taking)
            assert holds(book, on) == then
