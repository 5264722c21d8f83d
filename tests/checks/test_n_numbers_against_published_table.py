"""N-numbers against published ones and against the published form, each written again (n_numbers/SOURCE.toml)."""

from __future__ import annotations

import csv
import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from airwrit.base.identifiers import n_number

HERE = Path(__file__).parent
LETTERS = "ABCDEFGHJKLMNPQRSTUVWXYZ"
FORMS = ("[1-9][0-9]{0,4}", "[1-9][0-9]{0,3}[A-HJ-NP-Z]", "[1-9][0-9]{0,2}[A-HJ-NP-Z]{2}")
"""The three published forms, after the N."""


def rows(name: str) -> list[dict[str, str]]:
    """The rows of one table."""
    with (HERE / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(line for line in file if not line.startswith("#")))


@pytest.mark.parametrize("row", rows("addresses/pairs.csv"), ids=lambda row: row["n_number"])
def test_a_published_number_is_accepted(row: dict[str, str]) -> None:
    checked = n_number(row["n_number"])
    assert checked.ok
    assert (checked.text, checked.tidied) == (row["n_number"], ())


@pytest.mark.parametrize("row", rows("n_numbers/refused.csv"), ids=lambda row: row["number"])
def test_what_is_none_is_refused(row: dict[str, str]) -> None:
    assert row["fault"] in [fault.code for fault in n_number(row["number"]).faults]


@given(st.one_of([st.from_regex(form, fullmatch=True) for form in FORMS]))
def test_every_number_of_a_published_form_is_accepted(body: str) -> None:
    assert n_number("N" + body).ok


@given(st.text("019ABIOZ", max_size=6))
def test_nothing_else_is(body: str) -> None:
    assert n_number("N" + body).ok == any(re.fullmatch(form, body) for form in FORMS)


def test_as_many_short_numbers_are_accepted_as_the_form_allows() -> None:
    signs = "0123456789" + LETTERS + "IO"
    bodies = [a + b for a in signs for b in ("", *signs)] + [
        a + b + c for a in signs for b in signs for c in signs
    ]
    one_digit = 9 * (1 + 24 + 24 * 24)
    two_digits = 90 * (1 + 24)
    assert sum(n_number("N" + body).ok for body in bodies) == one_digit + two_digits + 900
