"""A registration that runs: its last good day, when it is due, and how many days are left."""

from __future__ import annotations

from datetime import date

import pytest

from tests.unit.law.case import TODAY, Case, case, certificate, check, outcome_of, registered

IN_TERM = "registration_in_term"
BOTH = {"issued_on": "2024-02-10", "expires_on": "2027-02-10"}


CASES = [
    # Renewed outside of any window: until the day written down, what that renewal was worth is open; on that day it is over.
    *(
        case(
            IN_TERM,
            verdict,
            code,
            on,
            registered(),
            certificate(issued_on="2018-05-10", renewed_on="2022-01-05", expires_on="2025-01-05"),
            why=why,
        )
        for on, verdict, code, why in (
            ("2025-01-04", "unknown", "renewed_outside_window", "conflict"),
            ("2025-01-05", "not_met", "ended", ""),
        )
    ),
    # Part 47: the last day is a good one.
    *(
        case(
            IN_TERM,
            verdict,
            code,
            on,
            registered("A", "N99"),
            certificate(
                "N99",
                kind="Part 47",
                issued_on="2018-01-10",
                renewed_on="2021-06-01",
                expires_on="2022-06-30",
            ),
            why=why,
        )
        for on, verdict, code, why in (
            ("2022-06-29", "unknown", "renewed_outside_window", "conflict"),
            ("2022-06-30", "unknown", "expiries_disagree", "conflict"),
            ("2022-07-01", "not_met", "ended", ""),
        )
    ),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)


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
