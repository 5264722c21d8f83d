"""Pressure and density altitude against worked examples of pages and forums (density_altitude/SOURCE.toml), to 10 or 15 ft."""

from __future__ import annotations

from decimal import Decimal

import pytest

from airwrit.sky.density import air_altitudes


@pytest.mark.parametrize(
    ("elevation", "inhg", "degrees", "pressure", "density", "error"),
    [
        (5000, "29.45", 35, 5470, 9183, 10),
        (5000, "30.17", 30, 4750, 7690, 10),
        (3600, "29.82", 28, 3700, 6148, 10),
        (3600, "29.82", -20, 3700, 388, 10),
        (6000, "29.884", 15, 6027, 7473, 15),
    ],
)
def test_worked_examples(
    elevation: int, inhg: str, degrees: int, pressure: int, density: int, error: int
) -> None:
    found = air_altitudes(Decimal(elevation), Decimal(inhg), Decimal(degrees))
    assert abs(found.pressure_ft - pressure) <= error
    assert abs(found.density_ft - density) <= error
