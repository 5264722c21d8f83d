"""Units, numbers that know their doubt, and the one comparison of such a number with a limit of the law.

Source: the international avoirdupois pound, 0.45359237 kg exactly, and the international foot, 0.3048 m exactly; the
international nautical mile is 1852 m (NIST Special Publication 811, appendix B; from memory).
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from airwrit.base.verdict import Margin, Outcome, Verdict, Why

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


class Measured(NamedTuple):
    """A reading with the lowest and highest value it may stand for; all three in one unit."""

    best: Decimal
    low: Decimal
    high: Decimal


def exact(value: Decimal) -> Measured:
    """A number without doubt."""
    return Measured(value, value, value)


def with_error(value: Decimal, error: Decimal) -> Measured:
    """A reading good to plus or minus `error`. ValueError for a negative error."""
    if error < 0:
        raise ValueError("an error is a size, it cannot be negative")
    return Measured(value, value - error, value + error)


def weighed(grams: Decimal, error: Decimal | None) -> Measured:
    """A weighing in grams. Without a stated error it may be off by one part in a hundred, or half its last digit if more.

    The hundredth is our own cautious figure, no source: a reading near a limit then stays undecided until somebody says
    how good the scale is. A stated error counts by its size, whatever its sign.
    """
    if error is not None:
        return with_error(grams, abs(error))
    exponent = grams.as_tuple().exponent
    half_digit = Decimal(1).scaleb(exponent if isinstance(exponent, int) else 0) / 2
    return with_error(grams, max(abs(grams) / 100, half_digit))


def total(values: Iterable[Measured]) -> Measured:
    """The sum; errors add up in full, since scales that read high do so for every part."""
    best = low = high = Decimal(0)
    for value in values:
        best, low, high = best + value.best, low + value.low, high + value.high
    return Measured(best, low, high)


def scaled(value: Measured, divisor: Decimal) -> Measured:
    """The same quantity in a unit `divisor` times as large."""
    return Measured(value.best / divisor, value.low / divisor, value.high / divisor)


def kinetic_energy_j(mass_g: Measured, speed_kt: Measured) -> Measured:
    """Joules of a mass in grams at a speed in knots, m v2 / 2; nothing counts below zero."""
    return Measured(*(_joules(mass, speed) for mass, speed in zip(mass_g, speed_kt, strict=True)))


def _joules(mass_g: Decimal, speed_kt: Decimal) -> Decimal:
    speed_mps = max(Decimal(0), speed_kt) * METERS_AN_HOUR["kt"] / METERS_AN_HOUR["m/s"]
    return max(Decimal(0), mass_g) / 1000 * speed_mps**2 / 2


def foot_pounds(energy_j: Measured) -> Measured:
    """An energy in foot-pounds."""
    return scaled(energy_j, J_PER_FT_LB)


def compared(value: Measured, limit: Decimal, unit: str, *, limit_itself: bool) -> Outcome:
    """Met when every value in doubt keeps to the limit, not met when none does, else unknown within doubt.

    `limit_itself` tells whether a value equal to the limit keeps to it ("0.55 pounds or less") or not ("less than 55
    pounds"). The margin is limit minus value in `unit`; above zero is inside.
    """
    margin = Margin(limit - value.best, unit, limit - value.high, limit - value.low)
    inside = value.high <= limit if limit_itself else value.high < limit
    outside = value.low > limit if limit_itself else value.low >= limit
    if inside:
        return Outcome(Verdict.MET, "inside", margin=margin, value=value.best)
    if outside:
        return Outcome(Verdict.NOT_MET, "outside", margin=margin, value=value.best)
    return Outcome(Verdict.UNKNOWN, "within_doubt", why=Why.WITHIN_DOUBT, margin=margin, value=value.best)
