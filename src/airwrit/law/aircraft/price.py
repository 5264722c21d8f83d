"""What a Part 48 certificate costs and how long it lasts: 14 CFR 48.30, 48.100(c), 48.105."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from airwrit.law.parameters import Law, parameter

FEE_USD = parameter("registration_fee_usd", Decimal)
TERM_YEARS = parameter("registration_term_years", int)


class Price(NamedTuple):
    """The fee of one certificate in USD and the years it buys."""

    usd: Decimal
    years: int


def price_of_certificate(law: Law) -> Price:
    """The price of a Part 48 certificate, new or renewed. Undecided before the law was read."""
    return Price(law[FEE_USD], law[TERM_YEARS])
