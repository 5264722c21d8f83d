"""A Part 48 number without a kind on file: what both kinds give holds; where they differ, the kind is asked for."""

from __future__ import annotations

import pytest

from airwrit.facts.key import Raw
from tests.unit.law.case import Case, Given, case, check, registered

IN_TERM = "registration_in_term"
NUMBER = "FA00TEST01"


def of_no_kind(number: str = NUMBER, /, **facts: Raw) -> Given:
    """A registration whose kind nobody told."""
    return Given(f"registration/{number}", facts)


CASES = [
    case(IN_TERM, "met", "in_term_last_month", "2027-02-09", registered("A", NUMBER), of_no_kind(expires_on="2027-02-10")),
    case(
        IN_TERM, "unknown", "expiry_day", "2027-02-10", registered("A", NUMBER), of_no_kind(expires_on="2027-02-10"),
        why="open_reading",
    ),
    case(IN_TERM, "not_met", "ended", "2027-02-11", registered("A", NUMBER), of_no_kind(expires_on="2027-02-10")),
    case(IN_TERM, "not_met", "ended", "2027-02-11", registered("A", NUMBER), of_no_kind(issued_on="2024-02-10")),
    case(
        IN_TERM, "met", "in_term_last_month", "2020-12-11", registered("A", NUMBER), of_no_kind(issued_on="2017-12-12"),
    ),
    case(
        IN_TERM, "unknown", "registration_kind", "2020-12-11", registered("A", NUMBER), of_no_kind(issued_on="2017-12-11"),
        why="missing",
    ),
    case(
        IN_TERM, "unknown", "registration_kind", "2027-02-11", registered("A", "1"),
        of_no_kind("1", expires_on="2027-02-10"), why="missing",
    ),
    case(IN_TERM, "unknown", "expires_on", "2027-02-11", registered("A", NUMBER), of_no_kind(), why="missing"),
]  # fmt: skip
"""14 CFR 48.100(c) gives both kinds three years; the early recreational certificates alone had another end."""


@pytest.mark.parametrize("told", CASES)
def test_what_both_kinds_give(told: Case) -> None:
    check(told)
