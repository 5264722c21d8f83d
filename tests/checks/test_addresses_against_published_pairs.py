"""N-numbers and 24-bit addresses against pairs that others published; exact, so no tolerance (addresses/SOURCE.toml)."""

import csv
import tomllib
from pathlib import Path

import pytest

from airwrit.base.aircraft_address import address_of, n_number_of, octal_address

FOLDER = Path(__file__).parent / "addresses"
with (FOLDER / "pairs.csv").open(encoding="utf-8", newline="") as file:
    PAIRS = [(row["n_number"], int(row["address"], 16), row["source"]) for row in csv.DictReader(file)]


@pytest.mark.parametrize(("number", "address", "source"), PAIRS)
def test_a_pair_is_reckoned_both_ways(number: str, address: int, source: str) -> None:
    assert address_of(number) == address
    assert n_number_of(address) == number


def test_each_pair_has_its_source() -> None:
    sources = tomllib.loads((FOLDER / "SOURCE.toml").read_text(encoding="utf-8"))
    assert {source for _, _, source in PAIRS} == set(sources)
    assert len(PAIRS) == 19


def test_an_address_in_octal() -> None:
    assert octal_address("52332503") == 0xA9B543
