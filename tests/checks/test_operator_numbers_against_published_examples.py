"""Operator numbers of the European Union's States against the two published with their secret part (operators/SOURCE.toml).

The check sign is the outside value: it comes out of the twelve signs before it and the secret three.
"""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from airwrit.base.operator_number import check_sign, operator_number

with (Path(__file__).parent / "operators" / "numbers.csv").open(encoding="utf-8", newline="") as file:
    NUMBERS = [(row["number"], row["secret"]) for row in csv.DictReader(file)]


@pytest.mark.parametrize(("number", "secret"), NUMBERS)
def test_the_check_sign_is_the_published_one(number: str, secret: str) -> None:
    assert check_sign(number[3:15], secret) == number[15]
    assert operator_number(f"{number}-{secret}", (number[:3],)).text == f"{number}-***"


@pytest.mark.parametrize(("number", "secret"), NUMBERS)
def test_another_check_sign_is_a_fault(number: str, secret: str) -> None:
    other = "0" if number[15] != "0" else "1"
    (fault,) = operator_number(f"{number[:15]}{other}-{secret}", (number[:3],)).faults
    assert fault.code == "check_sign"
