"""An owner told for all is told of nobody whose certificate names another."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.answers.history.defaults import told_for_all, told_in_state
from airwrit.facts.fold import state_of
from airwrit.facts.keys.aircraft import OWNER
from tests.unit.answers.told import KNOWN_AT, known_of


@pytest.mark.parametrize(
    ("named", "told"),
    [
        ("Tarn & Fell, LLC", True),
        ("TARN & FELL LLC", True),
        ("Tri-River Rentals", False),
        (None, True),
    ],
)
def test_an_owner_is_told_only_where_no_other_is_named(named: str | None, told: bool) -> None:
    known = known_of(
        {
            "aircraft/K": {"used_for": "work", "registration": "FA00TEST21"},
            "registration/FA00TEST21": {"registered_to": named} if named else {"issued_on": "2025-03-01"},
        }
    )
    found = told_for_all(known, None, "Tarn & Fell, LLC")
    assert any(item.statement.key == OWNER.name for item in found) is told
    state = told_in_state(state_of(known, date(2026, 11, 24), KNOWN_AT), (), None, "Tarn & Fell, LLC")
    assert (OWNER in state.held["aircraft/K"]) is told
