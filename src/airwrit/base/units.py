"""Weights, lengths and speeds as exact decimals; the law's pound is exactly 0.45359237 kg.

Source: the international avoirdupois pound, 0.45359237 kg exactly, and the international foot, 0.3048 m exactly; the
international nautical mile is 1852 m (NIST Special Publication 811, appendix B; from memory).
"""

from __future__ import annotations

from decimal import Decimal

GRAMS_PER_POUND = Decimal("453.59237")
CAPACITY_UNITS_MAH: dict[str, Decimal] = {"mah": Decimal(1), "ah": Decimal(1000)}
"""Milliampere hours of the units that capacities of batteries are written in, in small letters."""

WEIGHT_UNITS_G: dict[str, Decimal] = {
    "g": Decimal(1),
    "gm": Decimal(1),
    "gms": Decimal(1),
    "gram": Decimal(1),
    "grams": Decimal(1),
    "kg": Decimal(1000),
    "kgs": Decimal(1000),
    "kilo": Decimal(1000),
    "kilos": Decimal(1000),
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


METERS: dict[str, Decimal] = {
    "ft": Decimal("0.3048"),
    "m": Decimal(1),
    "yd": Decimal("0.9144"),
    "km": Decimal(1000),
    "mi": Decimal("1609.344"),
    "sm": Decimal("1609.344"),
    "nm": Decimal(1852),
    "in": Decimal("0.0254"),
    "cm": Decimal("0.01"),
    "mm": Decimal("0.001"),
}
"""Meters in one of each unit of length, exact; `sm` is the statute mile, the same as `mi`."""
METERS_AN_HOUR: dict[str, Decimal] = {
    "kt": Decimal(1852),
    "mph": Decimal("1609.344"),
    "km/h": Decimal(1000),
    "m/s": Decimal(3600),
    "ft/s": Decimal("1097.28"),
}
"""Meters an hour in one of each unit of speed, exact."""
J_PER_FT_LB = METERS["ft"] * GRAMS_PER_POUND / 1000 * Decimal("9.80665")
"""Joules in a foot-pound, exact: standard gravity is 9.80665 m/s2 (the same appendix; from memory)."""


def places(value: Decimal, many: int) -> str:
    """A decimal with at most so many places, no zeros at its end."""
    text = format(value.quantize(Decimal(1).scaleb(-many)), "f")
    return text.rstrip("0").rstrip(".") if "." in text else text
