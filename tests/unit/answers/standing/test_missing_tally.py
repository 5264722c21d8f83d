"""A change makes anew the tallies of what it touches; all that is kept is what making everything anew gives."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from airwrit.answers.standing.json import standing_json
from airwrit.answers.standing.standing import Standing, standing
from airwrit.facts.choices import ServiceStatus
from airwrit.facts.key import Key
from airwrit.facts.keys.aircraft import REGISTRATION, SOLD_ON, TAKEOFF_WEIGHT
from airwrit.facts.keys.registration import ISSUED_ON
from airwrit.facts.keys.service import NOT_UNDERSTOOD, SERVICE_STATUS
from airwrit.facts.state import Held, with_held
from tests.unit.answers.told import DAY, KNOWN_AT, firm_aircraft, fleet


def two_aircraft() -> Standing:
    """A program of two aircraft, each on a registration of its own."""
    return fleet(
        {
            **firm_aircraft("K", "FA00TEST21", "2025-03-01"),
            **firm_aircraft("L", "FA00TEST22", "2025-03-01"),
        }
    )


CHANGES: list[tuple[str, Key[Any], Held]] = [
    ("aircraft/K", TAKEOFF_WEIGHT, Held(Decimal(777))),
    ("aircraft/K", SERVICE_STATUS, Held(ServiceStatus.LOST)),
    ("aircraft/K", NOT_UNDERSTOOD, Held(("loaner?",), None, ("fleet.xlsx, A2",))),
    ("aircraft/K", REGISTRATION, Held("FA00TEST22")),
    ("aircraft/K", SOLD_ON, Held(DAY)),
    ("registration/FA00TEST21", ISSUED_ON, Held(DAY)),
]


@pytest.mark.parametrize(("subject", "key", "value"), CHANGES)
def test_what_is_kept_is_what_is_made_anew(subject: str, key: Key[Any], value: Held) -> None:
    before = two_aircraft()
    state = with_held(before.report.state, {subject: {key: value}})
    kept, anew = standing(state, DAY, KNOWN_AT, like=before), standing(state, DAY, KNOWN_AT)
    assert standing_json(kept) == standing_json(anew)
    assert kept.tallies.keys() == anew.tallies.keys()
    for one, tally in anew.tallies.items():
        assert kept.tallies[one] == tally


def test_only_what_is_touched_is_made_anew() -> None:
    before = two_aircraft()
    state = with_held(before.report.state, {"aircraft/K": {TAKEOFF_WEIGHT: Held(Decimal(777))}})
    after = standing(state, DAY, KNOWN_AT, like=before)
    other = {one for one, tally in after.tallies.items() if tally is not before.tallies[one]}
    assert other == {"aircraft/K"}


def test_a_text_that_moved_to_another_cell_is_told_where_it_is() -> None:
    first, then = (Held(("loaner?",), None, (place,)) for place in ("fleet.xlsx, A2", "fleet.xlsx, B7"))
    before = standing(
        with_held(two_aircraft().report.state, {"aircraft/K": {NOT_UNDERSTOOD: first}}), DAY, KNOWN_AT
    )
    state = with_held(before.report.state, {"aircraft/K": {NOT_UNDERSTOOD: then}})
    (gap,) = [gap for gap in standing(state, DAY, KNOWN_AT, like=before).gaps if gap.word]
    assert gap.places == ("fleet.xlsx, B7",)
