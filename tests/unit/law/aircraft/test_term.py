"""The term of a registration: its last good day, when it is due, and how many days are left."""

from __future__ import annotations

from datetime import date

import pytest

from airwrit.base.verdict import Undecided
from airwrit.law.aircraft.term import Term
from tests.unit.law.case import TODAY, case, certificate, outcome_of, registered

IN_TERM = "registration_in_term"
BOTH = {"issued_on": "2024-02-10", "expires_on": "2027-02-10"}


@pytest.mark.parametrize(
    ("on", "due", "left"),
    [
        ("2026-07-31", date(2027, 1, 31), 193),
        ("2027-01-31", date(2027, 1, 31), 9),
        ("2027-02-01", date(2027, 2, 10), 8),
        ("2027-02-09", date(2027, 2, 10), 0),
    ],
)
def test_a_term_to_feb_10_is_good_through_feb_9_and_due_before_the_month(
    on: str, due: date, left: int
) -> None:
    found = outcome_of(case(IN_TERM, "met", "", on, registered(), certificate(**BOTH)))
    assert (found.holds_until, found.due_on) == (date(2027, 2, 9), due)
    assert found.margin is not None
    assert found.margin.value == left


def test_a_registration_that_ended_by_a_sale_tells_the_day() -> None:
    sold = registered(sold_on="2026-03-10")
    assert outcome_of(case(IN_TERM, "", "", TODAY, sold, certificate(**BOTH))).value == date(2026, 3, 10)


def test_a_term_without_any_expiration_has_no_end() -> None:
    with pytest.raises(Undecided, match="missing: expires_on"):
        Term(None, None, None).expiry  # noqa: B018
