"""No more paid for a certificate than it costs."""

from __future__ import annotations

import pytest

from tests.unit.law.case import (
    TODAY,
    Case,
    case,
    certificate,
    check,
)

ASKED, FEE = "renewal_asked_in_time", "federal_fee"


PAID = [
    case(FEE, "not_applicable", "nothing_said", TODAY, certificate()),
    case(FEE, "met", "federal_fee", TODAY, certificate(fee_paid_usd="5")),
    case(FEE, "not_met", "paid_more", TODAY, certificate(fee_paid_usd="5.01")),
    case(FEE, "not_met", "paid_less", TODAY, certificate(fee_paid_usd="4.99")),
    case(FEE, "met", "federal_fee", TODAY, certificate("N", "Part 47", fee_paid_usd="5")),
    case(FEE, "met", "with_chosen_number", TODAY, certificate("N", "Part 47", fee_paid_usd="15")),
    case(FEE, "not_met", "paid_more", TODAY, certificate("N", "Part 47", fee_paid_usd="16")),
    case(FEE, "not_met", "paid_more", TODAY, certificate(fee_paid_usd="15")),
]

CASES = PAID


@pytest.mark.parametrize("line", CASES, ids=lambda line: line.name)
def test_case(line: Case) -> None:
    check(line)
