"""Weights as exact decimals; the law's pound is exactly 0.45359237 kg.

Source: the international avoirdupois pound, 0.45359237 kg exactly (NIST Special Publication 811, appendix B.6; from memory).
"""

from __future__ import annotations

from decimal import Decimal

GRAMS_PER_POUND = Decimal("453.59237")
WEIGHT_UNITS_G: dict[str, Decimal] = {
    "g": Decimal(1),
    "gram": Decimal(1),
    "grams": Decimal(1),
    "kg": Decimal(1000),
    "kgs": Decimal(1000),
    "kilogram": Decimal(1000),
    "kilograms": Decimal(1000),
    "lb": GRAMS_PER_POUND,
    "lbs": GRAMS_PER_POUND,
    "pound": GRAMS_PER_POUND,
    "pounds": GRAMS_PER_POUND,
    "oz": GRAMS_PER_POUND / 16,
    "ounce": GRAMS_PER_POUND / 16,
    "ounces": GRAMS_PER_POUND / 16,
}
"""Grams in one of each unit, exact. `gr` is left out: it may be gram or grain."""

MILES_PER_NAUTICAL_MILE = Decimal(1852) / Decimal("1609.344")
"""Statute miles in a nautical mile, both in meters by definition; to 28 significant digits."""


def grams_from_pounds(pounds: Decimal) -> Decimal:
    """Grams, exact for every finite decimal of pounds of ordinary length."""
    return pounds * GRAMS_PER_POUND
