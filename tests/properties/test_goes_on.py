"""What a desk takes over from before a write is what a desk that has seen nothing makes of the whole ledger."""

from __future__ import annotations

import tempfile
from collections.abc import Sequence
from pathlib import Path

from hypothesis import given
from hypothesis import strategies as st

from airwrit.answers.standing.json import standing_json
from airwrit.facts.statement import Known
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from airwrit.web.pages.today import view_of
from airwrit.web.server.workspace import Workspace, asked_of, held_now
from tests.properties.statements import KNOWN_AT, facts
from tests.unit.answers.program import KNOWN

WRITES = st.lists(facts(most=6), min_size=1, max_size=3)


@given(st.one_of(facts(most=40), st.just(KNOWN)), WRITES, st.booleans())
def test_a_day_judged_on_from_before_is_the_day_judged_anew(
    first: Sequence[Known], writes: list[list[Known]], is_today: bool
) -> None:
    asked = asked_of({} if is_today else {"on": "2024-11-24"}, KNOWN_AT)
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "l.airwrit"
        with Ledger.begin(path) as book:
            desk = Workspace(path, lambda: KNOWN_AT)
            for said in (first, *writes):
                statements = tuple(item.statement for item in said)
                if statements:
                    book.append([Draft("ada", "record", statements)], lambda: KNOWN_AT)
                fresh = Workspace(path, lambda: KNOWN_AT)
                kept, anew = desk.standing(asked), fresh.standing(asked)
                assert standing_json(kept) == standing_json(anew)
                assert view_of(kept) == view_of(anew)
                assert held_now(desk) == held_now(fresh)
