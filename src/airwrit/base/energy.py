"""Kinetic energy of an aircraft, half of mass times speed squared, with what both may be off.

Source: the foot-pound is 0.3048 m times 0.45359237 kg times 9.80665 m/s2, all three exact (NIST Special Publication 811,
appendix B; from memory).
"""

from __future__ import annotations

from decimal import Decimal

from airwrit.base.measured import Measured, scaled
from airwrit.base.units import GRAMS_PER_POUND, METERS, METERS_AN_HOUR

J_PER_FT_LB = METERS["ft"] * GRAMS_PER_POUND / 1000 * Decimal("9.80665")
"""Joules in a foot-pound, exact."""


def kinetic_energy_j(mass_g: Measured, speed_kt: Measured) -> Measured:
    """Joules of a mass in grams at a speed in knots; the least is never below zero."""
    return Measured(*(_joules(mass, speed) for mass, speed in zip(mass_g, speed_kt, strict=True)))


def foot_pounds(energy_j: Measured) -> Measured:
    """The same energy in foot-pounds."""
    return scaled(energy_j, J_PER_FT_LB)


def _joules(mass_g: Decimal, speed_kt: Decimal) -> Decimal:
    speed_mps = max(Decimal(0), speed_kt) * METERS_AN_HOUR["kt"] / METERS_AN_HOUR["m/s"]
    return max(Decimal(0), mass_g) / 1000 * speed_mps**2 / 2
