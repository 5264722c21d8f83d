"""The seller's old number on the aircraft's page and the due page, until its cancellation is on file."""

from __future__ import annotations

from pathlib import Path

import pytest

from airwrit.base.days import EARLIEST, parse_when
from airwrit.facts.key import Raw
from airwrit.facts.statement import Statement
from airwrit.ledger.ports import Draft
from airwrit.ledger.sqlite.store import Ledger
from tests.browser.serving import clock
from tests.unit.web.conftest import Visitor

NUMBER, SALE = ("registration", "FA00TEST02", "2026-11-12"), ("sold_on", "2026-11-10", "")


def book(tmp_path: Path, *told: tuple[str, Raw, str], canceled: str = "") -> Path:
    """A ledger of an aircraft that points at the buyer's number, told in this order."""
    path = tmp_path / "sold.airwrit"
    facts: list[tuple[str, str, Raw, str]] = [
        ("aircraft/A", "registration", "FA00TEST01", ""),
        ("aircraft/A", "is_registered", True, ""),
        ("aircraft/A", "used_for", "work", ""),
        ("registration/FA00TEST01", "registration_kind", "Part 48 per aircraft", ""),
        *(("aircraft/A", *one) for one in told),
        *([("registration/FA00TEST01", "cancelled_on", canceled, "")] if canceled else []),
    ]
    with Ledger.begin(path) as made:
        for subject, key, value, start in facts:
            said = Statement(subject, key, value, parse_when(start) if start else EARLIEST)
            made.append([Draft("x", "record", (said,))], clock)
    return path


@pytest.mark.parametrize("told", [(NUMBER, SALE), (SALE, NUMBER)])
def test_the_page_says_by_when_the_old_number_is_canceled(
    visitor: Visitor, tmp_path: Path, told: tuple[tuple[str, Raw, str], ...]
) -> None:
    client = visitor(book(tmp_path, *told))
    assert "FA00TEST01" in client.get("/today", params={"on": "2026-11-24"}).text
    for path in ("/aircraft/A", "/deadlines"):
        assert "FA00TEST01 by" in client.get(path, params={"on": "2026-11-24"}).text, path
        assert "FA00TEST01 now" in client.get(path, params={"on": "2026-11-25"}).text, path
    assert 'href="/record-change/cancel/registration/FA00TEST01"' in client.get("/aircraft/A").text


def test_a_cancellation_on_file_ends_it(visitor: Visitor, tmp_path: Path) -> None:
    client = visitor(book(tmp_path, NUMBER, SALE, canceled="2026-11-24"))
    for path in ("/aircraft/A", "/deadlines", "/today"):
        page = client.get(path, params={"on": "2026-11-25"}).text
        assert "FA00TEST01 now" not in page, path
        assert "FA00TEST01 by" not in page, path
