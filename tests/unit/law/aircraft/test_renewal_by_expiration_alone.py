"""An expiration without an issue date: it shows nothing before the longest term the law could give."""

from __future__ import annotations

import pytest

from tests.unit.law.case import Case, case, certificate, check, registered

IN_TERM = "registration_in_term"

CASES = [
    case(
        IN_TERM,
        "unknown",
        "issued_on",
        "2024-02-09",
        registered(),
        certificate(expires_on="2027-02-10"),
        why="missing",
    ),
    case(IN_TERM, "met", "in_term", "2024-02-10", registered(), certificate(expires_on="2027-02-10")),
    case(
        IN_TERM,
        "met",
        "in_term",
        "2024-01-05",
        registered(),
        certificate(expires_on="2027-02-10", renewed_on="2024-01-05"),
    ),
    case(
        IN_TERM,
        "unknown",
        "issued_on",
        "2023-07-31",
        registered(),
        certificate(kind="Part 47", expires_on="2030-08-31"),
        why="missing",
    ),
    case(
        IN_TERM,
        "met",
        "in_term_47",
        "2023-08-01",
        registered(),
        certificate(kind="Part 47", expires_on="2030-08-31"),
    ),
]


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
