"""Kinetic energy against worked examples of a public note and a forum (kinetic_energy/SOURCE.toml), to its last digit."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.base.measured import (
    GRAMS_PER_POUND,
    J_PER_FT_LB,
    METERS_AN_HOUR,
    Measured,
    exact,
    foot_pounds,
    kinetic_energy_j,
)

MPS, MPH = (METERS_AN_HOUR[unit] / METERS_AN_HOUR["kt"] for unit in ("m/s", "mph"))


def energy(grams: str | Decimal, knots: Decimal) -> Measured:
    return kinetic_energy_j(exact(Decimal(grams)), exact(knots))


@pytest.mark.parametrize(
    ("grams", "mps", "joules", "foot_pounds_told"),
    [
        ("900", "13.3", "79.6", None),
        ("900", "13.4", "80.8", None),
        ("300", "9.9", "14.70", "10.84"),
        ("300", "10.0", "15.0", "11.06"),
    ],
)
def test_of_the_note(grams: str, mps: str, joules: str, foot_pounds_told: str | None) -> None:
    found = energy(grams, Decimal(mps) * MPS)
    assert abs(found.best - Decimal(joules)) < Decimal("0.05")
    if foot_pounds_told is not None:
        assert abs(foot_pounds(found).best - Decimal(foot_pounds_told)) < Decimal("0.005")


@pytest.mark.parametrize(("mph", "joules", "pounds"), [("16", "15.08", "11.13"), ("24", "33.94", "25.03")])
def test_of_the_forum(mph: str, joules: str, pounds: str) -> None:
    found = energy(Decimal("1.3") * GRAMS_PER_POUND, Decimal(mph) * MPH)
    assert abs(found.best - Decimal(joules)) < Decimal("0.01")
    assert abs(foot_pounds(found).best - Decimal(pounds)) < Decimal("0.01")


@pytest.mark.parametrize(("pounds", "joules"), [(11, "14.914"), (25, "33.895")])
def test_the_laws_two_energies_in_joules(pounds: int, joules: str) -> None:
    assert abs(pounds * J_PER_FT_LB - Decimal(joules)) < Decimal("0.001")
