"""Numbers that know their doubt, and the one comparison of such a number with a limit of the law."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from airwrit.base.units import J_PER_FT_LB, METERS_AN_HOUR
from airwrit.base.verdict import Margin, Outcome, Verdict, Why


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
