"""The numbers of rings by the day, as the rules and the answers about a place read them."""

from __future__ import annotations

from datetime import date

from airwrit.law.parameters import Law
from airwrit.law.rings import (
    ASSET_HEIGHT,
    ASSET_RING,
    STADIUM_HEIGHT,
    STADIUM_LEAST,
    STADIUM_MINUTES,
    STADIUM_RING,
)


def test_the_numbers_of_a_stadium_and_of_a_convoy() -> None:
    """Checks of the trade: three nautical miles, 3,000 feet, 30,000 seats, an hour; a convoy's are those of the notice."""
    law = Law(date(2026, 11, 25))
    stadium = (STADIUM_RING, STADIUM_HEIGHT, STADIUM_LEAST, STADIUM_MINUTES)
    assert [law[one] for one in stadium] == [3, 3000, 30_000, 60]
    assert [law[one] for one in (ASSET_RING, ASSET_HEIGHT)] == [3000, 1000]
