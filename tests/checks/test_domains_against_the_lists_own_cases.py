"""Registrable parts of hosts against the public suffix list's own test cases; exact (domains/SOURCE.toml).

Source: test_psl.txt of the public suffix list (public domain), in the package publicsuffixlist beside the list itself.
"""

import re
from datetime import date
from pathlib import Path

import publicsuffixlist
import pytest

from airwrit.base.registrable_domain import list_date, registrable_in

CASES = Path(publicsuffixlist.__file__).with_name("test_psl.txt").read_text(encoding="utf-8")
CASE = re.compile(r"^checkPublicSuffix\('([^']*)', (?:'([^']*)'|null)\);$", re.MULTILINE)
FOUND = [(host, domain or None) for host, domain in CASE.findall(CASES)]


def test_there_are_cases() -> None:
    assert len(FOUND) > 70


@pytest.mark.parametrize(("host", "domain"), FOUND)
def test_a_case_of_the_list(host: str, domain: str | None) -> None:
    assert registrable_in(host) == domain


def test_the_list_tells_its_day() -> None:
    assert (list_date() or date.min) >= date(2026, 10, 22)
